//! The numbers of a passage leg by leg and over the whole track, in hours, nautical miles and knots.

use crate::base::Result;
use crate::base::units::{NAUTICAL_MILE_M, m_s_to_kn};
use crate::passage::chart::PolarServing;
use crate::passage::gap_words;
use crate::passage::leg::Leg;
use crate::passage::made_good::Manner;
use crate::passage::sail::{Voyage, after};
use crate::passage::setting::{Passage, Setting};
use jiff::Timestamp;

/// One leg on one set of polars.
#[derive(Debug, Clone, PartialEq)]
pub struct Sailed {
    /// Time on it.
    pub hours: f64,
    /// Distance along it.
    pub nm: f64,
    /// Mean speed along it; none where nothing was sailed.
    pub speed_kn: Option<f64>,
    /// Mean true wind speed over the time.
    pub tws_kn: Option<f64>,
    /// Of the time, that on both tacks close to the wind.
    pub beating_hours: f64,
    /// Of the time, that on both tacks before the wind.
    pub gybing_hours: f64,
    /// When its end is reached; none where it is not.
    pub arrival: Option<Timestamp>,
}

/// One leg on both.
#[derive(Debug, Clone, PartialEq)]
pub struct SailedLeg {
    /// The leg.
    pub leg: Leg,
    /// On the flat polar.
    pub flat: Sailed,
    /// On the corrected polars.
    pub corrected: Sailed,
    /// Hours that the sea takes in the winds that the boat on the corrected polars meets.
    pub sea_hours: Option<f64>,
    /// Regions whose polars served, in order.
    pub regions: Vec<String>,
    /// What is missing, in words.
    pub gaps: Vec<String>,
}

impl Sailed {
    fn of(passage: &Passage, voyage: &Voyage, leg: usize) -> Result<Self> {
        let stretches = || voyage.leg(leg);
        // an empty sum is minus zero
        let seconds = stretches().map(|stretch| stretch.duration_s).sum::<f64>() + 0.0;
        let metres = stretches().map(|stretch| stretch.length_m).sum::<f64>() + 0.0;
        let of = |manner| {
            stretches()
                .filter(|stretch| stretch.manner == manner)
                .map(|stretch| stretch.duration_s)
                .fold(0.0, |sum, s| sum + s)
        };
        let tws = stretches().map(|stretch| stretch.tws_kn * stretch.duration_s).sum::<f64>();
        let end = stretches().last().map(|stretch| stretch.start_s + stretch.duration_s);
        let arrival =
            end.filter(|_| voyage.finished(leg)).map(|end| after(passage.start, end)).transpose()?;
        Ok(Self {
            hours: seconds / 3600.0,
            nm: metres / NAUTICAL_MILE_M,
            speed_kn: (seconds > 0.0).then(|| m_s_to_kn(metres / seconds)),
            tws_kn: (seconds > 0.0).then(|| tws / seconds),
            beating_hours: of(Manner::Beating) / 3600.0,
            gybing_hours: of(Manner::Gybing) / 3600.0,
            arrival,
        })
    }
}

impl SailedLeg {
    /// Hours that the sea costs; none where either boat does not finish the leg.
    pub fn cost_hours(&self) -> Option<f64> {
        let both = self.flat.arrival.is_some() && self.corrected.arrival.is_some();
        both.then(|| self.corrected.hours - self.flat.hours)
    }
}

/// The legs of one departure, in order.
///
/// # Errors
/// A time beyond the calendar.
pub fn legs(setting: &Setting, passage: &Passage) -> Result<Vec<SailedLeg>> {
    let sailed = |(number, leg): (usize, &Leg)| {
        let mut regions: Vec<String> = Vec::new();
        for stretch in passage.corrected.leg(number) {
            let serving = stretch.serving.filter(|serving| matches!(serving, PolarServing::Corrected { .. }));
            if let Some(name) = serving.and_then(|serving| setting.chart.region_name(serving))
                && !regions.iter().any(|known| known == name)
            {
                regions.push(name.to_owned());
            }
        }
        Ok(SailedLeg {
            leg: *leg,
            flat: Sailed::of(passage, &passage.flat, number)?,
            corrected: Sailed::of(passage, &passage.corrected, number)?,
            sea_hours: passage.sea_s(number).map(|s| s / 3600.0),
            regions,
            gaps: gap_words::gaps(setting, passage, number)?,
        })
    };
    setting.legs.iter().enumerate().map(sailed).collect()
}

/// The length of the track, nautical miles.
pub fn total_nm(setting: &Setting) -> f64 {
    setting.legs.iter().map(Leg::length_m).sum::<f64>() / NAUTICAL_MILE_M
}

/// When she arrives, if she does.
///
/// # Errors
/// A time beyond the calendar.
pub fn arrival(passage: &Passage, voyage: &Voyage) -> Result<Option<Timestamp>> {
    let arrives = voyage.stopped.is_none();
    arrives.then(|| after(passage.start, voyage.duration_s())).transpose()
}

/// Hours on the whole track; none where she does not arrive.
pub fn hours(voyage: &Voyage) -> Option<f64> {
    voyage.stopped.is_none().then(|| voyage.duration_s() / 3600.0)
}

/// What the sea takes on the whole track in the winds that are met, h.
pub fn sea_hours(setting: &Setting, passage: &Passage) -> Option<f64> {
    (0..setting.legs.len()).map(|leg| passage.sea_s(leg)).sum::<Option<f64>>().map(|s| s / 3600.0)
}
