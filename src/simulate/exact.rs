//! A boat with all of her hull sailed through drawn seas, seed by seed.

use crate::balance::{Added, BalanceInTime, SeaCurve};
use crate::base::units::{RHO_WATER, kn_to_m_s};
use crate::base::{Error, Flags, Result};
use crate::boat::shortest_felt_rad_s;
use crate::derate::{Performance, derate_point};
use crate::hydro::body::{BodyState, Wave};
use crate::hydro::surge::{Push, RandomWaves};
use crate::hydro::wind_frame::WindFrameSea;
use crate::simulate::boat::{State, Step};
use crate::simulate::bow_figures::{BowFigures, BowMoment, BowSums};
use crate::simulate::frames::{Course, Frame, Frames};
use crate::simulate::linear_motions::Moment;
use crate::simulate::outcome::{Simulated, Sums};
use crate::simulate::run::{SETTLE_S, Setting, flat_kn, steps};
use crate::simulate::sea::SimulatedSea;
use crate::simulate::trace::TraceRow;
use crate::simulate::whole_hull::WholeHull;
use arrayvec::ArrayVec;
use rayon::prelude::*;
use serde::Serialize;

/// Waves that stand for a sea here: each is felt by every section.
const WAVES: usize = 60;
/// Frames of the strip.
const FRAMES: usize = 6;

/// A boat in a sea in time, with what her bow does where all of her hull is simulated.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Exact {
    /// Speed and events, as of the linear simulation.
    #[serde(flatten)]
    pub simulated: Simulated,
    /// What the bow does; absent from a linear simulation, which does not know it.
    #[serde(flatten)]
    pub bow: Option<BowFigures>,
}

/// A boat with all of her hull in one sea: over all drawings, and in each by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawings {
    /// Over all drawings.
    pub all: Exact,
    /// In each, in the order of the seeds.
    pub each: Vec<Exact>,
    /// The first drawing step by step.
    pub trace: Vec<TraceRow>,
    /// The first drawing as she lay.
    pub course: Course,
}

struct Sailed {
    sums: Sums,
    bow: BowSums,
    trace: Vec<TraceRow>,
    course: Course,
}

/// Simulates a boat with all of her hull; trace and frames are those of the first seed.
///
/// # Errors
/// As [`crate::simulate::simulate`], and a hull that ends at the waterline.
pub fn simulate_exact(
    performance: &Performance,
    setting: &Setting,
) -> Result<(Exact, Vec<TraceRow>, Frames)> {
    let sailed = drawings(performance, setting)?;
    let deepest = sailed.course.deepest([0.0, f64::INFINITY]).map_or(0.0, |moment| moment.time_s);
    Ok((sailed.all, sailed.trace, sailed.course.around(deepest, FRAMES)))
}

/// As [`simulate_exact`], with each drawing by itself.
///
/// # Errors
/// As [`simulate_exact`].
pub fn drawings(performance: &Performance, setting: &Setting) -> Result<Drawings> {
    let flat_kn = flat_kn(performance, setting)?;
    let tws_m_s = kn_to_m_s(setting.tws_kn);
    let sea = setting.sea.mean_sea(tws_m_s);
    let derated = derate_point(performance, setting.tws_kn, setting.twa_deg, flat_kn, &sea)?;
    let cell = performance.cell(setting.tws_kn, setting.twa_deg, flat_kn)?;
    let (mut still, mut rough) = (SeaCurve::new(&performance.tables), SeaCurve::new(&performance.tables));
    let calm = WindFrameSea { tws_m_s, systems: ArrayVec::new(), spectrum: None, flags: Flags::empty() };
    still.set(&calm, setting.twa_deg);
    rough.set(&sea, setting.twa_deg);
    let balance = cell.in_time(&still, &cell.solve(&still, Added::Used(1.0))).ok_or_else(|| {
        Error::new("the boat makes no way there in flat water").expected("a wind that drives her")
    })?;
    let mean_m_s = kn_to_m_s(derated.corrected_kn).max(0.3 * balance.balance_m_s);
    let voyage =
        Voyage { performance, setting, balance: &balance, mean_m_s, crest_m_s: rough.crest_speed_m_s() };
    let mut seeds: Vec<Sailed> = (0..setting.seeds)
        .into_par_iter()
        .map(|index| voyage.sail(setting.seed.wrapping_add(index), index == 0))
        .collect::<Result<_>>()?;
    let (trace, course) = seeds
        .first_mut()
        .map(|first| (std::mem::take(&mut first.trace), std::mem::take(&mut first.course)))
        .unwrap_or_default();
    let (mut sums, bows): (Vec<Sums>, Vec<BowSums>) =
        seeds.into_iter().map(|seed| (seed.sums, seed.bow)).unzip();
    let mean_m_s = sums.iter().map(Sums::mean_m_s).sum::<f64>() / sums.len().max(1) as f64;
    sums.iter_mut().for_each(|seed| seed.recover_to(mean_m_s, setting.step_s));
    let of = |sums: &[Sums], bows: &[BowSums]| {
        let simulated = Simulated::of(sums, &derated, balance.foils.is_some(), setting.step_s);
        let bow = BowSums::figures(bows, simulated.simulated_s / 3600.0);
        Exact { simulated, bow: Some(bow) }
    };
    let each = sums.chunks(1).zip(bows.chunks(1)).map(|(sums, bows)| of(sums, bows)).collect();
    Ok(Drawings { all: of(&sums, &bows), each, trace, course })
}

struct Voyage<'v> {
    performance: &'v Performance,
    setting: &'v Setting,
    balance: &'v BalanceInTime<'v>,
    mean_m_s: f64,
    crest_m_s: Option<f64>,
}

impl Voyage<'_> {
    fn waves(&self, seed: u64) -> Vec<Wave> {
        let drawn = match &self.setting.sea {
            SimulatedSea::Random(sea) => {
                let length_m = self.performance.tables.model.hydrostatics.lwl_m;
                RandomWaves::draw_up_to(sea, WAVES, shortest_felt_rad_s(length_m), seed)
            }
            regular => regular.waves(seed),
        };
        let met = drawn.met_at(self.setting.twa_deg);
        met.map(|(wave, mu_rad)| Wave {
            amplitude_m: wave.amplitude_m,
            omega_rad_s: wave.omega,
            mu_rad,
            phase_rad: wave.phase,
        })
        .collect()
    }

    fn sail(&self, seed: u64, traced: bool) -> Result<Sailed> {
        let setting = self.setting;
        let waves = self.waves(seed);
        let model = &self.performance.tables.model;
        let wind = [setting.tws_kn, setting.twa_deg];
        let mut hull = WholeHull::new(model, self.balance, &waves, self.mean_m_s, wind)?;
        let mut sailing = hull.start();
        let inertia = hull.surge_mass_kg();
        let (settle, counted) = (steps(SETTLE_S, setting.step_s), steps(setting.duration_s, setting.step_s));
        let stem_x = model.hydrostatics.lwl_m - hull.gravity_x_m();
        let (mut sums, mut bow) = (Sums::default(), BowSums::default());
        let (mut trace, mut moments) = (Vec::new(), Vec::new());
        let mut from_m = 0.0;
        for index in 0..settle + counted {
            if index == settle {
                sums =
                    Sums::new(counted, &state_of(sailing.afloat.speed_m_s, hull.deck_kg(&sailing)), inertia);
                from_m = sailing.afloat.run_m;
            }
            let before = sailing.afloat.speed_m_s;
            let deck_before = [sailing.afloat.deck.shipped_m3, sailing.afloat.deck.drained_m3];
            let happened = hull.step(&mut sailing, setting.step_s);
            followed(&sailing.afloat, seed)?;
            if index < settle {
                continue;
            }
            let (state, now) = (&sailing.afloat, &sailing.now);
            let shipped_kg = RHO_WATER * (state.deck.shipped_m3 - deck_before[0]);
            let foil_angle_rad = happened.flying.then_some(now.foil.angle_rad);
            let step = Step {
                stalled: happened.stalled,
                broached: happened.broached,
                dropped: happened.dropped,
                nose_dived: happened.bow_under && self.crest_m_s.is_some_and(|crest| state.speed_m_s > crest),
                foil_angle_rad,
                shipped_kg,
                drained_kg: RHO_WATER * (state.deck.drained_m3 - deck_before[1]),
                forces_n: [happened.forces_n[0], happened.forces_n[1], happened.forces_n[2]],
            };
            let boat = state_of(state.speed_m_s, hull.deck_kg(&sailing));
            sums.add(before, &boat, &step, self.crest_m_s, self.balance.balance_m_s, inertia, setting.step_s);
            let bow_wave_m = now.stem_level_m + state.heave_m - stem_x * state.trim_rad;
            bow.add(&BowMoment {
                trim_rad: state.trim_rad,
                foil_angle_rad,
                apparent_rad: happened.apparent_rad,
                bow_wave_m,
                bow_relative_m: now.stem_level_m,
                shipped_kg,
                bow_under: happened.bow_under,
                reentry: happened.reentry,
                impact_n: happened.impact_n,
                bow_impact_n: happened.bow_impact_n,
                bow_acceleration_m_s2: happened.bow_acceleration_m_s2,
                bow_acceleration_most_m_s2: happened.bow_acceleration_most_m_s2,
                surge_n: happened.forces_n[1],
            });
            if traced {
                let time_s = (index + 1 - settle) as f64 * setting.step_s;
                let moment = Moment {
                    bow_m: now.stem_level_m,
                    bow_wave_m,
                    pitch_rad: state.trim_rad,
                    bow_acceleration_m_s2: happened.bow_acceleration_m_s2,
                    ..Moment::default()
                };
                let push = Push { force_n: happened.forces_n[1], flow_m_s: 0.0 };
                trace.push(TraceRow::new(time_s, state.run_m - from_m, &boat, &step, push, &moment));
                moments.push(Frame::new(time_s, state, boat.water_kg, now.stem_over_edge_m));
            }
        }
        let gravity_x_m = hull.gravity_x_m();
        Ok(Sailed { sums, bow, trace, course: Course { moments, waves, gravity_x_m } })
    }
}

/// Trim beyond which the equations no longer follow her, rad: 45 degrees, where sections across her axis say little (judged).
const MOST_TRIM_RAD: f64 = 0.785;

/// Whether her motions are still such that the equations hold; a boat that runs away is told, not averaged.
fn followed(afloat: &BodyState, seed: u64) -> Result<()> {
    // NaN is none of these
    if afloat.speed_m_s.is_finite() && afloat.trim_rad.abs() <= MOST_TRIM_RAD {
        return Ok(());
    }
    Err(Error::new("her motions run away beyond what the equations hold for")
        .at(format!("drawing of seed {seed}, {:.0} s after its start", afloat.time_s))
        .found(format!("a trim of {:.0} degrees", afloat.trim_rad.to_degrees()))
        .expected("trims within 45 degrees")
        .remedy("take a lower sea, one that she does not keep pace with, or --body linear"))
}

fn state_of(speed_m_s: f64, water_kg: f64) -> State {
    let mut state = State::at(speed_m_s);
    state.water_kg = water_kg;
    state
}
