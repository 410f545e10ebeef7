//! SNNM: mean added resistance in regular waves of any heading from main dimensions alone.
//!
//! ITTC 7.5-04-01-01.1 (rev. 2021); Liu & Papanikolaou (2020), Ocean Engineering 206:107357; Wang et al. (2021). The
//! sum of a motion part R_M and a reflection part R_R, per unit wave amplitude squared. Deep water. Fitted to
//! tank tests of merchant ships: CB 0.5 to 0.9, B/T 2.2 to 5, Fn up to about 0.3. A light yacht lies outside; see
//! [`mean_added_resistance`] for what is done about it.
//!
//! Following waves: of two published forms this is the ITTC one, where the product a1 a2 at pi is linear in V up to
//! the group speed and meets the head-wave rule continuously there. The 2020 paper's form gives up to three times
//! more near 0.8 of the group speed; the procedure is the later text and the agreed one. Tests of either are few.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::base::units::G;
use crate::base::{Flag, Flags};

/// Main dimensions, as of a ship; trim is `draught_aft_m` less `draught_forward_m`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShipDimensions {
    /// Length between perpendiculars; of a yacht the waterline length.
    pub length_m: f64,
    /// Waterline beam.
    pub beam_m: f64,
    /// Canoe body draught at the fore end.
    pub draught_forward_m: f64,
    /// Canoe body draught at the aft end.
    pub draught_aft_m: f64,
    pub block_coefficient: f64,
    /// Radius of gyration in pitch.
    pub pitch_radius_m: f64,
    /// From the fore end to where the waterline reaches 99 % of the beam.
    pub entrance_m: f64,
    /// From the aft end to where the waterline reaches 99 % of the beam.
    pub run_m: f64,
    /// Density of the water, kg/m³.
    pub rho_kg_m3: f64,
}

/// Least and greatest block coefficient of the ships behind the fit.
const BLOCK_RANGE: (f64, f64) = (0.5, 0.9);
/// Least beam-draught ratio of the ships behind the fit.
const MIN_BEAM_DRAUGHT: f64 = 2.2;
/// Greatest beam-draught ratio used: at a flat yacht's 10 to 15 the bracket in wbar halves and moves the peak to
/// waves a fifth of the length (own choice, within the ships' 5).
const MAX_BEAM_DRAUGHT: f64 = 4.0;
/// Greatest Froude number used: the maximum of wbar's parabola -1.377 Fn² + 1.157 Fn, beyond which it turns back.
pub const MAX_FROUDE: f64 = 0.42;
/// Greatest |trim|/L used: halves the trim bracket of d1, which would change sign at 0.032 and blow up (own choice).
const MAX_TRIM: f64 = 0.016;

/// Mean added resistance per unit amplitude squared, N/m², in waves of frequency `omega` > 0 and angle `mu` in
/// [0, pi] (pi head); speed >= 0.
///
/// Inputs outside the fit enter at its edge: CB within 0.5 to 0.9, draught so that B/T lies within 2.2 to 4, trim up to
/// 1.6 % of the length, and the speed of Fn 0.42 in every term. Exactly then [`Flag::SnnmClamped`] is set. Scatter
/// against measured Wigley hulls: factor exp(±0.4).
pub fn mean_added_resistance(hull: &ShipDimensions, speed_m_s: f64, omega: f64, mu: f64) -> (f64, Flags) {
    let used = used(hull, speed_m_s);
    let clamped = used != Inputs::of(hull, speed_m_s);
    let flags = if clamped { Flags::only(Flag::SnnmClamped) } else { Flags::empty() };
    (HullInWave::new(hull, used, omega, mu).added_resistance(), flags)
}

fn used(hull: &ShipDimensions, speed_m_s: f64) -> Inputs {
    let draught_m = hull.draught_forward_m.max(hull.draught_aft_m);
    let trim_m = hull.draught_aft_m - hull.draught_forward_m;
    Inputs {
        draught_m: draught_m.max(hull.beam_m / MAX_BEAM_DRAUGHT).min(hull.beam_m / MIN_BEAM_DRAUGHT),
        trim_m: trim_m.abs().min(MAX_TRIM * hull.length_m),
        block: hull.block_coefficient.clamp(BLOCK_RANGE.0, BLOCK_RANGE.1),
        speed_m_s: speed_m_s.min(MAX_FROUDE * (G * hull.length_m).sqrt()),
    }
}

/// The part of [`mean_added_resistance`] that waves reflected from the waterline cause.
pub fn reflected(hull: &ShipDimensions, speed_m_s: f64, omega: f64, mu: f64) -> f64 {
    HullInWave::new(hull, used(hull, speed_m_s), omega, mu).reflection()
}

/// The wave angles `mu`, ascending, at which the formula jumps or bends: where waves begin to meet a side of the fore
/// or the aft body.
pub fn breaks(hull: &ShipDimensions) -> [f64; 4] {
    let [fore, aft] = [hull.entrance_m, hull.run_m].map(|length| (0.495 * hull.beam_m / length).atan());
    [fore.min(aft), fore.max(aft), PI - fore.max(aft), PI - fore.min(aft)]
}

/// The inputs that have limits.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Inputs {
    draught_m: f64,
    trim_m: f64,
    block: f64,
    speed_m_s: f64,
}

impl Inputs {
    fn of(hull: &ShipDimensions, speed_m_s: f64) -> Self {
        Self {
            draught_m: hull.draught_forward_m.max(hull.draught_aft_m),
            trim_m: (hull.draught_aft_m - hull.draught_forward_m).abs(),
            block: hull.block_coefficient,
            speed_m_s,
        }
    }
}

/// One hull in one regular wave, in the symbols of the procedure: alpha is 0 in head, pi in following waves.
struct HullInWave<'a> {
    hull: &'a ShipDimensions,
    input: Inputs,
    froude: f64,
    omega: f64,
    wave_length_m: f64,
    alpha: f64,
}

impl<'a> HullInWave<'a> {
    fn new(hull: &'a ShipDimensions, input: Inputs, omega: f64, mu: f64) -> Self {
        let froude = input.speed_m_s / (G * hull.length_m).sqrt();
        let wave_length_m = 2.0 * PI * G / (omega * omega);
        Self { hull, input, froude, omega, wave_length_m, alpha: PI - mu }
    }

    fn added_resistance(&self) -> f64 {
        self.motion() + self.reflection()
    }

    /// R_M, the part that ship motions cause.
    fn motion(&self) -> f64 {
        let ShipDimensions { length_m, beam_m, rho_kg_m3, .. } = *self.hull;
        let kyy = self.hull.pitch_radius_m / length_m;
        let trim = (self.input.trim_m / length_m).atan();
        let wbar = self.wbar(kyy);
        let (b1, d1) = self.peak_exponents(wbar, trim);
        let (a1, a2) = self.heading_factors();
        let a3 = 1.0 + 28.7 * trim;
        // ln(wbar^b1) joins the exponent, which so neither overflows nor meets zero times infinity
        let peak = (b1 * wbar.ln() + b1 / d1 * (1.0 - wbar.powf(d1))).exp();
        3859.2 * rho_kg_m3 * G * beam_m * beam_m / length_m
            * self.input.block.powf(1.34)
            * kyy
            * kyy
            * a1
            * a2
            * a3
            * peak
    }

    /// Frequency relative to that of the peak of R_M.
    fn wbar(&self, kyy: f64) -> f64 {
        let block = self.input.block;
        let fn_term = (-1.377 * self.froude + 1.157) * self.froude * self.alpha.cos().abs();
        let heading = fn_term + 0.618 * (13.0 + (2.0 * self.alpha).cos()) / 14.0;
        let beam_draught = 1.0 - 0.111 / block * (self.ln_beam_draught() - 2.75f64.ln());
        2.142
            * kyy.cbrt()
            * (self.hull.length_m / self.wave_length_m).sqrt()
            * (block / 0.65).powf(0.17)
            * beam_draught
            * heading
    }

    /// b1 and d1, which shape the flanks of the peak.
    fn peak_exponents(&self, wbar: f64, trim: f64) -> (f64, f64) {
        let slenderness = self.hull.length_m / self.hull.beam_m;
        if wbar < 1.0 {
            (11.0, 566.0 * (slenderness * self.input.block).powf(-2.66))
        } else {
            (-8.5, -566.0 * slenderness.powf(-2.66) * (4.0 - 125.0 * trim))
        }
    }

    /// a1 and a2; between beam and following waves each is interpolated in alpha.
    fn heading_factors(&self) -> (f64, f64) {
        let ahead = |alpha: f64| {
            let cos = alpha.cos();
            let a1 = (0.87 / self.input.block).powf((1.0 + self.froude) * cos) / self.ln_beam_draught()
                * (1.0 + 2.0 * cos)
                / 3.0;
            (a1, speed_factor(self.froude))
        };
        if self.alpha <= FRAC_PI_2 {
            return ahead(self.alpha);
        }
        let (beam_a1, beam_a2) = ahead(FRAC_PI_2);
        let (following_a1, following_a2) = self.following_factors();
        let t = (self.alpha - FRAC_PI_2) / FRAC_PI_2;
        (beam_a1 + t * (following_a1 - beam_a1), beam_a2 + t * (following_a2 - beam_a2))
    }

    /// a1 and a2 in following waves, by the speed relative to the waves' group speed.
    fn following_factors(&self) -> (f64, f64) {
        let group_m_s = G / (2.0 * self.omega);
        let fullness = 0.87 / self.input.block;
        if self.input.speed_m_s <= group_m_s {
            let a2 = 0.0072 * (2.0 * self.input.speed_m_s / group_m_s - 1.0);
            return (fullness / self.ln_beam_draught(), a2);
        }
        let relative = (self.input.speed_m_s - group_m_s) / (G * self.hull.length_m).sqrt();
        let exponent = if relative < 0.12 { 1.0 } else { 1.0 + relative };
        (fullness.powf(exponent) / self.ln_beam_draught(), speed_factor(relative))
    }

    /// R_R, the part that waves reflected from the waterline cause: fore body R1 + R2, aft body R3 + R4.
    fn reflection(&self) -> f64 {
        let ShipDimensions { beam_m, entrance_m, run_m, rho_kg_m3, .. } = *self.hull;
        let pressure = 2.25 / 4.0 * rho_kg_m3 * G * beam_m;
        let fore = (0.495 * beam_m / entrance_m).atan();
        let aft = (0.495 * beam_m / run_m).atan();
        let alpha = self.alpha;
        let mut sides = 0.0;
        if alpha <= PI - fore {
            sides += self.fore_side(fore, fore + alpha);
        }
        if alpha <= fore {
            sides += self.fore_side(fore, fore - alpha);
        }
        if alpha >= aft {
            sides -= self.aft_side(aft, aft - alpha);
        }
        if alpha >= PI - aft {
            sides -= self.aft_side(aft, aft + alpha);
        }
        pressure * sides
    }

    /// One side of the fore body that the waves meet at `incidence`.
    fn fore_side(&self, entrance: f64, incidence: f64) -> f64 {
        let along = if self.alpha <= entrance { self.alpha.cos() } else { 0.0 };
        let fullness = (0.87 / self.input.block).powf((1.0 + 4.0 * self.froude.sqrt()) * along);
        self.depth_factor(self.input.draught_m) * self.incidence_factor(entrance, incidence) * fullness
    }

    /// One side of the aft body, which is shallower than the hull.
    fn aft_side(&self, run: f64, incidence: f64) -> f64 {
        let root = self.alpha.cos().abs().sqrt();
        let share = if self.input.block <= 0.75 { (4.0 + root) / 5.0 } else { (2.0 + root) / 3.0 };
        self.depth_factor(self.input.draught_m * share) * self.incidence_factor(run, incidence)
    }

    fn incidence_factor(&self, side: f64, incidence: f64) -> f64 {
        let speed = 2.0 * self.omega * self.input.speed_m_s / G;
        incidence.sin().powi(2) + speed * (self.alpha.cos() - side.cos() * incidence.cos())
    }

    /// Share of the wave that a draught reflects; none in waves longer than 2.5 lengths.
    fn depth_factor(&self, draught_m: f64) -> f64 {
        let relative = 1.0 / self.wave_length_m - 1.0 / (2.5 * self.hull.length_m);
        if relative > 0.0 { -(-4.0 * PI * draught_m * relative).exp_m1() } else { 0.0 }
    }

    fn ln_beam_draught(&self) -> f64 {
        (self.hull.beam_m / self.input.draught_m).ln()
    }
}

/// a2 as a function of a Froude number, in head waves the ship's.
fn speed_factor(froude: f64) -> f64 {
    if froude < 0.12 { 0.0072 + 0.1676 * froude } else { froude.powf(1.5) * (-3.5 * froude).exp() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// The published formulas with the hull's own numbers, whatever they are; B/T must exceed one.
    fn unclamped(hull: &ShipDimensions, speed_m_s: f64, omega: f64, mu: f64) -> f64 {
        HullInWave::new(hull, Inputs::of(hull, speed_m_s), omega, mu).added_resistance()
    }

    /// The container ship form S-175 of the ITTC comparisons.
    const SHIP: ShipDimensions = ShipDimensions {
        length_m: 175.0,
        beam_m: 25.4,
        draught_forward_m: 9.5,
        draught_aft_m: 9.5,
        block_coefficient: 0.572,
        pitch_radius_m: 0.25 * 175.0,
        entrance_m: 0.363 * 175.0,
        run_m: 0.363 * 175.0,
        rho_kg_m3: 1025.0,
    };

    /// An invented light yacht of 18 m.
    const YACHT: ShipDimensions = ShipDimensions {
        length_m: 18.0,
        beam_m: 4.0,
        draught_forward_m: 0.35,
        draught_aft_m: 0.35,
        block_coefficient: 0.38,
        pitch_radius_m: 4.5,
        entrance_m: 9.0,
        run_m: 4.0,
        rho_kg_m3: 1025.0,
    };

    const LENGTHS: [f64; 7] = [0.3, 0.5, 0.8, 1.0, 1.2, 1.5, 2.0];

    fn omega_at(hull: &ShipDimensions, relative_length: f64) -> f64 {
        (2.0 * PI * G / (relative_length * hull.length_m)).sqrt()
    }

    fn speed_at(hull: &ShipDimensions, froude: f64) -> f64 {
        froude * (G * hull.length_m).sqrt()
    }

    /// R/(rho g zeta² B²/L), which does not depend on g at one Froude number and relative wave length.
    fn coefficient(hull: &ShipDimensions, resistance: f64) -> f64 {
        resistance / (hull.rho_kg_m3 * G * hull.beam_m * hull.beam_m / hull.length_m)
    }

    fn ship_coefficient(froude: f64, alpha_deg: f64, relative_length: f64) -> f64 {
        let mu = PI - f64::to_radians(alpha_deg);
        coefficient(&SHIP, unclamped(&SHIP, speed_at(&SHIP, froude), omega_at(&SHIP, relative_length), mu))
    }

    /// ship_model_lib 1.0.2 (SINTEF) at Fn 0.25, which an independent prototype matches as closely.
    #[test]
    fn head_to_beam_equals_ship_model_lib() {
        for (alpha_deg, expected) in [
            (0.0, [2.9788, 2.3794, 4.5170, 8.3564, 10.7562, 5.5799, 1.3383]),
            (30.0, [2.6454, 2.4148, 5.6679, 9.1486, 7.1820, 2.7756, 0.6528]),
            (60.0, [3.8491, 4.0536, 6.2812, 3.0995, 1.5492, 0.6919, 0.2164]),
            (90.0, [3.5020, 3.9466, 1.3909, 0.8683, 0.5954, 0.3526, 0.1277]),
        ] {
            for (relative_length, value) in LENGTHS.into_iter().zip(expected) {
                let computed = ship_coefficient(0.25, alpha_deg, relative_length);
                assert_relative_eq!(computed, value, max_relative = 2.5e-4);
            }
        }
    }

    /// An independent numpy prototype of the ITTC form, Fn 0.15.
    #[test]
    fn following_waves_take_the_ittc_form() {
        for (relative_length, value) in
            [(0.5, 0.1521), (0.8, 0.4944), (1.0, 0.6127), (1.2, 0.3023), (1.5, 0.0512)]
        {
            assert_relative_eq!(ship_coefficient(0.15, 180.0, relative_length), value, epsilon = 1e-4);
        }
    }

    /// The same prototype, Fn 0.25, lambda = L, head waves, g = 9.81.
    #[test]
    fn intermediate_values() {
        let speed = speed_at(&SHIP, 0.25);
        let wave = HullInWave::new(&SHIP, Inputs::of(&SHIP, speed), omega_at(&SHIP, 1.0), PI);
        let (a1, a2) = wave.heading_factors();
        let wbar = wave.wbar(0.25);
        assert_relative_eq!(wbar, 1.09019, epsilon = 1e-5);
        assert_relative_eq!(a1, 1.71751, epsilon = 1e-5);
        assert_relative_eq!(a2, 0.05211, epsilon = 1e-5);
        assert_relative_eq!(wave.peak_exponents(wbar, 0.0).1, -13.34298, epsilon = 1e-5);
        assert_relative_eq!(wave.motion() * 9.81 / G, 280_926.7, max_relative = 1e-6);
        assert_relative_eq!(wave.reflection() * 9.81 / G, 2.0 * 14_422.3, max_relative = 1e-5);
    }

    /// The same prototype: draughts 9 and 10 m, Fn 0.2, lambda = L, head waves.
    #[test]
    fn trim() {
        let hull = ShipDimensions { draught_forward_m: 9.0, draught_aft_m: 10.0, ..SHIP };
        let resistance = unclamped(&hull, speed_at(&hull, 0.2), omega_at(&hull, 1.0), PI);
        assert_relative_eq!(coefficient(&hull, resistance), 9.68240, max_relative = 5e-6);
    }

    #[test]
    fn a_ship_in_range_is_left_alone() {
        for mu in [0.0, 1.0, 2.0, PI] {
            let (omega, speed) = (omega_at(&SHIP, 0.9), speed_at(&SHIP, 0.2));
            let (resistance, flags) = mean_added_resistance(&SHIP, speed, omega, mu);
            assert_eq!((resistance, flags), (unclamped(&SHIP, speed, omega, mu), Flags::empty()));
        }
    }

    #[test]
    fn each_limit_sets_the_flag() {
        let in_range = speed_at(&SHIP, 0.2);
        for (hull, speed) in [
            (ShipDimensions { block_coefficient: 0.49, ..SHIP }, in_range),
            (ShipDimensions { block_coefficient: 0.91, ..SHIP }, in_range),
            (ShipDimensions { beam_m: 39.0, ..SHIP }, in_range),
            (ShipDimensions { beam_m: 20.0, ..SHIP }, in_range),
            (ShipDimensions { draught_forward_m: 6.5, ..SHIP }, in_range),
            (SHIP, speed_at(&SHIP, 0.43)),
        ] {
            let (_, flags) = mean_added_resistance(&hull, speed, 0.6, PI);
            assert_eq!(flags, Flags::only(Flag::SnnmClamped));
        }
    }

    /// By hand: the clamped yacht is the same boat with CB 0.5 and a draught of 1 m at Fn 0.42.
    #[test]
    fn a_light_yacht_enters_at_the_edge_of_the_fit() {
        let edge =
            ShipDimensions { block_coefficient: 0.5, draught_forward_m: 1.0, draught_aft_m: 1.0, ..YACHT };
        let omega = omega_at(&YACHT, 1.2);
        let (resistance, flags) = mean_added_resistance(&YACHT, speed_at(&YACHT, 0.9), omega, 2.5);
        assert_eq!(flags, Flags::only(Flag::SnnmClamped));
        assert_relative_eq!(
            resistance,
            unclamped(&edge, speed_at(&YACHT, 0.42), omega, 2.5),
            max_relative = 1e-12
        );
    }

    #[test]
    fn finite_and_continuous_over_all_headings_and_lengths() {
        for froude in [0.0, 0.11, 0.2, 0.42, 1.0] {
            for step in 1..=60 {
                let omega = omega_at(&YACHT, 0.1 * f64::from(step));
                let at = |mu: f64| mean_added_resistance(&YACHT, speed_at(&YACHT, froude), omega, mu).0;
                assert!((0..=180).all(|deg| at(f64::from(deg).to_radians()).is_finite()));
                let (before, after) = (at(FRAC_PI_2 - 1e-9), at(FRAC_PI_2 + 1e-9));
                assert_relative_eq!(before, after, max_relative = 1e-6, epsilon = 1e-3);
            }
        }
    }
}
