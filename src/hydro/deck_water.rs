//! Green water over the deck's edge: mean overtopping of a Gaussian relative motion, what the deck carries of it, and
//! the momentum that it takes from her.
//!
//! The edge is taken as a broad-crested weir under the quasi-steady head by which the relative motion exceeds the
//! freeboard; the head of the water's velocity and the weir's coefficient of discharge (some 0.85 to 1, from memory) are
//! left out. No published model for water on a yacht's deck was found, so this is an order of magnitude, not a
//! measurement.

use std::f64::consts::TAU;
use std::sync::LazyLock;

use crate::base::units::{G, RHO_WATER};
use crate::maths::axis::Axis;
use crate::maths::cubic::cubic;

/// The weir's flow a metre of edge is this times the head to the power 1.5, m^0.5/s: critical depth on a broad crest, as
/// in Bos (1989), Discharge Measurement Structures, ILRI publication 20, without coefficients.
static WEIR: LazyLock<f64> = LazyLock::new(|| (2.0f64 / 3.0).powf(1.5) * G.sqrt());

/// Overtopping rate per metre of edge, m²/s, of a head over the edge, m: (2/3)^1.5 sqrt(g) head^1.5, none below the edge.
pub fn overtopping_m2_s(head_m: f64) -> f64 {
    *WEIR * head_m.max(0.0).powf(1.5)
}

/// Mean overtopping of a Gaussian relative motion, per metre of edge.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Overtopping {
    /// Mean rate q, m²/s.
    pub mean_m2_s: f64,
    /// Mean of dq/dr, m/s: how it grows with the relative motion.
    pub slope_m_s: f64,
}

impl Overtopping {
    /// Of a relative motion of root mean square `rms_m` >= 0 against an effective freeboard; a negative one is a deck edge under
    /// the mean surface.
    ///
    /// The mean of q = (2/3)^1.5 sqrt(g) (r - F)^1.5 over r > F for Gaussian r. With f = F/s its closed form is
    /// (2/3)^1.5 sqrt(g) s^1.5 Gamma(5/2)/sqrt(2 pi) exp(-f²/4) D_-5/2(f), D the parabolic cylinder function; that of the slope
    /// is (3/2) (2/3)^1.5 sqrt(g) s^0.5 Gamma(3/2)/sqrt(2 pi) exp(-f²/4) D_-3/2(f).
    pub fn of(rms_m: f64, effective_freeboard_m: f64) -> Self {
        let [half, three_halves] = mean_excesses(rms_m, effective_freeboard_m);
        Self { mean_m2_s: *WEIR * three_halves, slope_m_s: 1.5 * *WEIR * half }
    }

    /// Mean force along the course that brings what comes aboard to the boat's speed, N per metre of edge; positive
    /// astern.
    ///
    /// E[rho q (V - u)] with u the water's orbital velocity along the course, positive forward. u and the relative motion r
    /// are Gaussian together, so E[u q(r)] = cov(u, r) E[dq/dr] (Stein 1981, "Estimation of the mean of a multivariate normal
    /// distribution", Ann. Statist. 9:1135-1151, lemma 1; the force is derived here). `covariance_m2_s` is cov(u, r), r
    /// positive where the water rises up the bow: negative in head seas, whose crests come at her, positive in following
    /// ones. Where what comes aboard is on the whole faster than she is, it pushes: the force is negative.
    pub fn shipping_force_n_per_m(&self, speed_m_s: f64, covariance_m2_s: f64) -> f64 {
        RHO_WATER * (speed_m_s * self.mean_m2_s - covariance_m2_s * self.slope_m_s)
    }
}

/// Mean mass of sea water on deck, kg: what comes over `edge_length_m` stays for `drain_time_s`.
pub fn mean_water_carried_kg(overtopping_m2_s: f64, edge_length_m: f64, drain_time_s: f64) -> f64 {
    RHO_WATER * overtopping_m2_s * edge_length_m * drain_time_s
}

/// The length Froude number above which the bow wave is held. Judged: the source gives no such limit, but its wedge has
/// no stern, and a hull past her hull speed no longer pushes a wave that grows with her speed.
const HELD_FROUDE: f64 = 0.45;
/// Crest of the bow wave abaft the stem, in V²/g / (1 + V/sqrt(g T)); from memory, weak.
const CREST_DISTANCE: f64 = 1.1;

/// What makes the steady wave at a bow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bow {
    /// Half-angle of entrance of the waterline, rad.
    pub half_entrance_angle: f64,
    /// Draught, m, above 0.
    pub draught_m: f64,
    /// Length of the waterline, m.
    pub length_m: f64,
    /// Length of the deck's edge over which water comes aboard, one side from the stem aft, m.
    pub edge_m: f64,
}

impl Bow {
    /// What the steady bow wave takes of the freeboard, m, at a speed of zero or more.
    ///
    /// Its height, times 1/(1 + x/e): the crest stands x abaft the stem, where the relative motion is reckoned, and e is the
    /// length of edge on one side. All of it counts with the crest at the stem; with the crest far abaft, what a straight
    /// rise from the stem has gained at the edge's end. Between these the form is judged, without source.
    pub fn wave_m(&self, speed_m_s: f64) -> f64 {
        let held_m_s = speed_m_s.min(HELD_FROUDE * (G * self.length_m).sqrt());
        let height_m = self.wave_height_m(held_m_s).min(stagnation_height_m(held_m_s));
        height_m / (1.0 + self.crest_abaft_m(speed_m_s) / self.edge_m)
    }

    /// Height of the steady bow wave, m, of a wedge bow without bulb: 2.2 V²/g tan(a)/cos(a)/(1 + V/sqrt(g T)).
    ///
    /// Noblesse, Delhommeau, Guilbaud, Hendrix & Yang (2008), "Simple analytical relations for ship bow waves", J. Fluid
    /// Mech. 600:105-132 (abstract, and the formula as a later note quotes it). For sides with little flare and a below
    /// some 12 degrees at any speed, larger a at high speed only. Grows with V without bound.
    pub fn wave_height_m(&self, speed_m_s: f64) -> f64 {
        let slope = self.half_entrance_angle.tan() / self.half_entrance_angle.cos();
        2.2 * speed_m_s * speed_m_s / G * slope / (1.0 + self.draught_froude(speed_m_s))
    }

    /// Distance of the wave's crest abaft the stem, m: 1.1 V²/g / (1 + V/sqrt(g T)). That it goes with T times the draught's
    /// Froude number at high speed is the same source's; the factor is from memory, weak.
    fn crest_abaft_m(&self, speed_m_s: f64) -> f64 {
        CREST_DISTANCE * speed_m_s * speed_m_s / G / (1.0 + self.draught_froude(speed_m_s))
    }

    fn draught_froude(&self, speed_m_s: f64) -> f64 {
        speed_m_s / (G * self.draught_m).sqrt()
    }
}

/// The most that water met at a speed can rise, m: V²/2g (Bernoulli).
fn stagnation_height_m(speed_m_s: f64) -> f64 {
    speed_m_s * speed_m_s / (2.0 * G)
}

/// Powers of the excess whose means are needed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Power {
    Half,
    ThreeHalves,
}

impl Power {
    const ALL: [Self; 2] = [Power::Half, Power::ThreeHalves];

    fn exponent(self) -> f64 {
        match self {
            Power::Half => 0.5,
            Power::ThreeHalves => 1.5,
        }
    }

    /// y^(2p + 1) with y² given: the power of y in the integrand of [`excess_moment`].
    fn of_square(self, y2: f64) -> f64 {
        match self {
            Power::Half => y2,
            Power::ThreeHalves => y2 * y2,
        }
    }
}

/// Means of (r - F)^p over r > F, zero elsewhere, of a Gaussian r of mean zero: of the half power and of the power three halves.
fn mean_excesses(rms_m: f64, level_m: f64) -> [f64; 2] {
    if rms_m <= 0.0 {
        return Power::ALL.map(|power| (-level_m).max(0.0).powf(power.exponent()));
    }
    let [half, three_halves] = tabulated_excess_moments(level_m / rms_m);
    [rms_m.sqrt() * half, rms_m * rms_m.sqrt() * three_halves]
}

/// Where [`excess_moment`] is tabulated: from a deck edge well under to one that is never reached, whose moments are some 1e-285.
const TABULATED: (f64, f64) = (-6.0, 36.0);
const TABLE_STEP: f64 = 0.02;

/// Logarithms at the nodes, of the half power and of the power three halves.
static LOG_EXCESS_MOMENTS: LazyLock<(Axis, Vec<[f64; 2]>)> = LazyLock::new(|| {
    let axis = Axis::covering(TABULATED.0, TABULATED.1, TABLE_STEP);
    let logs = axis.nodes().map(|f| Power::ALL.map(|power| excess_moment(power, f).ln())).collect();
    (axis, logs)
});

/// [`excess_moment`] of both powers to 1e-6 of itself, by interpolation of its logarithm where it is tabulated; nothing beyond.
fn tabulated_excess_moments(f: f64) -> [f64; 2] {
    if f > TABULATED.1 {
        return [0.0; 2];
    }
    if f < TABULATED.0 {
        return Power::ALL.map(|power| excess_moment(power, f));
    }
    let (axis, logs) = &*LOG_EXCESS_MOMENTS;
    let mut log = [0.0; 2];
    for (node, weight) in cubic(axis.place(f), axis.len()) {
        log[0] += weight * logs[node][0];
        log[1] += weight * logs[node][1];
    }
    log.map(f64::exp)
}

/// Below this f the deck is deeply under and a series in 1/f is good to 2e-8.
const DEEPLY_UNDER: f64 = -20.0;

/// The integral of (t - f)^p phi(t) over t > f, phi the standard normal density; relative error below 1e-10.
///
/// Put t = f + y²: the integrand y^(2p + 1) exp(-(f + y²)²/2) is even and entire, so the trapezoidal rule over the whole
/// line converges faster than any power of the step. Deeply under, the binomial series of (|f| + t)^p with the normal
/// moments 1 and 3.
fn excess_moment(power: Power, f: f64) -> f64 {
    let p = power.exponent();
    if f < DEEPLY_UNDER {
        let inverse = 1.0 / (f * f);
        let second = p * (p - 1.0) / 2.0;
        let fourth = 3.0 * second * (p - 2.0) * (p - 3.0) / 12.0;
        return (-f).powf(p) * (1.0 + inverse * (second + inverse * fourth));
    }
    let step = 0.2 / (1.0 + f.abs()).sqrt();
    // beyond this y the exponent has fallen by 40 from its value at y = 0
    let reach = ((f * f + 80.0).sqrt() - f).sqrt();
    let terms = (reach / step).ceil() as u32;
    let sum: f64 = (1..=terms)
        .map(|i| {
            let y2 = (f64::from(i) * step).powi(2);
            power.of_square(y2) * (-0.5 * (f + y2).powi(2)).exp()
        })
        .sum();
    2.0 * step * sum / TAU.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// mpmath at 30 digits, `tests/reference/overtopping.py`: quadrature of the definition, equal there to the closed
    /// form with the parabolic cylinder function.
    #[test]
    fn excess_moment_equals_quadrature() {
        for (f, expected) in [
            (-40.0, 253.041512474308),
            (-20.0, 89.526611099455),
            (-8.0, 22.7603972600581),
            (-2.0, 3.1112928856876),
            (-0.5, 0.824448420185711),
            (0.0, 0.43001999366226),
            (0.25, 0.29516724046157),
            (1.0, 0.0756681773909751),
            (1.5, 0.0246394803074837),
            (2.0, 0.00664817762358709),
            (3.0, 0.000263967554269467),
            (4.0, 4.43915595853925e-6),
            (5.0, 3.03385056187848e-8),
            (6.0, 8.20358058981517e-11),
            (8.0, 3.47839979221869e-17),
        ] {
            assert_relative_eq!(excess_moment(Power::ThreeHalves, f), expected, max_relative = 1e-10);
        }
        assert_relative_eq!(excess_moment(Power::ThreeHalves, 20.0), 4.0585551e-91, max_relative = 1e-6);
    }

    #[test]
    fn the_table_meets_the_sum() {
        for i in 0..=5375 {
            let f = -7.0 + 0.008 * f64::from(i);
            for (read, power) in tabulated_excess_moments(f).into_iter().zip(Power::ALL) {
                assert_relative_eq!(read, excess_moment(power, f), max_relative = 1e-6);
            }
        }
        assert!(excess_moment(Power::Half, 36.0) < 1e-280 && tabulated_excess_moments(36.1) == [0.0; 2]);
    }

    #[test]
    fn the_series_meets_the_sum() {
        for power in [Power::Half, Power::ThreeHalves] {
            let [series, summed] = [-20.0 - 1e-9, -20.0].map(|f| excess_moment(power, f));
            assert_relative_eq!(series, summed, max_relative = 2e-8);
        }
    }

    /// An independent scipy quadrature with g = 9.81: (s, F) = (0.5, 1) and (1, 1.5).
    #[test]
    fn mean_overtopping() {
        let g_ratio = (G / 9.81).sqrt();
        assert_relative_eq!(Overtopping::of(0.5, 1.0).mean_m2_s, 0.004007331 * g_ratio, max_relative = 1e-6);
        assert_relative_eq!(Overtopping::of(1.0, 1.5).mean_m2_s, 0.04200772 * g_ratio, max_relative = 1e-6);
    }

    /// By hand: a still sea 0.6 m over a weir of 1 m: (2/3)^1.5 sqrt(9.80665) 0.6^1.5 = 0.79222 m²/s.
    #[test]
    fn still_water_flows_only_over_a_submerged_edge() {
        assert_eq!(Overtopping::of(0.0, 0.5).mean_m2_s, 0.0);
        assert_relative_eq!(Overtopping::of(0.0, -0.6).mean_m2_s, 0.79222, epsilon = 2e-5);
        assert_relative_eq!(Overtopping::of(1e-6, -0.6).mean_m2_s, 0.79222, epsilon = 2e-5);
    }

    /// By hand: 0.004 m²/s over 10 m for 3 s is 0.12 m³ of sea water.
    #[test]
    fn water_stays_until_it_drains() {
        assert_relative_eq!(mean_water_carried_kg(0.004, 10.0, 3.0), 123.0, max_relative = 1e-12);
    }

    /// mpmath at 30 digits, `tests/reference/overtopping.py`, as above.
    #[test]
    fn excess_slope_equals_quadrature() {
        for (f, expected) in [
            (-40.0, 6.32406092446087),
            (-20.0, 4.47073511528398),
            (-8.0, 2.82281835357001),
            (-2.0, 1.35664059813938),
            (-0.5, 0.646669453503285),
            (0.0, 0.411089479331229),
            (0.25, 0.310513512489138),
            (1.0, 0.104153675307858),
            (1.5, 0.0398815176546958),
            (2.0, 0.0124800402964391),
            (3.0, 0.000641850439348551),
            (4.0, 1.34066699244964e-5),
            (5.0, 1.10145632077893e-7),
            (6.0, 3.49096347138739e-10),
            (8.0, 1.92407439603728e-16),
        ] {
            assert_relative_eq!(excess_moment(Power::Half, f), expected, max_relative = 1e-10);
        }
    }

    /// By hand: 0.6 m over the edge flow at 0.79222 m²/s; dq/dr = 1.5 q/0.6 = 1.98055 m/s. At 5 m/s against water that comes
    /// at her with cov(u, r) = -0.1 m²/s, 5 x 0.79222 + 0.1 x 1.98055 times the density.
    #[test]
    fn shipped_water_takes_momentum() {
        let force =
            |covariance| Overtopping::of(0.0, -0.6).shipping_force_n_per_m(5.0, covariance) / RHO_WATER;
        assert_relative_eq!(force(-0.1), 3.9611 + 0.198055, epsilon = 1e-4);
        assert_relative_eq!(force(0.1), 3.9611 - 0.198055, epsilon = 1e-4);
    }

    /// With u = a r, as in waves of one length, the force turns where V E[q] = a s² E[dq/dr]: slower than that she is
    /// pushed, faster she is braked.
    #[test]
    fn the_force_turns_where_the_water_is_faster() {
        let (rms, freeboard) = (0.5, 1.0);
        let turn = |a: f64| {
            a * rms * rms * Overtopping::of(rms, freeboard).slope_m_s
                / Overtopping::of(rms, freeboard).mean_m2_s
        };
        for a in [0.5, 2.0, 8.0] {
            let force = |speed| Overtopping::of(rms, freeboard).shipping_force_n_per_m(speed, a * rms * rms);
            assert!(force(0.99 * turn(a)) < 0.0 && force(1.01 * turn(a)) > 0.0);
            // what comes aboard is u = a r with r > F: at a speed below a F all of it pushes
            assert!(turn(a) > a * freeboard);
        }
    }

    const BOW: Bow =
        Bow { half_entrance_angle: 10.0 * TAU / 360.0, draught_m: 0.4, length_m: 15.0, edge_m: 3.0 };

    /// By hand: V 5 m/s, T 0.4 m, 10 deg: V²/g 2.54929, F_T 2.52450, tan/cos 0.179047; 2.2 x product / 3.52450 = 0.284914 m.
    /// The crest stands 1.1 x 2.54929/3.52450 = 0.79564 m abaft the stem: of 3 m of edge, 0.284914/1.26521.
    #[test]
    fn bow_wave_takes_freeboard() {
        assert_relative_eq!(BOW.wave_height_m(5.0), 0.284914, max_relative = 2e-5);
        assert_relative_eq!(BOW.wave_m(5.0), 0.284914 / 1.26521, max_relative = 2e-5);
    }

    /// By hand: Fn 0.45 of 15 m is 5.4578 m/s. Above it the height stays and the crest goes on moving aft.
    #[test]
    fn bow_wave_is_held_above_hull_speed() {
        let height = BOW.wave_height_m(5.4578);
        for speed in [6.0, 10.0, 20.0] {
            let expected = height / (1.0 + BOW.crest_abaft_m(speed) / 3.0);
            assert_relative_eq!(BOW.wave_m(speed), expected, max_relative = 1e-4);
        }
    }

    /// By hand: a bluff bow of 60 degrees would throw 2.2 x 3.4641 / (1 + F_T) V²/g, above V²/2g for F_T below 14.
    #[test]
    fn bow_wave_stays_below_the_stagnation_height() {
        let bluff = Bow { half_entrance_angle: 60f64.to_radians(), ..BOW };
        for speed in [0.5, 2.0, 5.0] {
            assert!(bluff.wave_height_m(speed) > speed * speed / (2.0 * G));
            assert!(bluff.wave_m(speed) <= speed * speed / (2.0 * G));
        }
        assert_eq!(bluff.wave_m(0.0), 0.0);
    }
}
