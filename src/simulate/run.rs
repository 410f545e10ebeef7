//! A boat sailed through drawn seas, seed by seed.

use crate::balance::{Added, BalanceInTime, CellBalance, SeaCurve};
use crate::base::units::kn_to_m_s;
use crate::base::{Error, Result};
use crate::derate::{Performance, derate_point};
use crate::hydro::surge::CourseWaves;
use crate::polar::Lookup;
use crate::simulate::boat::{Craft, State};
use crate::simulate::linear_motions::LinearMotions;
use crate::simulate::outcome::{Simulated, Sums};
use crate::simulate::sea::SimulatedSea;
use crate::simulate::trace::TraceRow;
use rayon::prelude::*;

/// Time until the start is forgotten, s.
pub(super) const SETTLE_S: f64 = 120.0;
/// Steps after which phases are counted anew.
const FRESH_PHASES: usize = 1024;

/// How a boat is simulated.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// Signed true wind angle, degrees.
    pub twa_deg: f64,
    /// The sea.
    pub sea: SimulatedSea,
    /// Time that is counted, s, of each seed.
    pub duration_s: f64,
    /// One step, s.
    pub step_s: f64,
    /// Seed of the first drawing.
    pub seed: u64,
    /// Number of drawings.
    pub seeds: u64,
}

/// What all seeds share.
struct Voyage<'v> {
    performance: &'v Performance,
    setting: &'v Setting,
    balance: &'v BalanceInTime<'v>,
    crest_m_s: Option<f64>,
}

/// Simulates a boat; the trace is that of the first seed.
///
/// # Errors
/// A wind outside the polar, a boat that makes no way there or without what a balance needs.
pub fn simulate(performance: &Performance, setting: &Setting) -> Result<(Simulated, Vec<TraceRow>)> {
    let flat_kn = flat_kn(performance, setting)?;
    let sea = setting.sea.mean_sea(kn_to_m_s(setting.tws_kn));
    let derated = derate_point(performance, setting.tws_kn, setting.twa_deg, flat_kn, &sea)?;
    let cell = performance.cell(setting.tws_kn, setting.twa_deg, flat_kn)?;
    let mut curve = SeaCurve::new(&performance.tables);
    curve.set(&sea, setting.twa_deg);
    let balance = balance(&cell, &curve)?;
    let voyage = Voyage { performance, setting, balance: &balance, crest_m_s: curve.crest_speed_m_s() };
    let seeds: Vec<(Sums, Vec<TraceRow>)> = (0..setting.seeds)
        .into_par_iter()
        .map(|index| voyage.sail(setting.seed.wrapping_add(index), index == 0))
        .collect();
    let (sums, mut traces): (Vec<Sums>, Vec<Vec<TraceRow>>) = seeds.into_iter().unzip();
    let trace = traces.first_mut().map(std::mem::take).unwrap_or_default();
    Ok((Simulated::of(&sums, &derated, balance.foils.is_some(), setting.step_s), trace))
}

pub(super) fn flat_kn(performance: &Performance, setting: &Setting) -> Result<f64> {
    match performance.flat.speed_kn(setting.tws_kn, setting.twa_deg) {
        Lookup::Inside(flat_kn) if flat_kn > 0.0 => Ok(flat_kn),
        Lookup::Inside(_) => Err(Error::new("the boat makes no way there in flat water")
            .found(format!("TWS {} kn, TWA {} degrees", setting.tws_kn, setting.twa_deg))
            .expected("a wind at which the polar has a speed above zero")),
        Lookup::Outside(_) => Err(Error::new("the wind lies outside the flat polar")
            .found(format!("TWS {} kn, TWA {} degrees", setting.tws_kn, setting.twa_deg))
            .expected(format!(
                "a true wind speed of {:?} kn and an angle of {:?} degrees, or between them",
                performance.flat.tws_kn(),
                performance.flat.twa_deg()
            ))),
    }
}

fn balance<'c>(cell: &'c CellBalance<'c>, curve: &SeaCurve) -> Result<BalanceInTime<'c>> {
    let outcome = cell.solve(curve, Added::Used(1.0));
    cell.in_time(curve, &outcome).ok_or_else(|| {
        Error::new("the boat makes no way in this sea")
            .expected("a sea in which thrust and mean resistance balance at some speed")
            .remedy("take a lower sea or a wider angle; `response` shows what holds her")
    })
}

impl Voyage<'_> {
    /// One seed; with the rows of its trace where they are asked for.
    fn sail(&self, seed: u64, traced: bool) -> (Sums, Vec<TraceRow>) {
        let (setting, tables) = (self.setting, &self.performance.tables);
        let drawn = setting.sea.waves(seed);
        let met: Vec<_> = drawn.met_at(setting.twa_deg).collect();
        let mut motions = LinearMotions::new(&tables.model.waves, met.clone());
        let mut waves = CourseWaves::new(&tables.surge, met.into_iter())
            .averaged_over(setting.step_s, self.balance.balance_m_s);
        let craft = Craft {
            balance: self.balance,
            displacement_kg: tables.model.displacement_kg,
            deck: tables.model.boat.deck.as_ref(),
        };
        let inertia = self.balance.curves.inertia_kg();
        let mut turned = waves.phases.room();
        let mut state = State::at(self.balance.balance_m_s);
        let (settle, counted) = (steps(SETTLE_S, setting.step_s), steps(setting.duration_s, setting.step_s));
        let (mut time, mut x, mut way) = (0.0, 0.0, 0.0);
        let mut sums = Sums::default();
        let mut trace = Vec::new();
        for index in 0..settle + counted {
            if index == settle {
                sums = Sums::new(counted, &state, inertia);
                way = 0.0;
            }
            let half = 0.5 * setting.step_s;
            let midway = x + half * (state.speed + 0.5 * half * state.acceleration);
            waves.phases.turn(time + half, midway, &mut turned);
            let push = waves.push(&turned);
            let moment = motions.at(state.speed, &turned);
            let before = state.speed;
            let step = state.step(&craft, push, &moment, self.crest_m_s, setting.step_s);
            let made = half * (before + state.speed);
            x += made;
            way += made;
            time += setting.step_s;
            if index >= settle {
                sums.add(
                    before,
                    &state,
                    &step,
                    self.crest_m_s,
                    self.balance.balance_m_s,
                    inertia,
                    setting.step_s,
                );
                if traced {
                    let at_s = (index + 1 - settle) as f64 * setting.step_s;
                    trace.push(TraceRow::new(at_s, way, &state, &step, push, &moment));
                }
            }
            if index % FRESH_PHASES == FRESH_PHASES - 1 {
                waves.phases.advance(time, x);
                (time, x) = (0.0, 0.0);
            }
        }
        (sums, trace)
    }
}

pub(super) fn steps(time_s: f64, step_s: f64) -> usize {
    (time_s / step_s).round().max(1.0) as usize
}
