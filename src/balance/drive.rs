//! What drives her: thrust over speed at one true wind, set so that it balances at the flat polar's speed.
//!
//! The sails, eased for the most thrust within the heel limit, give the curve; the polar gives its level: the whole curve
//! is scaled so that it meets flat-water resistance at the polar's speed. Where the level is far from the sails' own
//! ([`OWN_POWER`]), or the scaled curve could not hold the polar's speed, a power of the speed stands in with the sails'
//! slope, no steeper than lets her hold it.

use crate::balance::carriage::Carriage;
use crate::balance::rungs::{FINER, RUNG_M_S, STEP_M_S, rungs_below, to_steps};
use crate::balance::tables::BoatTables;
use crate::base::{Flag, Flags};
use crate::hydro::calm_water::form::HullForm;
use crate::hydro::calm_water::side_force::{SideDrag, heel_resistance_n, induced_per_n};
use crate::hydro::foil::LiftShare;
use crate::hydro::response::Response;
use crate::hydro::sail::{SailPlan, apparent_wind, thrust};
use crate::hydro::sail_motion::mean_drive_change_n;
use crate::hydro::windage::drag_n_per_m2;
use crate::maths::axis::AxisPlace;
use crate::maths::cubic::cubic;
use std::sync::OnceLock;

/// A side force's drag grows without bound as speed falls; below this speed it is that of this speed.
const LEAST_SPEED_M_S: f64 = 0.1;
/// Nodes that cubic interpolation needs.
const FEWEST_NODES: usize = 3;
/// Flat-water resistance over the sails' own thrust within which their curve is hers (judged, no source): beyond, boat
/// file and polar don't belong together.
const OWN_POWER: std::ops::RangeInclusive<f64> = 0.7..=1.3;
/// How far the exponent of resistance must stay above that of thrust for a speed that she holds (judged, no source).
const LEAST_STIFFNESS: f64 = 0.5;
/// The steepest fall of thrust with speed that a power of it may have: on a run, where the wind falls away.
const STEEPEST_FALL: f64 = -1.0;
/// What a falling power of the speed may rise to as she slows, over thrust at the polar's speed (judged, no source).
const MOST_RISE: f64 = 1.3;
/// An apparent wind closer than this to the bow is one that no sail plan drives in (common practice, no source).
const PINCHING_RAD: f64 = 22.0 * std::f64::consts::PI / 180.0;
/// Speeds over the polar's within which thrust is looked at in fine steps as she swings; in straight lines between rungs beyond.
const SWINGS: (f64, f64) = (0.6, 1.6);
/// How far a crew bears away from the wind to gather way again, degrees (judged, no source), and up to where.
const BEARING_AWAY_DEG: [f64; 2] = [20.0, 40.0];
const BEAM_REACH_DEG: f64 = 110.0;
/// Step over speed for exponents.
const SLOPE_STEP: f64 = 0.01;

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
    level: Level,
    matched: Option<Match>,
    /// At steps from rest to the first rung at the top speed or above.
    nodes: Vec<OnceLock<Driving>>,
    /// The same at the rungs, at their level.
    rungs: Vec<OnceLock<Thrust>>,
    /// Rungs up to the greatest speed that waves carry her to.
    swing_rungs: usize,
    swinging: OnceLock<SwingingDrive>,
}

/// What drives her over all speeds that waves carry her to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SwingingDrive {
    /// Thrust less wind drag of what the polar does not hold, in fine steps, N.
    pub thrust_n: Vec<f64>,
    /// Change of their mean drive per variance of pitch rate at the rungs, N s²/rad².
    pub pitching: Vec<f64>,
    /// Thrust less wind drag that she finds by bearing away, in fine steps up to the polar's speed, N.
    pub away_n: Vec<f64>,
}

/// The sails in one true wind, and what stands in it beside them.
#[derive(Debug, Clone)]
pub(super) struct Sails {
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
    heeled: Heeled,
}

/// The hull at the heel of the greatest side force.
#[derive(Debug, Clone, Copy)]
struct Heeled {
    form: HullForm,
    heel_rad: f64,
    /// What foils in use carry.
    share: Option<LiftShare>,
}

/// How the sails' thrust becomes the thrust that she has.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Level {
    /// A part of it.
    Part(f64),
    /// A power of the speed through the polar's point, up to a greatest thrust, N; the sails' other forces at a part.
    Power { thrust_n: f64, exponent: f64, most_n: f64, part: f64 },
}

/// What drives her at one speed. Forces in N.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Driving {
    /// Drive of the eased sails, less the wind drag of hull and rig.
    drive_n: f64,
    /// Drag of their side force: leant on in the water, and heeling her.
    side_drag_n: f64,
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
    pub fn new(tables: &BoatTables, plan: &SailPlan, wind: TrueWind, carriage: Carriage) -> Self {
        let boat = &tables.model.boat;
        let heel_rad = boat.sails.as_ref().map_or(0.0, |sails| sails.heel_at_max_righting_deg).to_radians();
        Self {
            plan: *plan,
            wind,
            bare_m2: boat.sails.as_ref().map_or(0.0, |sails| sails.hull_and_rig_drag_area_m2),
            extra_m2: tables.model.extra_drag_area_m2(wind.twa_deg),
            lever_m: boat.sails.as_ref().map_or(0.0, |sails| sails.effort_above_gravity_m),
            draught_m: boat.appendages.as_ref().map(|keel| keel.effective_draught_m),
            heeled: Heeled { form: tables.model.calm.form, heel_rad, share: carriage.share(&tables.model) },
        }
    }

    /// The same sails at another true wind angle.
    fn at_angle(&self, twa_deg: f64) -> Self {
        Self { wind: TrueWind { twa_deg, ..self.wind }, ..self.clone() }
    }

    /// What a side force costs at a speed.
    fn side_drag(&self, speed_m_s: f64) -> SideDrag {
        let moving = speed_m_s.max(LEAST_SPEED_M_S);
        SideDrag {
            induced_per_n: self.draught_m.map_or(0.0, |draught_m| induced_per_n(moving, draught_m)),
            heel_n: self.heeled.resistance_n(speed_m_s),
            max_side_n: self.plan.heel_limit.max_side_n(),
        }
    }

    /// The sails at their best trim at a speed.
    pub fn at(&self, speed_m_s: f64) -> Driving {
        let (cost, twa_rad) = (self.side_drag(speed_m_s), self.wind.twa_deg.abs().to_radians());
        let force = thrust(&self.plan, self.wind.tws_m_s, twa_rad, speed_m_s, &cost);
        let ahead_n_per_m2 = drag_n_per_m2(force.aws_m_s, force.awa_rad);
        Driving {
            drive_n: force.drive_n - ahead_n_per_m2 * self.bare_m2,
            side_drag_n: cost.at(force.side_n),
            pitching: mean_drive_change_n(&force, self.lever_m),
            windage_n: ahead_n_per_m2 * self.extra_m2,
        }
    }
}

impl Heeled {
    /// Added resistance by heel at the greatest side force, N.
    fn resistance_n(&self, speed_m_s: f64) -> f64 {
        let borne = 1.0 - self.share.map_or(0.0, |share| share.at(speed_m_s));
        heel_resistance_n(&self.form, self.heel_rad, speed_m_s, borne)
    }
}

impl Driving {
    /// Drive less the drag of the side force, N.
    pub fn net_n(&self) -> f64 {
        self.drive_n - self.side_drag_n
    }
}

impl Level {
    fn of(self, sails: Driving, over_top_speed: f64) -> Thrust {
        match self {
            Level::Part(part) => Thrust {
                drive_n: part * sails.drive_n,
                side_drag_n: part * sails.side_drag_n,
                pitching: part * sails.pitching,
                windage_n: sails.windage_n,
            },
            Level::Power { thrust_n, exponent, most_n, part } => Thrust {
                drive_n: (thrust_n * over_top_speed.powf(exponent)).min(most_n),
                side_drag_n: 0.0,
                pitching: part * sails.pitching,
                windage_n: sails.windage_n,
            },
        }
    }
}

/// Thrust of the sails against flat-water resistance at the polar's speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Match {
    /// Flat-water resistance, N.
    pub resistance_n: f64,
    /// Thrust of the sails by themselves, N.
    pub sails_n: f64,
    /// The sails' own curve serves; otherwise a power of the speed.
    pub own_curve: bool,
    /// Exponents of resistance and of thrust in the speed there.
    pub exponents: [f64; 2],
    /// Apparent wind angle, rad.
    pub awa_rad: f64,
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
            sails: Sails::new(tables, plan, wind, carriage),
            level: Level::Part(1.0),
            matched: None,
            nodes: vec![OnceLock::new(); nodes],
            rungs: vec![OnceLock::new(); rungs_below(flat_speed)],
            swing_rungs: rungs_below(tables.top_m_s()) + 1,
            swinging: OnceLock::new(),
        };
        drive.anchor(tables, carriage, flags);
        drive
    }

    /// Whether something stands in the wind that the polar does not hold.
    pub fn has_windage(&self) -> bool {
        self.sails.extra_m2 != 0.0
    }

    /// How the sails' thrust stands to flat-water resistance at the polar's speed; none where the polar has no speed.
    pub fn matched(&self) -> Option<&Match> {
        self.matched.as_ref()
    }

    /// Sets the level so that thrust equals flat-water resistance at the flat speed.
    fn anchor(&mut self, tables: &BoatTables, carriage: Carriage, flags: &mut Flags) {
        let flat_speed = self.top_speed;
        if flat_speed <= 0.0 {
            return;
        }
        let in_flat_water = |speed: f64| carriage.at(tables.hull(), speed, &Response::default(), 0.0);
        let flat = in_flat_water(flat_speed);
        *flags |= tables.model.calm.bare_hull_resistance_n(flat_speed, flat.borne).flags;
        let (resistance_n, sails_n) = (flat.held_back_n(), self.between_nodes(flat_speed).net_n());
        let slower = flat_speed * (1.0 - SLOPE_STEP);
        let exponent = |now: f64, before: f64| (now / before).ln() / -(1.0 - SLOPE_STEP).ln();
        let of_resistance = exponent(resistance_n, in_flat_water(slower).held_back_n());
        let of_sails = exponent(sails_n, self.between_nodes(slower).net_n());
        let part = if sails_n > 0.0 { resistance_n / sails_n } else { f64::INFINITY };
        let (_, awa_rad) =
            apparent_wind(self.sails.wind.tws_m_s, self.sails.wind.twa_deg.abs().to_radians(), flat_speed);
        let own_level = OWN_POWER.contains(&part);
        let held = of_resistance - of_sails >= LEAST_STIFFNESS;
        if !own_level {
            *flags |= Flag::ThrustMismatch;
        } else if !held {
            *flags |= Flag::ThrustHeld;
        }
        if awa_rad < PINCHING_RAD {
            *flags |= Flag::Pinching;
        }
        let own_curve = own_level && held;
        let exponents = [of_resistance, if of_sails.is_finite() { of_sails } else { 0.0 }];
        self.matched = Some(Match { resistance_n, sails_n, own_curve, exponents, awa_rad });
        self.level = if own_curve {
            Level::Part(part)
        } else {
            let exponent = exponents[1].max(STEEPEST_FALL).min(of_resistance - LEAST_STIFFNESS);
            let most_n = if exponent < 0.0 { MOST_RISE * resistance_n } else { f64::INFINITY };
            Level::Power {
                thrust_n: resistance_n,
                exponent,
                most_n,
                part: if part.is_finite() { part } else { 0.0 },
            }
        };
    }

    /// What drives her at a speed up to the top speed.
    pub fn at(&self, speed_m_s: f64) -> Thrust {
        self.level.of(self.between_nodes(speed_m_s), speed_m_s / self.top_speed)
    }

    /// What drives her at each rung below a speed, with the rung's number.
    pub fn rungs_below(&self, speed_m_s: f64) -> impl DoubleEndedIterator<Item = (usize, &Thrust)> + '_ {
        let below = rungs_below(speed_m_s).min(self.rungs.len());
        self.rungs[..below].iter().enumerate().map(|(rung, thrust)| {
            let of_rung = || {
                let over_top_speed = RUNG_M_S * rung as f64 / self.top_speed;
                self.level.of(*self.node(rung * FINER), over_top_speed)
            };
            (rung, thrust.get_or_init(of_rung))
        })
    }

    /// What drives her as waves carry her to any speed, worked out when first asked for.
    pub fn swinging(&self) -> &SwingingDrive {
        self.swinging.get_or_init(|| self.new_swinging())
    }

    fn new_swinging(&self) -> SwingingDrive {
        let below = self.rungs_below(self.top_speed).map(|(_, thrust)| *thrust);
        let above = (self.rungs.len()..self.swing_rungs).map(|rung| self.beyond(RUNG_M_S * rung as f64));
        let rungs: Vec<Thrust> = below.chain(above).collect();
        let coarse: Vec<f64> = rungs.iter().map(Thrust::less_windage_n).collect();
        let fine = |(step, coarse): (usize, f64)| {
            let speed = STEP_M_S * step as f64;
            match speed / self.top_speed {
                part if step % FINER == 0 || part < SWINGS.0 || part > SWINGS.1 => coarse,
                part if part <= 1.0 => self.level.of(*self.node(step), part).less_windage_n(),
                _ => self.beyond(speed).less_windage_n(),
            }
        };
        SwingingDrive {
            thrust_n: to_steps(&coarse).enumerate().map(fine).collect(),
            pitching: rungs.iter().map(|thrust| thrust.pitching).collect(),
            away_n: to_steps(&self.away_n(&coarse[..self.rungs.len()])).collect(),
        }
    }

    /// The most thrust at the rungs up to the polar's speed on her course or borne away from it, N, from that on it.
    fn away_n(&self, on_course_n: &[f64]) -> Vec<f64> {
        let twa_deg = self.sails.wind.twa_deg.abs();
        let wider =
            BEARING_AWAY_DEG.map(|away| twa_deg + away).into_iter().filter(|twa| *twa <= BEAM_REACH_DEG);
        let sails: Vec<Sails> = wider.map(|twa_deg| self.sails.at_angle(twa_deg)).collect();
        let level = match self.level {
            Level::Part(part) => Level::Part(part),
            Level::Power { .. } => Level::Part(1.0),
        };
        let best = |(rung, on_course): (usize, &f64)| {
            let speed = RUNG_M_S * rung as f64;
            let thrust = |sails: &Sails| level.of(sails.at(speed), speed / self.top_speed).less_windage_n();
            sails.iter().map(thrust).fold(*on_course, f64::max)
        };
        on_course_n.iter().enumerate().map(best).collect()
    }

    /// What drives her above the top speed.
    fn beyond(&self, speed_m_s: f64) -> Thrust {
        self.level.of(self.sails.at(speed_m_s), speed_m_s / self.top_speed)
    }

    /// The eased sails at a node.
    fn node(&self, node: usize) -> &Driving {
        self.nodes[node].get_or_init(|| self.sails.at(STEP_M_S * node as f64))
    }

    fn between_nodes(&self, speed_m_s: f64) -> Driving {
        let position = speed_m_s / STEP_M_S;
        let lower = (position as usize).min(self.nodes.len() - 2);
        let place = AxisPlace { lower, upper_weight: position - lower as f64, outside: false };
        let mut sum = Driving::default();
        for (node, weight) in cubic(place, self.nodes.len()) {
            let node = self.node(node);
            sum.drive_n += weight * node.drive_n;
            sum.side_drag_n += weight * node.side_drag_n;
            sum.pitching += weight * node.pitching;
            sum.windage_n += weight * node.windage_n;
        }
        sum
    }
}

impl Thrust {
    /// Drive less the drag of the side force, N.
    pub fn net_n(&self) -> f64 {
        self.drive_n - self.side_drag_n
    }

    /// The same less the wind drag of what the polar does not hold, N.
    fn less_windage_n(&self) -> f64 {
        self.net_n() - self.windage_n
    }
}
