//! Legs between two positions of a track, of three kinds.

use crate::base::DirectionTo;
use crate::base::bearing::wrap180;
use crate::base::units::NAUTICAL_MILE_M;
use geo::{Bearing, Coord, Destination, Distance, Geodesic, Haversine, Point, Rhumb};
use serde::Serialize;

/// What a leg between two positions is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LegKind {
    /// The shortest line on the WGS 84 ellipsoid (Karney 2013).
    #[default]
    Geodesic,
    /// The shortest line on a sphere of the earth's mean radius; distances differ by up to 0.6 %.
    GreatCircle,
    /// The line of one course, on the same sphere; right across 180, not across a pole.
    Rhumb,
}

impl LegKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Geodesic, Self::GreatCircle, Self::Rhumb];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Geodesic => "geodesic",
            Self::GreatCircle => "great-circle",
            Self::Rhumb => "rhumb",
        }
    }
}

/// A leg; never of no length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    kind: LegKind,
    from: Point,
    to: Point,
    first_course_deg: f64,
    length_m: f64,
}

impl Leg {
    /// The legs of a track, positions in degrees; longitudes may run on across 180, and the shorter way is taken.
    pub fn along(track: &[Coord], kind: LegKind) -> Vec<Self> {
        let legs = track.windows(2).map(|ends| Self::new(ends[0], ends[1], kind));
        legs.filter(|leg| leg.length_m > 0.0).collect()
    }

    fn new(from: Coord, to: Coord, kind: LegKind) -> Self {
        let point = |place: Coord| Point::new(wrap180(place.x), place.y);
        let (from, to) = (point(from), point(to));
        let length_m = match kind {
            LegKind::Geodesic => Geodesic.distance(from, to),
            LegKind::GreatCircle => Haversine.distance(from, to),
            LegKind::Rhumb => Rhumb.distance(from, to),
        };
        Self { kind, from, to, first_course_deg: bearing(kind, from, to), length_m }
    }

    /// Where it begins, longitude within [-180, 180).
    pub fn from(&self) -> Point {
        self.from
    }

    /// Where it ends.
    pub fn to(&self) -> Point {
        self.to
    }

    pub fn length_m(&self) -> f64 {
        self.length_m
    }

    /// The course at its beginning.
    pub fn first_course(&self) -> DirectionTo {
        DirectionTo::from_deg(self.first_course_deg)
    }

    /// The place so far along it, longitude within [-180, 180).
    pub fn at(&self, along_m: f64) -> Point {
        if along_m >= self.length_m {
            return self.to;
        }
        let course = self.first_course_deg;
        let place = match self.kind {
            LegKind::Geodesic => Geodesic.destination(self.from, course, along_m),
            LegKind::GreatCircle => Haversine.destination(self.from, course, along_m),
            LegKind::Rhumb => Rhumb.destination(self.from, course, along_m),
        };
        Point::new(wrap180(place.x()), place.y())
    }

    /// The course so far along it.
    pub fn course_at(&self, along_m: f64) -> DirectionTo {
        // at the very end no direction to the end is left
        let along_m = along_m.min(self.length_m - 1.0);
        if self.kind == LegKind::Rhumb || along_m <= 0.0 {
            return self.first_course();
        }
        DirectionTo::from_deg(bearing(self.kind, self.at(along_m), self.to))
    }

    /// Its southernmost and northernmost latitude, degrees, as near as a place each 5 nautical miles, 64 at most, shows:
    /// between two so close it bulges by a few metres.
    pub fn latitudes_deg(&self) -> (f64, f64) {
        let parts = (self.length_m / (5.0 * NAUTICAL_MILE_M)).ceil().clamp(1.0, 64.0);
        let places = (1..parts as u32).map(|part| self.at(self.length_m * f64::from(part) / parts).y());
        places
            .chain([self.from.y(), self.to.y()])
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(s, n), lat| (s.min(lat), n.max(lat)))
    }
}

fn bearing(kind: LegKind, from: Point, to: Point) -> f64 {
    match kind {
        LegKind::Geodesic => Geodesic.bearing(from, to),
        LegKind::GreatCircle => Haversine.bearing(from, to),
        LegKind::Rhumb => Rhumb.bearing(from, to),
    }
}
