//! One or several files to a list of valid times, each with the message that holds each quantity.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;
use rayon::prelude::*;

use super::field::Field;
use super::grid::Grid;
use super::message::{Index, Message, index};
use super::quantity::Quantity;
use super::sea::SeaGrid;
use crate::error::{Error, Result};

/// A forecast: files that are indexed, with nothing decoded yet.
#[derive(Debug, Clone)]
pub struct Forecast {
    steps: Vec<Step>,
    unused: usize,
    replaced: usize,
    stray_bytes: u64,
}

/// One valid time, of one ensemble member where there are several.
#[derive(Debug, Clone)]
pub struct Step {
    /// When its fields are valid.
    pub valid: Timestamp,
    /// The ensemble member, where the files say so.
    pub member: Option<u32>,
    /// The grid of all its fields.
    pub grid: Arc<Grid>,
    /// The message that holds each quantity.
    pub messages: BTreeMap<Quantity, Message>,
    /// Quantities that other steps have and this one lacks.
    pub missing: Vec<Quantity>,
}

/// A step's fields, decoded.
pub type Fields = BTreeMap<Quantity, Field>;

impl Forecast {
    /// Indexes one or several files; each field's values are read when a step is.
    ///
    /// Where two messages hold one quantity at one time, the one of the later forecast wins; of one and the same
    /// forecast, equal ones count once.
    ///
    /// # Errors
    /// Files that cannot be indexed; no wind or no waves in any of them; fields of one time on different grids;
    /// different fields of one quantity, time and forecast.
    pub fn open(paths: &[impl AsRef<Path>]) -> Result<Self> {
        let mut by_time: BTreeMap<(Timestamp, Option<u32>), BTreeMap<Quantity, Message>> = BTreeMap::new();
        let mut forecast = Self { steps: Vec::new(), unused: 0, replaced: 0, stray_bytes: 0 };
        let mut codes = BTreeSet::new();
        for path in paths {
            let Index { messages, stray_bytes, .. } = index(path.as_ref())?;
            forecast.stray_bytes += stray_bytes;
            for message in messages {
                codes.insert(message.code.clone());
                let Some(quantity) = message.quantity else {
                    forecast.unused += 1;
                    continue;
                };
                let slot = by_time.entry((message.valid, message.member)).or_default();
                forecast.replaced += usize::from(slot.contains_key(&quantity));
                insert(slot, quantity, message)?;
            }
        }
        check_present(&by_time, paths, &codes)?;
        let all: BTreeSet<Quantity> =
            by_time.values().flat_map(|messages| messages.keys().copied()).collect();
        for ((valid, member), messages) in by_time {
            let missing = all.iter().filter(|q| !messages.contains_key(q)).copied().collect();
            let grid = one_grid(valid, &messages)?;
            forecast.steps.push(Step { valid, member, grid, messages, missing });
        }
        Ok(forecast)
    }

    /// The steps, by valid time and member.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Messages that hold nothing needed here.
    pub fn unused_messages(&self) -> usize {
        self.unused
    }

    /// Messages that gave way to another of the same quantity and time.
    pub fn replaced_messages(&self) -> usize {
        self.replaced
    }

    /// Messages that steps lack and other steps have.
    pub fn missing_messages(&self) -> usize {
        self.steps.iter().map(|step| step.missing.len()).sum()
    }

    /// Bytes in the files that belong to no message.
    pub fn stray_bytes(&self) -> u64 {
        self.stray_bytes
    }

    /// Decodes a step and combines its fields. Memory: the step's fields, nothing else.
    ///
    /// # Errors
    /// A step that does not exist, a field that cannot be decoded.
    pub fn read_step(&self, step: usize) -> Result<SeaGrid> {
        let step = self.steps.get(step).ok_or_else(|| {
            Error::new("the forecast has no such step")
                .found(step)
                .expected(format!("below {}", self.steps.len()))
        })?;
        Ok(SeaGrid::new(step, step.decode()?))
    }
}

impl Step {
    /// Decodes the step's fields, several at a time.
    ///
    /// # Errors
    /// A field that cannot be decoded; the first in order of quantity.
    pub fn decode(&self) -> Result<Fields> {
        let decoded: Vec<_> = self.messages.par_iter().map(|(q, message)| (*q, message.decode())).collect();
        decoded.into_iter().map(|(quantity, field)| Ok((quantity, field?))).collect()
    }
}

fn insert(slot: &mut BTreeMap<Quantity, Message>, quantity: Quantity, message: Message) -> Result<()> {
    if let Some(held) = slot.get(&quantity) {
        if held.reference > message.reference {
            return Ok(());
        }
        if held.reference == message.reference && held.decode()? != message.decode()? {
            return Err(Error::new("two messages of one forecast disagree")
                .file(&message.path)
                .at(message.place())
                .found(format!("other values than {} of {}", held.place(), held.path.display()))
                .expected(format!("one field of {quantity} for {}", message.valid))
                .remedy("leave out one of the files"));
        }
    }
    slot.insert(quantity, message);
    Ok(())
}

fn one_grid(valid: Timestamp, messages: &BTreeMap<Quantity, Message>) -> Result<Arc<Grid>> {
    let mut first: Option<(&Message, Arc<Grid>)> = None;
    for message in messages.values() {
        let grid = message.grid.clone()?;
        match &first {
            None => first = Some((message, grid)),
            Some((other, same)) if *same != grid => {
                return Err(Error::new(format!("the fields of {valid} are on different grids"))
                    .file(&message.path)
                    .at(message.place())
                    .found(grid.summary())
                    .expected(format!(
                        "{}, as in {} of {}",
                        same.summary(),
                        other.place(),
                        other.path.display()
                    ))
                    .remedy("give files on one grid, or bring the wind to the grid of the waves first"));
            }
            Some(_) => {}
        }
    }
    first.map(|(_, grid)| grid).ok_or_else(|| Error::new("a step without fields"))
}

fn check_present(
    by_time: &BTreeMap<(Timestamp, Option<u32>), BTreeMap<Quantity, Message>>,
    paths: &[impl AsRef<Path>],
    codes: &BTreeSet<String>,
) -> Result<()> {
    let names: Vec<_> = paths.iter().map(|p| p.as_ref().display().to_string()).collect();
    let any = |wanted: fn(&Quantity) -> bool| by_time.values().any(|m| m.keys().any(wanted));
    let error = |problem: &str, expected: &str, remedy: &str| {
        let listed: Vec<_> = codes.iter().take(12).map(String::as_str).collect();
        let found = if listed.is_empty() { "no message at all".to_owned() } else { listed.join(", ") };
        Err(Error::new(problem).input(names.join(", ")).found(found).expected(expected).remedy(remedy))
    };
    if !any(|q| matches!(q, Quantity::Hs(_))) {
        return error(
            "there are no waves in the forecast",
            "significant wave height of the total sea or of its wave systems",
            "add the wave model's files for the same times",
        );
    }
    let has_wind = |m: &BTreeMap<Quantity, Message>| {
        let has = |q| m.contains_key(&q);
        (has(Quantity::WindSpeed) && has(Quantity::WindFrom))
            || (has(Quantity::WindEastward) && has(Quantity::WindNorthward))
    };
    if !by_time.values().any(has_wind) {
        return error(
            "there is no wind in the forecast",
            "wind speed and direction, or its eastward and northward components, at 10 m",
            "add a file with the 10 m wind on the same grid and for the same times",
        );
    }
    Ok(())
}
