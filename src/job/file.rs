//! The job file as read.

use crate::base::{Alignment, Result, WindowLength};
use crate::boat::ModelChoices;
use crate::files::{OneOrMore, TableFormat, strict_toml, text_file, tidied};
use crate::forecast::MemberChoice;
use crate::job::choices::{CellAuditWord, Split};
use crate::job::keys::JOB_KEYS;
use crate::job::patterns::anchored;
use crate::polar::{CsvOptions, TackChoice};
use crate::region::track::typed;
use crate::region::{BoxDeg, CorridorChoice, TileSize};
use crate::survey::StepCache;
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// A job file as read: every key may be missing, so that command-line options can stand in.
///
/// Paths are relative to the job file and already joined to its folder; patterns are not yet expanded.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobFile {
    /// The boat file.
    pub boat: Option<PathBuf>,
    /// The flat polar.
    pub polar: Option<PathBuf>,
    /// Forecast files; `*`, `?` and `[ ]` match names.
    #[serde(default)]
    pub forecast: OneOrMore<PathBuf>,
    /// The regions' GeoJSON file.
    pub regions: Option<PathBuf>,
    /// Boxes of sea instead: south, west, north, east, degrees.
    #[serde(default, rename = "box")]
    pub boxes: OneOrMore<BoxDeg>,
    /// Regions by size instead.
    pub tiles: Option<TileSize>,
    /// Regions along a track instead.
    pub corridor: Option<CorridorChoice>,
    /// Whether regions and windows that are alike are joined.
    #[serde(default)]
    pub split: Split,
    /// How far from its polar a region and window may lie that is joined to others, kn.
    pub split_error_kn: Option<f64>,
    /// A tally, in place of forecast, regions and window.
    pub tally: Option<PathBuf>,
    /// The length of time windows.
    pub window: Option<WindowLength>,
    /// Where windows begin.
    pub window_alignment: Option<Alignment>,
    /// Whether the members of an ensemble get polars of their own.
    pub members: Option<MemberChoice>,
    /// Whether steps that were tallied before are decoded again: of a run, not of a job, so no key of its file.
    #[serde(skip)]
    pub step_cache: StepCache,
    /// Whether a column of the polar sees only seas that come with winds like its own, as it does unless this is false.
    pub match_wind: Option<bool>,
    /// The folder of an atlas of this boat and polar, which answers for the seas that it holds.
    pub atlas: Option<PathBuf>,
    /// How the audit is written; CSV, which questions are asked to, is always there.
    #[serde(default)]
    pub audit_format: OneOrMore<TableFormat>,
    /// How each forecast cell is accounted for.
    pub cell_audit: Option<OneOrMore<CellAuditWord>>,
    /// The folder of the result.
    pub output: Option<PathBuf>,
    /// Which tacks the polars hold.
    pub tacks: Option<TackChoice>,
    /// How polars are written.
    #[serde(default)]
    pub polar_csv: CsvOptions,
    /// Choices of the model.
    #[serde(default)]
    pub model: ModelChoices,
    /// Where the file stands, for errors.
    #[serde(skip)]
    pub path: Option<PathBuf>,
}

impl JobFile {
    /// Reads a job file. Errors: unknown keys, wrong kinds of value, with their line.
    pub fn read(path: &Path) -> Result<Self> {
        let text = text_file::read(path)?;
        JOB_KEYS.check(&text, path)?;
        let mut job: Self = strict_toml::parse(&text, path)?;
        job.polar_csv.check().map_err(|error| error.file(path))?;
        let folder = path.parent().unwrap_or(Path::new(""));
        let own = &mut job.model.own_responses;
        let track = job.corridor.as_mut().map(|corridor| &mut corridor.track);
        let places = [
            &mut job.boat,
            &mut job.polar,
            &mut job.regions,
            &mut job.output,
            &mut job.tally,
            &mut job.atlas,
            own,
        ];
        for place in places.into_iter().flatten() {
            *place = tidied(&folder.join(&place));
        }
        if let Some(track) = track.filter(|track| typed(track).is_none()) {
            *track = tidied(&folder.join(&track));
        }
        let patterns = job.forecast.as_slice().iter().map(|pattern| anchored(folder, pattern));
        job.forecast = OneOrMore::More(patterns.collect());
        job.path = Some(path.to_owned());
        Ok(job)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn broken_jobs_are_named_with_line_and_remedy() {
        let folder = tempfile::tempdir().unwrap();
        for (text, words) in [
            ("boat = 'b'\nforcast = 'x'", ["line 2", "did you mean \"forecast\"?"]),
            ("[model]\nadded_resistanse = 'snnm'", ["line 2", "did you mean \"added_resistance\"?"]),
            ("[model]\nadded_resistance = 'snmn'", ["line 2", "did you mean \"snnm\"?"]),
            ("[polar_csv]\ndelimiter = 'pipe'", ["line 2", "comma, semicolon, tab"]),
            ("[polar_csv]\ndecimal = 'comma'", ["between commas", "semicolon"]),
            ("tacks = 'both'", ["line 1", "mean, slower, starboard, port, signed"]),
            ("boat = 3", ["line 1", "integer `3`"]),
            ("window = '6 hrz'", ["line 1, column 10", "\"6 hrz\""]),
            ("forecast = 3", ["line 1", "one value or a list"]),
        ] {
            let path = folder.path().join("job.toml");
            std::fs::write(&path, text).unwrap();
            let error = JobFile::read(&path).expect_err(text).to_string();
            for word in words.iter().chain(&["job.toml", "found", "expected", "remedy"]) {
                assert!(error.contains(word), "{text:?} should say {word:?}:\n{error}");
            }
        }
    }
}
