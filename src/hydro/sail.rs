//! Sail forces: how thrust changes with boat speed at fixed true wind, under the boat's heel limit.
//!
//! SailCoefficients: Hazen (1980), A model of sail aerodynamics for diverse rig types, New England Sailing Yacht
//! Symposium, as reprinted in yacht-design textbooks. Total drag CD = CD_table + CL² (1/(pi AR) + 0.005).
//! Good for the slope of thrust over speed; its level differs from that of a particular rig by tens of per cent.

use std::f64::consts::PI;

use crate::base::units::RHO_AIR;
use crate::hydro::calm_water::side_force::SideDrag;
use crate::maths::monotone_cubic;
use crate::maths::monotone_cubic::CubicPiece;
use crate::maths::root::bracketed_root;
use std::sync::LazyLock;

/// The sails a boat can set, and the side force she can stand up to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SailPlan {
    pub mainsail_m2: f64,
    /// Jib or genoa, set upwind and reaching.
    pub headsail_m2: f64,
    /// Spinnaker or gennaker, set instead of the headsail where it drives more.
    pub downwind_m2: Option<f64>,
    /// Effective aspect ratio of the rig in the induced drag, hull's mirror effect included.
    pub effective_aspect: f64,
    pub heel_limit: HeelLimit,
}

/// What keeps the boat from being overpowered: the righting moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeelLimit {
    /// The greatest righting moment, N m.
    pub max_nm: f64,
    /// Arm of the side force above the centre of lateral resistance, m.
    pub arm_m: f64,
}

/// How the sails are carried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SailTrim {
    /// All sail, trimmed for full lift.
    Full,
    /// Less than that, for the heel limit or for what side force costs: lift coefficient times `flattening`, area
    /// times `reef`, both up to 1.
    Eased { flattening: f64, reef: f64 },
}

/// Apparent wind and sail force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SailForce {
    /// Along the course, positive forward.
    pub drive_n: f64,
    /// Across the course, positive to leeward.
    pub side_n: f64,
    pub trim: SailTrim,
    pub awa_rad: f64,
    pub aws_m_s: f64,
}

impl HeelLimit {
    /// The greatest side force in N.
    pub fn max_side_n(self) -> f64 {
        self.max_nm / self.arm_m
    }
}

/// Apparent wind speed in m/s and angle off the bow in [0, pi], for a true wind angle in [0, pi] and no leeway.
pub fn apparent_wind(tws_m_s: f64, twa_rad: f64, boat_speed_m_s: f64) -> (f64, f64) {
    let (ahead, across) = (tws_m_s * twa_rad.cos() + boat_speed_m_s, tws_m_s * twa_rad.sin());
    (ahead.hypot(across), across.atan2(ahead))
}

/// The sail force at a true wind and boat speed, with whichever of main and headsail or main and downwind sail
/// leaves more thrust. `twa_rad` is in [0, pi], without the sign of the tack.
///
/// The crew flattens (lift times f, in (0, 1]) and reefs (area times r, in [0, 1]) for the most thrust less what the
/// side force costs in the water, within the heel limit. Without that cost this is the most drive that the limit
/// allows; with it she eases before she is dragged to a stop by a side force that no crew would hold. Close to the
/// wind there may be no drive to be had; then no sail is set.
pub fn thrust(
    plan: &SailPlan,
    tws_m_s: f64,
    twa_rad: f64,
    boat_speed_m_s: f64,
    cost: &SideDrag,
) -> SailForce {
    let (aws_m_s, awa_rad) = apparent_wind(tws_m_s, twa_rad, boat_speed_m_s);
    let carry = |sails: [(f64, &SailCoefficients); 2]| {
        let set = SailSet::new(sails, plan.effective_aspect, aws_m_s, awa_rad);
        let (drive_n, side_n, trim) = set.trimmed(plan.heel_limit.max_side_n(), cost);
        SailForce { drive_n, side_n, trim, awa_rad, aws_m_s }
    };
    let net = |force: &SailForce| force.drive_n - cost.at(force.side_n);
    let upwind = carry([(plan.mainsail_m2, &MAINSAIL), (plan.headsail_m2, &HEADSAIL)]);
    let downwind =
        plan.downwind_m2.map(|area_m2| carry([(plan.mainsail_m2, &MAINSAIL), (area_m2, &DOWNWIND)]));
    downwind.filter(|downwind| net(downwind) > net(&upwind)).unwrap_or(upwind)
}

/// Apparent wind angles of the tables, degrees. Hazen gives 27 to 180; main and jib go on to head to wind as in
/// the reprint (CL 1.0 at 10), the downwind sail is not set there.
const AWA_DEG: [f64; 7] = [0.0, 10.0, 27.0, 50.0, 80.0, 100.0, 180.0];
/// Viscous drag that grows with lift, Hazen's separation term.
const SEPARATION: f64 = 0.005;

/// SailCoefficients of a sail between the angles of the table, monotone cubic.
struct SailCoefficients {
    lift: [CubicPiece; AWA_DEG.len() - 1],
    drag: [CubicPiece; AWA_DEG.len() - 1],
}

impl SailCoefficients {
    fn new(lift: [f64; AWA_DEG.len()], drag: [f64; AWA_DEG.len()]) -> Self {
        let pieces = |table: [f64; AWA_DEG.len()]| {
            std::array::from_fn(|left| monotone_cubic::piece(&AWA_DEG, |i| table[i], left))
        };
        Self { lift: pieces(lift), drag: pieces(drag) }
    }
}

static MAINSAIL: LazyLock<SailCoefficients> = LazyLock::new(|| {
    SailCoefficients::new([0.0, 1.0, 1.5, 1.5, 0.95, 0.85, 0.0], [0.02, 0.02, 0.02, 0.15, 0.8, 1.0, 0.9])
});
static HEADSAIL: LazyLock<SailCoefficients> = LazyLock::new(|| {
    SailCoefficients::new([0.0, 1.0, 1.5, 0.5, 0.3, 0.0, 0.0], [0.02, 0.02, 0.02, 0.25, 0.15, 0.0, 0.0])
});
static DOWNWIND: LazyLock<SailCoefficients> = LazyLock::new(|| {
    SailCoefficients::new([0.0, 0.0, 0.0, 1.5, 1.0, 0.85, 0.0], [0.0, 0.0, 0.0, 0.25, 0.9, 1.2, 0.66])
});

/// Lift, table drag and induced drag of a set of sails at full lift, in N, and the apparent wind's direction.
struct SailSet {
    lift_n: f64,
    drag_n: f64,
    induced_n: f64,
    sin_awa: f64,
    cos_awa: f64,
}

impl SailSet {
    fn new(sails: [(f64, &SailCoefficients); 2], aspect: f64, aws_m_s: f64, awa_rad: f64) -> Self {
        let (sin_awa, cos_awa) = awa_rad.sin_cos();
        let awa_deg = awa_rad.to_degrees().clamp(AWA_DEG[0], AWA_DEG[6]);
        let piece = monotone_cubic::piece_of(&AWA_DEG, awa_deg);
        let sum = |force: &dyn Fn(&SailCoefficients) -> f64| -> f64 {
            sails.iter().filter(|(area, _)| *area > 0.0).map(|(area, sail)| area * force(sail)).sum()
        };
        let (area, lift, drag) = (
            sum(&|_| 1.0),
            sum(&|sail| sail.lift[piece].at(awa_deg)),
            sum(&|sail| sail.drag[piece].at(awa_deg)),
        );
        let induced = if area > 0.0 { lift * lift / area * (1.0 / (PI * aspect) + SEPARATION) } else { 0.0 };
        let pressure = 0.5 * RHO_AIR * aws_m_s * aws_m_s;
        let [lift_n, drag_n, induced_n] = [lift, drag, induced].map(|per_pressure| per_pressure * pressure);
        Self { lift_n, drag_n, induced_n, sin_awa, cos_awa }
    }

    fn drive_and_side(&self, flattening: f64) -> (f64, f64) {
        let lift = flattening * self.lift_n;
        let drag = self.drag_n + flattening * flattening * self.induced_n;
        (lift * self.sin_awa - drag * self.cos_awa, lift * self.cos_awa + drag * self.sin_awa)
    }

    /// Drive, side force and trim that leave most thrust under a greatest side force.
    ///
    /// Drive over side force is best at the flattening of least drag over lift. Up to the side force there she reefs; from
    /// there she lets the sails fill until another newton of side force costs what it brings.
    fn trimmed(&self, max_side_n: f64, cost: &SideDrag) -> (f64, f64, SailTrim) {
        let best = if self.cos_awa > 0.0 { (self.drag_n / self.induced_n).sqrt().min(1.0) } else { 1.0 };
        let (drive_n, side_n) = self.drive_and_side(best);
        if side_n > max_side_n || drive_n < side_n * cost.slope(side_n) {
            return self.reefed(best, max_side_n, cost);
        }
        let most = self.flattening_for(max_side_n).map_or(1.0, |most| most.max(best));
        let flattening = if self.gain(most, cost) >= 0.0 {
            most
        } else {
            bracketed_root(|f| self.gain(f, cost), best, most, TRIM_STEP).unwrap_or(best)
        };
        let (drive_n, side_n) = self.drive_and_side(flattening);
        let trim = if flattening < 1.0 { SailTrim::Eased { flattening, reef: 1.0 } } else { SailTrim::Full };
        (drive_n, side_n, trim)
    }

    /// As much of the sails as leaves most thrust at a flattening.
    fn reefed(&self, flattening: f64, max_side_n: f64, cost: &SideDrag) -> (f64, f64, SailTrim) {
        let (drive_n, side_n) = self.drive_and_side(flattening);
        let most = (max_side_n / side_n).min(1.0);
        let gain = |reef: f64| drive_n - side_n * cost.slope(reef * side_n);
        let reef = if drive_n <= 0.0 {
            0.0
        } else if gain(most) >= 0.0 {
            most
        } else {
            bracketed_root(gain, 0.0, most, TRIM_STEP).unwrap_or(0.0)
        };
        (reef * drive_n, reef * side_n, SailTrim::Eased { flattening, reef })
    }

    /// What fuller sails bring in thrust, per part of lift.
    fn gain(&self, flattening: f64, cost: &SideDrag) -> f64 {
        let fuller_drag = 2.0 * flattening * self.induced_n;
        let drive = self.lift_n * self.sin_awa - fuller_drag * self.cos_awa;
        let side = self.lift_n * self.cos_awa + fuller_drag * self.sin_awa;
        drive - side * cost.slope(self.drive_and_side(flattening).1)
    }

    /// The flattening below 1 that brings the side force down to a value: the positive root of
    /// (induced sin) f² + (lift cos) f + drag sin - side = 0.
    fn flattening_for(&self, side_n: f64) -> Option<f64> {
        let (a, b) = (self.induced_n * self.sin_awa, self.lift_n * self.cos_awa);
        let c = self.drag_n * self.sin_awa - side_n;
        let discriminant = b * b - 4.0 * a * c;
        if c >= 0.0 || discriminant < 0.0 {
            return None;
        }
        // this form of the root holds for a = 0 too
        let flattening = -2.0 * c / (b + discriminant.sqrt());
        (flattening > 0.0 && flattening <= 1.0).then_some(flattening)
    }
}

/// To what part a trim is found: thrust is flat there, so that its own error is far smaller.
const TRIM_STEP: f64 = 1e-7;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::{KN, kn_to_m_s};
    use approx::assert_relative_eq;

    const UNLIMITED: HeelLimit = HeelLimit { max_nm: f64::INFINITY, arm_m: 1.0 };

    fn plan(mainsail_m2: f64, headsail_m2: f64, heel_limit: HeelLimit) -> SailPlan {
        SailPlan { mainsail_m2, headsail_m2, downwind_m2: None, effective_aspect: 4.0, heel_limit }
    }

    fn at(plan: &SailPlan, tws_kn: f64, twa_deg: f64, boat_kn: f64) -> SailForce {
        thrust(plan, kn_to_m_s(tws_kn), twa_deg.to_radians(), kn_to_m_s(boat_kn), &SideDrag::NONE)
    }

    /// d ln drive / d ln V.
    fn slope(plan: &SailPlan, tws_kn: f64, twa_deg: f64, boat_kn: f64) -> f64 {
        let [low, high] = [-0.01, 0.01].map(|step| at(plan, tws_kn, twa_deg, boat_kn + step).drive_n.ln());
        (high - low) / ((boat_kn + 0.01).ln() - (boat_kn - 0.01).ln())
    }

    /// Vector addition by hand.
    #[test]
    fn apparent_wind_by_hand() {
        for (tws, twa, boat, aws, awa) in [
            (12.0, 90.0, 10.0, 15.6205, 50.1944),
            (20.0, 60.0, 12.0, 28.0, 38.2132),
            (16.0, 135.0, 14.0, 11.6282, 76.6432),
            (10.0, 45.0, 7.0, 15.7479, 26.6807),
        ] {
            let (found_aws, found_awa) = apparent_wind(tws * KN, f64::to_radians(twa), boat * KN);
            assert_relative_eq!(found_aws / KN, aws, max_relative = 1e-5);
            assert_relative_eq!(found_awa.to_degrees(), awa, max_relative = 1e-5);
        }
    }

    /// TWS, TWA, boat speed (kn, deg, kn), drive and side (N), d ln drive/d ln V.
    type Case = (f64, f64, f64, f64, f64, f64);

    fn check(plan: &SailPlan, cases: &[Case]) {
        for &(tws, twa, boat, drive_n, side_n, expected_slope) in cases {
            let found = at(plan, tws, twa, boat);
            assert_relative_eq!(found.drive_n, drive_n, max_relative = 1e-6);
            assert_relative_eq!(found.side_n, side_n, max_relative = 1e-6);
            assert_relative_eq!(slope(plan, tws, twa, boat), expected_slope, epsilon = 2e-3);
        }
    }

    /// Same tables and wind in scipy 1.17.1, tests/reference/calm_water.py.
    #[test]
    fn full_power_equals_scipy() {
        check(
            &plan(160.0, 120.0, UNLIMITED),
            &[
                (20.0, 45.0, 9.5, 19694.6388, 47233.1628, 0.3212),
                (20.0, 60.0, 12.5, 22856.6700, 43575.8132, 0.6569),
                (20.0, 90.0, 18.0, 20416.3245, 30807.4341, 0.7070),
                (12.0, 45.0, 8.0, 7792.4853, 22309.4475, 0.2145),
                (20.0, 120.0, 10.0, 7716.0103, 8000.8984, 0.0391),
                (20.0, 150.0, 10.0, 4476.2697, 1742.8754, -0.9446),
            ],
        );
    }

    /// There the best mix of flattening and reefing is searched by brute force.
    #[test]
    fn heel_limited_drive_is_the_most_the_limit_allows() {
        check(
            &plan(120.0, 80.0, HeelLimit { max_nm: 140_000.0, arm_m: 10.0 }),
            &[
                (20.0, 45.0, 9.5, 6564.5453, 14_000.0, -0.2479),
                (20.0, 60.0, 12.5, 7501.2083, 14_000.0, -0.2953),
                (20.0, 90.0, 18.0, 9365.8449, 14_000.0, -0.6716),
                (12.0, 45.0, 8.0, 5090.9317, 14_000.0, -0.3679),
                (20.0, 120.0, 10.0, 5725.5803, 5977.6783, -0.0147),
            ],
        );
    }

    /// Every flattening and reef on a fine grid, with what a hull of 1.8 m effective draught and the heel of a 10 m boat
    /// take: none leaves more thrust, and the best of them hardly less.
    #[test]
    fn no_other_trim_leaves_more_thrust() {
        let limit = HeelLimit { max_nm: 24_000.0, arm_m: 6.6 };
        for (sails, twa, tws, boat) in [
            (plan(32.0, 30.0, limit), 40.0, 20.0, 3.0),
            (plan(32.0, 30.0, limit), 40.0, 20.0, 6.0),
            (plan(32.0, 30.0, limit), 60.0, 25.0, 1.0),
            (plan(32.0, 30.0, limit), 90.0, 30.0, 7.0),
            (plan(32.0, 30.0, limit), 130.0, 30.0, 8.0),
            (plan(12.0, 10.0, limit), 50.0, 10.0, 0.5),
        ] {
            let speed: f64 = boat * KN;
            let induced_per_n = 1.0 / (0.5 * 1025.0 * speed * speed * PI * 1.8 * 1.8);
            let cost = SideDrag { induced_per_n, heel_n: 110.0, max_side_n: limit.max_side_n() };
            let found = thrust(&sails, tws * KN, f64::to_radians(twa), speed, &cost);
            let net = found.drive_n - cost.at(found.side_n);
            let (aws, awa) = apparent_wind(tws * KN, f64::to_radians(twa), speed);
            let set = SailSet::new(
                [(sails.mainsail_m2, &MAINSAIL), (sails.headsail_m2, &HEADSAIL)],
                sails.effective_aspect,
                aws,
                awa,
            );
            let part = |i: i32| f64::from(i) / 400.0;
            let trims = (1..=400).flat_map(|f| (0..=400).map(move |r| (part(f), part(r))));
            let best = trims
                .filter_map(|(flattening, reef)| {
                    let (drive, side) = set.drive_and_side(flattening);
                    (reef * side <= limit.max_side_n()).then(|| reef * drive - cost.at(reef * side))
                })
                .fold(0.0, f64::max);
            assert!(net >= best - 1e-9 * best, "TWA {twa}: {net} N, {best} N by brute force");
            assert_relative_eq!(net, best, max_relative = 2e-3, epsilon = 0.5);
        }
    }

    /// Another published coefficient set gives, for 160 + 120 m² at 10 kn in 20 kn of wind, slopes of +0.25, +0.22,
    /// +0.31 and +0.09 at TWA 45, 60, 90 and 120, and -1.0 at 150: thrust gains a little with speed on a reach and
    /// falls in proportion on a run. Sets differ by up to 0.4 on a reach.
    #[test]
    fn thrust_slopes_follow_another_coefficient_set() {
        let plan = plan(160.0, 120.0, UNLIMITED);
        let expected =
            [(45.0, 0.25, 0.4), (60.0, 0.22, 0.4), (90.0, 0.31, 0.4), (120.0, 0.09, 0.1), (150.0, -1.0, 0.1)];
        for (twa, expected, tolerance) in expected {
            let found = slope(&plan, 20.0, twa, 10.0);
            assert!((found - expected).abs() < tolerance, "TWA {twa}: {found}");
            assert_eq!(found > 0.0, expected > 0.0, "TWA {twa}: {found}");
        }
    }

    #[test]
    fn downwind_sail_is_set_where_it_drives_more() {
        let both = SailPlan { downwind_m2: Some(250.0), ..plan(160.0, 120.0, UNLIMITED) };
        let broad = at(&both, 20.0, 120.0, 10.0);
        assert_relative_eq!(broad.drive_n, 18176.2538, max_relative = 1e-6);
        assert_relative_eq!(broad.side_n, 21961.6892, max_relative = 1e-6);
        assert_eq!(at(&both, 20.0, 45.0, 8.0), at(&plan(160.0, 120.0, UNLIMITED), 20.0, 45.0, 8.0));
    }

    /// Through the limit's onset, and the passage from flattening to reefing, drive has no step.
    #[test]
    fn drive_is_continuous_through_the_limit() {
        let plan = plan(120.0, 80.0, HeelLimit { max_nm: 14_000.0, arm_m: 1.0 });
        let (mut full, mut flattened, mut reefed) = (0, 0, 0);
        for twa in [40.0, 70.0, 100.0] {
            for i in 0..6000 {
                let tws = 4.0 + f64::from(i) * 0.005;
                let (a, b) = (at(&plan, tws, twa, 8.0), at(&plan, tws + 0.005, twa, 8.0));
                assert!((a.drive_n - b.drive_n).abs() < 0.005 * a.drive_n.abs() + 1.0, "TWS {tws} TWA {twa}");
                assert!(a.side_n <= 14_000.0 * (1.0 + 1e-12));
                match a.trim {
                    SailTrim::Full => full += 1,
                    SailTrim::Eased { reef, .. } if reef > 1.0 - 1e-9 => flattened += 1,
                    SailTrim::Eased { .. } => reefed += 1,
                }
            }
        }
        assert!(full > 0 && flattened > 0 && reefed > 0, "{full} {flattened} {reefed}");
    }

    #[test]
    fn no_wind_and_no_sail_give_finite_forces() {
        assert_eq!(at(&plan(100.0, 60.0, UNLIMITED), 0.0, 90.0, 0.0).drive_n, 0.0);
        assert_eq!(at(&plan(0.0, 0.0, UNLIMITED), 20.0, 90.0, 5.0).drive_n, 0.0);
    }
}
