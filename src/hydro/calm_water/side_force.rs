//! What carrying side force costs: induced drag of hull and keel, and the extra waves of a heeled hull.
//!
//! Source of both fits: Keuning & Sonnenberg (1998), Approximation of the hydrodynamic forces on a sailing yacht
//! based on the Delft Systematic Yacht Hull Series, 15th HISWA Symposium. Their coefficients here are from memory.

use crate::base::units::RHO_WATER;
use crate::hydro::calm_water::form::HullForm;
use crate::maths::monotone_cubic;

/// Keel of a monohull as the effective draught sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Keel {
    /// Draught of hull and keel together.
    pub total_draught_m: f64,
    /// Tip chord over root chord.
    pub taper_ratio: f64,
}

/// Induced resistance in N of a side force on an underwater body of effective draught Te, at a positive speed:
/// R_i = side²/(0.5 rho V² pi Te²) (lifting line with the free surface as a mirror plane). It grows without
/// bound as the speed falls to zero: no side force is carried at rest.
pub fn induced_resistance_n(side_n: f64, speed_m_s: f64, effective_draught_m: f64) -> f64 {
    let pressure = 0.5 * RHO_WATER * speed_m_s * speed_m_s;
    side_n * side_n / (pressure * std::f64::consts::PI * effective_draught_m * effective_draught_m)
}

const HEEL_DEG: [f64; 4] = [0.0, 10.0, 20.0, 30.0];
/// A1 to A4, B0, B1 at the heel angles.
const DRAUGHT: [[f64; 6]; 4] = [
    [3.7455, -3.6246, 0.0589, -0.0296, 1.2306, -0.7256],
    [4.4892, -4.8454, 0.0294, -0.0176, 1.4231, -1.2971],
    [3.9592, -3.9804, 0.0283, -0.0075, 1.5450, -1.5622],
    [3.4891, -2.9577, 0.0250, -0.0272, 1.4744, -1.3499],
];

/// Effective draught in m of hull with keel,
/// Te/T = (A1 Tc/T + A2 (Tc/T)² + A3 B/Tc + A4 TR)(B0 + B1 Fn), monotone between the fitted heel angles.
///
/// `None` outside heel 0 to 30 degrees or above Fn 0.6, beyond the tests behind the fit.
pub fn effective_draught_m(form: &HullForm, keel: &Keel, heel_rad: f64, froude: f64) -> Option<f64> {
    let heel_deg = heel_rad.to_degrees();
    if !(0.0..=30.0).contains(&heel_deg) || !(0.0..=0.6).contains(&froude) {
        return None;
    }
    let share = form.draught_m / keel.total_draught_m;
    let at = |node: usize| {
        let [a1, a2, a3, a4, b0, b1] = DRAUGHT[node];
        let shape =
            a1 * share + a2 * share * share + a3 * form.bwl_m / form.draught_m + a4 * keel.taper_ratio;
        keel.total_draught_m * shape * (b0 + b1 * froude)
    };
    Some(monotone_cubic::interpolate(&HEEL_DEG, at, heel_deg))
}

const HEEL_FROUDE: [f64; 7] = [0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.55];
/// u0 to u5 times 1000 at 20 degrees of heel.
const HEELED: [[f64; 6]; 7] = [
    [-0.0268, -0.0014, -0.0057, 0.0016, -0.0070, -0.0017],
    [0.6628, -0.0632, -0.0699, 0.0069, 0.0459, -0.0004],
    [1.6433, -0.2144, -0.1640, 0.0199, -0.0540, -0.0268],
    [-0.8659, -0.0354, 0.2226, 0.0188, -0.5800, -0.1133],
    [-3.2715, 0.1372, 0.5547, 0.0268, -1.0064, -0.2026],
    [-0.1976, -0.1480, -0.6593, 0.1862, -0.7489, -0.1648],
    [1.5873, -0.3749, -0.7105, 0.2146, -0.4818, -0.1174],
];

/// Change of residuary resistance per displacement weight with heel:
/// dRr/W at 20 degrees = u0 + u1 L/B + u2 B/Tc + u3 (B/Tc)² + u4 LCB + u5 LCB², LCB in per cent of Lwl forward
/// of its middle; times 6.0 heel^1.7 (heel in radians) at other angles.
///
/// `None` outside Fn 0.25 to 0.55 or heel 0 to 30 degrees.
pub fn heel_residuary_per_weight(form: &HullForm, heel_rad: f64, froude: f64) -> Option<f64> {
    if !(0.25..=0.55).contains(&froude) || !(0.0..=30.0).contains(&heel_rad.to_degrees()) {
        return None;
    }
    let (beam_draught, lcb) = (form.bwl_m / form.draught_m, 100.0 * (0.5 - form.lcb_from_fwd_m / form.lwl_m));
    let at = |node: usize| {
        let [u0, u1, u2, u3, u4, u5] = HEELED[node];
        u0 + u1 * form.lwl_m / form.bwl_m
            + u2 * beam_draught
            + u3 * beam_draught * beam_draught
            + u4 * lcb
            + u5 * lcb * lcb
    };
    let at_20_deg = monotone_cubic::interpolate(&HEEL_FROUDE, at, froude) / 1000.0;
    Some(at_20_deg * 6.0 * heel_rad.powf(1.7))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydro::calm_water::form::samples;
    use approx::assert_relative_eq;

    /// By hand: 10 kN at 5 m/s on 2 m: 1e8/(0.5 * 1025 * 25 * pi * 4) = 621.1 N.
    #[test]
    fn induced_drag_by_hand() {
        assert_relative_eq!(induced_resistance_n(10_000.0, 5.0, 2.0), 621.1, max_relative = 1e-4);
    }

    /// By hand, upright, Fn 0.35: Tc/T 0.55/1.9 = 0.28947, B/Tc 5.2727, so
    /// (1.08422 - 0.30373 + 0.31056 - 0.01776)(1.2306 - 0.25396) = 1.04820, times 1.9 m.
    #[test]
    fn effective_draught_by_hand() {
        let keel = Keel { total_draught_m: 1.9, taper_ratio: 0.6 };
        let te = effective_draught_m(&samples::cruiser(), &keel, 0.0, 0.35).unwrap();
        assert_relative_eq!(te, 1.9 * 1.048_20, max_relative = 1e-4);
        let heeled = effective_draught_m(&samples::cruiser(), &keel, 0.35, 0.35).unwrap();
        assert!(heeled < te);
    }

    /// The factor 6.0 heel^1.7 is 1 at 20 degrees (0.997), so the sum itself comes out; by hand for the cruiser
    /// at Fn 0.45: -3.2715 + 0.4211 + 2.9248 + 0.7451 + 3.5224 - 2.4819 = 1.8600, per mille.
    #[test]
    fn heel_resistance_by_hand() {
        let heel = 20f64.to_radians();
        let found = heel_residuary_per_weight(&samples::cruiser(), heel, 0.45).unwrap();
        assert_relative_eq!(found, 1.8600e-3 * 6.0 * heel.powf(1.7), max_relative = 1e-3);
        assert_relative_eq!(6.0 * heel.powf(1.7), 1.0, epsilon = 5e-3);
    }

    #[test]
    fn outside_the_fits_is_none() {
        let keel = Keel { total_draught_m: 1.9, taper_ratio: 0.6 };
        assert_eq!(effective_draught_m(&samples::cruiser(), &keel, 0.6, 0.3), None);
        assert_eq!(heel_residuary_per_weight(&samples::cruiser(), 0.3, 0.56), None);
    }
}
