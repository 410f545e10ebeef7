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
use crate::forecast::quantity::System;
use crate::forecast::{Forecast, Lack};
use crate::hydro::rates::NORDFORSK_FAST_SMALL_CRAFT;
use crate::hydro::response::Method;
use crate::job::{Job, Model as Choices, Regions, TackChoice};
use crate::model::Model;
use crate::own_table_file;
use crate::polar::Polar;
use crate::region::{self, Extent, Region, tiles};
use crate::survey::{Survey, survey};
use crate::tally::Tally;
use crate::units::kn_to_m_s;
use crate::wind_frame::WindFrameSea;
use crate::window::Window;
use rayon::prelude::*;
use serde_json::{Map, json};
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
    let inputs = inputs(job, &boat.model.boat)?;
    let forecast = Forecast::open(&job.forecast)?;
    let mut regions = regions(job, &forecast)?;
    let told = |done, all| progress(Progress::Steps(done, all));
    let mut survey = survey(&forecast, &regions, job.window, job.window_alignment, &told)?;
    let on_land = match &job.regions {
        Regions::File(path) => {
            survey.check_covered(&regions).map(|()| 0).map_err(|error| error.file(path))?
        }
        Regions::Tiles(_) => survey.leave_out_land(&mut regions),
    };
    progress(Progress::Boat);
    let performance = boat.tabulate();
    let parts = parts(&regions, &survey);
    if parts.is_empty() {
        return Err(Error::new("no tile holds any sea with all the model needs")
            .found(format!("{} tiles, {on_land} of them land", regions.len() + on_land))
            .expected("some sea of the forecast")
            .remedy("run `inspect` on the forecast to see what it lacks"));
    }
    progress(Progress::Polars(parts.len()));
    let cells: Vec<Vec<PolarCell>> =
        parts.par_iter().map(|part| derate(&performance, part.tally)).collect::<Result<_>>()?;
    progress(Progress::Writing);
    let mut warnings = warnings(&regions, &forecast);
    warnings.extend((on_land > 0).then(|| format!("{on_land} tiles hold no sea and were left out")));
    let summary = write(job, &output, &regions, &parts, &cells, &forecast, &survey, inputs, warnings)?;
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
    let forecast = Forecast::open(&job.forecast)?;
    let mut regions = regions(job, &forecast)?;
    if let Some(name) = region {
        let known: Vec<String> = regions.iter().map(|region| region.name.clone()).collect();
        regions.retain(|region| region.name == name);
        if regions.is_empty() {
            return Err(Error::new("the job has no such region")
                .found(format!("\"{name}\""))
                .expected(format!("one of {}", known.join(", ")))
                .remedy("name a region of the job's regions file"));
        }
    }
    let survey = survey(&forecast, &regions, job.window, job.window_alignment, &|_, _| {})?;
    if let Regions::File(path) = &job.regions {
        survey.check_covered(&regions).map_err(|error| error.file(path))?;
    }
    Ok(survey.tallies.iter().flatten().flat_map(Tally::seas).collect())
}

fn inputs(job: &Job, boat: &Boat) -> Result<Vec<Input>> {
    let mut inputs = vec![Input::of("boat", &job.boat)?, Input::of("polar", &job.polar)?];
    if let Some(path) = &boat.hull.sections {
        inputs.push(Input::of("sections", path)?);
    }
    if let Some(path) = boat.foils.as_ref().and_then(|foils| foils.foils_up_polar.as_ref()) {
        inputs.push(Input::of("foils-up polar", path)?);
    }
    if let Regions::File(path) = &job.regions {
        inputs.push(Input::of("regions", path)?);
    }
    if let Some(path) = &job.model.own_responses {
        inputs.push(Input::of("own responses", path)?);
    }
    for path in &job.forecast {
        inputs.push(Input::of("forecast", path)?);
    }
    Ok(inputs)
}

fn regions(job: &Job, forecast: &Forecast) -> Result<Vec<Region>> {
    match &job.regions {
        Regions::File(path) => region::read(path),
        Regions::Tiles(size) => {
            let grid = forecast.steps().first().map(|step| step.grid.summary()).ok_or_else(|| {
                Error::new("the forecast has no step to lay tiles over").remedy("name a regions file")
            })?;
            let extent = Extent {
                south: grid.south_deg,
                north: grid.north_deg,
                west: grid.west_deg,
                east: grid.east_deg,
            };
            tiles(size.lat_deg, size.lon_deg, extent)
        }
    }
}

/// A region and window that has some sea.
struct Sailed<'a> {
    region: usize,
    window: Window,
    tally: &'a Tally,
}

fn parts<'a>(regions: &[Region], survey: &'a Survey) -> Vec<Sailed<'a>> {
    (0..regions.len())
        .flat_map(|region| {
            let windows = survey.windows.iter().zip(&survey.tallies[region]);
            windows.map(move |(window, tally)| Sailed { region, window: *window, tally })
        })
        .filter(|part| !part.tally.is_empty())
        .collect()
}

#[expect(
    clippy::too_many_arguments,
    reason = "each is one whole input of the result; a struct would only rename them"
)]
fn write(
    job: &Job,
    output: &OutputFolder,
    regions: &[Region],
    parts: &[Sailed],
    cells: &[Vec<PolarCell>],
    forecast: &Forecast,
    survey: &Survey,
    inputs: Vec<Input>,
    warnings: Vec<String>,
) -> Result<Summary> {
    let mut entries: Vec<(&Region, Vec<Entry>)> = regions.iter().map(|region| (region, Vec::new())).collect();
    for (part, cells) in parts.iter().zip(cells) {
        let file = polar_file(&regions[part.region].name, part.window, job.tacks);
        output.write(&file, &polar_csv::to_bytes(&corrected_polar(cells, job.tacks)?, &job.polar_csv)?)?;
        entries[part.region].1.push(Entry { window: part.window, tacks: job.tacks, file });
    }
    let rows: Vec<Part> = parts
        .iter()
        .zip(cells)
        .map(|(part, cells)| Part {
            region: &regions[part.region].name,
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
        warnings,
        gaps: gaps(regions, forecast, survey),
        parts: rows.iter().map(part_summary).collect(),
    };
    output.write(MANIFEST, &manifest(job, forecast, survey, inputs, &summary).to_bytes()?)?;
    Ok(summary)
}

/// `polars/<region>/<start>-<tacks>.csv`, the start in ISO 8601's basic form, which every file system takes.
fn polar_file(region: &str, window: Window, tacks: TackChoice) -> String {
    let tacks = serde_json::to_value(tacks).ok().and_then(|value| value.as_str().map(str::to_owned));
    let start = window.start.strftime("%Y%m%dT%H%M%SZ");
    format!("polars/{region}/{start}-{}.csv", tacks.unwrap_or_default())
}

fn warnings(regions: &[Region], forecast: &Forecast) -> Vec<String> {
    let mut warnings: Vec<String> = regions
        .iter()
        .flat_map(|region| region.notes.iter().map(move |note| format!("region \"{}\": {note}", region.name)))
        .collect();
    warnings.extend(forecast.notes().iter().map(|note| format!("forecast: {note}")));
    let counted = [
        (forecast.unused_messages(), "messages hold nothing that is needed and were passed over"),
        (forecast.replaced_messages(), "messages gave way to another of the same quantity and time"),
    ];
    warnings.extend(counted.iter().filter(|(n, _)| *n > 0).map(|(n, what)| format!("{n} forecast {what}")));
    if forecast.stray_bytes() > 0 {
        warnings.push(format!("{} bytes of the forecast files belong to no message", forecast.stray_bytes()));
    }
    warnings
}

fn gaps(regions: &[Region], forecast: &Forecast, survey: &Survey) -> Vec<String> {
    let mut gaps: Vec<String> = survey
        .empty_windows
        .iter()
        .map(|window| format!("no forecast step falls into the window {} to {}", window.start, window.end))
        .collect();
    if forecast.missing_messages() > 0 {
        gaps.push(format!("{} fields that other steps have are missing", forecast.missing_messages()));
    }
    for (lack, count) in &survey.gaps {
        gaps.push(format!("{count} sea cells lack {}", lack_words(*lack)));
    }
    for (region, tallies) in regions.iter().zip(&survey.tallies) {
        for (window, tally) in survey.windows.iter().zip(tallies) {
            let place = format!("region \"{}\", window from {}", region.name, window.start);
            if tally.is_empty() {
                gaps.push(format!("{place}: no usable sea, no polar"));
            } else if let Some(covered) = tally.coverage.fraction().filter(|covered| *covered < 1.0 - 1e-9) {
                gaps.push(format!("{place}: only {:.1} % of the sea is covered", 100.0 * covered));
            }
        }
    }
    gaps
}

fn manifest(
    job: &Job,
    forecast: &Forecast,
    survey: &Survey,
    inputs: Vec<Input>,
    summary: &Summary,
) -> Manifest {
    let mut counts = Map::new();
    counts.insert("forecast_steps".into(), json!(forecast.steps().len()));
    counts.insert("ensemble_members".into(), json!(survey.members.len()));
    counts.insert("windows".into(), json!(survey.windows.len()));
    counts.insert("polars".into(), json!(summary.polars));
    counts.insert("sea_states".into(), json!(summary.sea_states));
    counts.insert("tally_bins".into(), json!(summary.bins));
    Manifest {
        inputs,
        options: json!({
            "window": job.window.to_string(),
            "window_alignment": job.window_alignment,
            "tacks": job.tacks,
            "polar_csv": job.polar_csv,
            "model": job.model,
            "tally_bins": crate::tally::Bins::default(),
        }),
        counts,
        warnings: summary.warnings.clone(),
        gaps: summary.gaps.clone(),
        model: model_notes(job.model.added_resistance),
    }
}

/// What a sea cell lacks, in words.
fn lack_words(lack: Lack) -> String {
    match lack {
        Lack::Wind => "the wind".into(),
        Lack::Period(system) => format!("the period of {}", system_words(system)),
        Lack::Direction(system) => format!("the direction of {}", system_words(system)),
    }
}

fn system_words(system: System) -> String {
    match system {
        System::Total => "the total sea".into(),
        System::WindSea => "the wind sea".into(),
        System::TotalSwell => "the total swell".into(),
        System::Swell(number) => format!("swell {number}"),
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
