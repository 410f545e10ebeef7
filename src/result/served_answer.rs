//! The answer to which polars serve a place and a time, with speeds in one wind.

use crate::base::Result;
use crate::polar::TackChoice;
use crate::result::index::{Answer, Serving};
use crate::result::served::AuditedPart;
use jiff::Timestamp;
use serde::{Serialize, Serializer};
use std::path::{Path, PathBuf};

/// What serves, or why nothing does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ServedAnswer {
    /// One file, or several where regions overlap or meet.
    pub polars: Vec<ServedPolar>,
    /// Why there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_none: Option<String>,
}

/// A file that serves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ServedPolar {
    /// The file, with the folder of the result before it.
    #[serde(serialize_with = "as_text")]
    pub file: PathBuf,
    /// The region.
    pub region: String,
    /// Start of the window.
    pub start: Timestamp,
    /// Its end, which it does not hold.
    pub end: Timestamp,
    /// The tacks in the file.
    pub tacks: TackChoice,
    /// Share of the region's sea that the forecast covers; none where the audit does not say.
    pub covered: Option<f64>,
    /// In the wind that was asked for.
    #[serde(flatten)]
    pub speeds: Option<ServedSpeeds>,
}

/// Speeds in one wind, kn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ServedSpeeds {
    /// In the sea.
    pub speed_kn: f64,
    /// In flat water; none where the audit does not tell.
    pub flat_kn: Option<f64>,
}

fn as_text<S: Serializer>(path: &Path, serializer: S) -> std::result::Result<S::Ok, S::Error> {
    serializer.collect_str(&path.display())
}

impl ServedAnswer {
    /// An index's answer, with speeds where a wind is given (TWS, kn, and TWA, degrees, positive on starboard tack).
    ///
    /// # Errors
    /// A wind or tack that a polar does not hold; files that cannot be read.
    pub fn of(result: &Path, answer: Answer, wind: Option<(f64, f64)>) -> Result<Self> {
        match answer {
            Answer::None(why) => Ok(Self { polars: Vec::new(), why_none: Some(why) }),
            Answer::Served(files) => {
                let polars = files.into_iter().map(|serving| ServedPolar::of(result, serving, wind));
                Ok(Self { polars: polars.collect::<Result<_>>()?, why_none: None })
            }
        }
    }
}

impl ServedPolar {
    fn of(result: &Path, serving: Serving, wind: Option<(f64, f64)>) -> Result<Self> {
        let audited = AuditedPart::read(result, &serving.region, serving.window)?;
        let speeds = |(tws_kn, twa_deg): (f64, f64)| -> Result<ServedSpeeds> {
            let speed_kn = serving.speed_kn(tws_kn, twa_deg)?;
            let flat_kn = audited.as_ref().and_then(|part| part.flat_kn(tws_kn, twa_deg));
            Ok(ServedSpeeds { speed_kn, flat_kn })
        };
        let speeds = wind.map(speeds).transpose()?;
        let Serving { region, window, tacks, file } = serving;
        let covered = audited.and_then(|part| part.covered);
        Ok(Self { file, region, start: window.start, end: window.end, tacks, covered, speeds })
    }
}
