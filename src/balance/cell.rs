//! One polar cell in one sea: the speed at which thrust and resistance balance, and what each cause takes.
//!
//! At the flat polar's speed thrust equals flat-water resistance by definition: the polar is the truth, and the sail
//! model gives only how thrust changes with speed at fixed true wind. Causes are added one by one in a fixed order,
//! and each is charged with the ratio of the speeds after and before it.

use crate::balance::carriage::Carriage;
use crate::balance::drive::{Drive, Match, Thrust, TrueWind};
use crate::balance::foil_state::FoilState;
use crate::balance::forces::Forces;
use crate::balance::rungs::RUNG_M_S;
use crate::balance::sea_curve::SeaCurve;
use crate::balance::search::{SPEED_TOLERANCE_M_S, largest_root};
use crate::balance::tables::BoatTables;
use crate::base::{Flag, Flags};
use crate::boat::Foils;
use crate::hydro::foil::shared_time_speed_m_s;
use crate::hydro::response::Response;

/// Number of causes of loss.
pub const STAGES: usize = 6;
/// Names of the causes, in their fixed order.
pub const STAGE_NAMES: [&str; STAGES] =
    ["added_resistance", "deck_water", "windage", "foil_lift", "foil_downtime", "surge"];

/// Part of the resistance that thrust may lack by rounding alone.
pub(super) const ROUNDING: f64 = 1e-12;
/// Water on deck that is not looked for in the balance.
pub(super) const NO_WATER_KG: f64 = 1e-3;
/// By how much less of a sea a slower speed must bear to be called a fall (judged, no source).
pub(super) const NOTICED_FALL: f64 = 0.1;
/// How close speeds are looked for that are compared with another, m/s: a last step of five times that leaves at most a fifth of
/// itself, 0.002 kn (`tests/physics/compared_speeds.rs` measures it).
const COMPARED_TOLERANCE_M_S: f64 = 1e-3;
/// Loss of mean foil lift that counts as stall.
pub(super) const STALL_LOSS: f64 = 0.01;

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
    /// Flat speed, then the speed after each stage; after surge, which [`CellBalance::surge`] finds, that of mean forces.
    pub speeds: [f64; STAGES + 1],
    /// The speed in flight, where she flies.
    pub flying_m_s: Option<f64>,
    /// The speed without the foils' lift, where she sails so.
    pub hull_m_s: Option<f64>,
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// Part of the time in flight, 0 to 1; one for a boat that does not fly here.
    pub availability: f64,
    /// Two speeds, m/s, that she can hold in flat water or between which this sea lets her fall.
    pub two_balances: Option<[f64; 2]>,
    /// Reservations.
    pub flags: Flags,
}

impl Outcome {
    /// The speed at which mean forces balance, m/s.
    pub fn balance_m_s(&self) -> f64 {
        self.speeds[STAGES - 1]
    }

    /// The same with the mean speed after surge.
    pub fn surged(mut self, speed_m_s: f64) -> Self {
        self.speeds[STAGES] = speed_m_s;
        self
    }
}

/// One polar cell of a boat, with everything of the balance that does not depend on the sea.
#[derive(Debug, Clone)]
pub struct CellBalance<'t> {
    pub(super) tables: &'t BoatTables,
    flat_speed: f64,
    /// As she sails in flat water, flying where she can.
    pub(super) main: Drive,
    /// Without foil lift: while she recovers flight, or where a foil is lost. None for a boat without foils.
    on_hull: Option<OnHull>,
    flies: bool,
    /// Two speeds that she can hold in flat water.
    two_balances: Option<[f64; 2]>,
    flags: Flags,
}

/// How she sails without foil lift.
#[derive(Debug, Clone)]
pub(super) struct OnHull {
    /// What drives her with the foils up, where her speed then is known; else the same as in flight.
    own: Option<Drive>,
    carriage: Carriage,
}

/// What of the sea and the boat takes part in a balance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Causes {
    pub(super) added: Added,
    pub(super) carriage: Carriage,
    pub(super) windage: bool,
    /// How close speeds are looked for, m/s.
    tolerance_m_s: f64,
}

impl Causes {
    /// All that there are.
    pub(super) fn all(added: Added, carriage: Carriage) -> Self {
        Self { added, carriage, windage: true, tolerance_m_s: SPEED_TOLERANCE_M_S }
    }

    fn with(self, carriage: Carriage) -> Self {
        Self { carriage, ..self }
    }
}

impl<'t> CellBalance<'t> {
    /// Prepares a cell: true wind, signed true wind angle, flat speed, and flat speed with the foils up if known.
    /// Speeds up to the greatest of the tables.
    ///
    /// # Errors
    /// When the boat file has no sails.
    pub fn new(
        tables: &'t BoatTables,
        tws_m_s: f64,
        twa_deg: f64,
        flat_speed: f64,
        foils_up_speed: Option<f64>,
    ) -> crate::base::error::Result<Self> {
        let model = &tables.model;
        let plan = model.sails()?;
        let wind = TrueWind { tws_m_s, twa_deg };
        let flies = model.flies(twa_deg);
        let has_foils = model.foils.is_some();
        let mut flags = model.flags | model.method_flags(flat_speed);
        if model.waves.own.as_ref().is_some_and(|own| !own.covers_speed(flat_speed)) {
            flags |= Flag::OwnTableLeft;
        }
        let main = Drive::new(tables, plan, wind, flat_speed, Carriage::Flat, &mut flags);
        let on_hull = has_foils.then(|| {
            let carriage = Carriage::Hull { foil_in_water: foils_up_speed.is_none() && flies };
            let own = foils_up_speed.map(|speed| Drive::new(tables, plan, wind, speed, carriage, &mut flags));
            OnHull { own, carriage }
        });
        if has_foils && foils_up_speed.is_none() {
            flags |= Flag::HullSpeedFromBalance;
        }
        let mut cell = Self { tables, flat_speed, main, on_hull, flies, two_balances: None, flags };
        if let [.., slower, faster] = cell.held_speeds()[..] {
            cell.two_balances = Some([slower, faster]);
            cell.flags |= Flag::TwoBalances;
        }
        Ok(cell)
    }

    /// How her sails' thrust stands to her resistance at the flat speed; none where that is zero.
    pub fn matched(&self) -> Option<&Match> {
        self.main.matched()
    }

    /// The speeds up to the flat one, m/s, rising, that she can hold in flat water: one where boat and polar hang
    /// together.
    pub fn held_speeds(&self) -> Vec<f64> {
        let surplus = |(rung, thrust): (usize, &Thrust)| {
            let carried =
                Carriage::Flat.at(self.tables.hull(), RUNG_M_S * rung as f64, &Response::default(), 0.0);
            (RUNG_M_S * rung as f64, thrust.net_n() - carried.held_back_n())
        };
        let points: Vec<(f64, f64)> =
            self.main.rungs_below(self.flat_speed - RUNG_M_S).skip(1).map(surplus).collect();
        let held = points.windows(2).filter(|pair| pair[0].1 > 0.0 && pair[1].1 <= 0.0);
        let line = |pair: &[(f64, f64)]| pair[0].0 + pair[0].1 / (pair[0].1 - pair[1].1) * RUNG_M_S;
        held.map(line).chain((self.flat_speed > 0.0).then_some(self.flat_speed)).collect()
    }

    /// Reservations about her alone, whatever the sea.
    pub fn flags(&self) -> Flags {
        self.flags
    }

    /// What of her balance at a speed in flat water trim does not depend on the sea: thrust less resistance, N, and the
    /// change of mean thrust per variance of pitch rate, N s²/rad².
    pub fn without_sea(&self, speed_m_s: f64) -> [f64; 2] {
        let carried = Carriage::Flat.at(self.tables.hull(), speed_m_s, &Response::default(), 0.0);
        let thrust = self.main.at(speed_m_s);
        [thrust.net_n() - carried.held_back_n(), thrust.pitching]
    }

    /// The cell in a sea, cause by cause.
    pub fn solve(&self, sea: &SeaCurve, added: Added) -> Outcome {
        let flat = Causes { windage: false, ..Causes::all(added, Carriage::Flat) };
        let laden = flat.with(Carriage::Laden);
        let mut speeds = [self.flat_speed; STAGES + 1];
        speeds[1] = self.speed(&self.main, sea, flat, speeds[0]);
        let wet = sea.deck_water_kg(speeds[1]) > NO_WATER_KG;
        // water that is faster than she is pushes as it comes aboard: she may win back what the waves took
        let start = if sea.deck_water_n(speeds[1]) < 0.0 { speeds[0] } else { speeds[1] };
        speeds[2] = if wet { self.speed(&self.main, sea, laden, start) } else { speeds[1] };
        // wind from aft pushes what stands in it: she may win back what the waves took, up to her flat speed
        let pushed = self.main.at(speeds[2]).windage_n < 0.0;
        let start = if pushed { speeds[0] } else { speeds[2] };
        speeds[3] = if self.main.has_windage() { self.laden_speed(sea, added, start) } else { speeds[2] };
        let last = self.foil_stages(sea, added, speeds[3]);
        speeds[4] = last.flying_speed.unwrap_or(last.speed);
        speeds[5..].fill(last.speed);
        let mut flags = self.flags | sea.flags;
        if last.flight.lift_ratio < 1.0 - STALL_LOSS {
            flags |= Flag::FoilStall;
        }
        if speeds.contains(&0.0) || last.hull_speed == Some(0.0) {
            flags |= Flag::NoWay;
        }
        let two_balances =
            self.two_balances.or_else(|| self.fallen(sea, Causes::all(added, Carriage::Laden), speeds[3]));
        if two_balances.is_some() {
            flags |= Flag::TwoBalances;
        }
        if sea.pitch_poled(speeds[STAGES]) {
            flags |= Flag::LargeWavesLeft;
        }
        if sea.chance_covers_large_waves(speeds[STAGES]) {
            flags |= Flag::LargeWavesUncertain;
        }
        let deck_water_kg = sea.deck_water_kg(speeds[5]);
        Outcome {
            speeds,
            flying_m_s: last.flying_speed,
            hull_m_s: last.hull_speed,
            deck_water_kg,
            availability: last.flight.availability,
            two_balances,
            flags,
        }
    }

    /// The speed after all causes: as that of [`CellBalance::solve`], which takes them one by one.
    ///
    /// Water on deck, and wind on what the polar does not hold, brake the more the faster she is, and where they push both
    /// searches start at the flat speed: the largest speed that balances with all of them is the same.
    pub fn last_speed(&self, sea: &SeaCurve, added: Added) -> f64 {
        self.foil_stages(sea, added, self.laden_speed(sea, added, self.flat_speed)).speed
    }

    /// The same by several methods to compare, within 0.01 kn: a search then ends at the first balance from which the next
    /// step would be a short one, and the balance at the flat speed, which differs by added resistance alone, is one for all.
    pub fn compared_speeds<const N: usize>(&self, sea: &SeaCurve, added: [Added; N]) -> [f64; N] {
        let causes =
            |added| Causes { tolerance_m_s: COMPARED_TOLERANCE_M_S, ..Causes::all(added, Carriage::Laden) };
        let at_flat = self.forces(&self.main, sea, causes(Added::Used(1.0)), self.flat_speed);
        let response = sea.at(self.flat_speed);
        let added_n = [response.added_resistance, response.second_added_resistance];
        added.map(|added| {
            let added_resistance_n = at_flat.hull_borne_share * added.of(added_n);
            let at_flat = Forces { added_resistance_n, ..at_flat };
            let causes = causes(added);
            let laden = self.speed_below(&self.main, sea, causes, self.flat_speed, &at_flat);
            self.foil_stages_by(sea, causes, laden).speed
        })
    }

    /// The speed before the foils lose anything, looked for from a speed downwards.
    fn laden_speed(&self, sea: &SeaCurve, added: Added, start: f64) -> f64 {
        self.speed(&self.main, sea, Causes::all(added, Carriage::Laden), start)
    }

    /// What foils lose, from the speed before.
    pub(super) fn foil_stages(&self, sea: &SeaCurve, added: Added, before: f64) -> FoilStages {
        self.foil_stages_by(sea, Causes::all(added, Carriage::Laden), before)
    }

    fn foil_stages_by(&self, sea: &SeaCurve, causes: Causes, before: f64) -> FoilStages {
        let (Some((drive, carriage)), Some(foils)) = (self.on_hull(), &self.tables.model.foils) else {
            return FoilStages { speed: before, flying_speed: None, hull_speed: None, flight: Flight::WHOLE };
        };
        let causes = causes.with(carriage);
        let on_hull = || self.speed(drive, sea, causes, before.min(drive.top_speed));
        if !self.flies {
            let speed = on_hull();
            return FoilStages { speed, flying_speed: None, hull_speed: Some(speed), flight: Flight::WHOLE };
        }
        let (mut flying, mut flight) = (before, self.flight(foils, sea, before));
        if flight.lift_ratio != 1.0 {
            flying = self.speed(&self.main, sea, causes.with(Carriage::Stalling), before);
            flight = self.flight(foils, sea, flying);
        }
        let hull_speed = (flight.availability < 1.0).then(on_hull);
        FoilStages {
            speed: shared_time_speed_m_s(flight.availability, flying, hull_speed.unwrap_or(0.0)),
            flying_speed: Some(flying),
            hull_speed,
            flight,
        }
    }

    /// The speed without foil lift, up to that before; that before for a boat without foils.
    pub(super) fn hull_speed(&self, sea: &SeaCurve, before: f64) -> f64 {
        self.on_hull().map_or(before, |(drive, carriage)| {
            let causes = Causes::all(Added::Used(1.0), carriage);
            self.speed(drive, sea, causes, before.min(drive.top_speed))
        })
    }

    /// What drives and carries her without foil lift, where she has foils.
    pub(super) fn on_hull(&self) -> Option<(&Drive, Carriage)> {
        self.on_hull.as_ref().map(|hull| (hull.own.as_ref().unwrap_or(&self.main), hull.carriage))
    }

    /// The largest speed up to `start` at which thrust is no less than resistance; zero if there is none.
    fn speed(&self, drive: &Drive, sea: &SeaCurve, causes: Causes, start: f64) -> f64 {
        if start <= 0.0 {
            return start;
        }
        self.speed_below(drive, sea, causes, start, &self.forces(drive, sea, causes, start))
    }

    /// The same from the balance at `start`.
    fn speed_below(
        &self,
        drive: &Drive,
        sea: &SeaCurve,
        causes: Causes,
        start: f64,
        at_start: &Forces,
    ) -> f64 {
        if start <= 0.0 || at_start.surplus_n() >= -ROUNDING * at_start.calm_resistance_n {
            return start;
        }
        let surplus = |speed: f64| self.forces(drive, sea, causes, speed).surplus_n();
        let rungs = drive.rungs_below(start.min(self.tables.max_speed_m_s())).rev();
        let points =
            rungs.map(|(rung, thrust)| (RUNG_M_S * rung as f64, surplus_at_rung(thrust, sea, rung, causes)));
        largest_root(surplus, (start, at_start.surplus_n()), points, causes.tolerance_m_s).unwrap_or(0.0)
    }

    /// The speed found, and the one from which she falls to it, where she falls.
    ///
    /// As a sea rises she slows in step as long as each slower speed bears more of it. Where slower speeds bear less, she
    /// is let down from the last that bore more to the next that bears it all.
    fn fallen(&self, sea: &SeaCurve, causes: Causes, found: f64) -> Option<[f64; 2]> {
        let (mut most, mut at) = (0.0, self.flat_speed);
        for (rung, thrust) in self.main.rungs_below(self.flat_speed).rev() {
            let speed = RUNG_M_S * rung as f64;
            if found <= 0.0 || speed <= found + RUNG_M_S {
                return None;
            }
            let flat = thrust.net_n() - sea.still_carried(rung, Carriage::Flat).held_back_n();
            let taken = flat - surplus_at_rung(thrust, sea, rung, causes);
            let borne = if taken > 0.0 { flat / taken } else { f64::INFINITY };
            if borne < most * (1.0 - NOTICED_FALL) {
                return Some([found, at]);
            }
            if borne > most {
                (most, at) = (borne, speed);
            }
        }
        None
    }

    /// Thrust and resistance at a speed.
    pub(super) fn forces(&self, drive: &Drive, sea: &SeaCurve, causes: Causes, speed: f64) -> Forces {
        let (response, aboard) = sea.all_at(speed);
        let carried = causes.carriage.at(self.tables.hull(), speed, &response, aboard.water_kg);
        let added_n = causes.added.of([response.added_resistance, response.second_added_resistance]);
        let thrust = drive.at(speed);
        Forces {
            drive_n: thrust.drive_n,
            side_drag_n: thrust.side_drag_n,
            pitching_thrust_n: thrust.pitching * response.pitch_rate,
            calm_resistance_n: carried.calm_n,
            foil_drag_n: carried.foil_n,
            hull_borne_share: carried.borne,
            added_resistance_n: carried.borne * added_n,
            windage_n: if causes.windage { thrust.windage_n } else { 0.0 },
            deck_water_n: if causes.carriage.is_wet() { aboard.deck_water_n } else { 0.0 },
            large_waves_n: aboard.beyond_n,
        }
    }

    /// Part of the time she flies, and what is left of the foil's lift: stalls and broaches at their rates, each with its
    /// time of recovery.
    fn flight(&self, foils: &Foils, sea: &SeaCurve, speed: f64) -> Flight {
        if foils.share.at(speed) <= 0.0 {
            return Flight::WHOLE;
        }
        let (response, aboard) = sea.all_at(speed);
        let state =
            FoilState::new(foils, &response, speed, self.tables.model.displacement_kg + aboard.water_kg);
        Flight { availability: state.availability(foils), lift_ratio: state.lift_ratio }
    }
}

/// Part of the time in flight, and mean lift over that without stall.
#[derive(Debug, Clone, Copy)]
pub(super) struct Flight {
    pub(super) availability: f64,
    lift_ratio: f64,
}

impl Flight {
    /// Flight that nothing breaks; of a boat that does not fly, too.
    const WHOLE: Self = Self { availability: 1.0, lift_ratio: 1.0 };
}

/// How the stages of the foils, which are the last, leave her.
pub(super) struct FoilStages {
    /// The speed after all.
    pub(super) speed: f64,
    /// The speed in flight, where she flies.
    pub(super) flying_speed: Option<f64>,
    /// The speed without lift, where she sails so.
    pub(super) hull_speed: Option<f64>,
    pub(super) flight: Flight,
}

impl Added {
    /// Of the resistances by both methods the one in use, N.
    fn of(self, [used, second]: [f64; 2]) -> f64 {
        match self {
            Added::Used(factor) => factor * used,
            Added::Second => second,
        }
    }
}

/// Thrust less resistance at a rung, N.
fn surplus_at_rung(thrust: &Thrust, sea: &SeaCurve, rung: usize, causes: Causes) -> f64 {
    let (sea, carried) = (sea.rung(rung), sea.carried(rung, causes.carriage));
    let windage_n = if causes.windage { thrust.windage_n } else { 0.0 };
    let added_n = carried.borne * causes.added.of(sea.added_n);
    let deck_water_n = sea.deck_water_on_n(causes.carriage);
    thrust.net_n() + thrust.pitching * sea.pitch_rate
        - carried.held_back_n()
        - added_n
        - windage_n
        - deck_water_n
        - sea.beyond_n
}
