//! A job derated.

use crate::arrow_table::Table;
use crate::error::raised;
use crate::polar::{Polar, cells};
use crate::work;
use jiff::Timestamp;
use pyo3::prelude::*;
use roughwater::base::{Error, Result};
use roughwater::files::HeldColumn;
use roughwater::job::{Job, JobFile};
use roughwater::run::{Held, HeldPolar, run_held};
use std::path::{Path, PathBuf};

/// What errors of keys name in the place of a file.
const ARGUMENTS: &str = "arguments of derate";

/// Runs a job. `keys` are laid over those of the job file, as JSON; `aside` is the folder of the result where neither names one.
///
/// Returns polars and audit as tables, manifest and index as JSON, warnings, gaps, the polars one by one with region, start,
/// end and member, and the result's folder.
#[pyfunction]
#[expect(clippy::type_complexity, reason = "unpacked where it is called")]
pub(crate) fn derate(
    py: Python<'_>,
    job: Option<PathBuf>,
    keys: &str,
    aside: PathBuf,
    strict: bool,
) -> PyResult<(
    Table,
    Table,
    String,
    String,
    Vec<String>,
    Vec<String>,
    Vec<(String, String, String, Option<u32>, Polar)>,
    PathBuf,
)> {
    let keys = toml_keys(keys).map_err(|error| raised(py, &error))?;
    let (job, held) = work::writing(py, move |stop| {
        let job = complete(job.as_deref(), &keys, aside)?;
        let held = run_held(&job, strict, &|progress| stop.at(progress))?;
        Ok((job, held))
    })?;
    let manifest = held.manifest.to_bytes().map_err(|error| raised(py, &error))?;
    let text = |bytes: Vec<u8>| String::from_utf8_lossy(&bytes).into_owned();
    let polars = polar_table(&held, &job)?;
    let Held { summary, index, polars: each, audit, .. } = held;
    let each = each.into_iter().map(|HeldPolar { region, window, member, polar }| {
        (region, window.start.to_string(), window.end.to_string(), member, Polar::of(polar))
    });
    Ok((
        polars,
        Table::of(audit)?,
        text(manifest),
        text(index),
        summary.warnings,
        summary.gaps,
        each.collect(),
        job.output,
    ))
}

fn toml_keys(keys: &str) -> Result<toml::Table> {
    let fault = |error: String| Error::fault("arguments cannot be taken together").found(error);
    let keys: serde_json::Value = serde_json::from_str(keys).map_err(|error| fault(error.to_string()))?;
    toml::Table::try_from(keys).map_err(|error| fault(error.to_string()))
}

fn complete(job: Option<&Path>, keys: &toml::Table, aside: PathBuf) -> Result<Job> {
    let mut job = job.map(JobFile::read).transpose()?.unwrap_or_default();
    job.lay_over(keys, Path::new(ARGUMENTS))?;
    job.output.get_or_insert(aside);
    job.complete()
}

/// All cells of all polars.
fn polar_table(held: &Held, job: &Job) -> PyResult<Table> {
    let cells: Vec<(&HeldPolar, [f64; 3])> =
        held.polars.iter().flat_map(|polar| cells(&polar.polar).map(move |cell| (polar, cell))).collect();
    let text = |of: &dyn Fn(&HeldPolar) -> String| {
        HeldColumn::Text(cells.iter().map(|(polar, _)| Some(of(polar))).collect())
    };
    let time = |of: fn(&HeldPolar) -> Timestamp| {
        HeldColumn::Time(cells.iter().map(|(polar, _)| Some(of(polar))).collect())
    };
    let real = |place: usize| HeldColumn::Real(cells.iter().map(|(_, cell)| Some(cell[place])).collect());
    let member = cells.iter().map(|(polar, _)| polar.member.map(i64::from)).collect();
    let columns = [
        ("region", text(&|polar| polar.region.clone())),
        ("window_start", time(|polar| polar.window.start)),
        ("window_end", time(|polar| polar.window.end)),
        ("tacks", text(&|_| job.tacks.name().to_owned())),
        ("member", HeldColumn::Count(member)),
        ("twa_deg", real(1)),
        ("tws_kn", real(0)),
        ("speed_kn", real(2)),
    ];
    Table::new(columns.map(|(name, column)| (name.to_owned(), column)).into())
}
