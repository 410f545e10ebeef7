//! What is in a forecast file, and what the model would lack; all of it serializable.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use jiff::Timestamp;
use rayon::prelude::*;
use serde::Serialize;

use crate::base::Result;
use crate::forecast::checks::{Check, Checks};
use crate::forecast::field::{Field, FieldSummary};
use crate::forecast::grid::GridSummary;
use crate::forecast::index::index;
use crate::forecast::message::{FileIndex, Message};
use crate::forecast::quantity::Quantity;
use crate::forecast::sea::Lack;
use crate::forecast::sniff::FileKind;
use crate::forecast::spectra::Spectra;
use crate::forecast::steps::Forecast;

/// A file's contents.
#[derive(Debug, Clone, Serialize)]
pub struct FileReport {
    /// The file, as named.
    pub file: String,
    /// What it is.
    pub kind: FileKind,
    /// Its messages, in file order.
    pub messages: Vec<MessageReport>,
    /// Bytes that belong to no message.
    pub stray_bytes: u64,
    /// Its valid times.
    pub times: Vec<Timestamp>,
    /// Its ensemble members.
    pub members: Vec<u32>,
    pub grids: Vec<GridSummary>,
    /// The quantities it holds, and in how many messages.
    pub quantities: Vec<QuantityCount>,
    /// What the model would lack, were this the only file; empty where nothing is.
    pub lacks: Vec<String>,
    /// What was combined, left out or is missing, a sentence each.
    pub notes: Vec<String>,
    /// Step by step: what is at the cells.
    pub steps: Vec<StepReport>,
    /// Things a sea should not be, each with a count and an example.
    pub checks: Vec<Check>,
}

/// One message.
#[derive(Debug, Clone, Serialize)]
pub struct MessageReport {
    /// Its number in the file, from 1.
    pub number: usize,
    /// What the file calls it.
    pub code: String,
    /// What it is; none where it is not needed here.
    pub quantity: Option<Quantity>,
    /// The unit of its values here, where it is a known quantity.
    pub unit: Option<&'static str>,
    /// The unit in the file, where the file states one.
    pub unit_in_file: Option<String>,
    /// What to know about that reading.
    pub note: Option<Cow<'static, str>>,
    /// When the forecast starts.
    pub reference: Timestamp,
    /// When it is valid.
    pub valid: Timestamp,
    /// The ensemble member.
    pub member: Option<u32>,
    pub grid: Option<GridSummary>,
    /// How it is packed.
    pub packing: String,
    /// Its values; of spectra, the significant heights that they integrate to, m.
    pub values: Option<FieldSummary>,
    /// Why it cannot be decoded.
    pub problem: Option<String>,
}

/// How many messages hold a quantity.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuantityCount {
    pub quantity: Quantity,
    /// What the file calls it.
    pub codes: Vec<String>,
    pub messages: usize,
}

/// One step's cells.
#[derive(Debug, Clone, Serialize)]
pub struct StepReport {
    /// When it is valid.
    pub valid: Timestamp,
    /// The ensemble member.
    pub member: Option<u32>,
    /// Quantities that other steps of the file have.
    pub missing: Vec<Quantity>,
    /// Cells without a sea.
    pub land: usize,
    /// Cells with a whole sea state.
    pub sea: usize,
    /// Of those, cells without waves.
    pub flat: usize,
    /// Of those, cells whose total sea stands in for wave systems.
    pub total_sea: usize,
    /// Of those, cells whose wave systems come from splitting a spectrum.
    pub split_spectrum: usize,
    /// Whether there are directional spectra.
    pub spectra: bool,
    /// Whether the water's depth is stated.
    pub depth: bool,
    /// When the wind is valid, where it is of another time or grid.
    pub foreign_wind: Option<Timestamp>,
    /// Cells that lack something.
    pub gaps: Vec<GapCount>,
}

/// How many cells lack one thing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GapCount {
    /// What they lack.
    pub lack: Lack,
    pub cells: usize,
}

/// Reads a file through: every message is decoded once for its values, and once more with its step for the checks.
///
/// # Errors
/// A file that cannot be indexed. What is wrong with a single message stands in its report instead.
pub fn inspect(path: &Path) -> Result<FileReport> {
    let FileIndex { kind, messages, spectra, stray_bytes } = index(path)?;
    let mut checks = Checks::default();
    let mut reports = Vec::with_capacity(messages.len());
    for batch in messages.chunks(rayon::current_num_threads().max(1)) {
        let fields: Vec<Result<Field>> = batch.par_iter().map(Message::<Field>::decode).collect();
        for (message, field) in batch.iter().zip(fields) {
            if let Ok(field) = &field {
                checks.field(message, field);
            }
            reports.push(MessageReport::new(message, field.map(|field| field.summary())));
        }
    }
    for message in &spectra {
        reports.push(MessageReport::new(message, message.decode().map(|spectra| heights(&spectra))));
    }
    let (steps, lacks, notes) = match Forecast::open(&[path]) {
        Ok(forecast) => {
            let (steps, lacks) = steps(&forecast, &mut checks);
            (steps, lacks, forecast.notes().to_vec())
        }
        Err(error) => (Vec::new(), vec![error.to_string()], Vec::new()),
    };
    Ok(FileReport {
        file: path.display().to_string(),
        kind,
        stray_bytes,
        times: reports.iter().map(|m| m.valid).collect::<BTreeSet<_>>().into_iter().collect(),
        members: reports.iter().filter_map(|m| m.member).collect::<BTreeSet<_>>().into_iter().collect(),
        grids: grids(&reports),
        quantities: quantities(&reports),
        messages: reports,
        lacks,
        notes,
        steps,
        checks: checks.finish(),
    })
}

impl MessageReport {
    fn new<T>(message: &Message<T>, values: Result<FieldSummary>) -> Self {
        Self {
            number: message.number,
            code: message.code.clone(),
            quantity: message.quantity,
            unit: message.quantity.map(Quantity::unit),
            unit_in_file: message.unit.clone(),
            note: message.note.clone(),
            reference: message.reference,
            valid: message.valid,
            member: message.member,
            grid: message.grid.as_ref().ok().map(|grid| grid.summary()),
            packing: message.packing.clone(),
            // what is not used is not read either, and that is no problem
            problem: values.as_ref().err().filter(|_| message.quantity.is_some()).map(ToString::to_string),
            values: values.ok(),
        }
    }
}

fn steps(forecast: &Forecast, checks: &mut Checks) -> (Vec<StepReport>, Vec<String>) {
    let mut reports = Vec::new();
    let mut lacks = forecast.unreadable().to_vec();
    for (i, step) in forecast.steps().iter().enumerate() {
        if !step.missing.is_empty() {
            let missing: Vec<_> = step.missing.iter().map(ToString::to_string).collect();
            lacks.push(format!("{}: {}, which other steps have", step.valid, missing.join(", ")));
        }
        let sea = match forecast.read_step_anyway(i) {
            Ok(sea) => sea,
            Err(error) => {
                lacks.push(format!("{}: {error}", step.valid));
                continue;
            }
        };
        let refused = sea.out_of_range().iter().filter_map(|outside| outside.check_share().err());
        lacks.extend(refused.map(|error| format!("{}: {error}", step.valid)));
        lacks.extend(sea.unreadable().iter().cloned());
        checks.sea(&sea);
        if let Ok(fields) = step.decode() {
            checks.periods(step, &fields);
        }
        let coverage = sea.coverage();
        reports.push(StepReport {
            valid: step.valid,
            member: step.member,
            missing: step.missing.clone(),
            land: coverage.land,
            sea: coverage.sea,
            flat: coverage.flat,
            total_sea: coverage.total_sea,
            split_spectrum: coverage.split_spectrum,
            spectra: step.spectra.is_some(),
            depth: step.depth.is_some(),
            foreign_wind: step.wind.as_ref().filter(|_| step.has_foreign_wind()).map(|wind| wind.valid),
            gaps: coverage.gaps.into_iter().map(|(lack, cells)| GapCount { lack, cells }).collect(),
        });
    }
    (reports, lacks)
}

fn grids(reports: &[MessageReport]) -> Vec<GridSummary> {
    let mut grids: Vec<GridSummary> = Vec::new();
    for grid in reports.iter().filter_map(|report| report.grid) {
        if !grids.contains(&grid) {
            grids.push(grid);
        }
    }
    grids
}

fn quantities(reports: &[MessageReport]) -> Vec<QuantityCount> {
    let mut found: BTreeMap<Quantity, (BTreeSet<String>, usize)> = BTreeMap::new();
    for report in reports {
        let Some(quantity) = report.quantity else { continue };
        let (codes, count) = found.entry(quantity).or_default();
        codes.insert(report.code.clone());
        *count += 1;
    }
    let count = |(quantity, (codes, messages)): (Quantity, (BTreeSet<String>, usize))| QuantityCount {
        quantity,
        codes: codes.into_iter().collect(),
        messages,
    };
    found.into_iter().map(count).collect()
}

fn heights(spectra: &Spectra) -> FieldSummary {
    let hs = |point| spectra.at(point).map(|spectrum| spectrum.hs_m() as f32);
    Field::from_options((0..spectra.points()).map(hs)).summary()
}
