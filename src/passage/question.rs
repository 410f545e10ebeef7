//! A passage asked for: a result, a track, and when she starts.

use crate::base::{Error, Result};
use crate::passage::departures::departures;
use crate::passage::leg::{Leg, LegKind};
use crate::passage::setting::{Passage, Setting};
use crate::passage::sources::{FileOverrides, Sources, SpeedSource};
use crate::region::track;
use jiff::{SignedDuration, Timestamp};
use std::path::PathBuf;

/// Which passage.
#[derive(Debug, Clone, PartialEq)]
pub struct PassageQuestion {
    /// Folder of a result, or the job file it was made from.
    pub job_or_result: PathBuf,
    /// File of the track, or its waypoints.
    pub track: PathBuf,
    /// The first departure.
    pub start: Timestamp,
    /// How far apart further departures are; none for one alone.
    pub every: Option<SignedDuration>,
    /// How many departures; up to the end of the forecast where it is not said.
    pub starts: Option<usize>,
    /// What a leg between two positions is.
    pub legs: LegKind,
    /// Which corrected speeds are taken.
    pub speeds: SpeedSource,
    /// Member of an ensemble whose wind is met.
    pub member: Option<u32>,
    /// Files in place of those that the job or result names.
    pub over: FileOverrides,
}

impl PassageQuestion {
    /// Sails every departure.
    ///
    /// # Errors
    /// A track without length; a result, polar or forecast that cannot be used; departures that cannot be.
    pub fn answer(&self) -> Result<(Setting, Vec<Passage>)> {
        let legs = Leg::along(&track::read(&self.track)?, self.legs);
        if legs.is_empty() {
            return Err(Error::new("the track has no length").file(&self.track).expected("two places apart"));
        }
        let sources = Sources::open(&self.job_or_result, self.speeds, self.over.clone())?;
        let setting = Setting::new(sources, legs, self.member)?;
        let starts = match self.every {
            None => vec![self.start],
            Some(every) => departures(self.start, every, self.starts, setting.wind.times().last())?,
        };
        let passages = starts.into_iter().map(|start| setting.passage(start)).collect::<Result<_>>()?;
        Ok((setting, passages))
    }
}
