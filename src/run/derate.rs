//! The main job: from a job's files to a whole result folder.

use crate::atlas;
use crate::atlas::Atlas;
use crate::base::{Error, Result};
use crate::derate::Performance;
use crate::hydro::wind_frame::WindFrameSea;
use crate::job::Job;
use crate::report;
use crate::report::Around;
use crate::result::names::{MANIFEST, REPORT};
use crate::result::{AuditPart, Manifest, OutputFolder, audit};
use crate::run::boat_notes::boat_notes;
use crate::run::files::MadePolar;
use crate::run::held::{Held, HeldPolar};
use crate::run::joining::Joining;
use crate::run::made::{Made, derated, parts};
use crate::run::progress::{Progress, Watch, go_on};
use crate::run::ready::Ready;
use crate::run::seas::{Gathered, Opened};
use crate::run::summary::{Summary, summary};
use crate::run::{cells, files, gaps, manifest, ready};
use crate::split::{DeratedPart, PolarColumns, joined};
use crate::tally::TallySet;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;

/// Runs a job and writes its result folder, whole or not at all; `strict` makes a declared gap a failure.
///
/// # Errors
/// Any input that cannot be used, with nothing written; an output folder that cannot be made; a job that was ended.
pub fn run(job: &Job, strict: bool, watch: Watch) -> Result<Summary> {
    written(job, strict, watch, &|_, _| Ok(())).map(|written| written.summary)
}

/// As [`run`], with what its files hold kept in memory.
///
/// # Errors
/// As [`run`].
pub fn run_held(job: &Job, strict: bool, watch: Watch) -> Result<Held> {
    let written = written(job, strict, watch, &|made, polars| {
        let rows: Vec<AuditPart> = parts(&made.all).collect();
        Ok((polars.iter().map(HeldPolar::of).collect(), audit::held(&rows)?))
    })?;
    let (polars, audit) = written.held;
    Ok(Held { summary: written.summary, manifest: written.manifest, index: written.index, polars, audit })
}

/// What was written, and what was kept of it.
struct Written<T> {
    summary: Summary,
    manifest: Manifest,
    index: Vec<u8>,
    held: T,
}

fn written<T>(
    job: &Job,
    strict: bool,
    watch: Watch,
    hold: &dyn Fn(&Made, &[MadePolar]) -> Result<T>,
) -> Result<Written<T>> {
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
    let told = |done, all| go_on(watch, Progress::LargeWaves(done, all));
    let performance = boat.tabulate(&told)?;
    let choice = job.match_wind;
    let atlas = job.atlas.as_deref().map(|folder| atlas_for(folder, &performance)).transpose()?;
    let answers = |sea: &WindFrameSea, tack, twa_deg| atlas.as_ref()?.known(sea, tack, twa_deg);
    let balances = performance.balances()?.knowing(&answers);
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
    let polars = files::polars(job, &made)?;
    let index = files::index(job, &made, &polars)?;
    files::write(job, &output, &made, &polars, &index)?;
    let held = hold(&made, &polars)?;
    let mut gaps = gaps::gaps(&set);
    gaps.extend(gaps::of_members(&result, &members));
    warnings.extend(boat_notes(&performance, balances.boat_flags));
    warnings.extend(set.origin().warnings);
    warnings.extend(atlas.as_ref().map(of_an_atlas));
    warnings.extend(audited.left_out.clone());
    let summary = summary(warnings, gaps, made, audited.rows);
    let runs = forecast.as_ref().map(|forecast| forecast.runs().into_iter().collect()).unwrap_or_default();
    let flags = balances.boat_flags;
    let manifest = manifest::manifest(job, &set, inputs, &performance, flags, runs, &summary, &audited)
        .with_atlas(atlas.as_ref().map(|atlas| atlas.digest.clone()));
    output.write(MANIFEST, &manifest.to_bytes()?)?;
    output.write(REPORT, &report::to_bytes(&output.so_far(), &Around::nothing())?)?;
    if strict && let Some(gap) = summary.gaps.first() {
        return Err(Error::new("the result would have gaps")
            .found(format!("{} of them, the first: {gap}", summary.gaps.len()))
            .remedy("mend the forecast or the regions, or run without --strict"));
    }
    output.commit()?;
    Ok(Written { summary, manifest, index, held })
}

/// What a reader of the result should know of an atlas.
fn of_an_atlas(atlas: &Atlas) -> String {
    let error = atlas
        .errors
        .last()
        .map(|row| format!(": in single seas 95 % within {:.2} kn of the direct way", row.within_95_kn));
    format!("speeds in the seas that the atlas holds are interpolated{}", error.unwrap_or_default())
}

/// The atlas of a folder, made for this boat.
fn atlas_for(folder: &Path, performance: &Performance) -> Result<Atlas> {
    let atlas = atlas::read(folder)?;
    atlas.check_made_for(performance).map_err(|error| error.file(folder))?;
    Ok(atlas)
}
