//! One or several files to a list of valid times, each with the message that holds each quantity.
//!
//! # Rules
//! - A **step** is a time (of a member) at which there are waves. Times that have wind alone serve other steps
//!   ([`crate::forecast::wind`]) and are no steps.
//! - All **waves** of a step are on one grid; two grids are an error. Wind may be on another.
//! - **Depth** that is stated once serves all steps on its grid.
//! - **Missing** quantities are those that other steps have. A **gap** in time is a spacing wider than a later one; one
//!   that widens for good is the forecast's own, and told too.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;

use crate::base::{Error, Result};
use crate::forecast::gather::{Messages, Slot, StepKey};
use crate::forecast::grid::Grid;
use crate::forecast::message::Message;
use crate::forecast::needed;
use crate::forecast::notes;
use crate::forecast::quantity::Quantity;
use crate::forecast::ranges::OutOfRange;
use crate::forecast::sea::SeaGrid;
use crate::forecast::spans::Spans;
use crate::forecast::step::Step;
use crate::forecast::wind::{MOST_APART, WindSource};

/// A forecast: files that are indexed, with nothing decoded yet.
#[derive(Debug, Clone)]
pub struct Forecast {
    steps: Vec<Step>,
    unused: usize,
    stray_bytes: u64,
    holes: Vec<[Timestamp; 2]>,
    notes: Vec<String>,
    unreadable: Vec<String>,
    winds: Winds,
}

impl Forecast {
    /// Indexes one or several files; each field's values are read when a step is.
    ///
    /// Where two messages hold one quantity at one time, the one of the later forecast wins; of one and the same
    /// forecast, equal ones count once.
    ///
    /// # Errors
    /// Files that cannot be indexed; no wind or no waves in any of them; waves of one time on different grids;
    /// different fields of one quantity, time and forecast.
    pub fn open(paths: &[impl AsRef<Path>]) -> Result<Self> {
        let gathered = Messages::new(paths)?;
        let winds = Winds::new(&gathered);
        let mut steps = Vec::new();
        for (key, slot) in gathered.slots.iter().filter(|(_, slot)| slot.has_waves()) {
            steps.push(step_of(*key, slot, &winds)?);
        }
        share_depth(&mut steps, &gathered);
        list_missing(&mut steps);
        let notes = notes::write(&steps, &gathered);
        Ok(Self {
            holes: notes::holes(&steps),
            steps,
            unused: gathered.unused,
            stray_bytes: gathered.stray_bytes,
            notes,
            unreadable: gathered.unreadable,
            winds,
        })
    }

    /// The steps, by valid time and member.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The ensemble members that have steps; empty for a single forecast.
    pub fn members(&self) -> Vec<u32> {
        self.steps.iter().filter_map(|step| step.member).collect::<BTreeSet<_>>().into_iter().collect()
    }

    /// When the runs began that the waves are of, in order; more than one where files of several are put together.
    pub fn runs(&self) -> BTreeSet<Timestamp> {
        let of_fields =
            self.steps.iter().flat_map(|step| step.messages.values().map(|message| message.reference));
        let of_spectra =
            self.steps.iter().filter_map(|step| step.spectra.as_ref().map(|message| message.reference));
        of_fields.chain(of_spectra).collect()
    }

    /// What was combined, replaced, left out or is missing, a sentence each: for the manifest.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// Messages that hold nothing needed here.
    pub fn unused_messages(&self) -> usize {
        self.unused
    }

    /// Messages that steps lack and other steps have.
    pub fn missing_messages(&self) -> usize {
        self.steps.iter().map(|step| step.missing.len()).sum()
    }

    /// Messages that their headers show to be unreadable, in words; those whose values turn out so are told by each step
    /// ([`SeaGrid::unreadable`]).
    pub fn unreadable(&self) -> &[String] {
        &self.unreadable
    }

    /// Neighbouring times between which a step is missing: they are further apart than times that follow. A spacing that
    /// widens and stays so is the forecast's own.
    pub fn holes(&self) -> &[[Timestamp; 2]] {
        &self.holes
    }

    /// Bytes in the files that belong to no message.
    pub fn stray_bytes(&self) -> u64 {
        self.stray_bytes
    }

    /// Wind of all times that have it, waves or not: that of a member and, where it has none, that of no member.
    pub(super) fn winds(&self, member: Option<u32>) -> Vec<WindSource> {
        let of =
            |member: Option<u32>| self.winds.0.get(&member).map(|times| times.values().cloned().collect());
        of(member).or_else(|| of(None)).unwrap_or_default()
    }

    /// Decodes a step and combines its fields, without the values out of range. Memory: the step's fields, nothing else.
    ///
    /// # Errors
    /// A step that does not exist, a field that cannot be decoded or of which too large a share is out of range.
    pub fn read_step(&self, step: usize) -> Result<SeaGrid> {
        let sea = self.read_step_anyway(step)?;
        sea.out_of_range().iter().try_for_each(OutOfRange::check_share)?;
        Ok(sea)
    }

    /// As [`Forecast::read_step`] at the points of its grid that are looked at, where it has the same seas; the other points
    /// mean nothing. Fields that no sea there needs are not decoded, nor are others further than their format asks for.
    ///
    /// # Errors
    /// As [`Forecast::read_step`], of what is decoded.
    pub fn read_step_at(&self, step: usize, points: &Spans) -> Result<SeaGrid> {
        let step = self.step(step)?;
        let sea = SeaGrid::new(step, needed::decode(step, points)?);
        sea.out_of_range().iter().try_for_each(OutOfRange::check_share)?;
        Ok(sea)
    }

    /// The same, however large the share that is out of range.
    pub(super) fn read_step_anyway(&self, step: usize) -> Result<SeaGrid> {
        let step = self.step(step)?;
        Ok(SeaGrid::new(step, step.decode_all()?))
    }

    fn step(&self, step: usize) -> Result<&Step> {
        self.steps.get(step).ok_or_else(|| {
            Error::new("the forecast has no such step")
                .found(step)
                .expected(format!("below {}", self.steps.len()))
        })
    }
}

/// The step of a time and member.
fn step_of((valid, member): StepKey, slot: &Slot, winds: &Winds) -> Result<Step> {
    let grid = wave_grid(valid, slot)?;
    let on_grid = |(quantity, message): (&Quantity, &Message)| {
        let same = message.grid.as_ref() == Ok(&grid);
        same.then(|| (*quantity, message.clone()))
    };
    let mut messages: BTreeMap<_, _> = slot.fields.iter().filter_map(on_grid).collect();
    let depth = messages.remove(&Quantity::Depth);
    let own = WindSource::among(|quantity| messages.get(&quantity), valid);
    let wind = own.or_else(|| winds.nearest(valid, member));
    wind.as_ref().map_or(Ok(()), |wind| wind.check_on(&grid))?;
    let spectra = slot.spectra.clone();
    Ok(Step { valid, member, grid, messages, wind, spectra, depth, missing: Vec::new() })
}

/// Wind of all times, by member.
#[derive(Debug, Clone)]
struct Winds(BTreeMap<Option<u32>, BTreeMap<Timestamp, WindSource>>);

impl Winds {
    fn new(gathered: &Messages) -> Self {
        let mut winds = Self(BTreeMap::new());
        for ((valid, member), slot) in &gathered.slots {
            if let Some(wind) = slot.wind(*valid) {
                winds.0.entry(*member).or_default().insert(*valid, wind);
            }
        }
        winds
    }

    /// The wind nearest in time, of the member or of none.
    fn nearest(&self, valid: Timestamp, member: Option<u32>) -> Option<WindSource> {
        let of = |member: Option<u32>| {
            let times = self.0.get(&member)?;
            let before = times.range(..=valid).next_back();
            let after = times.range(valid..).next();
            let apart = |time: &Timestamp| valid.duration_since(*time).abs();
            let near = before.into_iter().chain(after).filter(|(time, _)| apart(time) <= MOST_APART);
            near.min_by_key(|(time, _)| apart(time)).map(|(_, wind)| wind.clone())
        };
        of(member).or_else(|| of(None))
    }
}

fn wave_grid(valid: Timestamp, slot: &Slot) -> Result<Arc<Grid>> {
    let waves = slot.fields.iter().filter(|(quantity, _)| quantity.system().is_some());
    let fields = waves.map(|(_, m)| (m.place(), &m.path, &m.grid));
    let spectra = slot.spectra.iter().map(|m| (m.place(), &m.path, &m.grid));
    let mut first: Option<(String, &Arc<Path>, Arc<Grid>)> = None;
    for (place, path, grid) in fields.chain(spectra) {
        let grid = grid.clone()?;
        match &first {
            None => first = Some((place, path, grid)),
            Some((other, other_path, same)) if *same != grid => {
                return Err(Error::new(format!("the waves of {valid} are on different grids"))
                    .file(path)
                    .at(place)
                    .found(grid.summary())
                    .expected(format!("{}, as in {other} of {}", same.summary(), other_path.display()))
                    .remedy("give files on one grid, or one file at a time"));
            }
            Some(_) => {}
        }
    }
    first.map(|(_, _, grid)| grid).ok_or_else(|| Error::new("a step without fields"))
}

fn share_depth(steps: &mut [Step], gathered: &Messages) {
    let stated = || gathered.slots.values().filter_map(|slot| slot.fields.get(&Quantity::Depth));
    for step in steps.iter_mut().filter(|step| step.depth.is_none()) {
        step.depth = stated().find(|depth| depth.grid.as_ref() == Ok(&step.grid)).cloned();
    }
}

fn list_missing(steps: &mut [Step]) {
    let all: BTreeSet<Quantity> = steps.iter().flat_map(|step| step.messages.keys().copied()).collect();
    for step in steps {
        let foreign = step.has_foreign_wind();
        let is_missing = |q: &&Quantity| !step.messages.contains_key(q) && !(foreign && q.is_of_wind());
        let mut missing: Vec<_> = all.iter().filter(is_missing).copied().collect();
        if step.wind.is_none() && !missing.iter().any(|q| q.is_of_wind()) {
            missing.push(Quantity::WindSpeed);
        }
        step.missing = missing;
    }
}
