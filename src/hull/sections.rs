//! The hull below the waterline: sections from keel to waterline, and what follows from them at rest.
//!
//! x runs forward from the aft end of the waterline, z up from the waterline (below it negative), y is the
//! half-breadth. Sections are symmetric; between points and between stations the surface is straight.

use crate::base::{Error, Result};
use crate::hull::decked::Decked;
use crate::hull::point::{MIN_STATIONS, Point, check_points, station_at};

/// One transverse section.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Distance forward of the aft end of the waterline, m.
    pub x_m: f64,
    /// From keel to waterline: z never falls, the last z is 0.
    pub points: Vec<Point>,
}

/// A hull: stations from aft to fore, at least [`MIN_STATIONS`], the first at x = 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Hull {
    stations: Vec<Station>,
    decked: Option<Decked>,
}

impl Hull {
    /// Checks the stations and keeps them.
    ///
    /// # Errors
    /// Fewer than three stations, x that does not start at 0 or does not grow, a section that is not from keel
    /// to waterline, negative or non-finite offsets, or no immersed volume.
    pub fn new(stations: Vec<Station>) -> Result<Self> {
        if stations.len() < MIN_STATIONS {
            return Err(Error::new("the hull has too few stations")
                .found(stations.len())
                .expected(format!("at least {MIN_STATIONS}, better 20 or more")));
        }
        for station in &stations {
            station.check()?;
        }
        if stations[0].x_m.abs() > 1e-6 {
            return Err(Error::new("the aftmost station is not at x = 0")
                .found(format!("x_m = {}", stations[0].x_m))
                .remedy("measure x forward from the aft end of the waterline"));
        }
        for pair in stations.windows(2) {
            if pair[1].x_m <= pair[0].x_m {
                return Err(Error::new("stations are not in order from aft to fore")
                    .found(format!("x_m = {} after x_m = {}", pair[1].x_m, pair[0].x_m))
                    .remedy("sort the stations by growing x"));
            }
        }
        if stations.iter().all(|s| s.area_m2() <= 0.0) || stations.iter().all(|s| s.beam_m() <= 0.0) {
            return Err(Error::new("the hull has no volume below the waterline")
                .expected("sections with z_m below 0 and y_m above 0"));
        }
        Ok(Self { stations, decked: None })
    }

    /// The hull of sections that reach to the deck, cut at the waterline.
    ///
    /// # Errors
    /// As [`Hull::new`].
    pub fn of_decked(decked: Decked) -> Result<Self> {
        let below = decked.below_water().map(|(x_m, points)| Station { x_m, points });
        Ok(Self { decked: Some(decked.clone()), ..Self::new(below.collect())? })
    }

    /// The sections up to the deck, where they are known.
    pub fn decked(&self) -> Option<&Decked> {
        self.decked.as_ref()
    }

    /// Stations that are known to describe a hull.
    pub(super) fn of_checked(stations: Vec<Station>) -> Self {
        Self { stations, decked: None }
    }

    /// The stations from aft to fore.
    pub fn stations(&self) -> &[Station] {
        &self.stations
    }

    /// Depth of the keel below the waterline at a place within the hull, m: straight from station to station.
    pub fn draught_at_m(&self, x_m: f64) -> f64 {
        let fore =
            self.stations.partition_point(|station| station.x_m < x_m).clamp(1, self.stations.len() - 1);
        let (aft, fore) = (&self.stations[fore - 1], &self.stations[fore]);
        let part = ((x_m - aft.x_m) / (fore.x_m - aft.x_m)).clamp(0.0, 1.0);
        aft.draught_m() + part * (fore.draught_m() - aft.draught_m())
    }

    /// Length of the waterline, m.
    pub fn lwl_m(&self) -> f64 {
        self.stations[self.stations.len() - 1].x_m - self.stations[0].x_m
    }
}

impl Station {
    /// Full beam at the waterline, m.
    pub fn beam_m(&self) -> f64 {
        self.points.last().map_or(0.0, |p| 2.0 * p.y_m)
    }

    /// Depth of the keel below the waterline, m.
    pub fn draught_m(&self) -> f64 {
        self.points.first().map_or(0.0, |p| p.z_m.abs())
    }

    /// Immersed area of both sides, m².
    pub fn area_m2(&self) -> f64 {
        self.points.windows(2).map(|p| (p[0].y_m + p[1].y_m) * (p[1].z_m - p[0].z_m)).sum()
    }

    fn check(&self) -> Result<()> {
        check_points(self.x_m, &self.points, "waterline")?;
        match self.points.last() {
            Some(last) if last.z_m == 0.0 => Ok(()),
            _ => Err(Error::new("the section does not end at the waterline").at(station_at(self.x_m))),
        }
    }
}
