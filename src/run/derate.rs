//! The main job: from a job's files to a whole result folder.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::derate::SeaChoice;
use crate::derate::column_use::{column_uses, winds};
use crate::derate::{Balances, Tack, derate};
use crate::hydro::wind_frame::WindFrameSea;
use crate::job::Job;
use crate::report;
use crate::result::AuditPart;
use crate::result::OutputFolder;
use crate::result::names::{MANIFEST, REPORT};
use crate::run::cells;
use crate::run::cells::Audited;
use crate::run::files;
use crate::run::gaps;
use crate::run::joining::Joining;
use crate::run::manifest;
use crate::run::ready;
use crate::run::ready::Ready;
use crate::run::seas::{Gathered, Opened};
use crate::split::{DeratedPart, ErrorLeft, PolarColumns, joined};
use crate::tally::{RegionTallies, Tally, TallySet};
use jiff::SignedDuration;
use rayon::prelude::*;
use serde::Serialize;
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What happens while a job runs, for whoever shows progress.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// Tables of the boat are being made.
    Boat,
    /// Steps of the forecast read, of all.
    Steps(usize, usize),
    /// Polars of regions and windows computed, of all.
    Polars(usize, usize),
    /// Steps of the forecast whose cells are accounted for, of all.
    Cells(usize, usize),
    /// The result is being written.
    Writing,
}

/// What a finished job has to say.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Polar files written.
    pub polars: usize,
    /// Sea states tallied.
    pub sea_states: u64,
    /// Bins they fell into.
    pub bins: usize,
    /// Rows of the cell audit.
    pub audited_cells: u64,
    /// Things to know.
    pub warnings: Vec<String>,
    /// Declared gaps.
    pub gaps: Vec<String>,
    /// Mean factor over the cells of each region and window.
    pub parts: Vec<PartSummary>,
    /// Where regions or windows were joined: how far each lies from the polar it shares.
    pub errors_left: Vec<ErrorLeft>,
}

/// One region and window in a line.
#[derive(Debug, Clone, PartialEq)]
pub struct PartSummary {
    /// The region's name.
    pub region: String,
    /// Its window.
    pub window: Window,
    /// Significant height of the sea, root mean square over area and time, m.
    pub hs_m: f64,
    /// Mean corrected over flat speed of all cells.
    pub mean_factor: f64,
    /// The cell that loses most, of the winds that blow there.
    pub worst: Option<WorstCell>,
}

/// The cell of a polar that loses most.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WorstCell {
    /// Its tack.
    pub tack: Tack,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, 0 to 180 degrees.
    pub twa_deg: f64,
    /// Corrected over flat speed.
    pub factor: f64,
    /// The stage that takes most, or `none`.
    pub dominant_stage: &'static str,
}

/// Told what happens; whoever watches may end the job there.
pub type Watch<'a> = &'a (dyn Fn(Progress) -> ControlFlow<()> + Sync);

/// Runs a job and writes its result folder, whole or not at all; `strict` makes a declared gap a failure.
///
/// # Errors
/// Any input that cannot be used, with nothing written; an output folder that cannot be made; a job that was ended.
pub fn run(job: &Job, strict: bool, watch: Watch) -> Result<Summary> {
    let output = OutputFolder::create(&job.output)?;
    let boat = Ready::read(job)?;
    let mut inputs = ready::inputs(job, &boat)?;
    let opened = Opened::open(&job.seas)?;
    let told = |done, all| go_on(watch, Progress::Steps(done, all));
    let Gathered { set, members, inputs: sea_inputs, forecast } = opened.tally(&told)?;
    inputs.extend(sea_inputs);
    go_on(watch, Progress::Boat)?;
    let performance = boat.tabulate();
    let choice = sea_choice(job.match_wind, &set);
    let balances = performance.balances()?;
    let columns = PolarColumns { tws_kn: performance.flat.tws_kn(), choice };
    let joining = job
        .split_error_kn
        .map(|error_kn| Joining::new(&balances, columns, &set, error_kn, watch))
        .transpose()?;
    let served = |set| match &joining {
        None => Ok(Cow::Borrowed(set)),
        Some(joining) => joined(set, &joining.groups).map(Cow::Owned),
    };
    let result = served(&set)?;
    let members: BTreeMap<u32, Cow<TallySet>> =
        members.iter().map(|(member, set)| Ok((*member, served(set)?))).collect::<Result<_>>()?;
    let all = match &joining {
        None => derated(&balances, &result, choice, watch)?,
        Some(joining) => joining.derated(&result),
    };
    let errors_left = joining.as_ref().map(|joining| joining.errors_left(&all));
    let of_members: Vec<(u32, Vec<DeratedPart>)> = members
        .iter()
        .map(|(member, set)| Ok((*member, derated(&balances, set, choice, watch)?)))
        .collect::<Result<_>>()?;
    let errors_left = errors_left.unwrap_or_default();
    let made = Made { regions: &result.regions, all, of_members, errors_left };
    let told = |done, all| go_on(watch, Progress::Cells(done, all));
    let audited = cells::write(&job.cell_audit, &output, &performance, forecast.as_ref(), &result, &told)?;
    go_on(watch, Progress::Writing)?;
    files::write(job, &output, &made)?;
    let mut gaps = gaps(&set);
    gaps.extend(gaps::of_members(&result, &members));
    let summary = summary(columns.tws_kn, set.origin().warnings, gaps, made, &audited);
    output.write(MANIFEST, &manifest::manifest(job, &set, inputs, &summary, &audited).to_bytes()?)?;
    output.write(REPORT, &report::to_bytes(&output.so_far(), None)?)?;
    if strict && let Some(gap) = summary.gaps.first() {
        return Err(Error::new("the result would have gaps")
            .found(format!("{} of them, the first: {gap}", summary.gaps.len()))
            .remedy("mend the forecast or the regions, or run without --strict"));
    }
    output.commit()?;
    Ok(summary)
}

/// What a job makes.
pub(super) struct Made<'a> {
    /// All regions, those without a usable sea too.
    pub(super) regions: &'a [RegionTallies],
    pub(super) all: Vec<DeratedPart<'a>>,
    /// Those of single members, where a job wants them.
    pub(super) of_members: Vec<(u32, Vec<DeratedPart<'a>>)>,
    errors_left: Vec<ErrorLeft>,
}

/// All regions and windows that have some sea, derated in parallel.
pub(super) fn derated<'a>(
    balances: &Balances,
    set: &'a TallySet,
    choice: SeaChoice,
    watch: Watch,
) -> Result<Vec<DeratedPart<'a>>> {
    let sailed: Vec<_> = set.parts().filter(|(.., part)| !part.tally.is_empty()).collect();
    let done = AtomicUsize::new(0);
    go_on(watch, Progress::Polars(0, sailed.len()))?;
    let each = sailed.par_iter().map(|&(region, window, part)| {
        let cells = derate(balances, &part.tally, choice);
        go_on(watch, Progress::Polars(done.fetch_add(1, Ordering::Relaxed) + 1, sailed.len()))?;
        Ok(DeratedPart { region, window, tallied: part, cells })
    });
    each.collect()
}

pub(super) fn go_on(watch: Watch, progress: Progress) -> Result<()> {
    match watch(progress) {
        ControlFlow::Continue(()) => Ok(()),
        ControlFlow::Break(()) => {
            Err(Error::new("stopped on request; nothing was written").remedy("run the same command again"))
        }
    }
}

/// All seas of a job with their weights, or those of one of its regions.
///
/// # Errors
/// Forecast or regions that cannot be used; a region that the job has not.
pub fn job_seas(job: &Job, region: Option<&str>) -> Result<Vec<(WindFrameSea, f64)>> {
    let set = Opened::open(&job.seas)?.tally(&|_, _| Ok(()))?.set;
    let known: Vec<&str> = set.regions.iter().map(|region| region.region.name.as_str()).collect();
    if let Some(name) = region.filter(|name| !known.contains(name)) {
        return Err(Error::new("the job has no such region")
            .found(format!("\"{name}\""))
            .expected(format!("one of {}", known.join(", ")))
            .remedy("name a region of the job's regions file"));
    }
    let wanted = |name: &str| region.is_none_or(|region| region == name);
    let parts = set.parts().filter(|(region, ..)| wanted(&region.name));
    Ok(parts.flat_map(|(.., part)| part.tally.seas()).collect())
}

/// Within a day seas and winds go together well enough; over longer windows columns are matched unless a job says
/// otherwise. Common practice, no source.
pub(super) fn sea_choice(chosen: Option<SeaChoice>, set: &TallySet) -> SeaChoice {
    let longest = set.windows().iter().map(|window| window.end.duration_since(window.start)).max();
    let by_length = match longest {
        Some(longest) if longest > SignedDuration::from_hours(24) => SeaChoice::WindMatched,
        _ => SeaChoice::All,
    };
    chosen.unwrap_or(by_length)
}

pub(super) fn summary(
    columns_kn: &[f64],
    warnings: BTreeSet<String>,
    gaps: Vec<String>,
    made: Made,
    audited: &Audited,
) -> Summary {
    let tallies = || made.all.iter().map(|part| &part.tallied.tally);
    Summary {
        polars: made.all.len() + made.of_members.iter().map(|(_, parts)| parts.len()).sum::<usize>(),
        sea_states: tallies().map(Tally::count).sum(),
        bins: tallies().map(Tally::bin_count).sum(),
        audited_cells: audited.rows,
        warnings: warnings.into_iter().chain(audited.left_out.clone()).collect(),
        gaps,
        parts: files::parts(&made.all).map(|part| part_summary(&part, columns_kn)).collect(),
        errors_left: made.errors_left,
    }
}

pub(super) fn part_summary(part: &AuditPart, columns_kn: &[f64]) -> PartSummary {
    let factors = part.cells.iter().filter_map(|cell| cell.factor());
    let (sum, count) = factors.fold((0.0, 0_u32), |(sum, count), factor| (sum + factor, count + 1));
    let uses = column_uses(columns_kn, &winds(part.tally));
    let worst = part
        .cells
        .iter()
        .zip(uses.iter().cycle())
        .filter(|(_, used)| **used > 0.0)
        .filter_map(|(cell, _)| cell.factor().map(|factor| (cell, factor)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(cell, factor)| WorstCell {
            tack: cell.tack,
            tws_kn: cell.tws_kn,
            twa_deg: cell.twa_deg,
            factor,
            dominant_stage: cell.dominant_stage().unwrap_or("none"),
        });
    let weight: f64 = part.tally.seas().map(|(_, weight)| weight).sum();
    let hs2: f64 = part.tally.seas().map(|(sea, weight)| weight * sea.hs_m().powi(2)).sum();
    PartSummary {
        region: part.region.to_owned(),
        window: part.window,
        hs_m: (hs2 / weight).sqrt(),
        mean_factor: if count > 0 { sum / f64::from(count) } else { 1.0 },
        worst,
    }
}

/// Reads a job file; a helper for callers that have no options of their own.
///
/// # Errors
/// As [`crate::job::JobFile::read`] and [`crate::job::JobFile::complete`].
pub fn read_job(path: &Path) -> Result<Job> {
    crate::job::JobFile::read(path)?.complete()
}
