//! Hydrofoils: what they lift, what they drag, and what waves take from them.
//!
//! Sources: finite wing and lifting line (Prandtl); Hough & Moran (1969), Froude number effects on
//! two-dimensional hydrofoils, J. Ship Research 13; Prandtl's biplane factor as in Faltinsen (2005),
//! Hydrodynamics of High-Speed Marine Vehicles, chapter 6. The mean stalled lift is derived here.

use std::f64::consts::{PI, SQRT_2, TAU};

use crate::base::units::RHO_WATER;
use crate::hydro::rates::up_crossing_rate;

/// The share of the boat's weight that foils carry over speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiftShare {
    /// Speed from which the foils lift at all.
    pub takeoff_m_s: f64,
    /// Speed from which the share stays at its cap; above the take-off speed.
    pub full_m_s: f64,
    /// Greatest share of the weight, 0 to 1.
    pub cap: f64,
}

impl LiftShare {
    /// cap min(1, (V² - Vto²)/(Vfull² - Vto²)), zero below take-off: lift grows with V² at a fixed setting until
    /// the crew eases it. Common practice, no source.
    pub fn at(&self, speed_m_s: f64) -> f64 {
        let square = |v: f64| v * v;
        let gained = square(speed_m_s) - square(self.takeoff_m_s);
        let full = square(self.full_m_s) - square(self.takeoff_m_s);
        if gained <= 0.0 {
            0.0
        } else if gained >= full {
            self.cap
        } else {
            self.cap * gained / full
        }
    }
}

/// One foil's working surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foil {
    pub span_m: f64,
    /// Mean chord.
    pub chord_m: f64,
    /// Profile drag coefficient on the planform, both sides' friction included (0.007 to 0.012 for clean
    /// sections; common practice, no source).
    pub profile_drag_coefficient: f64,
}

impl Foil {
    pub fn area_m2(&self) -> f64 {
        self.span_m * self.chord_m
    }

    pub fn aspect_ratio(&self) -> f64 {
        self.span_m / self.chord_m
    }

    /// Lift coefficient that carries a lift at a positive speed.
    pub fn lift_coefficient(&self, lift_n: f64, speed_m_s: f64) -> f64 {
        lift_n / (0.5 * RHO_WATER * speed_m_s * speed_m_s * self.area_m2())
    }

    /// Lift slope per rad at a depth below the surface: a0/[1 + a0 (1 + sigma)/(pi AR)], with the section's
    /// a0 = 2 pi K. Far below the surface it is 2 pi/(1 + 2/AR).
    pub fn lift_slope_per_rad(&self, depth_m: f64) -> f64 {
        let section = TAU * free_surface_factor(depth_m / self.chord_m);
        section / (1.0 + section * self.induced_drag_per_lift2(depth_m))
    }

    /// Induced drag coefficient per square of the lift coefficient at a depth: (1 + sigma)/(pi AR).
    pub fn induced_drag_per_lift2(&self, depth_m: f64) -> f64 {
        (1.0 + biplane_factor(depth_m / self.span_m)) / (PI * self.aspect_ratio())
    }

    /// The foil at a depth below the surface.
    pub fn at_depth(self, depth_m: f64) -> FoilAtDepth {
        FoilAtDepth {
            foil: self,
            depth_m,
            lift_slope_per_rad: self.lift_slope_per_rad(depth_m),
            induced_drag_per_lift2: self.induced_drag_per_lift2(depth_m),
        }
    }
}

/// A foil at the depth it works at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoilAtDepth {
    foil: Foil,
    depth_m: f64,
    lift_slope_per_rad: f64,
    induced_drag_per_lift2: f64,
}

impl FoilAtDepth {
    /// The same foil at another depth.
    pub fn at_depth(self, depth_m: f64) -> Self {
        self.foil.at_depth(depth_m)
    }

    /// Its depth below the surface, m.
    pub fn depth_m(&self) -> f64 {
        self.depth_m
    }

    /// Angle of attack from zero lift that carries a lift at a positive speed, rad.
    pub fn angle_rad(&self, lift_n: f64, speed_m_s: f64) -> f64 {
        self.foil.lift_coefficient(lift_n, speed_m_s) / self.lift_slope_per_rad
    }

    /// Profile and induced drag in N at a positive speed: q S [CD0 + CL² (1 + sigma)/(pi AR)].
    pub fn drag_n(&self, lift_n: f64, speed_m_s: f64) -> f64 {
        let load_n = 0.5 * RHO_WATER * speed_m_s * speed_m_s * self.foil.area_m2();
        let lift = lift_n / load_n;
        load_n * (self.foil.profile_drag_coefficient + lift * lift * self.induced_drag_per_lift2)
    }
}

/// What the free surface leaves of a section's lift slope at high speed,
/// K = (1 + 16 (h/c)²)/(2 + 16 (h/c)²), for depth Froude numbers V/sqrt(g h) above about 3
/// (Hough & Moran 1969; form from memory).
pub fn free_surface_factor(depth_over_chord: f64) -> f64 {
    let near = 16.0 * depth_over_chord * depth_over_chord;
    (1.0 + near) / (2.0 + near)
}

/// Share by which the surface's image adds to induced drag, Prandtl's biplane
/// sigma = (1 - 0.66 h')/(1.05 + 3.7 h') with h' = 2 h/span (from memory). The fit crosses zero at h' = 1.5,
/// beyond which the image no longer counts and zero is right.
pub fn biplane_factor(depth_over_span: f64) -> f64 {
    let gap = 2.0 * depth_over_span;
    ((1.0 - 0.66 * gap) / (1.05 + 3.7 * gap)).max(0.0)
}

/// Where a foil section leaves linear lift, and what is left then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stall {
    /// Stall angle of positive lift, measured from zero lift.
    pub positive_rad: f64,
    /// Magnitude of the stall angle of negative lift.
    pub negative_rad: f64,
    /// Lift beyond stall over lift at stall: 1 a plateau, below 1 a drop (ventilation, deep stall).
    pub lift_left: f64,
}

impl Stall {
    /// Mean lift over the unstalled lift of the mean angle, for an angle that varies as a Gaussian of standard
    /// deviation `sd_rad` about a positive mean.
    ///
    /// With slope 1, z = (A - m)/s, zn = (-A' - m)/s:
    /// E CL = m [Phi(z) - Phi(zn)] - s [phi(z) - phi(zn)] + r A Phi(-z) - r A' Phi(zn). The lift follows the angle
    /// at once; put unsteady lift into the angle's variance.
    pub fn mean_lift_ratio(&self, mean_rad: f64, sd_rad: f64) -> f64 {
        if sd_rad <= 0.0 {
            return if mean_rad <= self.positive_rad {
                1.0
            } else {
                self.lift_left * self.positive_rad / mean_rad
            };
        }
        let upper = (self.positive_rad - mean_rad) / sd_rad;
        let lower = (-self.negative_rad - mean_rad) / sd_rad;
        let [above, below] = [normal_tail(upper), normal_tail(-lower)];
        let attached = 1.0 - above - below;
        let lift = mean_rad * attached - sd_rad * (normal_density(upper) - normal_density(lower))
            + self.lift_left * (self.positive_rad * above - self.negative_rad * below);
        lift / mean_rad
    }

    /// Mean rate in Hz at which the angle passes out through either stall angle, from the variance m0 of the
    /// angle and m2 of its rate (rad²/s²).
    pub fn event_rate_hz(&self, mean_rad: f64, m0_rad2: f64, m2_rad2_s2: f64) -> f64 {
        up_crossing_rate(m0_rad2, m2_rad2_s2, self.positive_rad - mean_rad)
            + up_crossing_rate(m0_rad2, m2_rad2_s2, self.negative_rad + mean_rad)
    }
}

/// Share of time in flight when crashes come independently at a rate and each costs a mean recovery time after
/// which the next can come: A = 1/(1 + nu t_r) (alternating renewal process).
pub fn availability(crash_rate_hz: f64, recovery_s: f64) -> f64 {
    1.0 / (1.0 + crash_rate_hz * recovery_s)
}

/// Mean speed of a passage spent partly in flight: A V_fly + (1 - A) V_hull, an average over time.
pub fn shared_time_speed_m_s(availability: f64, flying_m_s: f64, hull_borne_m_s: f64) -> f64 {
    availability * flying_m_s + (1.0 - availability) * hull_borne_m_s
}

/// Beyond so many deviations a tail is less than the rounding of one.
const NO_TAIL: f64 = 8.5;

fn normal_tail(z: f64) -> f64 {
    if z > NO_TAIL {
        return 0.0;
    }
    0.5 * libm::erfc(z / SQRT_2)
}

fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / TAU.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: at V² halfway between take-off and full (5 and 7 m/s: V² = 37), half the cap.
    #[test]
    fn share_by_hand() {
        let share = LiftShare { takeoff_m_s: 5.0, full_m_s: 7.0, cap: 0.8 };
        assert_eq!([4.0, 5.0, 7.0, 20.0].map(|v| share.at(v)), [0.0, 0.0, 0.8, 0.8]);
        assert_relative_eq!(share.at(37f64.sqrt()), 0.4, max_relative = 1e-12);
    }

    /// By hand from the closed form: 1.16/2.16, 2/3, 5/6, 17/18, 65/66, 257/258.
    #[test]
    fn free_surface_factor_by_hand() {
        for (ratio, expected) in
            [(0.1, 0.5370), (0.25, 0.6667), (0.5, 0.8333), (1.0, 0.9444), (2.0, 0.9848), (4.0, 0.9961)]
        {
            assert_relative_eq!(free_surface_factor(ratio), expected, epsilon = 5e-5);
        }
    }

    /// By hand, deep: 2 pi/(1 + 2/6) = 4.712; at the surface the section's slope halves and induced drag nearly
    /// doubles: a0 = pi, sigma = 1/1.05, pi/(1 + (1 + 0.95238)/6) = 2.370303.
    #[test]
    fn lift_slope_deep_and_at_the_surface() {
        let foil = Foil { span_m: 1.8, chord_m: 0.3, profile_drag_coefficient: 0.008 };
        assert_relative_eq!(foil.lift_slope_per_rad(1e4), TAU / (1.0 + 2.0 / 6.0), max_relative = 1e-6);
        assert_relative_eq!(foil.lift_slope_per_rad(0.0), 2.370_303, max_relative = 1e-5);
    }

    /// By hand: 20 kN at 10 m/s on 1.8 x 0.3 m: q S = 27675 N, CL 0.72267, deep CDi 0.52226/18.8496 = 0.027707,
    /// drag 27675 (0.008 + 0.027707) = 988.2 N.
    #[test]
    fn drag_by_hand() {
        let foil = Foil { span_m: 1.8, chord_m: 0.3, profile_drag_coefficient: 0.008 };
        assert_relative_eq!(foil.at_depth(5.0).drag_n(20_000.0, 10.0), 988.2, max_relative = 1e-4);
        assert!(foil.at_depth(0.4).drag_n(20_000.0, 10.0) > 988.2);
    }

    /// Quadrature of the stalled lift over the Gaussian in scipy 1.17.1, tests/reference/calm_water.py, angles in
    /// degrees: mean, spread, stall, negative stall, plateau, drop to 60 %.
    #[test]
    fn mean_stalled_lift_equals_quadrature() {
        for (mean, sd, stall, negative, plateau, drop) in [
            (4.0, 2.0, 12.0, 1e3, 0.999_996_427_4, 0.999_958_421_9),
            (4.0, 4.0, 12.0, 1e3, 0.991_509_297_4, 0.964_209_139_0),
            (6.0, 6.0, 10.0, 1e3, 0.848_880_352_8, 0.680_551_994_5),
            (3.0, 5.0, 12.0, 10.0, 0.978_647_160_8, 0.927_373_567_6),
        ] {
            for (lift_left, expected) in [(1.0, plateau), (0.6, drop)] {
                let [positive_rad, negative_rad, m, s] = [stall, negative, mean, sd].map(f64::to_radians);
                let stall = Stall { positive_rad, negative_rad, lift_left };
                assert_relative_eq!(stall.mean_lift_ratio(m, s), expected, max_relative = 1e-8);
            }
        }
    }

    #[test]
    fn steady_angle_is_the_limit_of_a_small_spread() {
        let stall = Stall { positive_rad: 0.2, negative_rad: 0.15, lift_left: 0.6 };
        for mean in [0.05, 0.19, 0.3] {
            assert_relative_eq!(
                stall.mean_lift_ratio(mean, 0.0),
                stall.mean_lift_ratio(mean, 1e-6),
                epsilon = 1e-9
            );
        }
    }

    /// By hand: sd 0.5 rad, sd of rate 1 rad/s, stall at 1 rad: 2/(2 pi) exp(-2) = 0.043079 Hz, on either side of a mean
    /// of zero. A mean 0.5 beyond stall passes it as a mean 0.5 within: 1/pi (exp(-0.5) + exp(-12.5)) = 0.193066 Hz.
    #[test]
    fn stalls_by_hand() {
        let stall = Stall { positive_rad: 1.0, negative_rad: 1.0, lift_left: 1.0 };
        assert_relative_eq!(stall.event_rate_hz(0.0, 0.25, 1.0), 2.0 * 0.043_079, max_relative = 1e-4);
        assert!(stall.event_rate_hz(0.5, 0.25, 1.0) > stall.event_rate_hz(0.0, 0.25, 1.0));
        assert_relative_eq!(stall.event_rate_hz(1.5, 0.25, 1.0), 0.193_066, max_relative = 1e-4);
    }

    /// By hand: 20 s lost every 120 s of flight, 6/7; 30 s every 60 s, 2/3.
    #[test]
    fn availability_by_hand() {
        assert_relative_eq!(availability(1.0 / 120.0, 20.0), 6.0 / 7.0, max_relative = 1e-12);
        assert_relative_eq!(availability(1.0 / 60.0, 30.0), 2.0 / 3.0, max_relative = 1e-12);
        assert_relative_eq!(shared_time_speed_m_s(6.0 / 7.0, 14.0, 7.0), 13.0, max_relative = 1e-12);
    }
}
