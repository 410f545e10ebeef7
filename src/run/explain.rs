//! A cell of a result taken apart, and held against the result's own audit.

use crate::base::Window;
use crate::base::error::nearest;
use crate::base::{Error, Result};
use crate::derate::Performance;
use crate::derate::SeaChoice;
use crate::explain::{Explanation, Place, explain};
use crate::job::{Job, JobFile};
use crate::result::audit::read;
use crate::result::names::MANIFEST;
use crate::result::{AuditFilter, AuditRow, Input, Manifest, Span};
use crate::run::joining::Joining;
use crate::run::ready;
use crate::run::ready::Ready;
use crate::run::remake;
use crate::run::seas::{Gathered, Opened};
use crate::split::{PolarColumns, joined};
use crate::tally::{RegionTallies, TallySet, WindowTally};
use jiff::Timestamp;
use serde::Serialize;
use std::borrow::Cow;
use std::ops::ControlFlow;
use std::path::Path;

/// The speeds of the audit have four decimals.
const ROUNDING_KN: f64 = 0.51e-4;
/// Its factors have six.
const ROUNDING: f64 = 0.51e-6;

/// Which cell of a result, or of what a job would make.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The region's name.
    pub region: String,
    /// A time within the window; not needed where there is one window.
    pub time: Option<Timestamp>,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, degrees: + on starboard tack, - on port tack.
    pub signed_twa_deg: f64,
}

/// A cell taken apart, with what the result says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Explained {
    /// The account.
    #[serde(flatten)]
    pub explanation: Explanation,
    /// Inputs that are not what they were when the result was made, in words.
    pub changed_inputs: Vec<String>,
    /// The row of the result's audit; none where there is no result yet.
    pub audit_row: Option<AuditedSpeed>,
}

/// What the audit of the result says of the cell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AuditedSpeed {
    /// Corrected speed, kn.
    pub corrected_kn: f64,
    /// Corrected over flat.
    pub factor: Option<f64>,
    /// Whether this account gives the same to the digits of the audit.
    pub agrees: bool,
}

/// Takes a cell apart. `source` is a result folder, whose job is made again from its manifest, or a job file, whose
/// result need not be there yet.
///
/// # Errors
/// Inputs that cannot be used or found; a region, window or wind that is not there.
pub fn explain_cell(source: &Path, question: &Question) -> Result<Explained> {
    let (job, record) = job(source)?;
    let boat = Ready::read(&job)?;
    let mut inputs = ready::inputs(&job, &boat)?;
    let Gathered { set, inputs: of_seas, .. } = Opened::open(&job.seas)?.tally(&|_, _| Ok(()))?;
    inputs.extend(of_seas);
    let choice = job.match_wind;
    let performance = boat.tabulate(&|_, _| Ok(()))?;
    let served = served(&job, record.as_ref(), &performance, &set, choice)?;
    let region = region(&served, &question.region)?;
    let (window, part) = window(region, question.time)?;
    let place = Place {
        region: &region.region.name,
        window,
        tws_kn: question.tws_kn,
        signed_twa_deg: question.signed_twa_deg,
    };
    let explanation = explain(&performance, &part.tally, choice, place)?;
    let audit_row = if record.is_some() { Some(audit_row(&job.output, &explanation, window)?) } else { None };
    let changed_inputs = record.map(|record| changed(&record.inputs, &inputs)).unwrap_or_default();
    Ok(Explained { explanation, changed_inputs, audit_row })
}

fn job(source: &Path) -> Result<(Job, Option<Manifest>)> {
    if source.is_dir() {
        let record = Manifest::read(source)?;
        let job = remake::job(&record, source)?;
        if let Some(lost) = record.inputs.iter().find(|input| !Path::new(&input.file).exists()) {
            return Err(Error::new("an input of the result is not where it was")
                .file(Path::new(&lost.file))
                .found("no such file from the folder this runs in")
                .expected(format!("the {} with SHA-256 {}", lost.role.name(), lost.sha256))
                .remedy("run this from the folder the result was made from, or name the job file instead of the result"));
        }
        return Ok((job, Some(record)));
    }
    let job = JobFile::read(source)?.complete()?;
    let record = job.output.join(MANIFEST).is_file().then(|| Manifest::read(&job.output)).transpose()?;
    Ok((job, record))
}

/// The tallies that polars are made from: the set itself, or what of it is joined. That is what the result's manifest
/// names, where it was joined within the same error; else it is found as `derate` does, from polars of all parts.
fn served<'s>(
    job: &Job,
    record: Option<&Manifest>,
    performance: &Performance,
    set: &'s TallySet,
    choice: SeaChoice,
) -> Result<Cow<'s, TallySet>> {
    let Some(error_kn) = job.split_error_kn else { return Ok(Cow::Borrowed(set)) };
    let recorded = match record {
        Some(record) if record.options.split_error_kn == Some(error_kn) => Some(&record.joined),
        _ => None,
    };
    let groups = match recorded {
        Some(joined) => joined.iter().filter_map(|group| remake::group(group, set)).collect(),
        None => {
            let columns = PolarColumns { tws_kn: performance.flat.tws_kn(), choice };
            let balances = performance.balances()?;
            Joining::new(&balances, columns, set, error_kn, &|_| ControlFlow::Continue(()))?.groups
        }
    };
    joined(set, &groups).map(Cow::Owned)
}

fn region<'s>(set: &'s TallySet, name: &str) -> Result<&'s RegionTallies> {
    let folded = name.to_lowercase();
    let exact = set.region(name);
    let found =
        exact.or_else(|| set.regions.iter().find(|region| region.region.name.to_lowercase() == folded));
    found.ok_or_else(|| {
        let known: Vec<&str> = set.regions.iter().map(|region| region.region.name.as_str()).collect();
        let near = nearest(name, known.iter().copied());
        Error::new("there is no such region")
            .found(format!("\"{name}\""))
            .expected(known.join(", "))
            .remedy(near.map_or("name one of these".to_owned(), |near| format!("did you mean \"{near}\"?")))
    })
}

fn window(region: &RegionTallies, time: Option<Timestamp>) -> Result<(Window, &WindowTally)> {
    let with_seas = || region.windows.iter().filter(|(_, part)| !part.tally.is_empty());
    let found = match time {
        Some(time) => with_seas().find(|(window, _)| window.holds(time)),
        None if with_seas().count() == 1 => with_seas().next(),
        None => None,
    };
    found.map(|(window, part)| (*window, part)).ok_or_else(|| {
        let starts: Vec<String> = with_seas().map(|(window, _)| window.start.to_string()).collect();
        Error::new("the time does not name a window with seas")
            .found(time.map_or("none".to_owned(), |time| time.to_string()))
            .expected(format!("a time within one of the windows that start at {}", starts.join(", ")))
            .remedy("give one with --window")
    })
}

fn audit_row(result: &Path, explanation: &Explanation, window: Window) -> Result<AuditedSpeed> {
    let one = |value: f64| Some(Span { from: value, to: value });
    let filter = AuditFilter {
        regions: vec![explanation.region.clone()],
        time: Some(window.start),
        tack: Some(explanation.tack),
        tws_kn: one(explanation.tws_kn),
        twa_deg: one(explanation.twa_deg),
        ..AuditFilter::default()
    };
    let rows = read(result, &filter)?.rows;
    let row = rows.first().ok_or_else(|| {
        Error::new("the audit of the result has no such cell")
            .file(result)
            .remedy("the inputs have changed since: make the result again")
    })?;
    Ok(AuditedSpeed { corrected_kn: row.corrected_kn, factor: row.factor, agrees: agrees(row, explanation) })
}

fn agrees(row: &AuditRow, explanation: &Explanation) -> bool {
    let near = |a: f64, b: f64, within: f64| (a - b).abs() <= within;
    near(row.flat_kn, explanation.flat_kn, ROUNDING_KN)
        && near(row.corrected_kn, explanation.corrected_kn, ROUNDING_KN)
        && match (row.factor, explanation.factor) {
            (Some(a), Some(b)) => near(a, b, ROUNDING),
            (a, b) => a == b,
        }
}

/// Inputs whose bytes are not what they were, those of a role in order.
fn changed(then: &[Input], now: &[Input]) -> Vec<String> {
    let mut left: Vec<&Input> = now.iter().collect();
    let mut changed = Vec::new();
    for input in then {
        match left.iter().position(|other| other.role == input.role) {
            None => changed.push(format!("{} {} is no longer there", input.role.name(), input.file)),
            Some(place) => {
                let same = left.remove(place);
                if same.sha256 != input.sha256 {
                    changed.push(format!("{} {}", input.role.name(), same.file));
                }
            }
        }
    }
    changed.extend(left.iter().map(|input| format!("{} {} is new", input.role.name(), input.file)));
    changed
}
