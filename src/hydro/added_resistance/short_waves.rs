//! Mean added resistance in waves too short to move the hull: what its waterline throws back.
//!
//! R = 1/2 rho g zeta² B B_f alpha_T (1 + C_U Fn) (Kuroda, Tsujimoto, Fujiwara, Ohmatsu & Takagi 2008; as in ISO 15016:2015;
//! all from memory), with a the angle off the bow (0 head),
//!
//! - B_f = 1/B {integral of sin²(a + b) sin b dl + integral of sin²(a - b) sin b dl} over the two sides' waterline that waves
//!   reach, b its angle to the centreline: 1 for a wall across the course, less the finer she is,
//! - alpha_T = pi² I1²/(pi² I1² + K1²) at k_e d, the share a draught d reflects, k_e = k (1 + Omega cos a)², Omega = w U/g,
//! - C_U = max(10, 68 - 310 B_f), fitted to ship models up to a Froude number of about 0.3.
//!
//! The waterline is the hull's own, station by station. A transom throws waves back only where they come from abaft the beam.
//! On the beam B_f stays positive by what the transom cuts off; within 20 degrees of it the force fades out (judged). The
//! speed is held at the Froude number of the radiated energy.
//!
//! **Waves that she overtakes** run aft along her and are thrown back by her bow. They are treated as they meet her in her own
//! frame: there the crests of a wave at mu come on at pi - mu with |w_e|, at the speed with which she passes them, and at
//! that speed and angle the formula is taken (judged, no source). Its k_e is w_e²/g already, which with the coefficient fades
//! as she comes to keep pace. Waves that overtake her are thrown forward by her stern; that push is left out as is that of
//! the radiated energy.
//!
//! C_U makes the force no monotone function of fullness: B_f (1 + C_U Fn) at Fn 0.45 is 1.8 at B_f 0.10 and 1.2 at 0.21, so
//! a fine hull is charged more than a fuller one. Ships are behind it; the model band stays.
//!
//! SNNM's reflection terms (Liu & Papanikolaou 2020) are the alternative with a seen source. Coefficients over
//! rho g a² B²/L, head on, at 3, 5 and 9 kn (`examples/short_waves.rs` prints these and more):
//!
//! | boat | lambda/L | radiated energy | a wall | SNNM | Kuroda |
//! |---|---|---|---|---|---|
//! | foiler, 15 m | 0.25 | 8.7 5.6 2.9 | 5.2 7.1 11.0 | 1.7 3.0 6.6 | 1.3 2.0 3.4 |
//! | | 0.5 | 7.0 5.3 3.3 | 4.3 5.7 8.4 | 1.1 1.8 3.7 | 0.7 1.8 3.4 |
//! | cruiser, 8.9 m | 0.25 | 2.2 1.2 0.7 | 4.1 5.8 8.5 | 3.5 6.4 11.6 | 0.9 1.2 1.8 |
//! | | 0.5 | 2.8 1.8 1.1 | 3.3 4.5 6.4 | 2.3 4.1 7.3 | 0.9 1.2 1.8 |
//!
//! SNNM's terms were not taken: they exceed a wall on the cruiser, since their fullness factor (0.87/CB)^(1 + 4 sqrt Fn), at a
//! block coefficient below its base, multiplies the reflection by 4 to 8; they jump where waves begin to meet a side; they
//! know two angles of the waterline, not the waterline. They stay in the second method.
//!
//! **Blend.** Radiated energy holds in waves of [`LONG`] hull lengths and more and stays as it is there; in waves up to
//! [`SHORT`] it is left out (strip theory gives a light hull twice to four times what a wall throws back, the more the slower
//! she is, while its own reflection is total: Oh & Yang 2016); between, it comes in smoothly (range judged, no source). Oh &
//! Yang weaken the radiated energy by the reflected share instead, R = (1 - alpha) R_GB + R_short: with alpha_T at a fast,
//! shallow hull's k_e (0.98 at 0.9 lengths, 0.76 at 1.2 for 15 m, 0.4 m, 8 m/s, head) that would take away the measured peak,
//! with the wave's own k (0.01 at 0.7 lengths) nothing.
//!
//! **Wall.** No side throws back more than a wall: a vertical side of normal n turned to waves from s takes
//! 1/2 rho g zeta² {(s n)² + 2 w U/g n_x (s n)} n_x dl along the course (Faltinsen, Minsaas, Liapis & Skjordal 1980 as in
//! Sakamoto & Baba 1986, here in vectors; at rest and head on Maruo 1960's 1/2 rho g zeta² a metre). The most that any
//! convex waterline of breadth B gets of that is [`Waterline::wall`]; it bounds all that is blended.
//! Below about 3 kn radiated energy exceeds it at [`LONG`] too, where the bound ends: a step there, at speeds at which no
//! wave of that length comes alone. Overtaken waves of any length are bounded: no measurement tells more of them.

use crate::base::units::G;
use crate::hull::Hull;
use crate::hydro::added_resistance::radiated_energy::{MAX_FROUDE, pace_m_s};
use crate::hydro::dispersion::{deep_wave_number, encounter_frequency};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Wave lengths over the hull's up to which the waterline's reflection is all.
pub const SHORT: f64 = 0.5;
/// Wave lengths over the hull's from which radiated energy is all.
pub const LONG: f64 = 0.9;
/// Forward of the beam by this, waves count in full (judged, no source).
const BEAM_FADE_RAD: f64 = 20.0 * PI / 180.0;
/// Least coefficient of the speed, and the line above it in B_f.
const SPEED_COEFFICIENT: (f64, f64, f64) = (10.0, 68.0, 310.0);

/// A hull's waterline with what reflection needs besides.
#[derive(Debug, Clone, PartialEq)]
pub struct Waterline {
    /// Pieces of the starboard side, ends included.
    pieces: Vec<Piece>,
    beam_m: f64,
    draught_m: f64,
    length_m: f64,
    rho_kg_m3: f64,
}

/// A straight piece of waterline with the normal out of the hull: `forward` and `outward` are its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    forward: f64,
    outward: f64,
    /// Its length times `forward`, m: what it shows to waves from ahead.
    breadth_m: f64,
}

/// A wave as it meets her from ahead, in her own frame.
struct Met {
    /// Speed into it, m/s: through the water, or past a wave that she overtakes; held.
    speed_m_s: f64,
    /// Its own frequency, rad/s.
    omega: f64,
    /// Angle of its crests' way to the course, rad, pi/2 and more.
    mu_rad: f64,
    /// Wave number of the encounter frequency, 1/m.
    k_e: f64,
}

impl Waterline {
    /// The waterline of a hull in water of a density, kg/m³: straight from station to station.
    pub fn new(hull: &Hull, rho_kg_m3: f64) -> Self {
        let form = hull.hydrostatics();
        let side: Vec<(f64, f64)> = hull.stations().iter().map(|s| (s.x_m, s.beam_m() / 2.0)).collect();
        let ends = [(side[0].1, -1.0), (side[side.len() - 1].1, 1.0)];
        let ends = ends.map(|(half, forward)| Piece { forward, outward: 0.0, breadth_m: forward * half });
        let sides = side.windows(2).map(|pair| {
            let (along, across) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
            let length = along.hypot(across);
            Piece { forward: -across / length, outward: along / length, breadth_m: -across }
        });
        Self {
            pieces: sides.chain(ends).collect(),
            beam_m: form.bwl_m,
            draught_m: form.draught_m,
            length_m: form.lwl_m,
            rho_kg_m3,
        }
    }

    /// B_f in waves at `mu_rad` (0 following, pi head); negative where waves push her.
    pub fn bluntness(&self, mu_rad: f64) -> f64 {
        let (ahead, abeam) = (-mu_rad.cos(), mu_rad.sin());
        let sides = self.pieces.iter().flat_map(|piece| {
            [abeam, -abeam].map(|abeam| {
                let met = piece.forward * ahead + piece.outward * abeam;
                met.max(0.0).powi(2) * piece.breadth_m
            })
        });
        sides.sum::<f64>() / self.beam_m
    }

    /// Reflected resistance over amplitude squared, N/m², at `speed_m_s` (>= 0) in waves of frequency `omega` (rad/s, > 0) at
    /// `mu_rad`; zero in waves that overtake her.
    pub fn reflected(&self, speed_m_s: f64, omega: f64, mu_rad: f64) -> f64 {
        self.met(speed_m_s, omega, mu_rad).map_or(0.0, |met| self.reflected_of(&met))
    }

    /// The most that vertical sides of her breadth throw back, over amplitude squared, N/m², whatever their angles: the
    /// windward half square to the waves, the leeward half across the course. Zero in waves that overtake her.
    ///
    /// Of (s n)² the windward half gets at most 1, of n_x (s n) cos²(a/2); the leeward half cos² a and cos a. Head on that
    /// is 1/2 rho g zeta² B (1 + 2 w U/g), at rest a coefficient of at most L/(2B) over rho g zeta² B²/L.
    pub fn wall(&self, speed_m_s: f64, omega: f64, mu_rad: f64) -> f64 {
        self.met(speed_m_s, omega, mu_rad).map_or(0.0, |met| self.wall_of(&met))
    }

    /// How a wave meets her bow in her own frame; none where it overtakes her.
    fn met(&self, speed_m_s: f64, omega: f64, mu_rad: f64) -> Option<Met> {
        let limit = MAX_FROUDE * (G * self.length_m).sqrt();
        let k = deep_wave_number(omega);
        if mu_rad >= FRAC_PI_2 {
            let speed_m_s = speed_m_s.min(limit);
            let omega_e = encounter_frequency(omega, speed_m_s, mu_rad);
            return Some(Met { speed_m_s, omega, mu_rad, k_e: omega_e * omega_e / G });
        }
        let past = speed_m_s - pace_m_s(omega, mu_rad);
        if past <= 0.0 {
            return None;
        }
        let speed_m_s = past.min(limit);
        let omega_e = k * speed_m_s * mu_rad.cos();
        Some(Met { speed_m_s, omega, mu_rad: PI - mu_rad, k_e: omega_e * omega_e / G })
    }

    fn reflected_of(&self, met: &Met) -> f64 {
        let off_beam = (met.mu_rad - FRAC_PI_2) / BEAM_FADE_RAD;
        if off_beam <= 0.0 {
            return 0.0;
        }
        let bluntness = self.bluntness(met.mu_rad).max(0.0);
        let (least, highest, slope) = SPEED_COEFFICIENT;
        let froude = met.speed_m_s / (G * self.length_m).sqrt();
        let speed_factor = 1.0 + (highest - slope * bluntness).max(least) * froude;
        let force =
            self.pressure() * self.beam_m * bluntness * speed_factor * share(met.k_e * self.draught_m);
        smooth_step(off_beam) * force.min(self.wall_of(met))
    }

    fn wall_of(&self, met: &Met) -> f64 {
        let ahead = -met.mu_rad.cos();
        let speed = 2.0 * met.omega * met.speed_m_s / G;
        let windward = 1.0 + speed * 0.5 * (1.0 + ahead);
        let leeward = ahead * ahead + speed * ahead;
        self.pressure() * self.beam_m * 0.5 * (windward + leeward)
    }

    /// Added resistance over amplitude squared, N/m², from that by radiated energy, which is asked for only where it counts.
    /// In waves that overtake her radiated energy is all.
    pub fn blended(&self, speed_m_s: f64, omega: f64, mu_rad: f64, radiated: impl FnOnce() -> f64) -> f64 {
        let relative_length = TAU / (deep_wave_number(omega) * self.length_m);
        let overtaken = mu_rad < FRAC_PI_2;
        let bounded = overtaken || relative_length < LONG;
        let met = if bounded { self.met(speed_m_s, omega, mu_rad) } else { None };
        let Some(met) = met else { return radiated() };
        if relative_length >= LONG {
            return radiated().min(self.wall_of(&met));
        }
        let reflected = self.reflected_of(&met);
        if relative_length <= SHORT {
            return reflected;
        }
        let weight = smooth_step((relative_length - SHORT) / (LONG - SHORT));
        weight * radiated().min(self.wall_of(&met)) + (1.0 - weight) * reflected
    }

    fn pressure(&self) -> f64 {
        0.5 * self.rho_kg_m3 * G
    }
}

/// alpha_T, the share of a wave's square that a vertical side reflects, at wave number times draught.
fn share(depth: f64) -> f64 {
    // the ratio overflows nowhere: far out I1 is infinite or K1 zero
    let ratio = puruspe::Kn(1, depth) / (PI * puruspe::In(1, depth));
    1.0 / (1.0 + ratio * ratio)
}

/// 0 below 0, 1 above 1, level at both ends.
fn smooth_step(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::{Point, Station};
    use approx::assert_relative_eq;

    const RHO: f64 = 1025.0;

    /// A hull of vertical sides 0.5 m deep by its half-breadths at equal distances.
    fn walled(length_m: f64, half_breadths: &[f64]) -> Hull {
        let step = length_m / (half_breadths.len() - 1) as f64;
        let station = |(i, y): (usize, &f64)| {
            let points = [(-0.5, 0.0), (-0.5, *y), (0.0, *y)].map(|(z_m, y_m)| Point { z_m, y_m });
            Station { x_m: step * i as f64, points: points.into() }
        };
        Hull::new(half_breadths.iter().enumerate().map(station).collect()).unwrap()
    }

    /// scipy 1.17.1 (`tests/reference/swell_and_spreading.py`).
    #[test]
    fn share_equals_scipy() {
        for (depth, expected) in [
            (0.05, 1.55709857784e-05),
            (0.3, 0.0237408528658),
            (1.0, 0.896920592356),
            (2.0, 0.99921721651),
            (5.0, 0.999999997201),
            (10.0, 1.0),
            (5000.0, 1.0),
        ] {
            assert_relative_eq!(share(depth), expected, max_relative = 1e-6);
        }
        for (z, i1, k1) in
            [(0.3, 0.151693840003593, 3.05599203345733), (5.0, 24.3356421424505, 0.00404461344545216)]
        {
            assert_relative_eq!(puruspe::In(1, z), i1, max_relative = 1e-12);
            assert_relative_eq!(puruspe::Kn(1, z), k1, max_relative = 1e-12);
        }
    }

    /// By hand: a box 2 m wide, at rest, head on, in waves short against its draught: 1/2 rho g B.
    #[test]
    fn a_box_at_rest_is_a_wall() {
        let line = Waterline::new(&walled(10.0, &[1.0; 11]), RHO);
        assert_relative_eq!(line.bluntness(PI), 1.0, max_relative = 1e-12);
        assert_relative_eq!(line.reflected(0.0, 12.0, PI), 0.5 * RHO * G * 2.0, max_relative = 1e-6);
        assert_relative_eq!(line.wall(0.0, 8.0, PI), 0.5 * RHO * G * 2.0, max_relative = 1e-12);
        // from aft its transom is pushed as hard
        assert_relative_eq!(line.bluntness(0.0), -1.0, max_relative = 1e-12);
    }

    /// By hand: a wedge of half-angle b has B_f = sin² b head on; at a beyond b only its windward side,
    /// sin²(a + b)/2.
    #[test]
    fn a_wedge_in_closed_form() {
        let half: Vec<f64> = (0..=8).map(|i| 1.0 - f64::from(i) / 8.0).collect();
        let line = Waterline::new(&walled(8.0, &half), RHO);
        let b = (1.0f64 / 8.0).atan();
        assert_relative_eq!(line.bluntness(PI), b.sin().powi(2), max_relative = 1e-12);
        for a in [0.3f64, 0.8, 1.5] {
            let windward = 0.5 * (a + b).sin().powi(2);
            assert_relative_eq!(line.bluntness(PI - a), windward, max_relative = 1e-12);
            assert_relative_eq!(line.bluntness(PI + a), windward, max_relative = 1e-12);
        }
    }

    /// By hand for the wedge, head on, deep against the waves' length: C_U = 68 - 310 sin² b, Fn 0.2, then held from 0.45.
    #[test]
    fn the_speed_factor_follows_the_formula() {
        let half: Vec<f64> = (0..=8).map(|i| 1.0 - f64::from(i) / 8.0).collect();
        let line = Waterline::new(&walled(8.0, &half), RHO);
        let blunt = (1.0f64 / 8.0).atan().sin().powi(2);
        let (omega, unit) = (6.0, (G * 8.0).sqrt());
        let by_hand = 0.5 * RHO * G * 2.0 * blunt * (1.0 + (68.0 - 310.0 * blunt) * 0.2);
        assert_relative_eq!(line.reflected(0.2 * unit, omega, PI), by_hand, max_relative = 1e-6);
        assert_eq!(line.reflected(0.5 * unit, omega, PI), line.reflected(0.45 * unit, omega, PI));
    }

    /// No convex waterline of her breadth reflects more than the bound, from any angle ahead.
    #[test]
    fn the_wall_bounds_every_side() {
        let fine: Vec<f64> = (0..=10).map(|i| 1.0 - (f64::from(i) / 10.0).powi(2)).collect();
        for half in [fine, vec![1.0; 5], vec![0.2, 0.8, 1.0, 0.9, 0.1]] {
            let line = Waterline::new(&walled(10.0, &half), RHO);
            for i in 0..=90 {
                let mu = FRAC_PI_2 + FRAC_PI_2 * f64::from(i) / 90.0;
                let whole = line.pressure() * line.beam_m * line.bluntness(mu);
                assert!(whole <= line.wall(0.0, 5.0, mu) * (1.0 + 1e-12));
            }
        }
    }
}
