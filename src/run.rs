//! The main job: from a job's files to a whole result folder.

use crate::balance::Tables;
use crate::boat::Boat;
use crate::cache;
use crate::corrected::corrected_polar;
use crate::derate::{Performance, PolarCell, derate};
use crate::error::{Error, Result};
use crate::export::audit::{self, Part};
use crate::export::index::{self, Entry};
use crate::export::manifest::{Input, Manifest};
use crate::export::output_folder::{MANIFEST, OutputFolder};
use crate::export::polar_csv;
use crate::gather::{Gathered, Opened};
use crate::hydro::rates::NORDFORSK_FAST_SMALL_CRAFT;
use crate::hydro::response::Method;
use crate::job::{Job, Model as Choices, Seas, TackChoice};
use crate::model::Model;
use crate::own_table_file;
use crate::polar::Polar;
use crate::region::Region;
use crate::tally::{RegionTallies, Tally, TallySet};
use crate::units::kn_to_m_s;
use crate::wind_frame::WindFrameSea;
use crate::wind_match::SeaChoice;
use crate::window::Window;
use jiff::SignedDuration;
use rayon::prelude::*;
use serde_json::{Map, json};
use std::collections::BTreeMap;
use std::path::Path;

/// What happens while a job runs, for whoever shows progress.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// Tables of the boat are being made.
    Boat,
    /// Steps of the forecast read, of all.
    Steps(usize, usize),
    /// Polars of regions and windows are being computed: how many in all.
    Polars(usize),
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
    /// Things to know.
    pub warnings: Vec<String>,
    /// Declared gaps.
    pub gaps: Vec<String>,
    /// Mean factor over the cells of each region and window.
    pub parts: Vec<PartSummary>,
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
    /// The cell that loses most: tack, TWS kn, TWA deg, factor, dominant stage.
    pub worst: Option<(String, f64, f64, f64, String)>,
}

/// Runs a job and writes its result folder, whole or not at all; `strict` makes a declared gap a failure.
///
/// # Errors
/// Any input that cannot be used, with nothing written; an output folder that cannot be made.
pub fn run(job: &Job, strict: bool, progress: &dyn Fn(Progress)) -> Result<Summary> {
    let output = OutputFolder::create(&job.output)?;
    let boat = Ready::read(job)?;
    let mut inputs = boat_inputs(job, &boat.model.boat)?;
    let opened = Opened::open(&job.seas)?;
    let told = |done, all| progress(Progress::Steps(done, all));
    let Gathered { set, inputs: sea_inputs } = opened.tally(&told)?;
    inputs.extend(sea_inputs);
    progress(Progress::Boat);
    let performance = boat.tabulate();
    let parts = parts(&set);
    let choice = sea_choice(job.match_wind, &set);
    progress(Progress::Polars(parts.len()));
    let cells: Vec<Vec<PolarCell>> =
        parts.par_iter().map(|part| derate(&performance, part.tally, choice)).collect::<Result<_>>()?;
    progress(Progress::Writing);
    let summary = write(job, &output, &set, &parts, &cells, inputs)?;
    if strict && let Some(gap) = summary.gaps.first() {
        return Err(Error::new("the result would have gaps")
            .found(format!("{} of them, the first: {gap}", summary.gaps.len()))
            .remedy("mend the forecast or the regions, or run without --strict"));
    }
    output.commit()?;
    Ok(summary)
}

/// Reads boat and polars of a job and makes the boat's tables.
///
/// # Errors
/// Files that cannot be used.
pub fn performance(job: &Job) -> Result<Performance> {
    Ready::read(job).map(Ready::tabulate)
}

/// Makes a boat's tables up to the fastest speed of her polars.
///
/// # Errors
/// A foils-up polar or hull sections that cannot be used; a boat file without sails.
pub fn performance_of(boat: Boat, flat: Polar, choices: &Choices) -> Result<Performance> {
    Ready::new(boat, flat, choices).map(Ready::tabulate)
}

/// A boat and her polars, read and checked; the tables, which take seconds, come last.
struct Ready {
    model: Model,
    flat: Polar,
    foils_up: Option<Polar>,
}

impl Ready {
    fn read(job: &Job) -> Result<Self> {
        let of_boat = |error: Error| error.file(&job.boat);
        let mut boat = Boat::read(&job.boat)?;
        for side in job.model.without_foil.as_slice() {
            boat = boat.without_foil(*side).map_err(of_boat)?;
        }
        Self::new(boat, Polar::read(&job.polar)?, &job.model).map_err(of_boat)
    }

    fn new(boat: Boat, flat: Polar, choices: &Choices) -> Result<Self> {
        let foils_up = boat.foils.as_ref().and_then(|foils| foils.foils_up_polar.as_ref());
        let foils_up = foils_up.map(|path| Polar::read(path)).transpose()?;
        let own = choices.own_responses.as_deref().map(own_table_file::read).transpose()?;
        let model = Model::new(boat, choices.added_resistance, own)?;
        model.sails()?;
        Ok(Self { model, flat, foils_up })
    }

    fn tabulate(self) -> Performance {
        let Self { model, flat, foils_up } = self;
        let fastest = |polar: &Polar| polar.speeds_kn().iter().copied().fold(0.0_f64, f64::max);
        let top_m_s = kn_to_m_s(fastest(&flat).max(foils_up.as_ref().map_or(0.0, fastest)));
        let responses = cache::response_table(&model, top_m_s);
        Performance { tables: Tables::with_responses(model, responses, top_m_s), flat, foils_up }
    }
}

/// All seas of a job with their weights, or those of one of its regions.
///
/// # Errors
/// Forecast or regions that cannot be used; a region that the job has not.
pub fn job_seas(job: &Job, region: Option<&str>) -> Result<Vec<(WindFrameSea, f64)>> {
    let set = Opened::open(&job.seas)?.tally(&|_, _| {})?.set;
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
fn sea_choice(chosen: Option<SeaChoice>, set: &TallySet) -> SeaChoice {
    let longest = set.windows().iter().map(|window| window.end.duration_since(window.start)).max();
    let by_length = match longest {
        Some(longest) if longest > SignedDuration::from_hours(24) => SeaChoice::WindMatched,
        _ => SeaChoice::All,
    };
    chosen.unwrap_or(by_length)
}

fn boat_inputs(job: &Job, boat: &Boat) -> Result<Vec<Input>> {
    let mut inputs = vec![Input::of("boat", &job.boat)?, Input::of("polar", &job.polar)?];
    if let Some(path) = &boat.hull.sections {
        inputs.push(Input::of("sections", path)?);
    }
    if let Some(path) = boat.foils.as_ref().and_then(|foils| foils.foils_up_polar.as_ref()) {
        inputs.push(Input::of("foils-up polar", path)?);
    }
    if let Some(path) = &job.model.own_responses {
        inputs.push(Input::of("own responses", path)?);
    }
    Ok(inputs)
}

/// A region and window that has some sea.
struct Sailed<'a> {
    region: &'a Region,
    window: Window,
    tally: &'a Tally,
}

fn parts(set: &TallySet) -> Vec<Sailed<'_>> {
    set.parts()
        .map(|(region, window, part)| Sailed { region, window, tally: &part.tally })
        .filter(|part| !part.tally.is_empty())
        .collect()
}

fn write(
    job: &Job,
    output: &OutputFolder,
    set: &TallySet,
    parts: &[Sailed],
    cells: &[Vec<PolarCell>],
    inputs: Vec<Input>,
) -> Result<Summary> {
    let mut entries: Vec<(&Region, Vec<Entry>)> =
        set.regions.iter().map(|region| (&region.region, Vec::new())).collect();
    for (part, cells) in parts.iter().zip(cells) {
        let file = polar_file(&part.region.name, part.window, job.tacks);
        output.write(&file, &polar_csv::to_bytes(&corrected_polar(cells, job.tacks)?, &job.polar_csv)?)?;
        let of_region = entries.iter_mut().find(|(region, _)| std::ptr::eq(*region, part.region));
        if let Some((_, entries)) = of_region {
            entries.push(Entry { window: part.window, tacks: job.tacks, file });
        }
    }
    let rows: Vec<Part> = parts
        .iter()
        .zip(cells)
        .map(|(part, cells)| Part {
            region: &part.region.name,
            window: part.window,
            tally: part.tally,
            cells,
        })
        .collect();
    output.write("audit.csv", &audit::to_bytes(&rows)?)?;
    output.write("index.geojson", &index::to_bytes(&entries)?)?;
    let summary = Summary {
        polars: parts.len(),
        sea_states: parts.iter().map(|part| part.tally.count()).sum(),
        bins: parts.iter().map(|part| part.tally.bin_count()).sum(),
        warnings: set.origin().warnings.into_iter().collect(),
        gaps: gaps(set),
        parts: rows.iter().map(part_summary).collect(),
    };
    output.write(MANIFEST, &manifest(job, set, inputs, &summary).to_bytes()?)?;
    Ok(summary)
}

/// `polars/<region>/<start>-<tacks>.csv`, the start in ISO 8601's basic form, which every file system takes.
fn polar_file(region: &str, window: Window, tacks: TackChoice) -> String {
    let tacks = serde_json::to_value(tacks).ok().and_then(|value| value.as_str().map(str::to_owned));
    let start = window.start.strftime("%Y%m%dT%H%M%SZ");
    format!("polars/{region}/{start}-{}.csv", tacks.unwrap_or_default())
}

/// What a set of tallies lacks, in words.
pub fn gaps(set: &TallySet) -> Vec<String> {
    let mut gaps: Vec<String> = set
        .empty_windows()
        .iter()
        .map(|window| format!("no forecast step falls into the window {} to {}", window.start, window.end))
        .collect();
    gaps.extend(set.origin().gaps);
    let mut lacks: BTreeMap<&str, u64> = BTreeMap::new();
    for (lack, count) in set.parts().flat_map(|(.., part)| &part.lacks) {
        *lacks.entry(lack).or_default() += count;
    }
    gaps.extend(lacks.iter().map(|(lack, count)| format!("{count} sea cells lack {lack}")));
    for (region, window, part) in set.parts() {
        let place = format!("region \"{}\", window from {}", region.name, window.start);
        if part.tally.is_empty() {
            gaps.push(format!("{place}: no usable sea, no polar"));
        } else if let Some(covered) = part.tally.coverage.fraction().filter(|covered| *covered < 1.0 - 1e-9) {
            gaps.push(format!("{place}: only {:.1} % of the sea is covered", 100.0 * covered));
        }
    }
    gaps
}

fn manifest(job: &Job, set: &TallySet, inputs: Vec<Input>, summary: &Summary) -> Manifest {
    let origin = set.origin();
    let steps = |region: &RegionTallies| region.windows.values().map(|window| window.steps).sum::<u64>();
    let mut counts = Map::new();
    counts.insert("forecast_steps".into(), json!(set.regions.iter().map(steps).max().unwrap_or(0)));
    counts.insert("ensemble_members".into(), json!(origin.members.len()));
    counts.insert("windows".into(), json!(set.windows().len()));
    counts.insert("polars".into(), json!(summary.polars));
    counts.insert("sea_states".into(), json!(summary.sea_states));
    counts.insert("tally_bins".into(), json!(summary.bins));
    let mut options = match &job.seas {
        Seas::Forecast(seas) => json!({
            "window": seas.window.to_string(),
            "window_alignment": seas.window_alignment,
        }),
        Seas::Tally(_) => json!({ "tallied_forecasts": origin.sources }),
    };
    if let Some(options) = options.as_object_mut() {
        options.insert("seas_of_a_wind_column".into(), json!(sea_choice(job.match_wind, set)));
        options.insert("tacks".into(), json!(job.tacks));
        options.insert("polar_csv".into(), json!(job.polar_csv));
        options.insert("model".into(), json!(job.model));
        options.insert("tally_bins".into(), json!(set.bins));
    }
    Manifest {
        inputs,
        options,
        counts,
        warnings: summary.warnings.clone(),
        gaps: summary.gaps.clone(),
        model: model_notes(job.model.added_resistance),
    }
}

/// What the model does, for whoever reads the result without the documentation.
fn model_notes(method: Method) -> Vec<String> {
    let second = method.second();
    vec![
        format!("added resistance by {}, second opinion by {}", method.name(), second.name()),
        "factor_band_slow and factor_band_fast take added resistance times exp(0.5) and exp(-0.5)".into(),
        "wind sea: JONSWAP with DNV peak enhancement, cos^2 spreading; swell: JONSWAP 3.3, cos^150 spreading"
            .into(),
        format!(
            "advisories against NORDFORSK 1987 for fast small craft: bow acceleration {} g rms, slams {} and wet decks \
             {} of the cycles",
            NORDFORSK_FAST_SMALL_CRAFT.bow_acceleration_g,
            NORDFORSK_FAST_SMALL_CRAFT.slam_probability,
            NORDFORSK_FAST_SMALL_CRAFT.wetness_probability
        ),
        "not modelled: roll, yaw, steering, surfing, broaching of the hull, currents, shallow water".into(),
    ]
}

fn part_summary(part: &Part) -> PartSummary {
    let factors = part.cells.iter().filter_map(|cell| cell.factor());
    let (sum, count) = factors.fold((0.0, 0_u32), |(sum, count), factor| (sum + factor, count + 1));
    let worst = part
        .cells
        .iter()
        .filter_map(|cell| cell.factor().map(|factor| (cell, factor)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(cell, factor)| {
            let stage = cell.dominant_stage().unwrap_or("none").to_owned();
            (cell.tack.name().to_owned(), cell.tws_kn, cell.twa_deg, factor, stage)
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
