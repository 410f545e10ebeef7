//! The way a boat makes along a course: straight, or by beating or gybing.
//!
//! # Rule
//! She sails straight along the course, or on both tacks in turn at two of the polar's own angles, one on each tack and
//! both on the same side of the beam, in the shares that cancel out across the course; whichever makes more way along
//! it. So she beats where the polar has no angle as close to the wind as the course, and also where beating pays; the
//! same downwind. Every pair of angles is tried, so tacks that differ may take different angles and shares. Tacks and
//! gybes themselves cost nothing.
//!
//! With speeds v on headings that lie an angle d off the course, way along is v cos d and way across v sin d; tack a
//! takes the share -across_b / (across_a - across_b) of the time.

use crate::polar::{Lookup, Outside, Polar};
use serde::Serialize;

/// Below this she makes no way, kn. Common practice, no source: a nautical mile would take 20 hours.
pub const LEAST_KN: f64 = 0.05;

/// How a course is sailed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Manner {
    /// On the course itself.
    Straight,
    /// On both tacks, close to the wind.
    Beating,
    /// On both tacks, before the wind.
    Gybing,
}

/// The way made along a course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MadeGood {
    /// Speed along the course, kn, at least [`LEAST_KN`].
    Way {
        /// Speed along the course, kn.
        speed_kn: f64,
        /// How it is made.
        manner: Manner,
    },
    /// The wind speed lies outside the polar; nothing is extrapolated.
    OutsideTws,
    /// She makes no way along the course.
    NoWay,
}

/// Speed along a course on a polar; `course_twa_deg` is the signed true wind angle of sailing straight along it, + with
/// the wind over the starboard side.
pub fn made_good(polar: &Polar, tws_kn: f64, course_twa_deg: f64) -> MadeGood {
    let straight = match polar.speed_kn(tws_kn, course_twa_deg) {
        Lookup::Inside(speed_kn) => speed_kn,
        Lookup::Outside(Outside::Twa) => 0.0,
        Lookup::Outside(Outside::Tws | Outside::Both) => return MadeGood::OutsideTws,
    };
    let tack = |side: f64| own_headings(polar, tws_kn, course_twa_deg, side);
    let (starboard, port) = (tack(1.0), tack(-1.0));
    // together two headings make no more way than the better of them makes alone
    let fast = |heading: &&TackHeading| heading.along_kn > straight;
    let pairs = starboard.iter().flat_map(|a| port.iter().map(move |b| (a, b)));
    let best = pairs
        .filter(|(a, b)| fast(a) || fast(b))
        .filter_map(|(a, b)| Some((a.together_kn(b)?, a.manner)))
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .filter(|(speed_kn, _)| *speed_kn > straight);
    let (speed_kn, manner) = best.unwrap_or((straight, Manner::Straight));
    if speed_kn < LEAST_KN { MadeGood::NoWay } else { MadeGood::Way { speed_kn, manner } }
}

/// A heading at one of a polar's angles.
#[derive(Debug, Clone, Copy)]
struct TackHeading {
    along_kn: f64,
    across_kn: f64,
    manner: Manner,
}

impl TackHeading {
    /// Speed along the course by turns with a heading of the other tack; none where the two can't cancel out across it.
    fn together_kn(&self, other: &Self) -> Option<f64> {
        if self.manner != other.manner || self.across_kn * other.across_kn >= 0.0 {
            return None;
        }
        let share = -other.across_kn / (self.across_kn - other.across_kn);
        Some(share * self.along_kn + (1.0 - share) * other.along_kn)
    }
}

/// The headings at a polar's own angles on one tack; `side` is 1 on starboard tack, -1 on port tack.
fn own_headings(polar: &Polar, tws_kn: f64, course_twa_deg: f64, side: f64) -> Vec<TackHeading> {
    let own = match polar.tacks() {
        crate::polar::Tacks::Symmetric => 1.0,
        crate::polar::Tacks::Signed => side,
    };
    let of_tack = polar.twa_deg().iter().map(|twa| twa * own).filter(|twa| *twa > 0.0);
    of_tack
        .filter_map(|twa| match polar.speed_kn(tws_kn, side * twa) {
            Lookup::Inside(speed_kn) => Some((side * twa, speed_kn)),
            Lookup::Outside(_) => None,
        })
        .map(|(twa_deg, speed_kn)| {
            let (sin, cos) = (course_twa_deg - twa_deg).to_radians().sin_cos();
            let manner = if twa_deg.abs() <= 90.0 { Manner::Beating } else { Manner::Gybing };
            TackHeading { along_kn: speed_kn * cos, across_kn: speed_kn * sin, manner }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn way(polar: &Polar, tws_kn: f64, twa_deg: f64) -> (f64, Manner) {
        match made_good(polar, tws_kn, twa_deg) {
            MadeGood::Way { speed_kn, manner } => (speed_kn, manner),
            other => panic!("{other:?}"),
        }
    }

    fn symmetric() -> Polar {
        Polar::new(vec![10.0, 20.0], vec![45.0, 90.0, 150.0], vec![6.0, 6.0, 8.0, 8.0, 7.0, 7.0]).unwrap()
    }

    /// By hand: 6 kn at 45 make 6 cos 45 = 4.2426 kn to windward, 7 kn at 150 make 7 cos 30 = 6.0622 kn to leeward.
    #[test]
    fn beats_and_gybes_by_hand() {
        let (speed, manner) = way(&symmetric(), 15.0, 0.0);
        assert_relative_eq!(speed, 4.242_640_687, max_relative = 1e-9);
        assert_eq!(manner, Manner::Beating);
        for twa in [180.0, -180.0] {
            let (speed, manner) = way(&symmetric(), 15.0, twa);
            assert_relative_eq!(speed, 6.062_177_826, max_relative = 1e-9);
            assert_eq!(manner, Manner::Gybing);
        }
    }

    /// By hand: a course 15 degrees off the wind axis, between tacks of 6 kn at 45 on both sides: the line between
    /// their ends lies 6 cos 45 from the origin, and is met at 15 degrees after 6 cos 45 / cos 15 = 4.3923 kn.
    #[test]
    fn a_beat_to_one_side_of_the_wind() {
        assert_relative_eq!(way(&symmetric(), 10.0, 15.0).0, 4.392_304_845, max_relative = 1e-9);
        assert_relative_eq!(way(&symmetric(), 10.0, -15.0).0, 4.392_304_845, max_relative = 1e-9);
    }

    /// By hand: 6 kn on starboard tack and 5 kn on port tack, both at 45: shares 5/11 and 6/11 cancel out across, and
    /// (5 x 6 + 6 x 5) / 11 x cos 45 = 3.8569 kn remain.
    #[test]
    fn tacks_that_differ_take_different_shares() {
        let twa = vec![-90.0, -45.0, 45.0, 90.0];
        let polar = Polar::new(vec![10.0, 20.0], twa, vec![7.0, 7.0, 5.0, 5.0, 6.0, 6.0, 7.0, 7.0]).unwrap();
        let (speed, manner) = way(&polar, 10.0, 0.0);
        assert_relative_eq!(speed, 3.856_946_079, max_relative = 1e-9);
        assert_eq!(manner, Manner::Beating);
    }

    /// By hand: 4 kn at 30 make 3.4641 kn to windward, 6 kn at 45 make 4.2426, so a course at 30 is beaten: the line
    /// between the ends of the tacks at 45 is met at 30 degrees after 4.2426 / cos 30 = 4.8990 kn, more than 4.
    #[test]
    fn beats_where_it_pays() {
        let polar = Polar::new(vec![10.0, 20.0], vec![30.0, 45.0], vec![4.0, 4.0, 6.0, 6.0]).unwrap();
        let (speed, manner) = way(&polar, 10.0, 30.0);
        assert_relative_eq!(speed, 4.898_979_486, max_relative = 1e-9);
        assert_eq!(manner, Manner::Beating);
    }

    #[test]
    fn reaching_is_straight_and_nothing_is_extrapolated() {
        assert_eq!(way(&symmetric(), 10.0, 90.0), (8.0, Manner::Straight));
        assert_eq!(made_good(&symmetric(), 9.9, 90.0), MadeGood::OutsideTws);
        let still = Polar::new(vec![10.0, 20.0], vec![45.0, 90.0], vec![0.0; 4]).unwrap();
        assert_eq!(made_good(&still, 10.0, 60.0), MadeGood::NoWay);
        assert_eq!(made_good(&still, 10.0, 170.0), MadeGood::NoWay);
    }
}
