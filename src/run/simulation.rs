//! One boat in one sea in time: the question, and its answer.

use crate::base::{Error, Flags, Result};
use crate::boat::{Boat, ModelChoices, OnOff, Side};
use crate::derate::Performance;
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::polar::Polar;
use crate::run::asked::{finite, non_negative, positive, within};
use crate::run::ready::performance_of;
use crate::run::response::of_one_system;
use crate::sea::PartitionKind;
use crate::simulate::{BodyChoice, Exact, Frames, Setting, SimulatedSea, TraceRow, simulate, simulate_exact};
use arrayvec::ArrayVec;
use std::path::PathBuf;

/// Steps longer than this miss waves that a boat meets head on, s.
pub const LONGEST_STEP_S: f64 = 0.5;

/// Steps of one drawing and of all of them: more would fill the memory before they say more.
const MOST_STEPS: [f64; 2] = [2e6, 5e7];

/// Which boat, in which wind and waves, how long.
#[derive(Debug, Clone, PartialEq)]
pub struct SimulationQuestion {
    /// The boat file.
    pub boat: PathBuf,
    /// The flat polar.
    pub polar: PathBuf,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, degrees; with a minus sign on port tack.
    pub twa_deg: f64,
    /// Significant wave height, m; of one regular wave its height from trough to crest.
    pub hs_m: f64,
    /// Peak period, s; of one regular wave its period.
    pub tp_s: f64,
    /// Direction the waves come from less the direction the wind comes from, degrees, positive clockwise.
    pub off_wind_deg: f64,
    /// What the waves are.
    pub kind: PartitionKind,
    /// Whether there is one regular wave instead of a drawn sea.
    pub regular: bool,
    /// How her hull answers the waves.
    pub body: BodyChoice,
    /// Time that is counted for each seed, s.
    pub duration_s: f64,
    /// Step of time, s.
    pub dt_s: f64,
    /// Seed of the first drawing.
    pub seed: u64,
    /// Number of drawings.
    pub seeds: u64,
    /// Foils that she sails without.
    pub without_foil: Vec<Side>,
}

/// What she does.
pub struct Simulation {
    /// The boat made ready.
    pub performance: Performance,
    /// Wind, sea and time.
    pub setting: Setting,
    /// Her speed, her events, and what her bow does where all of her hull is simulated.
    pub figures: Exact,
    /// The first drawing step by step.
    pub trace: Vec<TraceRow>,
    /// Moments of the wave that came deepest over her stem, where all of her hull is simulated.
    pub frames: Option<Frames>,
}

impl SimulationQuestion {
    /// Sails the boat through the sea.
    ///
    /// # Errors
    /// Files that cannot be used; numbers out of range; more steps than can be kept; a boat that makes no way there.
    pub fn answer(&self) -> Result<Simulation> {
        let setting = self.setting()?;
        let mut boat = Boat::read(&self.boat)?;
        for side in &self.without_foil {
            boat = boat.without_foil(*side).map_err(|error| error.file(&self.boat))?;
        }
        let choices = ModelChoices { surge: OnOff::On, ..ModelChoices::default() };
        let performance = performance_of(boat, Polar::read(&self.polar)?, &choices)?;
        let (figures, trace, frames) = match self.body {
            BodyChoice::Linear => {
                let (simulated, trace) = simulate(&performance, &setting)?;
                (Exact { simulated, bow: None }, trace, None)
            }
            BodyChoice::Exact => {
                let (figures, trace, frames) = simulate_exact(&performance, &setting)?;
                (figures, trace, Some(frames))
            }
        };
        Ok(Simulation { performance, setting, figures, trace, frames })
    }

    fn setting(&self) -> Result<Setting> {
        positive("tws_kn", self.tws_kn)?;
        positive("duration_s", self.duration_s)?;
        positive("dt_s", self.dt_s)?;
        within("dt_s", self.dt_s, 0.0..=LONGEST_STEP_S)?;
        check_steps(self.duration_s, self.dt_s, self.seeds)?;
        check_twa(self.twa_deg)?;
        Ok(Setting {
            tws_kn: self.tws_kn,
            twa_deg: self.twa_deg,
            sea: self.sea()?,
            duration_s: self.duration_s,
            step_s: self.dt_s,
            seed: self.seed,
            seeds: if self.regular { 1 } else { self.seeds },
        })
    }

    fn sea(&self) -> Result<SimulatedSea> {
        let (hs_m, tp_s) = (non_negative("hs_m", self.hs_m)?, positive("tp_s", self.tp_s)?);
        let off_wind_deg = finite("off_wind_deg", self.off_wind_deg)?;
        let kind = of_one_system(self.kind)?;
        if self.regular {
            return Ok(SimulatedSea::Regular { height_m: hs_m, period_s: tp_s, off_wind_deg });
        }
        let system = WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg };
        let systems: ArrayVec<_, _> = [system].into_iter().filter(|system| system.hs2_m2 > 0.0).collect();
        Ok(SimulatedSea::Random(WindFrameSea {
            tws_m_s: 0.0,
            systems,
            spectrum: None,
            flags: Flags::empty(),
        }))
    }
}

/// Whether the steps asked for can be kept: `seeds` drawings of `duration_s` by `step_s`.
///
/// # Errors
/// No drawing, or more steps than the memory holds.
pub fn check_steps(duration_s: f64, step_s: f64, seeds: u64) -> Result<()> {
    if seeds == 0 {
        return Err(Error::new("no drawing of the sea is asked for")
            .at("seeds")
            .found(seeds)
            .expected("1 or more")
            .remedy("correct seeds"));
    }
    let one = duration_s / step_s;
    let all = one * seeds as f64;
    if one <= MOST_STEPS[0] && all <= MOST_STEPS[1] {
        return Ok(());
    }
    Err(Error::new("the simulation is too long")
        .found(format!("{one:.0} steps in each of {seeds} drawings"))
        .expected(format!("up to {:.0} steps a drawing and {:.0} in all", MOST_STEPS[0], MOST_STEPS[1]))
        .remedy("take a shorter duration_s, a longer dt_s or fewer seeds"))
}

/// Whether a true wind angle, degrees, is one.
///
/// # Errors
/// Any beyond -180 to 180.
pub fn check_twa(twa_deg: f64) -> Result<()> {
    if (-180.0..=180.0).contains(&twa_deg) {
        return Ok(());
    }
    Err(Error::new("the true wind angle is out of range")
        .found(format!("{twa_deg} degrees"))
        .expected("-180 to 180, with a minus sign on port tack"))
}
