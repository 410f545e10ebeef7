//! What drives her: thrust over speed at one true wind, set so that it balances at the flat polar's speed.

use super::Tables;
use super::carriage::Carriage;
use super::rungs::{RUNG_M_S, rungs_below};
use crate::flags::{Flag, Flags};
use crate::hydro::axis::Place;
use crate::hydro::calm_water::side_force::induced_resistance_n;
use crate::hydro::cubic::cubic;
use crate::hydro::response::Response;
use crate::hydro::sail::{SailForce, SailPlan, thrust};
use crate::hydro::sail_motion::mean_drive_change_n;
use crate::units::RHO_AIR;

/// A side force's drag grows without bound as speed falls; below this speed it is that of this speed.
const LEAST_SPEED_M_S: f64 = 0.1;
/// Steps from one rung to the next in which thrust is tabulated: where the sails change its slope jumps, and so does
/// what a small sea costs.
const FINER: usize = 8;
const STEP_M_S: f64 = RUNG_M_S / FINER as f64;
/// Nodes that cubic interpolation needs.
const FEWEST_NODES: usize = 3;
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
    /// Whether something stands in the wind that the polar does not hold.
    pub has_windage: bool,
    /// Effective draught that the side force leans on, m; none where its drag is not modelled.
    draught_m: Option<f64>,
    /// At steps from rest to the first rung at the top speed or above.
    driving: Vec<Driving>,
    /// The same at the rungs, summed.
    pub rungs: Vec<Thrust>,
}

/// What drives her at one speed. Forces in N.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Driving {
    /// Drive of the sails at their limit, less the wind drag of hull and rig.
    sails_n: f64,
    /// Their side force.
    side_n: f64,
    /// Change of their mean drive per variance of pitch rate, N s²/rad².
    pitching: f64,
    /// Drag in the wind of what the polar does not hold.
    windage_n: f64,
}

/// The sum of all that drives her at one speed, N; `pitching` per variance of pitch rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Thrust {
    /// Drive of the sails as far as they are set.
    pub drive_n: f64,
    /// Drag of their side force.
    pub side_drag_n: f64,
    /// Change of their mean drive per variance of pitch rate, N s²/rad².
    pub pitching: f64,
    /// Drag in the wind of what the polar does not hold; negative where the wind pushes it.
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
        let bare = boat.sails.as_ref().map_or(0.0, |sails| sails.hull_and_rig_drag_area_m2);
        let lever = boat.sails.as_ref().map_or(0.0, |sails| sails.effort_above_gravity_m);
        let in_wind = |area_m2: f64, force: &SailForce| {
            0.5 * RHO_AIR * area_m2 * force.aws_m_s.powi(2) * force.awa_rad.cos()
        };
        let drag_area = tables.model.extra_drag_area_m2(wind.twa_deg);
        let driving = |node: usize| {
            let force = thrust(plan, wind.tws_m_s, twa_rad, STEP_M_S * node as f64);
            Driving {
                sails_n: force.drive_n - in_wind(bare, &force),
                side_n: force.side_n,
                pitching: mean_drive_change_n(&force, lever),
                windage_n: in_wind(drag_area, &force),
            }
        };
        let mut drive = Self {
            top_speed: flat_speed,
            has_windage: drag_area != 0.0,
            draught_m: boat.appendages.as_ref().map(|keel| keel.effective_draught_m),
            driving: (0..(rungs_below(flat_speed) * FINER + 1).max(FEWEST_NODES)).map(driving).collect(),
            rungs: Vec::new(),
        };
        drive.anchor(tables, carriage, flags);
        let speeds = drive.driving.iter().step_by(FINER).enumerate();
        drive.rungs = speeds.map(|(rung, driving)| drive.eased(*driving, RUNG_M_S * rung as f64)).collect();
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
        let at_limit = self.between_nodes(flat_speed);
        let (drive, side_drag) = (at_limit.sails_n, self.side_drag_n(at_limit.side_n, flat_speed));
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
            for node in &mut self.driving {
                node.sails_n *= power;
                node.side_n *= power;
                node.pitching *= power;
            }
        }
        let slower = (flat_speed - RUNG_M_S).max(0.0);
        if !power.is_finite() || self.at(slower).net_n() < in_flat_water(slower).0 {
            *flags |= Flag::ThrustHeld;
            for node in &mut self.driving {
                *node = Driving { sails_n: calm, windage_n: node.windage_n, ..Driving::default() };
            }
        }
    }

    /// What drives her at a speed up to the top speed.
    pub fn at(&self, speed_m_s: f64) -> Thrust {
        self.eased(self.between_nodes(speed_m_s), speed_m_s)
    }

    fn between_nodes(&self, speed_m_s: f64) -> Driving {
        let position = speed_m_s / STEP_M_S;
        let lower = (position as usize).min(self.driving.len() - 2);
        let place = Place { lower, upper_weight: position - lower as f64, outside: false };
        let mut sum = Driving::default();
        for (node, weight) in cubic(place, self.driving.len()) {
            let node = &self.driving[node];
            sum.sails_n += weight * node.sails_n;
            sum.side_n += weight * node.side_n;
            sum.pitching += weight * node.pitching;
            sum.windage_n += weight * node.windage_n;
        }
        sum
    }

    /// Drive and the drag of the side force with the sails eased as far as that helps.
    ///
    /// Reefed to a part r, drive falls with r and the side force's drag with r²: D r - R r² is greatest at
    /// r = D/(2 R). Without this a slowing boat would be dragged to a stop by a side force that no crew would hold.
    fn eased(&self, driving: Driving, speed_m_s: f64) -> Thrust {
        let (drive, drag) = (driving.sails_n, self.side_drag_n(driving.side_n, speed_m_s));
        let part = if drag > 0.0 { (0.5 * drive / drag).clamp(0.0, 1.0) } else { 1.0 };
        Thrust {
            drive_n: part * drive,
            side_drag_n: part * part * drag,
            pitching: driving.pitching,
            windage_n: driving.windage_n,
        }
    }

    fn side_drag_n(&self, side_n: f64, speed_m_s: f64) -> f64 {
        self.draught_m
            .map_or(0.0, |draught_m| induced_resistance_n(side_n, speed_m_s.max(LEAST_SPEED_M_S), draught_m))
    }
}

impl Thrust {
    /// Drive less the drag of the side force, N.
    pub fn net_n(&self) -> f64 {
        self.drive_n - self.side_drag_n
    }
}
