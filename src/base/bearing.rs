//! Directions as types: where something comes from, where it goes, and angles between them.
//!
//! A compass direction is never a bare number outside a formula. Degrees are true, clockwise from north.

use std::f64::consts::TAU;

/// Wraps degrees to [-180, 180).
pub fn wrap180(deg: f64) -> f64 {
    (deg + 180.0).rem_euclid(360.0) - 180.0
}

/// Wraps degrees to [0, 360).
pub fn wrap360(deg: f64) -> f64 {
    let wrapped = deg.rem_euclid(360.0);
    // rem_euclid of a tiny negative number rounds up to 360 itself
    if wrapped >= 360.0 { 0.0 } else { wrapped }
}

/// The direction wind or waves come FROM.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DirectionFrom(f64);

/// The direction waves travel TOWARDS, or a course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DirectionTo(f64);

impl DirectionFrom {
    /// From degrees true; any turn is wrapped to [0, 360).
    pub fn from_deg(deg: f64) -> Self {
        Self(wrap360(deg))
    }

    /// From a vector's eastward and northward components, as of the wind (the vector points TOWARDS).
    pub fn from_components(eastward: f64, northward: f64) -> Self {
        Self::from_deg((-eastward).atan2(-northward).to_degrees())
    }

    /// Degrees true in [0, 360).
    pub fn deg(self) -> f64 {
        self.0
    }

    /// The angle of this direction off another, in degrees within [-180, 180); positive clockwise.
    pub fn off_deg(self, reference: DirectionFrom) -> f64 {
        wrap180(self.0 - reference.0)
    }
}

impl DirectionTo {
    /// From degrees true; any turn is wrapped to [0, 360).
    pub fn from_deg(deg: f64) -> Self {
        Self(wrap360(deg))
    }

    /// Degrees true in [0, 360).
    pub fn deg(self) -> f64 {
        self.0
    }

    /// The opposite sense of the same direction.
    pub fn from(self) -> DirectionFrom {
        DirectionFrom(wrap360(self.0 + 180.0))
    }
}

/// The wave angle mu in radians within [0, pi]: 0 following, pi/2 beam, pi head.
///
/// `off_wind_deg` is the direction the waves come from less the direction the wind comes from;
/// `twa_deg` is signed. Neither wind nor heading enters alone, so a tally in the wind's frame suffices.
pub fn wave_angle_rad(off_wind_deg: f64, twa_deg: f64) -> f64 {
    wrap180(off_wind_deg + 180.0 + twa_deg).abs().to_radians()
}

/// The wrapped difference of two angles in radians, within [-pi, pi).
pub fn wrap_pi(rad: f64) -> f64 {
    (rad + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn wraps_at_the_seams() {
        assert_eq!(wrap180(180.0), -180.0);
        assert_eq!(wrap180(540.0), -180.0);
        assert_eq!(wrap180(-190.0), 170.0);
        assert_eq!(wrap360(-1e-20), 0.0);
        assert_eq!(wrap360(725.0), 5.0);
    }

    #[test]
    fn wind_components_give_where_it_comes_from() {
        assert_relative_eq!(DirectionFrom::from_components(0.0, -5.0).deg(), 0.0);
        assert_relative_eq!(DirectionFrom::from_components(-5.0, 0.0).deg(), 90.0);
        assert_relative_eq!(DirectionFrom::from_components(3.0, 3.0).deg(), 225.0);
    }

    /// By hand: wind from 000, starboard tack at 90 heads 270; a swell from 270 is met head on,
    /// and on port tack (heading 090) it follows.
    #[test]
    fn the_two_tacks_meet_one_swell_at_different_angles() {
        let wind = DirectionFrom::from_deg(0.0);
        let off = DirectionFrom::from_deg(270.0).off_deg(wind);
        assert_relative_eq!(wave_angle_rad(off, 90.0).to_degrees(), 180.0);
        assert_relative_eq!(wave_angle_rad(off, -90.0).to_degrees(), 0.0);
        assert_relative_eq!(wave_angle_rad(0.0, 0.0).to_degrees(), 180.0);
        assert_relative_eq!(wave_angle_rad(0.0, 180.0).to_degrees(), 0.0);
    }
}
