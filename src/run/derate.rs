//! The main job: from a job's files to a whole result folder.

use crate::base::{Error, Result};
use crate::job::Job;
use crate::report;
use crate::result::OutputFolder;
use crate::result::names::{MANIFEST, REPORT};
use crate::run::boat_notes::boat_notes;
use crate::run::joining::Joining;
use crate::run::made::{Made, derated};
use crate::run::progress::{Progress, Watch, go_on};
use crate::run::ready::Ready;
use crate::run::seas::{Gathered, Opened};
use crate::run::summary::{Summary, summary};
use crate::run::{cells, files, gaps, manifest, ready};
use crate::split::{DeratedPart, PolarColumns, joined};
use crate::tally::TallySet;
use std::borrow::Cow;
use std::collections::BTreeMap;

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
    let Gathered { set, members, inputs: sea_inputs, forecast, states, reused } = opened.tally(&told)?;
    if let Some(forecast) = &forecast {
        let (all, damaged) = (forecast.steps().len(), reused.damaged.len());
        go_on(watch, Progress::Reused { steps: reused.steps, all, damaged })?;
    }
    inputs.extend(sea_inputs);
    go_on(watch, Progress::Boat)?;
    let mut warnings = boat.notes().to_vec();
    let performance = boat.tabulate();
    let choice = job.match_wind;
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
    Gathered::check_unchanged(&states)?;
    go_on(watch, Progress::Writing)?;
    files::write(job, &output, &made)?;
    let mut gaps = gaps::gaps(&set);
    gaps.extend(gaps::of_members(&result, &members));
    warnings.extend(boat_notes(&performance, balances.boat_flags));
    warnings.extend(set.origin().warnings);
    warnings.extend(audited.left_out.clone());
    let summary = summary(warnings, gaps, made, audited.rows);
    output.write(
        MANIFEST,
        &manifest::manifest(job, &set, inputs, balances.boat_flags, &summary, &audited).to_bytes()?,
    )?;
    output.write(REPORT, &report::to_bytes(&output.so_far(), None)?)?;
    if strict && let Some(gap) = summary.gaps.first() {
        return Err(Error::new("the result would have gaps")
            .found(format!("{} of them, the first: {gap}", summary.gaps.len()))
            .remedy("mend the forecast or the regions, or run without --strict"));
    }
    output.commit()?;
    Ok(summary)
}
