//! One polar cell in one sea: the speed at which thrust and resistance balance, and what each cause takes.
//!
//! At the flat polar's speed thrust equals flat-water resistance by definition: the polar is the truth, and the sail
//! model gives only how thrust changes with speed at fixed true wind. Causes are added one by one in a fixed order,
//! and each is charged with the ratio of the speeds after and before it.

mod account;
mod calm_table;
mod curve;
mod sea_curve;
mod tables;

pub use account::{BalancePoint, Closing, Forces};
pub use sea_curve::SeaCurve;
pub use tables::Tables;

use crate::flags::{Flag, Flags};
use crate::hydro::calm_water::side_force::induced_resistance_n;
use crate::hydro::foil::{availability, shared_time_speed_m_s};
use crate::hydro::rates::up_crossing_rate;
use crate::hydro::response::Response;
use crate::hydro::sail::{SailForce, thrust};
use crate::hydro::sail_motion::mean_drive_change_n;
use crate::model::Foils;
use crate::root::bracketed_root;
use crate::units::{G, RHO_AIR};
use curve::Curve;

/// Number of causes of loss.
pub const STAGES: usize = 5;
/// Names of the causes, in their fixed order.
pub const STAGE_NAMES: [&str; STAGES] =
    ["added_resistance", "deck_water", "windage", "foil_lift", "foil_downtime"];

const SPEED_STEP_M_S: f64 = 0.1;
const SEARCH_STEP_M_S: f64 = 0.25;
const SPEED_TOLERANCE_M_S: f64 = 1e-4;
/// Thrust and resistance further apart than this factor mean that boat file and polar don't belong together.
const MISMATCH: f64 = 2.0;
/// Loss of mean foil lift that counts as stall.
const STALL_LOSS: f64 = 0.01;

/// Which added resistance a balance uses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Added {
    /// The method in use, times a factor (1, or an end of the model band).
    Used(f64),
    /// The second method.
    Second,
}

/// Result of one cell in one sea. Speeds in m/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Flat speed, then the speed after each stage.
    pub speeds: [f64; STAGES + 1],
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// Part of the time in flight, 0 to 1; one for a boat that does not fly here.
    pub availability: f64,
    /// Reservations.
    pub flags: Flags,
}

/// One polar cell of a boat, with everything of the balance that does not depend on the sea.
#[derive(Debug, Clone)]
pub struct Cell<'t> {
    tables: &'t Tables,
    flat_speed: f64,
    /// As she sails in flat water, flying where she can.
    main: Branch,
    /// Without foil lift: while she recovers flight, or where a foil is lost. None for a boat without foils.
    hull_borne: Option<Branch>,
    flies: bool,
    flags: Flags,
}

/// Thrust and sea-independent drag over speed in one way of sailing.
#[derive(Debug, Clone)]
struct Branch {
    top_speed: f64,
    /// Thrust of the sails at their limit, N.
    thrust: Curve,
    /// Change of mean thrust per variance of pitch rate, N s²/rad².
    pitch_thrust: Curve,
    /// Drag of the side force at that limit, N.
    side: Curve,
    /// Drag in the wind of what the polar does not hold, N.
    windage: Curve,
    lifting: bool,
    foil_in_water: bool,
}

/// What of the sea and the foil acts in a balance.
#[derive(Clone, Copy)]
struct Acting {
    added: Added,
    deck_water: bool,
    windage: bool,
    stall: bool,
}

impl<'t> Cell<'t> {
    /// Prepares a cell: true wind, signed true wind angle, flat speed, and flat speed with the foils up if known.
    ///
    /// # Errors
    /// When the boat file has no sails.
    pub fn new(
        tables: &'t Tables,
        tws_m_s: f64,
        twa_deg: f64,
        flat_speed: f64,
        foils_up_speed: Option<f64>,
    ) -> crate::error::Result<Self> {
        let model = &tables.model;
        model.sails()?;
        let flies = model.flies(twa_deg);
        let has_foils = model.foils.is_some();
        let mut flags = model.flags | model.method_flags(flat_speed);
        if model.waves.own.as_ref().is_some_and(|own| !own.covers_speed(flat_speed)) {
            flags |= Flag::OwnTableLeft;
        }
        let main = Branch::new(tables, tws_m_s, twa_deg, flat_speed, has_foils, has_foils, &mut flags);
        let mut hull_flags = Flags::empty();
        let hull_borne = has_foils.then(|| match foils_up_speed {
            Some(speed) => Branch::new(tables, tws_m_s, twa_deg, speed, false, false, &mut hull_flags),
            None => main.without_lift(flies),
        });
        if has_foils && foils_up_speed.is_none() {
            flags |= Flag::HullSpeedFromBalance;
        }
        Ok(Self { tables, flat_speed, main, hull_borne, flies, flags: flags | hull_flags })
    }

    /// What of her balance at a speed in flat water trim does not depend on the sea: thrust less resistance, N, and the
    /// change of mean thrust per variance of pitch rate, N s²/rad².
    pub fn without_sea(&self, speed_m_s: f64) -> [f64; 2] {
        let foils = self.tables.model.foils.as_ref();
        let weight_kg = self.tables.model.displacement_kg;
        let share = self.main.lift_share(foils, speed_m_s, weight_kg, &Response::default(), false);
        let resistance = self.tables.calm.at(speed_m_s, 1.0 - share)
            + self.main.foil_drag(foils, speed_m_s, share * weight_kg * G);
        [self.main.net_thrust(speed_m_s) - resistance, self.main.pitch_thrust.at(speed_m_s)]
    }

    /// The cell in a sea.
    pub fn solve(&self, sea: &SeaCurve, added: Added) -> Outcome {
        let mut flags = self.flags | sea.flags;
        let mut speeds = [self.flat_speed; STAGES + 1];
        let mut acting = Acting { added, deck_water: false, windage: false, stall: false };
        speeds[1] = self.speed(&self.main, sea, acting, speeds[0], &mut flags);
        acting.deck_water = true;
        speeds[2] = self.speed(&self.main, sea, acting, speeds[1], &mut flags);
        acting.windage = true;
        // wind from aft pushes what stands in it: she may win back what the waves took, up to her flat speed
        let pushed = self.main.windage.at(speeds[2]) < 0.0;
        let start = if pushed { speeds[0] } else { speeds[2] };
        speeds[3] = self.speed(&self.main, sea, acting, start, &mut flags);
        let mut up = 1.0;
        match (&self.hull_borne, self.tables.model.foils.as_ref()) {
            (Some(hull_borne), Some(foils)) => {
                let start = speeds[3].min(hull_borne.top_speed);
                let on_hull = self.speed(hull_borne, sea, acting, start, &mut flags);
                if self.flies {
                    acting.stall = true;
                    speeds[4] = self.speed(&self.main, sea, acting, speeds[3], &mut flags);
                    up = self.up_time(foils, sea, speeds[4], &mut flags);
                    speeds[5] = shared_time_speed_m_s(up, speeds[4], on_hull);
                } else {
                    speeds[4] = on_hull;
                    speeds[5] = on_hull;
                }
            }
            _ => {
                speeds[4] = speeds[3];
                speeds[5] = speeds[3];
            }
        }
        if speeds[5] <= 0.0 {
            flags |= Flag::NoWay;
        }
        let deck_water_kg = sea.deck_water_kg(speeds[5]);
        Outcome { speeds, deck_water_kg, availability: up, flags }
    }

    /// The largest speed up to `start` at which thrust is no less than resistance; zero if there is none.
    fn speed(&self, branch: &Branch, sea: &SeaCurve, acting: Acting, start: f64, flags: &mut Flags) -> f64 {
        let surplus = |speed: f64| self.surplus(branch, sea, acting, speed);
        if start <= 0.0 || surplus(start) >= 0.0 {
            return start;
        }
        let mut high = start;
        while high > 0.0 {
            let low = (high - SEARCH_STEP_M_S).max(0.0);
            if surplus(low) >= 0.0 {
                return bracketed_root(surplus, low, high, SPEED_TOLERANCE_M_S).unwrap_or(low);
            }
            high = low;
        }
        *flags |= Flag::NoWay;
        0.0
    }

    /// Thrust less resistance at a speed, N.
    fn surplus(&self, branch: &Branch, sea: &SeaCurve, acting: Acting, speed: f64) -> f64 {
        self.forces(branch, sea, acting, speed).surplus_n()
    }

    /// Thrust and resistance at a speed.
    fn forces(&self, branch: &Branch, sea: &SeaCurve, acting: Acting, speed: f64) -> Forces {
        let model = &self.tables.model;
        let response = sea.at(speed);
        let water_kg = if acting.deck_water { sea.deck_water_kg(speed) } else { 0.0 };
        let weight_kg = model.displacement_kg + water_kg;
        let lift_share = branch.lift_share(model.foils.as_ref(), speed, weight_kg, &response, acting.stall);
        let borne = weight_kg / model.displacement_kg * (1.0 - lift_share);
        let added = match acting.added {
            Added::Used(factor) => factor * response.added_resistance,
            Added::Second => response.second_added_resistance,
        };
        let (drive_n, side_drag_n) = branch.eased_thrust(speed);
        Forces {
            drive_n,
            side_drag_n,
            pitching_thrust_n: branch.pitch_thrust.at(speed) * response.pitch_rate,
            calm_resistance_n: self.tables.calm.at(speed, borne),
            foil_drag_n: branch.foil_drag(model.foils.as_ref(), speed, lift_share * weight_kg * G),
            hull_borne_share: borne,
            added_resistance_n: borne * added,
            windage_n: if acting.windage { branch.windage.at(speed) } else { 0.0 },
        }
    }

    /// Part of the time she flies: stalls and broaches at their rates, each with its time of recovery.
    fn up_time(&self, foils: &Foils, sea: &SeaCurve, speed: f64, flags: &mut Flags) -> f64 {
        if foils.share.at(speed) <= 0.0 {
            return 1.0;
        }
        let response = sea.at(speed);
        let water_kg = sea.deck_water_kg(speed);
        let state = FoilState::new(foils, &response, speed, self.tables.model.displacement_kg + water_kg);
        if state.lift_ratio < 1.0 - STALL_LOSS {
            *flags |= Flag::FoilStall;
        }
        state.availability(foils)
    }
}

impl Branch {
    /// A way of sailing anchored at its flat speed.
    fn new(
        tables: &Tables,
        tws_m_s: f64,
        twa_deg: f64,
        flat_speed: f64,
        lifting: bool,
        foil_in_water: bool,
        flags: &mut Flags,
    ) -> Self {
        let model = &tables.model;
        let twa_rad = twa_deg.abs().to_radians();
        let plan = model.sails.expect("checked by Cell::new");
        let force = |speed: f64| thrust(&plan, tws_m_s, twa_rad, speed);
        let draught = model.boat.appendages.as_ref().map(|keel| keel.effective_draught_m);
        let side_drag = |speed: f64, side_n: f64| {
            draught.map_or(0.0, |draught| induced_resistance_n(side_n, speed.max(SPEED_STEP_M_S), draught))
        };
        let bare = model.boat.sails.as_ref().map_or(0.0, |sails| sails.hull_and_rig_drag_area_m2);
        let in_wind = |area_m2: f64, force: &SailForce| {
            0.5 * RHO_AIR * area_m2 * force.aws_m_s.powi(2) * force.awa_rad.cos()
        };
        let lever = model.boat.sails.as_ref().map_or(0.0, |sails| sails.effort_above_gravity_m);
        let drag_area = model.extra_drag_area_m2(twa_deg);
        let [thrust, pitch_thrust, side, windage] =
            Curve::several(flat_speed.max(SPEED_STEP_M_S), SPEED_STEP_M_S, |speed| {
                let force = force(speed);
                [
                    force.drive_n - in_wind(bare, &force),
                    mean_drive_change_n(&force, lever),
                    side_drag(speed, force.side_n),
                    in_wind(drag_area, &force),
                ]
            });
        let mut branch =
            Self { top_speed: flat_speed, thrust, pitch_thrust, side, windage, lifting, foil_in_water };
        branch.anchor(tables, flat_speed, flags);
        branch
    }

    /// Sets the sails' power so that thrust equals flat-water resistance at the flat speed.
    ///
    /// Power p scales drive and side force alike: p D - p² R_side = R, the smaller root. Where no power does, or where
    /// she could not hold the speed that the polar says she holds, thrust is held constant.
    fn anchor(&mut self, tables: &Tables, flat_speed: f64, flags: &mut Flags) {
        if flat_speed <= 0.0 {
            return;
        }
        let calm = self.calm_resistance(tables, flat_speed, flags);
        let (drive, side_drag) = (self.thrust.at(flat_speed), self.side.at(flat_speed));
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
            self.thrust.scale(power);
            self.pitch_thrust.scale(power);
            self.side.scale(power * power);
        }
        let slower = (flat_speed - SEARCH_STEP_M_S).max(0.0);
        let mut unused = Flags::empty();
        if !power.is_finite() || self.net_thrust(slower) < self.calm_resistance(tables, slower, &mut unused) {
            *flags |= Flag::ThrustHeld;
            self.thrust.fill(calm);
            self.pitch_thrust.fill(0.0);
            self.side.fill(0.0);
        }
    }

    /// Resistance in flat water without the drag of the side force.
    fn calm_resistance(&self, tables: &Tables, speed: f64, flags: &mut Flags) -> f64 {
        let model = &tables.model;
        let weight_kg = model.displacement_kg;
        let share = self.lift_share(model.foils.as_ref(), speed, weight_kg, &Response::default(), false);
        *flags |= model.calm.bare_hull_resistance_n(speed, 1.0 - share).flags;
        tables.calm.at(speed, 1.0 - share)
            + self.foil_drag(model.foils.as_ref(), speed, share * weight_kg * G)
    }

    /// Thrust and the drag of the side force, with the sails eased as far as that helps.
    ///
    /// Reefed to a part r, drive falls with r and the side force's drag with r²: D r - R r² is greatest at
    /// r = D/(2 R). Without this a slowing boat would be dragged to a stop by a side force that no crew would hold.
    fn eased_thrust(&self, speed: f64) -> (f64, f64) {
        let (drive, drag) = (self.thrust.at(speed), self.side.at(speed));
        let part = if drag > 0.0 { (0.5 * drive / drag).clamp(0.0, 1.0) } else { 1.0 };
        (part * drive, part * part * drag)
    }

    fn net_thrust(&self, speed: f64) -> f64 {
        let (drive, drag) = self.eased_thrust(speed);
        drive - drag
    }

    /// The same thrust with nothing carried by the foils.
    fn without_lift(&self, foil_in_water: bool) -> Self {
        Self { lifting: false, foil_in_water, ..self.clone() }
    }

    /// Share of the weight on the foils.
    fn lift_share(
        &self,
        foils: Option<&Foils>,
        speed: f64,
        weight_kg: f64,
        response: &Response,
        stall: bool,
    ) -> f64 {
        let Some(foils) = foils.filter(|_| self.lifting) else { return 0.0 };
        let share = foils.share.at(speed);
        if share <= 0.0 || !stall {
            return share;
        }
        share * FoilState::new(foils, response, speed, weight_kg).lift_ratio
    }

    fn foil_drag(&self, foils: Option<&Foils>, speed: f64, lift_n: f64) -> f64 {
        match foils {
            Some(foils) if self.foil_in_water && speed > 0.0 => {
                foils.foil.drag_n(lift_n, speed, foils.depth_m)
            }
            _ => 0.0,
        }
    }
}

/// The foil in use at a speed in a sea.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoilState {
    /// Mean angle of attack from zero lift, rad.
    pub mean_rad: f64,
    /// Standard deviation of the angle, rad.
    pub angle_sd_rad: f64,
    /// Mean lift over the lift without stall.
    pub lift_ratio: f64,
    /// Rate of stalls, per second.
    pub stall_rate_hz: f64,
    /// Rate at which the foil leaves the water, per second.
    pub broach_rate_hz: f64,
}

impl FoilState {
    /// The foil carrying its share of a weight at a speed above zero.
    pub fn new(foils: &Foils, response: &Response, speed: f64, weight_kg: f64) -> Self {
        let lift_n = foils.share.at(speed) * weight_kg * G;
        let mean_rad =
            foils.foil.lift_coefficient(lift_n, speed) / foils.foil.lift_slope_per_rad(foils.depth_m);
        let per_speed2 = 1.0 / (speed * speed);
        let m0 = response.foil_velocity.max(0.0) * per_speed2;
        let m2 = response.foil_velocity_rate.max(0.0) * per_speed2;
        let angle_sd_rad = m0.sqrt();
        let lifts = mean_rad > 0.0;
        Self {
            mean_rad,
            angle_sd_rad,
            lift_ratio: if lifts { foils.stall.mean_lift_ratio(mean_rad, angle_sd_rad) } else { 1.0 },
            stall_rate_hz: if lifts { foils.stall.event_rate_hz(mean_rad, m0, m2) } else { 0.0 },
            broach_rate_hz: up_crossing_rate(
                response.foil_immersion.max(0.0),
                response.foil_immersion_rate.max(0.0),
                foils.depth_m,
            ),
        }
    }

    /// Part of the time in flight: each stall and broach costs the time of recovery.
    pub fn availability(&self, foils: &Foils) -> f64 {
        availability(self.stall_rate_hz + self.broach_rate_hz, foils.recovery_s)
    }
}
