//! The time a track takes on the flat polar and on the corrected ones: what the sea costs.
//!
//! # Rules
//! - Two boats start at once, one on the flat polar and one on the corrected polar of the region and window she is in;
//!   each meets the wind of her own place and time ([`crate::forecast::point_wind`]).
//! - Along the course she makes what [`made_good`] says.
//! - Where **no corrected polar** serves, outside every region or every window, she sails on the flat one: that part of
//!   the sea's cost is missing, and is declared as a gap.
//! - Where **speed is not known**, with no wind in the forecast or a wind outside the polar, or where she makes no way,
//!   she stops there: no time is given for the rest, and that is a gap.

use crate::base::Result;
use crate::forecast::Forecast;
use crate::forecast::PointWind;
use crate::passage::chart::Chart;
use crate::passage::chart::PolarServing;
use crate::passage::leg::Leg;
use crate::passage::sail::STEP_M;
use crate::passage::sail::Sailing;
use crate::passage::sail::Stopped;
use crate::passage::sail::Voyage;
use crate::passage::sources::Sources;
use crate::polar::Polar;
use jiff::Timestamp;

/// What a passage is sailed by.
#[derive(Debug)]
pub struct Setting {
    /// The flat polar.
    pub flat: Polar,
    /// The corrected ones.
    pub chart: Chart,
    pub wind: PointWind,
    pub legs: Vec<Leg>,
}

/// One departure, sailed on the flat polar and on the corrected ones.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    /// When it starts.
    pub start: Timestamp,
    /// On the flat polar.
    pub flat: Voyage,
    /// On the corrected polars.
    pub corrected: Voyage,
}

/// What was sailed without a corrected polar on a leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncorrected {
    /// StopReason: never [`PolarServing::Corrected`].
    pub why: PolarServing,
    /// How far, m.
    pub length_m: f64,
    /// How long, s.
    pub duration_s: f64,
}

/// What is missing on a leg.
#[derive(Debug, Clone, PartialEq)]
pub enum Gap {
    /// Some of it was sailed on the flat polar for want of a corrected one.
    Uncorrected(Uncorrected),
    /// She stops on it.
    Stopped {
        /// The polars she stops on.
        on: SailedOn,
        /// Where and why.
        stopped: Stopped,
    },
}

/// The polars of a voyage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SailedOn {
    /// The corrected ones.
    Corrected,
    /// The flat one.
    Flat,
}

impl Setting {
    /// Opens the wind of a forecast along legs.
    ///
    /// # Errors
    /// A forecast that cannot be used; a member that is not settled.
    pub fn new(sources: Sources, legs: Vec<Leg>, member: Option<u32>) -> Result<Self> {
        let forecast = Forecast::open(&sources.forecast)?;
        let ends = legs.iter().map(Leg::latitudes_deg);
        let (south, north) = ends
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(s, n), (south, north)| (s.min(south), n.max(north)));
        let wind = PointWind::of_forecast(&forecast, member, south, north)?;
        Ok(Self { flat: sources.flat, chart: sources.chart, wind, legs })
    }

    /// Sails one departure.
    ///
    /// # Errors
    /// As [`Sailing::voyage`].
    pub fn passage(&self, start: Timestamp) -> Result<Passage> {
        self.passage_in_steps(start, STEP_M)
    }

    /// Sails one departure in stretches of at most a length, m.
    ///
    /// # Errors
    /// As [`Sailing::voyage`].
    pub fn passage_in_steps(&self, start: Timestamp, step_m: f64) -> Result<Passage> {
        let flat = Sailing { flat: &self.flat, chart: None, wind: &self.wind, step_m };
        let corrected = Sailing { chart: Some(&self.chart), ..flat };
        let (flat, corrected) =
            rayon::join(|| flat.voyage(&self.legs, start), || corrected.voyage(&self.legs, start));
        Ok(Passage { start, flat: flat?, corrected: corrected? })
    }
}

impl Passage {
    /// What the sea costs over the whole track, s; none where either boat does not arrive.
    pub fn cost_s(&self) -> Option<f64> {
        let arrive = self.flat.stopped.is_none() && self.corrected.stopped.is_none();
        arrive.then(|| self.corrected.duration_s() - self.flat.duration_s())
    }

    /// What the sea takes on a leg, from 0, in the wind that the boat on the corrected polars meets, s: her time less
    /// that on the flat polar over the same stretches. The clocks of both boats differ by more or less than that, as
    /// the one that is later meets other winds. None where she does not finish the leg.
    pub fn sea_s(&self, leg: usize) -> Option<f64> {
        let taken =
            self.corrected.leg(leg).map(|stretch| Some(stretch.duration_s - stretch.flat_duration_s?));
        self.corrected.finished(leg).then(|| taken.sum::<Option<f64>>()).flatten()
    }

    /// What of a leg, from 0, was sailed without a corrected polar, each reason once.
    pub fn uncorrected(&self, leg: usize) -> Vec<Uncorrected> {
        let mut parts: Vec<Uncorrected> = Vec::new();
        for stretch in self.corrected.leg(leg) {
            let Some(why) =
                stretch.serving.filter(|serving| !matches!(serving, PolarServing::Corrected { .. }))
            else {
                continue;
            };
            let place = parts.iter().position(|part| part.why == why).unwrap_or_else(|| {
                parts.push(Uncorrected { why, length_m: 0.0, duration_s: 0.0 });
                parts.len() - 1
            });
            parts[place].length_m += stretch.length_m;
            parts[place].duration_s += stretch.duration_s;
        }
        parts
    }

    /// What is missing on a leg, from 0: what was sailed without a corrected polar, then where either boat stops.
    pub fn gaps(&self, leg: usize) -> Vec<Gap> {
        let uncorrected = self.uncorrected(leg).into_iter().map(Gap::Uncorrected);
        let stops = [(SailedOn::Corrected, &self.corrected), (SailedOn::Flat, &self.flat)];
        let stopped = stops.into_iter().filter_map(|(on, voyage)| {
            let stopped = voyage.stopped.clone().filter(|stopped| stopped.leg == leg)?;
            Some(Gap::Stopped { on, stopped })
        });
        uncorrected.chain(stopped).collect()
    }
}
