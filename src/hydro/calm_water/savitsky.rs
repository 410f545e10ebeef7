//! Resistance of a planing hull with its trim in equilibrium.
//!
//! Source: Savitsky (1964), Hydrodynamic design of planing hulls, Marine Technology 1(1); equation numbers are
//! his. Angles inside his formulas are in degrees. Drive and drag are taken as horizontal through the centre
//! of gravity: the rig's pitching moment is left to ballast and crew.

use crate::base::units::{G, NU_WATER, RHO_WATER};
use crate::hydro::calm_water::ittc57::friction_coefficient;
use crate::maths::root::bracketed_root;

/// What the planing equilibrium needs of a hull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaningDims {
    /// Mean chine beam.
    pub beam_m: f64,
    pub deadrise_deg: f64,
    /// Centre of gravity forward of the transom.
    pub lcg_m: f64,
    /// Centre of gravity above the keel.
    pub vcg_m: f64,
}

/// A hull in planing equilibrium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Planing {
    pub trim_deg: f64,
    /// Mean wetted length over beam, lambda.
    pub wetted_length_ratio: f64,
    /// Speed coefficient Cv = V/sqrt(g b).
    pub speed_coefficient: f64,
    /// Friction along the bottom.
    pub friction_n: f64,
    pub resistance_n: f64,
}

/// Trim angles between which an equilibrium is looked for, degrees. Wider than the method's own range so that
/// a caller can tell how far outside it a hull is.
const TRIM_SEARCH_DEG: (f64, f64) = (0.3, 25.0);

impl Planing {
    /// Range of eq. 15: Cv 0.60 to 13, trim 2 to 15 degrees, lambda up to 4.
    pub fn in_range(&self) -> bool {
        (0.60..=13.0).contains(&self.speed_coefficient)
            && (2.0..=15.0).contains(&self.trim_deg)
            && self.wetted_length_ratio <= 4.0
    }
}

/// The trim equilibrium of a hull of `weight_n` borne by planing at a positive speed; `None` if no trim between
/// 0.3 and 25 degrees balances.
pub fn equilibrium(hull: &PlaningDims, weight_n: f64, speed_m_s: f64) -> Option<Planing> {
    let speed_coefficient = speed_m_s / (G * hull.beam_m).sqrt();
    let pressure_n = 0.5 * RHO_WATER * speed_m_s * speed_m_s * hull.beam_m * hull.beam_m;
    let flat_lift = flat_plate_lift(weight_n / pressure_n, hull.deadrise_deg)?;
    let at = |trim_deg| state(hull, weight_n, speed_m_s, speed_coefficient, flat_lift, trim_deg);

    let friction_arm_m = hull.vcg_m - 0.25 * hull.beam_m * hull.deadrise_deg.to_radians().tan();
    let bow_down_nm = |trim_deg: f64| {
        let (planing, centre_m) = at(trim_deg);
        // eq. 35 with thrust horizontal through the centre of gravity (epsilon = -tau, f = 0)
        weight_n * (hull.lcg_m - centre_m) / trim_deg.to_radians().cos() + planing.friction_n * friction_arm_m
    };
    let (low, high) = TRIM_SEARCH_DEG;
    bracketed_root(bow_down_nm, low, high, 1e-7).map(|trim_deg| at(trim_deg).0)
}

/// The hull at a given trim, and its centre of pressure forward of the transom.
fn state(
    hull: &PlaningDims,
    weight_n: f64,
    speed_m_s: f64,
    speed_coefficient: f64,
    flat_lift: f64,
    trim_deg: f64,
) -> (Planing, f64) {
    let lambda = wetted_length_ratio(flat_lift / trim_deg.powf(1.1), speed_coefficient);
    let wetted_length_m = lambda * hull.beam_m;
    let area_m2 = wetted_length_m * hull.beam_m / hull.deadrise_deg.to_radians().cos();
    let c_f = friction_coefficient(speed_m_s * wetted_length_m / NU_WATER);
    let friction_n = 0.5 * RHO_WATER * speed_m_s * speed_m_s * area_m2 * c_f;

    let trim = trim_deg.to_radians();
    // eq. 25, with the bottom's mean velocity taken as V
    let resistance_n = weight_n * trim.tan() + friction_n / trim.cos();
    // eq. 28
    let centre = 0.75 - 1.0 / (5.21 * (speed_coefficient / lambda).powi(2) + 2.39);
    let planing =
        Planing { trim_deg, wetted_length_ratio: lambda, speed_coefficient, friction_n, resistance_n };
    (planing, centre * wetted_length_m)
}

/// Lift coefficient CL0 of the flat plate that equals a deadrise surface's CLb = CL0 - 0.0065 beta CL0^0.60
/// (eq. 16), on the branch that rises with CL0.
fn flat_plate_lift(lift: f64, deadrise_deg: f64) -> Option<f64> {
    let loss = 0.0065 * deadrise_deg;
    let turn = (0.6 * loss).powf(2.5);
    let mut high = 1.0 + lift + loss;
    while high - loss * high.powf(0.6) < lift {
        high *= 2.0;
    }
    bracketed_root(|flat| flat - loss * flat.powf(0.6) - lift, turn, high, 1e-12)
}

/// Lambda of CL0/tau^1.1 = 0.0120 lambda^(1/2) + 0.0055 lambda^(5/2)/Cv² (eq. 15): Newton in lambda^(1/2) from
/// above, which converges since the right side rises and is convex.
fn wetted_length_ratio(lift_per_trim: f64, speed_coefficient: f64) -> f64 {
    let static_part = 0.0055 / (speed_coefficient * speed_coefficient);
    let mut s = (lift_per_trim / 0.0120).min((lift_per_trim / static_part).powf(0.2));
    for _ in 0..50 {
        let excess = 0.0120 * s + static_part * s.powi(5) - lift_per_trim;
        let change = excess / (0.0120 + 5.0 * static_part * s.powi(4));
        s -= change;
        if change.abs() < 1e-12 * s {
            break;
        }
    }
    s * s
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const BEAM_M: f64 = 6.5;

    /// Worked example of Molland, Turnock & Hudson (2011), Table 10.6: 70 t, b 6.5 m, deadrise 20 degrees,
    /// LCG 10 m, 23.15 m/s, all forces through the centre of gravity.
    fn example() -> (PlaningDims, f64, f64) {
        let hull = PlaningDims {
            beam_m: BEAM_M,
            deadrise_deg: 20.0,
            lcg_m: 10.0,
            vcg_m: 0.25 * BEAM_M * 20f64.to_radians().tan(),
        };
        (hull, 70_000.0 * 9.81, 23.15)
    }

    #[test]
    fn printed_lift_coefficients_and_wetted_lengths() {
        let (hull, weight_n, speed) = example();
        let cv = speed / (9.81 * hull.beam_m).sqrt();
        assert_relative_eq!(cv, 2.899, epsilon = 5e-4);
        let lift = weight_n / (0.5 * 1025.0 * speed * speed * hull.beam_m * hull.beam_m);
        assert_relative_eq!(lift, 0.0592, epsilon = 5e-5);
        let flat = flat_plate_lift(lift, hull.deadrise_deg).unwrap();
        assert_relative_eq!(flat, 0.0898, epsilon = 5e-5);
        for (trim, lambda) in [(2.0, 3.8083), (3.0, 2.6310), (3.5, 2.2138), (4.0, 1.8701)] {
            assert_relative_eq!(
                wetted_length_ratio(flat / f64::powf(trim, 1.1), cv),
                lambda,
                max_relative = 1e-3
            );
        }
    }

    /// The printed trim comes from linear interpolation between whole degrees, hence 0.5 %. Printed thrust is
    /// along the keel: W sin tau + D_F.
    #[test]
    fn printed_equilibrium() {
        let (hull, weight_n, speed) = example();
        let found = equilibrium(&hull, weight_n, speed).unwrap();
        assert_relative_eq!(found.trim_deg, 3.31, max_relative = 5e-3);
        assert_relative_eq!(found.wetted_length_ratio * BEAM_M, 15.378, max_relative = 5e-3);
        assert_relative_eq!(found.friction_n, 52_240.0, max_relative = 5e-3);
        let thrust_n = weight_n * found.trim_deg.to_radians().sin() + found.friction_n;
        assert_relative_eq!(thrust_n, 91_890.0, max_relative = 2e-3);
        assert!(found.in_range());
    }

    /// scipy 1.17.1 brentq on the same equations, tests/reference/calm_water.py.
    #[test]
    fn equals_an_independent_solution() {
        let hull = PlaningDims { beam_m: 2.9, deadrise_deg: 12.0, lcg_m: 4.2, vcg_m: 0.7 };
        let found = equilibrium(&hull, 60_000.0, 11.0).unwrap();
        assert_relative_eq!(found.trim_deg, 3.808_655_164, max_relative = 1e-6);
        assert_relative_eq!(found.wetted_length_ratio, 2.509_568_683, max_relative = 1e-6);
        assert_relative_eq!(found.resistance_n, 6_955.257_221, max_relative = 1e-6);
    }

    #[test]
    fn no_equilibrium_is_none() {
        let hull = PlaningDims { beam_m: 2.9, deadrise_deg: 12.0, lcg_m: 40.0, vcg_m: 0.7 };
        assert_eq!(equilibrium(&hull, 60_000.0, 11.0), None);
    }
}
