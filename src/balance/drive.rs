//! What drives her: thrust over speed at one true wind, set so that it balances at the flat polar's speed.

use crate::balance::carriage::Carriage;
use crate::balance::rungs::{RUNG_M_S, rungs_below};
use crate::balance::tables::BoatTables;
use crate::base::{Flag, Flags};
use crate::hydro::calm_water::side_force::induced_resistance_n;
use crate::hydro::response::Response;
use crate::hydro::sail::{SailPlan, thrust};
use crate::hydro::sail_motion::mean_drive_change_n;
use crate::hydro::windage::drag_n_per_m2;
use crate::maths::axis::AxisPlace;
use crate::maths::cubic::cubic;
use std::sync::OnceLock;

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

/// Thrust and wind drag over speed, from rest to the flat polar's speed; worked out at a node when first asked for.
#[derive(Debug, Clone)]
pub(super) struct Drive {
    /// The flat polar's speed, m/s.
    pub top_speed: f64,
    sails: Sails,
    /// What part of the sails' force at their limit balances at the top speed.
    anchor: Anchor,
    /// At steps from rest to the first rung at the top speed or above.
    nodes: Vec<OnceLock<Driving>>,
    /// The same at the rungs, summed.
    rungs: Vec<OnceLock<Thrust>>,
}

/// The sails in one true wind, and what stands in it beside them.
#[derive(Debug, Clone)]
struct Sails {
    plan: SailPlan,
    wind: TrueWind,
    /// Drag area of hull and rig, m².
    bare_m2: f64,
    /// Drag area of what the polar does not hold, m².
    extra_m2: f64,
    /// Height of the sails' centre above the centre of gravity, m.
    lever_m: f64,
    /// Effective draught that the side force leans on, m; none where its drag is not modelled.
    draught_m: Option<f64>,
}

/// How the sails' force at their limit becomes the force that balances at the flat polar's speed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Anchor {
    /// A part of it.
    Part(f64),
    /// None of it: thrust is constant, N.
    Held(f64),
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

impl Sails {
    fn new(tables: &BoatTables, plan: &SailPlan, wind: TrueWind) -> Self {
        let boat = &tables.model.boat;
        Self {
            plan: *plan,
            wind,
            bare_m2: boat.sails.as_ref().map_or(0.0, |sails| sails.hull_and_rig_drag_area_m2),
            extra_m2: tables.model.extra_drag_area_m2(wind.twa_deg),
            lever_m: boat.sails.as_ref().map_or(0.0, |sails| sails.effort_above_gravity_m),
            draught_m: boat.appendages.as_ref().map(|keel| keel.effective_draught_m),
        }
    }

    fn at_limit(&self, speed_m_s: f64) -> Driving {
        let force = thrust(&self.plan, self.wind.tws_m_s, self.wind.twa_deg.abs().to_radians(), speed_m_s);
        let ahead_n_per_m2 = drag_n_per_m2(force.aws_m_s, force.awa_rad);
        Driving {
            sails_n: force.drive_n - ahead_n_per_m2 * self.bare_m2,
            side_n: force.side_n,
            pitching: mean_drive_change_n(&force, self.lever_m),
            windage_n: ahead_n_per_m2 * self.extra_m2,
        }
    }

    fn side_drag_n(&self, side_n: f64, speed_m_s: f64) -> f64 {
        self.draught_m
            .map_or(0.0, |draught_m| induced_resistance_n(side_n, speed_m_s.max(LEAST_SPEED_M_S), draught_m))
    }
}

impl Anchor {
    fn of(self, limit: Driving) -> Driving {
        match self {
            Anchor::Part(part) => Driving {
                sails_n: part * limit.sails_n,
                side_n: part * limit.side_n,
                pitching: part * limit.pitching,
                windage_n: limit.windage_n,
            },
            Anchor::Held(thrust_n) => {
                Driving { sails_n: thrust_n, windage_n: limit.windage_n, ..Driving::default() }
            }
        }
    }
}

impl Drive {
    /// Thrust that balances at the flat speed in a carriage; what speaks against boat and polar is added to `flags`.
    pub fn new(
        tables: &BoatTables,
        plan: &SailPlan,
        wind: TrueWind,
        flat_speed: f64,
        carriage: Carriage,
        flags: &mut Flags,
    ) -> Self {
        let nodes = (rungs_below(flat_speed) * FINER + 1).max(FEWEST_NODES);
        let mut drive = Self {
            top_speed: flat_speed,
            sails: Sails::new(tables, plan, wind),
            anchor: Anchor::Part(1.0),
            nodes: vec![OnceLock::new(); nodes],
            rungs: vec![OnceLock::new(); rungs_below(flat_speed)],
        };
        drive.anchor(tables, carriage, flags);
        drive
    }

    /// Whether something stands in the wind that the polar does not hold.
    pub fn has_windage(&self) -> bool {
        self.sails.extra_m2 != 0.0
    }

    /// Sets the sails' power so that thrust equals flat-water resistance at the flat speed.
    ///
    /// Power p scales drive and side force alike: p D - p² R_side = R, the smaller root. Where no power does, or where
    /// she could not hold the speed that the polar says she holds, thrust is held constant.
    fn anchor(&mut self, tables: &BoatTables, carriage: Carriage, flags: &mut Flags) {
        let flat_speed = self.top_speed;
        if flat_speed <= 0.0 {
            return;
        }
        let in_flat_water = |speed: f64| {
            let carried = carriage.at(tables, speed, &Response::default(), 0.0);
            (carried.held_back_n(), carried.borne)
        };
        let (calm, borne) = in_flat_water(flat_speed);
        *flags |= tables.model.calm.bare_hull_resistance_n(flat_speed, borne).flags;
        let at_limit = self.between_nodes(flat_speed);
        let (drive, side_drag) = (at_limit.sails_n, self.sails.side_drag_n(at_limit.side_n, flat_speed));
        let discriminant = drive * drive - 4.0 * side_drag * calm;
        let power = if drive > 0.0 && discriminant >= 0.0 {
            2.0 * calm / (drive + discriminant.sqrt())
        } else {
            f64::INFINITY
        };
        if !(1.0 / MISMATCH..=MISMATCH).contains(&power) {
            *flags |= Flag::ThrustMismatch;
        }
        self.anchor = Anchor::Part(power);
        let slower = (flat_speed - RUNG_M_S).max(0.0);
        if !power.is_finite() || self.at(slower).net_n() < in_flat_water(slower).0 {
            *flags |= Flag::ThrustHeld;
            self.anchor = Anchor::Held(calm);
        }
    }

    /// What drives her at a speed up to the top speed.
    pub fn at(&self, speed_m_s: f64) -> Thrust {
        self.eased(self.anchor.of(self.between_nodes(speed_m_s)), speed_m_s)
    }

    /// What drives her at each rung below a speed, with the rung's number.
    pub fn rungs_below(&self, speed_m_s: f64) -> impl DoubleEndedIterator<Item = (usize, &Thrust)> + '_ {
        let below = rungs_below(speed_m_s).min(self.rungs.len());
        self.rungs[..below].iter().enumerate().map(|(rung, thrust)| {
            let of_rung = || self.eased(self.anchor.of(*self.node(rung * FINER)), RUNG_M_S * rung as f64);
            (rung, thrust.get_or_init(of_rung))
        })
    }

    /// The sails at their limit at a node.
    fn node(&self, node: usize) -> &Driving {
        self.nodes[node].get_or_init(|| self.sails.at_limit(STEP_M_S * node as f64))
    }

    fn between_nodes(&self, speed_m_s: f64) -> Driving {
        let position = speed_m_s / STEP_M_S;
        let lower = (position as usize).min(self.nodes.len() - 2);
        let place = AxisPlace { lower, upper_weight: position - lower as f64, outside: false };
        let mut sum = Driving::default();
        for (node, weight) in cubic(place, self.nodes.len()) {
            let node = self.node(node);
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
        let (drive, drag) = (driving.sails_n, self.sails.side_drag_n(driving.side_n, speed_m_s));
        let part = if drag > 0.0 { (0.5 * drive / drag).clamp(0.0, 1.0) } else { 1.0 };
        Thrust {
            drive_n: part * drive,
            side_drag_n: part * part * drag,
            pitching: driving.pitching,
            windage_n: driving.windage_n,
        }
    }
}

impl Thrust {
    /// Drive less the drag of the side force, N.
    pub fn net_n(&self) -> f64 {
        self.drive_n - self.side_drag_n
    }
}
