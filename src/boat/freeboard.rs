//! The freeboard left at her bow as she sails: geometric, raised by what the foils carry, lowered by trim and bow wave.

use crate::base::units::{G, RHO_WATER};
use crate::boat::model::{BoatModel, FOREFOOT_ABAFT_STEM};
use crate::hull::Hydrostatics;
use crate::hydro::deck_water::Bow;

/// The least share of her weight that the hull is taken to bear here. A hull about to leave the water is trimmed by her
/// foils' setting, which the boat file does not tell; judged, no source.
const LEAST_BORNE: f64 = 0.2;
/// The length Froude number above which the trim by the sails' drive stays: there a hull planes, and the pressures that
/// hold her trim grow with the square of speed as her drag does. Judged, no source; the middle of the speeds over which the
/// flat-water resistance passes on to planing.
const PLANING_FROUDE: f64 = 1.0;

/// How a boat floats as she sails in flat water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Running {
    /// How much higher her bow stands by what the foils carry, m; on an even keel.
    pub rise_m: f64,
    /// Trim, rad, positive bow down.
    pub trim_rad: f64,
    /// How much lower her bow stands by that, m; negative where it rises.
    pub bow_sinkage_m: f64,
    /// What the steady bow wave takes of the freeboard, m.
    pub bow_wave_m: f64,
}

/// Rise, trim, and what is left under water on an even keel.
struct Afloat {
    rise_m: f64,
    trim_rad: f64,
    hydrostatics: Hydrostatics,
}

impl BoatModel {
    /// Effective freeboard at the bow in flat water, m, at a speed of zero or more; with foils that carry what they can,
    /// or nothing. None without `[deck]`.
    ///
    /// A function of speed alone: the drive that trims her is what balances flat-water resistance. The usual definition in
    /// deck-wetness prediction, without dynamic swell-up, which raises the relative motion of full bows by some 10 to 30 %
    /// (common practice, no source). The weight of shipped water, leeway and heel are left out.
    pub fn effective_freeboard_m(&self, speed_m_s: f64, flies: bool) -> Option<f64> {
        let deck = self.boat.deck.as_ref()?;
        let running = self.running(speed_m_s, flies, deck.wetted_edge_m / 2.0);
        Some(deck.bow_freeboard_m + running.rise_m - running.bow_sinkage_m - running.bow_wave_m)
    }

    /// Draught of the hull at the forefoot as she sails in flat water, m, at a speed of zero or more: the section's there, with
    /// rise and trim as for the freeboard and without the bow wave. Zero or less where it is out of the water.
    pub fn forefoot_draught_m(&self, speed_m_s: f64, flies: bool) -> f64 {
        let afloat = self.afloat(speed_m_s, flies);
        let x_m = (1.0 - FOREFOOT_ABAFT_STEM) * self.hydrostatics.lwl_m;
        self.hull.draught_at_m(x_m) - afloat.rise_m + afloat.trim_rad * (x_m - afloat.hydrostatics.lcf_m)
    }

    /// How she floats at a speed; `edge_m` is the length of deck edge of one side that the bow wave may wet.
    pub fn running(&self, speed_m_s: f64, flies: bool, edge_m: f64) -> Running {
        let afloat = self.afloat(speed_m_s, flies);
        let bow = Bow {
            half_entrance_angle: self.entrance_angle_rad(),
            draught_m: afloat.hydrostatics.draught_m,
            length_m: self.hydrostatics.lwl_m,
            edge_m,
        };
        Running {
            rise_m: afloat.rise_m,
            trim_rad: afloat.trim_rad,
            bow_sinkage_m: afloat.trim_rad * (self.hydrostatics.lwl_m - afloat.hydrostatics.lcf_m),
            bow_wave_m: bow.wave_m(speed_m_s),
        }
    }

    /// Rise and trim are hydrostatic: the hull bears what the foils leave, and the moments about the centre of gravity
    /// balance with rho g times the waterplane's second moment as stiffness (the weight's own lever, a hundredth of it, is
    /// left out). Moments are those of the sails' drive, of the foils' lift before or abaft the centre of gravity, and of
    /// the risen hull's buoyancy. What the hull's own pressures do, squatting at hull speed and lifting bow first when she
    /// planes, and crew or ballast moved against the trim are left out.
    fn afloat(&self, speed_m_s: f64, flies: bool) -> Afloat {
        let foil_share = if flies { self.foil_share(speed_m_s) } else { 0.0 };
        let borne = (1.0 - foil_share).max(LEAST_BORNE);
        let risen = self.hull.risen(borne);
        let afloat = risen.hydrostatics;
        let gravity_x_m = self.hydrostatics.lcb_m;
        let weight_n = self.displacement_kg * G;
        let foil_lever_m = self.boat.foils.as_ref().map_or(0.0, |foils| foils.x_m - gravity_x_m);
        let bow_up_nm = weight_n * ((1.0 - borne) * foil_lever_m + borne * (afloat.lcb_m - gravity_x_m));
        let bow_down_nm = self.drive_moment_nm(speed_m_s, flies) - bow_up_nm;
        let trim_rad = bow_down_nm / (RHO_WATER * G * afloat.waterplane_inertia_m4);
        Afloat { rise_m: risen.rise_m, trim_rad, hydrostatics: afloat }
    }

    /// Moment of the drive that balances flat-water resistance, N m, bow down: resistance is taken to act at the height of
    /// the centre of gravity. Zero without `[sails]`.
    pub fn drive_moment_nm(&self, speed_m_s: f64, flies: bool) -> f64 {
        let lever_m = self.boat.sails.as_ref().map_or(0.0, |sails| sails.effort_above_gravity_m);
        let held_m_s = speed_m_s.min(PLANING_FROUDE * (G * self.hydrostatics.lwl_m).sqrt());
        lever_m * self.flat_resistance_n(held_m_s, flies)
    }

    /// Half-angle of entrance between the stem and where the waterline nears its full beam, rad.
    ///
    /// The chord's angle, as in SNNM: the tip of a rounded waterline is blunt and says little about the wave it makes.
    fn entrance_angle_rad(&self) -> f64 {
        (0.495 * self.hydrostatics.bwl_m / self.hydrostatics.entrance_length_m).atan()
    }
}
