//! What drives her: thrust over speed at one true wind, set so that it balances at the flat polar's speed.

use super::Tables;
use super::carriage::Carriage;
use super::curve::Curve;
use super::rungs::{RUNG_M_S, rungs_below};
use crate::flags::{Flag, Flags};
use crate::hydro::calm_water::side_force::induced_resistance_n;
use crate::hydro::response::Response;
use crate::hydro::sail::{SailForce, SailPlan, thrust};
use crate::hydro::sail_motion::mean_drive_change_n;
use crate::units::RHO_AIR;

const SPEED_STEP_M_S: f64 = 0.1;
/// Thrust and resistance further apart than this factor mean that boat file and polar don't belong together.
const MISMATCH: f64 = 2.0;

/// True wind: speed in m/s, and signed angle in degrees.
#[derive(Debug, Clone, Copy)]
pub(super) struct TrueWind {
    pub tws_m_s: f64,
    pub twa_deg: f64,
}

/// Thrust and wind drag over speed, from rest to the flat polar's speed.
#[derive(Debug, Clone)]
pub(super) struct Drive {
    /// The flat polar's speed, m/s.
    pub top_speed: f64,
    /// Thrust of the sails at their limit, N.
    sails: Curve,
    /// Change of mean thrust per variance of pitch rate, N s²/rad².
    pitching: Curve,
    /// Drag of the side force at that limit, N.
    side: Curve,
    /// Drag in the wind of what the polar does not hold, N.
    windage: Curve,
    /// Whether there is something that the polar does not hold.
    pub has_windage: bool,
    /// The same at the rungs below the top speed.
    pub rungs: Vec<DriveRung>,
}

/// What drives her at one rung, N; `pitching` per variance of pitch rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct DriveRung {
    pub net_n: f64,
    pub pitching: f64,
    pub windage_n: f64,
}

impl Drive {
    /// Thrust that balances at the flat speed in a carriage; what speaks against boat and polar is added to `flags`.
    pub fn new(
        tables: &Tables,
        plan: &SailPlan,
        wind: TrueWind,
        flat_speed: f64,
        carriage: Carriage,
        flags: &mut Flags,
    ) -> Self {
        let boat = &tables.model.boat;
        let twa_rad = wind.twa_deg.abs().to_radians();
        let draught = boat.appendages.as_ref().map(|keel| keel.effective_draught_m);
        let side_drag = |speed: f64, side_n: f64| {
            draught.map_or(0.0, |draught| induced_resistance_n(side_n, speed.max(SPEED_STEP_M_S), draught))
        };
        let bare = boat.sails.as_ref().map_or(0.0, |sails| sails.hull_and_rig_drag_area_m2);
        let lever = boat.sails.as_ref().map_or(0.0, |sails| sails.effort_above_gravity_m);
        let in_wind = |area_m2: f64, force: &SailForce| {
            0.5 * RHO_AIR * area_m2 * force.aws_m_s.powi(2) * force.awa_rad.cos()
        };
        let drag_area = tables.model.extra_drag_area_m2(wind.twa_deg);
        let [sails, pitching, side, windage] =
            Curve::several(flat_speed.max(SPEED_STEP_M_S), SPEED_STEP_M_S, |speed| {
                let force = thrust(plan, wind.tws_m_s, twa_rad, speed);
                [
                    force.drive_n - in_wind(bare, &force),
                    mean_drive_change_n(&force, lever),
                    side_drag(speed, force.side_n),
                    in_wind(drag_area, &force),
                ]
            });
        let has_windage = drag_area != 0.0;
        let mut drive =
            Self { top_speed: flat_speed, sails, pitching, side, windage, has_windage, rungs: Vec::new() };
        drive.anchor(tables, carriage, flags);
        drive.rungs = (0..rungs_below(flat_speed)).map(|rung| drive.rung(rung as f64 * RUNG_M_S)).collect();
        drive
    }

    /// Sets the sails' power so that thrust equals flat-water resistance at the flat speed.
    ///
    /// Power p scales drive and side force alike: p D - p² R_side = R, the smaller root. Where no power does, or where
    /// she could not hold the speed that the polar says she holds, thrust is held constant.
    fn anchor(&mut self, tables: &Tables, carriage: Carriage, flags: &mut Flags) {
        let flat_speed = self.top_speed;
        if flat_speed <= 0.0 {
            return;
        }
        let in_flat_water = |speed: f64| {
            let carried = carriage.at(tables, speed, &Response::default(), 0.0);
            (carried.calm_n + carried.foil_n, carried.borne)
        };
        let (calm, borne) = in_flat_water(flat_speed);
        *flags |= tables.model.calm.bare_hull_resistance_n(flat_speed, borne).flags;
        let (drive, side_drag) = (self.sails.at(flat_speed), self.side.at(flat_speed));
        let discriminant = drive * drive - 4.0 * side_drag * calm;
        let power = if drive > 0.0 && discriminant >= 0.0 {
            2.0 * calm / (drive + discriminant.sqrt())
        } else {
            f64::INFINITY
        };
        if !(1.0 / MISMATCH..=MISMATCH).contains(&power) {
            *flags |= Flag::ThrustMismatch;
        }
        if power.is_finite() {
            self.sails.scale(power);
            self.pitching.scale(power);
            self.side.scale(power * power);
        }
        let slower = (flat_speed - RUNG_M_S).max(0.0);
        if !power.is_finite() || self.net(slower) < in_flat_water(slower).0 {
            *flags |= Flag::ThrustHeld;
            self.sails.fill(calm);
            self.pitching.fill(0.0);
            self.side.fill(0.0);
        }
    }

    fn rung(&self, speed: f64) -> DriveRung {
        DriveRung {
            net_n: self.net(speed),
            pitching: self.pitching.at(speed),
            windage_n: self.windage.at(speed),
        }
    }

    /// Drive and the drag of the side force in N, with the sails eased as far as that helps.
    ///
    /// Reefed to a part r, drive falls with r and the side force's drag with r²: D r - R r² is greatest at
    /// r = D/(2 R). Without this a slowing boat would be dragged to a stop by a side force that no crew would hold.
    pub fn eased(&self, speed: f64) -> (f64, f64) {
        let (drive, drag) = (self.sails.at(speed), self.side.at(speed));
        let part = if drag > 0.0 { (0.5 * drive / drag).clamp(0.0, 1.0) } else { 1.0 };
        (part * drive, part * part * drag)
    }

    /// Drive less the drag of the side force, N.
    pub fn net(&self, speed: f64) -> f64 {
        let (drive, drag) = self.eased(speed);
        drive - drag
    }

    /// Change of mean thrust per variance of pitch rate, N s²/rad².
    pub fn pitching(&self, speed: f64) -> f64 {
        self.pitching.at(speed)
    }

    /// Drag in the wind of what the polar does not hold, N; negative where the wind pushes it.
    pub fn windage(&self, speed: f64) -> f64 {
        self.windage.at(speed)
    }
}
