//! One resistance curve of a hull from rest to planing, joined from the methods beside this file.
//!
//! | Froude number | method |
//! |---|---|
//! | to 0.65 | Delft series ([`crate::hydro::calm_water::delft`]), friction on 0.7 Lwl |
//! | 0.65-0.75 | passing to the next |
//! | 0.75-1.0 | slender hulls: power law ([`crate::hydro::calm_water::power_law`]), friction on Lwl; others: the Delft C_R of Fn 0.70 held |
//! | 0.8-1.2 | passing to Savitsky ([`crate::hydro::calm_water::savitsky`]) where planing dimensions are given and his equilibrium exists |
//! | beyond | Savitsky, or the C_R of Fn 1.0 (power law) or 0.70 (Delft) held |
//!
//! A hull slimmer than the Delft series (L/V^(1/3) 7.5 to 8.5, as foils lift it) passes to the power law earlier,
//! down to Fn 0.40-0.50. Between neighbours the whole resistances are weighted by a smooth step, so the curve and
//! its slope are continuous in speed and in the hull-borne share of the weight.

use crate::base::units::{G, RHO_WATER};
use crate::base::{Flag, Flags};
use crate::hydro::calm_water::appendages::Appendage;
use crate::hydro::calm_water::delft;
use crate::hydro::calm_water::form::HullForm;
use crate::hydro::calm_water::ittc57::{YACHT_LENGTH_SHARE, friction_n};
use crate::hydro::calm_water::power_law;
use crate::hydro::calm_water::power_law::smooth_step;
use crate::hydro::calm_water::savitsky;
use crate::hydro::calm_water::savitsky::PlaningDims;

/// A hull for flat-water resistance, upright and at rest in full load.
#[derive(Debug, Clone, PartialEq)]
pub struct CalmHull {
    /// The canoe body in full load.
    pub form: HullForm,
    /// Wetted surface of the canoe body; by [`HullForm::wetted_surface_m2`] where not given.
    pub wetted_surface_m2: Option<f64>,
    /// Given only for hulls that plane.
    pub planing: Option<PlaningDims>,
    pub appendages: Vec<Appendage>,
}

/// A flat-water resistance and its reservations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calm {
    pub resistance_n: f64,
    pub flags: Flags,
}

/// Where a hull of the Delft series' slenderness passes on from the Delft formula.
const DELFT_END: (f64, f64) = (0.65, delft::FROUDE_MAX);
/// How much earlier a slimmer hull does, and between which slendernesses.
const EARLIER: f64 = 0.25;
const TOO_SLIM_FOR_DELFT: (f64, f64) = (7.5, delft::SLENDERNESS_MAX);
/// Slendernesses between which the power law takes over from the held C_R.
const SLENDER: (f64, f64) = (power_law::SLENDERNESS_RANGE.0, 7.3);
/// Froude number whose Delft C_R is held beyond the Delft table.
const HELD_FROUDE: f64 = 0.70;
const PLANING_START: (f64, f64) = (0.8, 1.2);
/// Where trust in the planing equilibrium begins or ends: trim in degrees, and wetted length over beam, whose ends
/// are those of Savitsky's range.
const DRY_CHINES_DEG: (f64, f64) = (0.5, 1.0);
const TOO_STEEP_DEG: (f64, f64) = (13.0, 15.0);
const TOO_LONG: (f64, f64) = (3.5, 4.0);

impl CalmHull {
    /// Resistance of the bare hull at a speed of zero or more, for a borne fraction in (0, 1.3]: the hull-borne
    /// weight over the displacement (foils lift part of it, water on deck adds). The form follows by
    /// [`HullForm::at_borne_fraction`], a given wetted surface in proportion to its formula.
    ///
    /// Finite and not negative. Flagged [`Flag::CalmWaterOutOfRange`] where a method with any weight in the
    /// result is outside its range or a coefficient is held beyond its table.
    pub fn bare_hull_resistance_n(&self, speed_m_s: f64, borne_fraction: f64) -> Calm {
        if speed_m_s <= 0.0 || borne_fraction <= 0.0 {
            return Calm { resistance_n: 0.0, flags: Flags::empty() };
        }
        let afloat = Afloat::new(self, speed_m_s, borne_fraction);
        let (planing, weight) = self.planing(&afloat);
        if weight == 1.0 {
            return planing;
        }
        let afloat = afloat.displacement_resistance();
        Calm {
            resistance_n: weight * planing.resistance_n + (1.0 - weight) * afloat.resistance_n,
            flags: planing.flags | afloat.flags,
        }
    }

    /// Viscous resistance in N of all appendages, without lift.
    pub fn appendage_resistance_n(&self, speed_m_s: f64) -> f64 {
        self.appendages.iter().map(|appendage| appendage.resistance_n(speed_m_s)).sum()
    }

    /// The resistance in planing equilibrium and its weight in the result, zero where there is none to trust.
    ///
    /// Past the low end of Savitsky's trims a fast hull still does better by his equations than by a C_R held from
    /// Fn 1, so they go on, flagged, until so little weight is left that the chines would be dry.
    fn planing(&self, afloat: &Afloat) -> (Calm, f64) {
        let due = smooth_step(afloat.froude, PLANING_START);
        let equilibrium = self
            .planing
            .filter(|_| due > 0.0)
            .and_then(|dims| savitsky::equilibrium(&dims, afloat.weight_n, afloat.speed_m_s));
        let trust = equilibrium.map_or(0.0, |found| {
            smooth_step(found.trim_deg, DRY_CHINES_DEG)
                * (1.0 - smooth_step(found.trim_deg, TOO_STEEP_DEG))
                * (1.0 - smooth_step(found.wetted_length_ratio, TOO_LONG))
        });
        match equilibrium.filter(|_| trust > 0.0) {
            None => (Calm { resistance_n: 0.0, flags: Flags::empty() }, 0.0),
            Some(found) => {
                let flags = if found.in_range() { Flags::empty() } else { Flag::CalmWaterOutOfRange.into() };
                (Calm { resistance_n: found.resistance_n, flags }, due * trust)
            }
        }
    }
}

/// The hull as it floats at one speed.
struct Afloat {
    form: HullForm,
    wetted_surface_m2: f64,
    weight_n: f64,
    speed_m_s: f64,
    froude: f64,
}

impl Afloat {
    fn new(hull: &CalmHull, speed_m_s: f64, borne_fraction: f64) -> Self {
        let full = &hull.form;
        let form = full.at_borne_fraction(borne_fraction);
        let by_formula = form.wetted_surface_m2();
        Self {
            form,
            wetted_surface_m2: match hull.wetted_surface_m2 {
                Some(given) => given * by_formula / full.wetted_surface_m2(),
                None => by_formula,
            },
            weight_n: RHO_WATER * G * form.volume_m3,
            speed_m_s,
            froude: speed_m_s / (G * form.lwl_m).sqrt(),
        }
    }

    /// Resistance without planing lift.
    fn displacement_resistance(&self) -> Calm {
        let slenderness = self.form.slenderness();
        let earlier = EARLIER * smooth_step(slenderness, TOO_SLIM_FOR_DELFT);
        let fast = smooth_step(self.froude, (DELFT_END.0 - earlier, DELFT_END.1 - earlier));
        let slender = smooth_step(slenderness, SLENDER);
        let terms = [
            (1.0 - fast, Self::delft as fn(&Self) -> Calm),
            (fast * (1.0 - slender), Self::held),
            (fast * slender, Self::power_law),
        ];
        terms.into_iter().filter(|(weight, _)| *weight > 0.0).fold(
            Calm { resistance_n: 0.0, flags: Flags::empty() },
            |sum, (weight, method)| {
                let Calm { resistance_n, flags } = method(self);
                Calm { resistance_n: sum.resistance_n + weight * resistance_n, flags: sum.flags | flags }
            },
        )
    }

    fn delft(&self) -> Calm {
        let Calm { resistance_n, flags } = self.delft_residuary(self.froude.min(delft::FROUDE_MAX));
        Calm { resistance_n: resistance_n + self.yacht_friction_n(), flags }
    }

    /// The Delft residuary coefficient of Fn 0.70 at this speed.
    fn held(&self) -> Calm {
        let Calm { resistance_n, flags } = self.delft_residuary(HELD_FROUDE);
        let beyond =
            if self.froude > delft::FROUDE_MAX { Flag::CalmWaterOutOfRange.into() } else { Flags::empty() };
        Calm {
            resistance_n: resistance_n * (self.froude / HELD_FROUDE).powi(2) + self.yacht_friction_n(),
            flags: flags | beyond,
        }
    }

    fn delft_residuary(&self, froude: f64) -> Calm {
        let ratio = delft::residuary_per_weight(&self.form, froude).unwrap_or(0.0);
        let trusted = delft::in_range(&self.form);
        Calm {
            resistance_n: self.weight_n * ratio,
            flags: if trusted { Flags::empty() } else { Flag::CalmWaterOutOfRange.into() },
        }
    }

    fn power_law(&self) -> Calm {
        let pressure_n = 0.5 * RHO_WATER * self.wetted_surface_m2 * self.speed_m_s * self.speed_m_s;
        let residuary_n = pressure_n * power_law::residuary_coefficient(&self.form, self.froude);
        let trusted = power_law::in_range(&self.form, self.froude);
        Calm {
            resistance_n: residuary_n + friction_n(self.wetted_surface_m2, self.form.lwl_m, self.speed_m_s),
            flags: if trusted { Flags::empty() } else { Flag::CalmWaterOutOfRange.into() },
        }
    }

    fn yacht_friction_n(&self) -> f64 {
        friction_n(self.wetted_surface_m2, YACHT_LENGTH_SHARE * self.form.lwl_m, self.speed_m_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydro::calm_water::form::samples;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    const STEP_M_S: f64 = 0.05;

    fn hull(form: HullForm, planing: Option<PlaningDims>) -> CalmHull {
        CalmHull { form, wetted_surface_m2: None, planing, appendages: Vec::new() }
    }

    fn samples() -> [CalmHull; 3] {
        let dims = PlaningDims { beam_m: 3.1, deadrise_deg: 10.0, lcg_m: 5.6, vcg_m: 0.6 };
        [hull(samples::cruiser(), None), hull(samples::foiler(), None), hull(samples::foiler(), Some(dims))]
    }

    fn n(hull: &CalmHull, speed: f64, borne: f64) -> f64 {
        hull.bare_hull_resistance_n(speed, borne).resistance_n
    }

    #[test]
    fn zero_at_rest_and_unflagged() {
        for hull in samples() {
            assert_eq!(
                hull.bare_hull_resistance_n(0.0, 1.0),
                Calm { resistance_n: 0.0, flags: Flags::empty() }
            );
        }
    }

    /// Against a straight line through its neighbours a smooth curve bends by second order in the speed step, a step
    /// in it by its own size; at a kink the slopes from either side differ.
    #[test]
    fn continuous_with_continuous_slope_over_speed() {
        let (step, tiny) = (0.01, 1e-5);
        for (which, hull) in samples().iter().enumerate() {
            for borne in [0.1, 0.3, 0.6, 0.8, 1.0, 1.3] {
                for i in 100..2500 {
                    let v = f64::from(i) * step;
                    let at = |dv: f64| n(hull, v + dv, borne);
                    let bend = (at(step) - 2.0 * at(0.0) + at(-step)).abs() / at(0.0);
                    assert!(bend < 1e-3, "hull {which}, borne {borne}, {v} m/s: bend {bend}");
                    let kink = (at(tiny) - 2.0 * at(0.0) + at(-tiny)).abs() / tiny;
                    assert!(
                        kink * STEP_M_S < 1e-3 * at(0.0),
                        "hull {which}, borne {borne}, {v} m/s: kink {kink}"
                    );
                }
            }
        }
    }

    /// A planing hull may dip where it passes to the lower Savitsky resistance, 4 % at its own weight and 10 % at 1.3
    /// times that; the others not by more than the Delft fit itself does past its hump.
    #[test]
    fn positive_and_nearly_monotone() {
        for (which, hull) in samples().iter().enumerate() {
            let least = if hull.planing.is_some() { 0.90 } else { 0.99 };
            for borne in [0.1, 0.3, 0.6, 0.8, 1.0, 1.3] {
                let mut highest: f64 = 0.0;
                for i in 1..=500 {
                    let v = f64::from(i) * STEP_M_S;
                    let found = n(hull, v, borne);
                    assert!(
                        found.is_finite() && found > least * highest,
                        "hull {which}, borne {borne}, {v} m/s: {found} N"
                    );
                    highest = highest.max(found);
                }
            }
        }
    }

    #[test]
    fn continuous_over_the_borne_fraction() {
        for hull in samples() {
            for v in [2.0, 5.0, 6.5, 8.0, 9.0, 11.0, 14.0, 20.0] {
                for i in 5..130 {
                    let borne = f64::from(i) / 100.0;
                    let (low, high) = (n(&hull, v, borne - 1e-4), n(&hull, v, borne + 1e-4));
                    assert_relative_eq!(low, high, max_relative = 0.01);
                }
            }
        }
    }

    /// The cruiser (L/V^(1/3) 5.2) has no method beyond Fn 0.75, the light hull (7.6) none beyond Fn 1 unless it
    /// planes; planing, it leaves Savitsky's trims above 2 degrees near Fn 1.5.
    #[test]
    fn flagged_exactly_outside_the_ranges() {
        let flagged = |hull: &CalmHull, froude: f64| {
            let flags = hull.bare_hull_resistance_n(froude * (G * hull.form.lwl_m).sqrt(), 1.0).flags;
            assert!(flags.is_empty() || flags == Flags::only(Flag::CalmWaterOutOfRange));
            !flags.is_empty()
        };
        let [cruiser, light, planing] = samples();
        assert_eq!(
            [0.1, 0.5, 0.74, 0.76, 2.0].map(|f| flagged(&cruiser, f)),
            [false, false, false, true, true]
        );
        assert_eq!(
            [0.1, 0.5, 0.76, 0.99, 1.01].map(|f| flagged(&light, f)),
            [false, false, false, false, true]
        );
        assert_eq!(
            [0.9, 1.1, 1.21, 1.4, 1.6].map(|f| flagged(&planing, f)),
            [false, true, false, false, true]
        );
        let fuller = hull(HullForm { cm: 0.79, ..samples::foiler() }, None);
        assert_eq!([0.1, 0.5, 0.76].map(|f| flagged(&fuller, f)), [true, true, false]);
    }

    #[test]
    fn given_wetted_surface_scales_friction_only() {
        let [cruiser, ..] = samples();
        let formula = cruiser.form.wetted_surface_m2();
        let wider = CalmHull { wetted_surface_m2: Some(1.1 * formula), ..cruiser.clone() };
        let v = 3.0;
        let friction = friction_n(formula, 0.7 * 8.9, v);
        assert_relative_eq!(n(&wider, v, 1.0) - n(&cruiser, v, 1.0), 0.1 * friction, max_relative = 1e-9);
    }

    proptest! {
        #[test]
        fn finite_and_positive_for_any_hull(
            lwl in 4.0..30.0f64,
            length_beam in 2.5..8.0f64,
            beam_draught in 2.0..20.0f64,
            cp in 0.5..0.65f64,
            cm in 0.6..0.9f64,
            waterplane in 0.6..0.8f64,
            speed in 0.01..25.0f64,
            borne in 0.01..1.3f64,
        ) {
            let (bwl, draught) = (lwl / length_beam, lwl / length_beam / beam_draught);
            let form = HullForm {
                lwl_m: lwl,
                bwl_m: bwl,
                draught_m: draught,
                volume_m3: cp * cm * lwl * bwl * draught,
                cp,
                cm,
                waterplane_area_m2: waterplane * lwl * bwl,
                lcb_from_fwd_m: 0.53 * lwl,
                lcf_from_fwd_m: 0.55 * lwl,
            };
            let dims = PlaningDims { beam_m: bwl, deadrise_deg: 12.0, lcg_m: 0.4 * lwl, vcg_m: 0.5 };
            for planing in [None, Some(dims)] {
                let found = n(&hull(form, planing), speed, borne);
                prop_assert!(found.is_finite() && found > 0.0);
            }
        }
    }
}
