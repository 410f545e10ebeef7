//! What carrying side force costs: induced drag of hull and keel, and the extra waves of a heeled hull.
//!
//! The effective draught is the boat file's own: the Delft fit for it could not be looked up.

use crate::base::units::G;
use crate::base::units::RHO_WATER;
use crate::hydro::calm_water::form::HullForm;
use crate::maths::monotone_cubic;

/// Induced resistance per side force squared, 1/N, of an underwater body of effective draught Te, at a positive speed:
/// R_i = side²/(0.5 rho V² pi Te²) (lifting line with the free surface as a mirror plane). It grows without
/// bound as the speed falls to zero: no side force is carried at rest.
pub fn induced_per_n(speed_m_s: f64, effective_draught_m: f64) -> f64 {
    let pressure = 0.5 * RHO_WATER * speed_m_s * speed_m_s;
    1.0 / (pressure * std::f64::consts::PI * effective_draught_m * effective_draught_m)
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

/// What a side force costs at one speed: it is leant on in the water, and it heels her.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideDrag {
    /// Induced resistance per side force squared, 1/N.
    pub induced_per_n: f64,
    /// Added resistance of the hull at the greatest side force, N.
    pub heel_n: f64,
    /// The greatest side force, N.
    pub max_side_n: f64,
}

impl SideDrag {
    /// A side force that costs nothing.
    pub const NONE: Self = Self { induced_per_n: 0.0, heel_n: 0.0, max_side_n: f64::INFINITY };

    /// Resistance of a side force, N; heel grows in proportion to it up to the limit.
    pub fn at(&self, side_n: f64) -> f64 {
        self.induced_per_n * side_n * side_n
            + self.heel_n * (side_n / self.max_side_n).max(0.0).powf(HEEL_EXPONENT)
    }

    /// Its rate of change with the side force.
    pub fn slope(&self, side_n: f64) -> f64 {
        2.0 * self.induced_per_n * side_n
            + HEEL_EXPONENT * self.heel_n / self.max_side_n
                * (side_n / self.max_side_n).max(0.0).powf(HEEL_EXPONENT - 1.0)
    }
}

/// Added resistance grows with this power of the heel angle (Keuning & Sonnenberg 1998).
const HEEL_EXPONENT: f64 = 1.7;

/// Added resistance in N of a hull that heels, at a speed and hull-borne share of the weight.
///
/// [`heel_residuary_per_weight`] where it is fitted, never negative. Beyond Fn 0.55 the share of the weight of Fn 0.55
/// stands in, under Fn 0.25 that of Fn 0.25 falling with the speed squared; so does the angle of 30 degrees beyond it.
pub fn heel_resistance_n(form: &HullForm, heel_rad: f64, speed_m_s: f64, borne: f64) -> f64 {
    let froude = speed_m_s / (G * form.lwl_m).sqrt();
    let [first, .., last] = HEEL_FROUDE;
    let slow = (froude / first).min(1.0).powi(2);
    let heel_rad = heel_rad.min(MAX_HEEL_DEG.to_radians());
    let per_weight = heel_residuary_per_weight(form, heel_rad, froude.clamp(first, last)).unwrap_or(0.0);
    slow * per_weight.max(0.0) * borne * RHO_WATER * form.volume_m3 * G
}

/// The greatest heel of the fit, degrees.
const MAX_HEEL_DEG: f64 = 30.0;

/// Change of residuary resistance per displacement weight with heel:
/// dRr/W at 20 degrees = u0 + u1 L/B + u2 B/Tc + u3 (B/Tc)² + u4 LCB + u5 LCB², LCB in per cent of Lwl forward
/// of its middle; times 6.0 heel^1.7 (heel in radians) at other angles.
///
/// `None` outside Fn 0.25 to 0.55 or heel 0 to 30 degrees.
///
/// Keuning & Sonnenberg (1998), Approximation of the hydrodynamic forces on a sailing yacht based on the Delft
/// Systematic Yacht Hull Series, 15th HISWA Symposium; coefficients from memory, equal to those of a public library
/// of hull resistances that cites it.
pub fn heel_residuary_per_weight(form: &HullForm, heel_rad: f64, froude: f64) -> Option<f64> {
    if !(0.25..=0.55).contains(&froude) || !(0.0..=MAX_HEEL_DEG + 1e-9).contains(&heel_rad.to_degrees()) {
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
    Some(at_20_deg * 6.0 * heel_rad.powf(HEEL_EXPONENT))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydro::calm_water::form::samples;
    use approx::assert_relative_eq;

    /// By hand: 10 kN at 5 m/s on 2 m: 1e8/(0.5 * 1025 * 25 * pi * 4) = 621.1 N.
    #[test]
    fn induced_drag_by_hand() {
        assert_relative_eq!(induced_per_n(5.0, 2.0) * 1e8, 621.1, max_relative = 1e-4);
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

    /// By hand: 1e8 x 2e-6 is 200 N, and half the limit's side force costs 0.5^1.7 = 0.30779 of 400 N.
    #[test]
    fn side_drag_by_hand() {
        let drag = SideDrag { induced_per_n: 2e-6, heel_n: 400.0, max_side_n: 20_000.0 };
        assert_relative_eq!(drag.at(10_000.0), 200.0 + 400.0 * 0.307_786, max_relative = 1e-5);
        let slope = (drag.at(10_001.0) - drag.at(9_999.0)) / 2.0;
        assert_relative_eq!(drag.slope(10_000.0), slope, max_relative = 1e-6);
        assert_eq!(SideDrag::NONE.at(1e6), 0.0);
    }

    /// Between its ends the fit itself, in newtons; beyond them the rule of the doc comment, by hand.
    #[test]
    fn heel_resistance_beyond_the_fit() {
        let form = samples::cruiser();
        let heel = 20f64.to_radians();
        let speed = |froude: f64| froude * (G * form.lwl_m).sqrt();
        let weight = RHO_WATER * form.volume_m3 * G;
        let at = |froude: f64| heel_resistance_n(&form, heel, speed(froude), 1.0);
        let fit = |froude| heel_residuary_per_weight(&form, heel, froude).unwrap() * weight;
        assert_relative_eq!(at(0.45), fit(0.45), max_relative = 1e-9);
        assert_relative_eq!(at(0.9), fit(0.55), max_relative = 1e-9);
        assert_relative_eq!(at(0.125), 0.25 * fit(0.25).max(0.0), max_relative = 1e-9);
        assert_relative_eq!(
            heel_resistance_n(&form, heel, speed(0.45), 0.5),
            0.5 * fit(0.45),
            max_relative = 1e-9
        );
    }

    #[test]
    fn outside_the_fit_is_none() {
        assert_eq!(heel_residuary_per_weight(&samples::cruiser(), 0.3, 0.56), None);
        assert_eq!(heel_residuary_per_weight(&samples::cruiser(), 0.6, 0.5), None);
    }
}
