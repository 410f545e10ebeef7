//! The job that a result was made by, from its manifest.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::files::OneOrMore;
use crate::forecast::MemberChoice;
use crate::job::{CellAudit, ForecastSeas, Job, Seas};
use crate::polar::{CsvOptions, TackChoice};
use crate::result::names::MANIFEST;
use crate::result::{InputRole, Manifest};
use crate::split::{ErrorLeft, PartGroup};
use crate::survey::StepCache;
use crate::tally::TallySet;
use std::path::{Path, PathBuf};

/// The job of a result folder, with the options that were in force and nothing to write.
///
/// # Errors
/// A manifest that does not name boat, polar or the options of its forecast.
pub(super) fn job(manifest: &Manifest, result: &Path) -> Result<Job> {
    let options = &manifest.options;
    let seas = match manifest.files(InputRole::Tally).pop() {
        Some(tally) => Seas::Tally(tally),
        None => Seas::Forecast(ForecastSeas {
            files: manifest.files(InputRole::Forecast),
            regions: needed(options.regions.clone(), "regions", result)?,
            window: needed(options.window, "window", result)?,
            window_alignment: needed(options.window_alignment, "window_alignment", result)?,
            members: MemberChoice::Together,
            step_cache: StepCache::default(),
        }),
    };
    let file = |role: InputRole| -> Result<PathBuf> {
        manifest.files(role).pop().ok_or_else(|| {
            Error::new(format!("the manifest names no {}", role.name())).file(&result.join(MANIFEST))
        })
    };
    Ok(Job {
        boat: file(InputRole::Boat)?,
        polar: file(InputRole::Polar)?,
        seas,
        match_wind: options.seas_of_a_wind_column,
        split_error_kn: options.split_error_kn,
        atlas: None,
        cell_audit: CellAudit::Formats(Vec::new()),
        audit_format: OneOrMore::default(),
        output: result.to_owned(),
        tacks: TackChoice::default(),
        polar_csv: CsvOptions::default(),
        model: options.model.clone(),
    })
}

fn needed<T>(option: Option<T>, name: &str, result: &Path) -> Result<T> {
    option.ok_or_else(|| {
        Error::new(format!("the manifest's option \"{name}\" is missing"))
            .file(&result.join(MANIFEST))
            .remedy("name the job file instead of the result, or make the result again with this version")
    })
}

/// What was joined, of a set; none where it has no sea there.
pub(super) fn group(joined: &ErrorLeft, set: &TallySet) -> Option<PartGroup> {
    PartGroup::within(set, &joined.regions, Window { start: joined.window_start, end: joined.window_end })
}
