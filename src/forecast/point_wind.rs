//! The wind at a place and a time: bilinear between grid points, as a vector, of the nearest time.
//!
//! The rules are those of [`crate::forecast::wind`]: of two times as near the earlier serves, none serves further than
//! [`MOST_APART`] away, and nothing is extrapolated beyond the grid or beside a missing value.

use std::sync::OnceLock;

use jiff::{SignedDuration, Timestamp};

use crate::base::DirectionFrom;
use crate::base::{Error, Result};
use crate::forecast::field::Field;
use crate::forecast::grid::{Grid, GridLayout};
use crate::forecast::ranges::OutOfRange;
use crate::forecast::spans::Spans;
use crate::forecast::steps::Forecast;
use crate::forecast::wind::{MOST_APART, WindFields, WindSource};
use crate::sea::Wind;

/// Wind over a strip of the sea at several times; a time is decoded when it is first asked for.
#[derive(Debug)]
pub struct PointWind {
    times: Vec<TimedWind>,
}

#[derive(Debug)]
struct TimedWind {
    valid: Timestamp,
    source: StripSource,
}

#[derive(Debug)]
enum StripSource {
    Message { wind: WindSource, rows: LatitudeRows, read: OnceLock<Result<WindStrip>> },
    Ready(WindStrip),
}

/// Latitudes that are kept, degrees.
#[derive(Debug, Clone, Copy)]
struct LatitudeRows {
    south_deg: f64,
    north_deg: f64,
}

#[derive(Debug)]
struct WindStrip {
    grid: Grid,
    fields: WindFields,
}

impl PointWind {
    /// The wind of a forecast between two latitudes; memory: the rows between them, of the times asked for.
    ///
    /// `member` chooses one of an ensemble.
    ///
    /// # Errors
    /// A member that the forecast has not, or none chosen where it has several.
    pub fn of_forecast(
        forecast: &Forecast,
        member: Option<u32>,
        south_deg: f64,
        north_deg: f64,
    ) -> Result<Self> {
        let members = forecast.members();
        let known = member.map_or(members.is_empty(), |member| members.contains(&member));
        if !known {
            let listed: Vec<String> = members.iter().map(u32::to_string).collect();
            let none = "a forecast without members".to_owned();
            return Err(Error::new("the forecast's member is not settled")
                .found(member.map_or("no member named".to_owned(), |member| format!("member {member}")))
                .expected(if members.is_empty() {
                    none
                } else {
                    format!("one of the members {}", listed.join(", "))
                })
                .remedy("name one with --member, or none for a single forecast"));
        }
        let rows = LatitudeRows { south_deg, north_deg };
        let timed = |wind: WindSource| TimedWind {
            valid: wind.valid,
            source: StripSource::Message { wind, rows, read: OnceLock::new() },
        };
        Ok(Self { times: forecast.winds(member).into_iter().map(timed).collect() })
    }

    /// Wind from eastward and northward components in m/s, by rising time.
    pub fn of_components(times: Vec<(Timestamp, Grid, Field, Field)>) -> Self {
        let timed = |(valid, grid, eastward, northward)| TimedWind {
            valid,
            source: StripSource::Ready(WindStrip {
                grid,
                fields: WindFields::Components { eastward, northward },
            }),
        };
        Self { times: times.into_iter().map(timed).collect() }
    }

    /// The times that have wind, rising.
    pub fn times(&self) -> impl Iterator<Item = Timestamp> + '_ {
        self.times.iter().map(|timed| timed.valid)
    }

    /// Which of the times serves an instant; none where the nearest is too far away.
    pub fn nearest(&self, time: Timestamp) -> Option<usize> {
        let after = self.times.partition_point(|timed| timed.valid < time);
        let near = [after.checked_sub(1), Some(after)].into_iter().flatten().filter_map(|place| {
            let apart: SignedDuration = self.times.get(place)?.valid.duration_since(time).abs();
            (apart <= MOST_APART).then_some((apart, place))
        });
        near.min().map(|(_, place)| place)
    }

    /// The wind of one of the times at a place; none beyond the grid or where it is missing.
    ///
    /// # Errors
    /// A field that cannot be decoded.
    pub fn at(&self, time: usize, lat_deg: f64, lon_deg: f64) -> Result<Option<Wind>> {
        let Some(timed) = self.times.get(time) else { return Ok(None) };
        let strip = timed.source.strip()?;
        let rows = strip.grid.between_rows(lat_deg);
        let around = rows.zip(strip.grid.between_columns(lon_deg));
        let components = around.and_then(|(row, column)| strip.fields.bilinear(&strip.grid, row, column));
        Ok(components.map(|(u, v)| Wind { tws_m_s: u.hypot(v), from: DirectionFrom::from_components(u, v) }))
    }
}

impl StripSource {
    fn strip(&self) -> Result<&WindStrip> {
        match self {
            Self::Ready(strip) => Ok(strip),
            Self::Message { wind, rows, read } => {
                read.get_or_init(|| rows.of(wind)).as_ref().map_err(Clone::clone)
            }
        }
    }
}

impl LatitudeRows {
    /// Decodes a time and keeps the rows, with one more on either side.
    fn of(self, wind: &WindSource) -> Result<WindStrip> {
        if wind.grid.layout() != GridLayout::Rectilinear {
            return Err(Error::new(format!("the wind is on {}", wind.grid.layout()))
                .file(&wind.messages[0].1.path)
                .expected(GridLayout::Rectilinear.to_string())
                .remedy(
                    "give a wind on a grid of latitude and longitude: along a track it is interpolated",
                ));
        }
        let (fields, outside) = wind.read(&wind.grid, &Spans::whole(wind.grid.points()))?;
        outside.iter().try_for_each(OutOfRange::check_share)?;
        let (lat, width) = (wind.grid.lat_deg(), wind.grid.columns());
        let most = lat.len() - 2;
        let first = lat.partition_point(|lat| *lat <= self.south_deg).saturating_sub(2).min(most);
        let end = (lat.partition_point(|lat| *lat < self.north_deg) + 2).clamp(first + 2, lat.len());
        let components: Vec<_> =
            (first * width..end * width).map(|index| fields.components_at(index)).collect();
        Ok(WindStrip {
            grid: Grid::new(lat[first..end].to_vec(), wind.grid.lon_deg().to_vec())?,
            fields: WindFields::Components {
                eastward: Field::from_options(components.iter().map(|wind| wind.map(|(u, _)| u as f32))),
                northward: Field::from_options(components.iter().map(|wind| wind.map(|(_, v)| v as f32))),
            },
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = "grids/south-pacific.grib2";

    /// The wind of a cell as the sea states have it: at grid points nothing is interpolated.
    #[test]
    fn grid_points_have_the_wind_of_their_sea() {
        let forecast = Forecast::open(&[DEMO]).unwrap();
        let winds = PointWind::of_forecast(&forecast, None, -52.0, -50.0).unwrap();
        let step = forecast.read_step(2).unwrap();
        let time = winds.nearest(step.valid).unwrap();
        let mut seen = 0;
        for (index, cell) in step.cells().enumerate() {
            let (lat, lon) = step.grid.centre(index).unwrap();
            if let crate::forecast::CellSea::Sea(sea) = cell
                && (-52.0..=-50.0).contains(&lat)
            {
                let wind = winds.at(time, lat, lon).unwrap().unwrap();
                assert!((wind.tws_m_s - sea.wind.tws_m_s).abs() < 1e-5, "{wind:?}");
                assert!(wind.from.off_deg(sea.wind.from).abs() < 1e-4, "{wind:?}");
                seen += 1;
            }
        }
        assert!(seen > 100);
        assert_eq!(winds.at(time, -40.0, 175.0).unwrap(), None, "beyond the rows that are kept");
    }

    /// By hand: steps every 6 h; 3 h after the last is as far as it goes, and half-way the earlier serves.
    #[test]
    fn the_nearest_time_serves() {
        let forecast = Forecast::open(&[DEMO]).unwrap();
        let winds = PointWind::of_forecast(&forecast, None, -52.0, -50.0).unwrap();
        let at = |text: &str| winds.nearest(text.parse().unwrap());
        assert_eq!(at("2024-01-15T02:59:00Z"), Some(0));
        assert_eq!(at("2024-01-15T03:00:00Z"), Some(0));
        assert_eq!(at("2024-01-15T03:00:01Z"), Some(1));
        assert_eq!(at("2024-01-16T21:00:00Z"), Some(7));
        assert_eq!(at("2024-01-16T21:00:01Z"), None);
        assert_eq!(at("2024-01-14T20:00:00Z"), None);
    }

    #[test]
    fn members_are_settled_first() {
        let forecast = Forecast::open(&["tests/data/ecmwf-ensemble.grib2"]).unwrap();
        let error = PointWind::of_forecast(&forecast, None, -10.0, 10.0).unwrap_err().to_string();
        assert!(error.contains("--member"), "{error}");
    }
}
