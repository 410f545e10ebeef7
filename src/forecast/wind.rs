//! The wind at the cells of the waves, which may come from another file, another grid or another time.
//!
//! # Rules
//! - Wind on the grid of the waves and at their time is used as it is: speed and direction where both are there, else
//!   eastward and northward components.
//! - Else the wind of the nearest time serves, at most [`MOST_APART`] away (of two as near, the earlier); of the same
//!   ensemble member, or wind without a member.
//! - On another grid, its components are interpolated bilinearly between the four points around a cell. A cell beyond
//!   the wind's grid, or with a missing value among the points that count, has no wind: a gap, nothing extrapolated.

use std::sync::Arc;

use jiff::{SignedDuration, Timestamp};

use crate::base::DirectionFrom;
use crate::base::{Error, Result};
use crate::forecast::field::{Field, Fields};
use crate::forecast::grid::{Between, Grid, GridLayout};
use crate::forecast::message::Message;
use crate::forecast::quantity::Quantity;
use crate::forecast::ranges;
use crate::forecast::ranges::OutOfRange;
use crate::forecast::spans::Spans;
use crate::sea::Wind;

/// How far in time wind may be from the waves it serves.
pub const MOST_APART: SignedDuration = SignedDuration::from_hours(3);

/// A time's wind: two messages on one grid.
#[derive(Debug, Clone)]
pub struct WindSource {
    /// When it is valid.
    pub valid: Timestamp,
    pub grid: Arc<Grid>,
    /// Speed and direction, or eastward and northward component.
    pub messages: [(Quantity, Message); 2],
}

/// The wind on the grid of the waves.
#[derive(Debug, Clone)]
pub(super) enum WindFields {
    Polar { speed: Field, from: Field },
    Components { eastward: Field, northward: Field },
    None,
}

impl WindSource {
    /// The whole wind among messages of one time; none where a half is missing or the halves are on two grids.
    pub(super) fn among<'m>(
        messages: impl Fn(Quantity) -> Option<&'m Message>,
        valid: Timestamp,
    ) -> Option<Self> {
        use Quantity::{WindEastward, WindFrom, WindNorthward, WindSpeed};
        [(WindSpeed, WindFrom), (WindEastward, WindNorthward)].into_iter().find_map(|(a, b)| {
            let (first, second) = (messages(a)?, messages(b)?);
            let grid = first.grid.clone().ok()?;
            (second.grid.as_ref() == Ok(&grid)).then(|| Self {
                valid,
                grid,
                messages: [(a, first.clone()), (b, second.clone())],
            })
        })
    }

    /// Checks that the wind can be had on a grid.
    ///
    /// # Errors
    /// Wind of another grid that has no axes to interpolate along.
    pub(super) fn check_on(&self, grid: &Grid) -> Result<()> {
        if *self.grid == *grid || self.grid.layout() == GridLayout::Rectilinear {
            return Ok(());
        }
        let wind = &self.messages[0].1;
        Err(Error::new(format!("the wind is on {}, and is wanted elsewhere", self.grid.layout()))
            .file(&wind.path)
            .at(wind.place())
            .found(self.grid.summary())
            .expected(format!("wind on the waves' own grid, or on {}", GridLayout::Rectilinear))
            .remedy("give a wind on a grid of latitude and longitude: it is interpolated"))
    }

    /// Decodes the wind and brings it to the points of a grid that are looked at, with what of it is out of range.
    pub(super) fn read(&self, grid: &Grid, points: &Spans) -> Result<(WindFields, Vec<OutOfRange>)> {
        let (mut fields, mut outside) = (Fields::new(), Vec::new());
        let own_points = if *self.grid == *grid { points.clone() } else { around(&self.grid, grid, points) };
        for (quantity, message) in &self.messages {
            let (field, odd) = ranges::decode(message, &own_points)?;
            fields.insert(*quantity, field);
            outside.extend(odd);
        }
        let wind = WindFields::take(&mut fields);
        Ok((if *self.grid == *grid { wind } else { wind.on(&self.grid, grid, points) }, outside))
    }
}

impl WindFields {
    pub fn take(fields: &mut Fields) -> Self {
        let mut take = |a, b| Some((fields.remove(&a)?, fields.remove(&b)?));
        if let Some((speed, from)) = take(Quantity::WindSpeed, Quantity::WindFrom) {
            return Self::Polar { speed, from };
        }
        match take(Quantity::WindEastward, Quantity::WindNorthward) {
            Some((eastward, northward)) => Self::Components { eastward, northward },
            None => Self::None,
        }
    }

    pub fn at(&self, index: usize) -> Option<Wind> {
        let get = |field: &Field| field.get(index).map(f64::from);
        match self {
            Self::Polar { speed, from } => {
                Some(Wind { tws_m_s: get(speed)?, from: DirectionFrom::from_deg(get(from)?) })
            }
            Self::Components { eastward, northward } => {
                let (u, v) = (get(eastward)?, get(northward)?);
                Some(Wind { tws_m_s: u.hypot(v), from: DirectionFrom::from_components(u, v) })
            }
            Self::None => None,
        }
    }

    /// Eastward and northward component at a point, m/s.
    pub(super) fn components_at(&self, index: usize) -> Option<(f64, f64)> {
        let Wind { tws_m_s, from } = self.at(index)?;
        let (sin, cos) = from.deg().to_radians().sin_cos();
        Some((-tws_m_s * sin, -tws_m_s * cos))
    }

    fn on(&self, own: &Grid, target: &Grid, points: &Spans) -> Self {
        let (mut eastward, mut northward) = (vec![None; target.points()], vec![None; target.points()]);
        for index in points.places().take_while(|index| *index < target.points()) {
            let wind = between(own, target, index).and_then(|(row, column)| self.bilinear(own, row, column));
            eastward[index] = wind.map(|(u, _)| u as f32);
            northward[index] = wind.map(|(_, v)| v as f32);
        }
        Self::Components {
            eastward: Field::from_options(eastward),
            northward: Field::from_options(northward),
        }
    }

    pub(super) fn bilinear(&self, own: &Grid, rows: Between, columns: Between) -> Option<(f64, f64)> {
        let mut sum = (0.0, 0.0);
        for (row, weight_row) in rows.ends() {
            for (column, weight_column) in columns.ends() {
                let weight = weight_row * weight_column;
                if weight > 0.0 {
                    let (u, v) = self.components_at(row * own.columns() + column)?;
                    sum.0 += weight * u;
                    sum.1 += weight * v;
                }
            }
        }
        Some(sum)
    }
}

/// Where a point of another grid lies among the rows and columns of a wind's own.
fn between(own: &Grid, target: &Grid, index: usize) -> Option<(Between, Between)> {
    let (lat, lon) = target.centre(index)?;
    own.between_rows(lat).zip(own.between_columns(lon))
}

/// The points of a wind's own grid around those looked at on another.
fn around(own: &Grid, target: &Grid, points: &Spans) -> Spans {
    let corners = |(rows, columns): (Between, Between)| {
        rows.ends().into_iter().flat_map(move |(row, _)| columns.ends().map(|(column, _)| (row, column)))
    };
    let found = points.places().filter_map(|index| between(own, target, index)).flat_map(corners);
    Spans::of(found.map(|(row, column)| row * own.columns() + column))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: half-way between 10 m/s from west (u 10) and 10 m/s from south (v 10) blow (5, 5) m/s, from 225.
    #[test]
    fn wind_is_interpolated_as_a_vector_and_never_extrapolated() {
        let wind = Grid::new(vec![0.0, 1.0], vec![0.0, 1.0]).unwrap();
        let fields = WindFields::Polar {
            speed: Field::from_options([Some(10.0), Some(10.0), Some(10.0), None]),
            from: Field::from_options([Some(270.0), Some(180.0), Some(270.0), None]),
        };
        let target = Grid::new(vec![0.0, 0.5], vec![0.0, 0.5, 1.5]).unwrap();
        let on = fields.on(&wind, &target, &Spans::whole(target.points()));
        let at = on.at(1).unwrap();
        assert!((at.tws_m_s - 50f64.sqrt()).abs() < 1e-5 && (at.from.deg() - 225.0).abs() < 1e-4);
        assert!((on.at(3).unwrap().from.deg() - 270.0).abs() < 1e-4);
        assert_eq!((on.at(2), on.at(4)), (None, None), "beyond the grid, and beside a missing point");
    }

    #[test]
    fn a_grid_that_goes_round_has_no_seam() {
        let lon: Vec<f64> = (0..4).map(|i| f64::from(i) * 90.0).collect();
        let wind = Grid::new(vec![0.0, 1.0], lon).unwrap();
        let eastward = Field::from_options([0.0, 1.0, 2.0, 4.0, 0.0, 1.0, 2.0, 4.0].map(Some));
        let northward = Field::from_options([Some(0.0); 8]);
        let target = Grid::new(vec![0.0, 1.0], vec![-45.0, 300.0]).unwrap();
        let fields = WindFields::Components { eastward, northward };
        let on = fields.on(&wind, &target, &Spans::whole(target.points()));
        // -45 lies half-way between 270 (4) and 360 (0); 300 a third of the way
        assert!((on.at(0).unwrap().tws_m_s - 2.0).abs() < 1e-6);
        assert!((on.at(1).unwrap().tws_m_s - 8.0 / 3.0).abs() < 1e-6);
    }
}
