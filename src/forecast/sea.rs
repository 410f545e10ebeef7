//! A step's fields to the sea at each cell.
//!
//! # Rules
//! - **Wind** is speed and direction where a step has both, else eastward and northward components.
//! - **Wave systems** (wind sea and numbered swells, else total swell) are used in a step that has height, period and
//!   direction of every system named in the files. Where a message of one of them is missing from the step, the total
//!   sea stands in for all, so that no energy is lost without notice ([`crate::base::Flag::TotalSeaUsed`]).
//! - A cell with a **spectrum** keeps it ([`SeaState::spectrum`]). Where it has no system, the spectrum is split into
//!   wind sea and one swell ([`Spectrum2d::split`]), which stand for it where a few numbers must do.
//! - A cell without either has the **total sea** as its one system ([`PartitionKind::Total`]): wave models leave
//!   systems below a threshold (0.05 m in WAVEWATCH III) and energy between them unassigned.
//! - A system whose height is missing or zero is **absent** from a cell.
//! - **Land**: no height at all at the cell (land, ice, or beyond the model's domain). Its wind does not count, since
//!   atmospheric models have wind over land.
//! - **Flat**: the total height is there and zero, and no system is: a sea state without systems.
//! - **Gap**: waves without wind, a height without its period or direction, a height out of range
//!   ([`crate::forecast::ranges`]); other values out of range are missing.
//! - **Heights of period bands** (ECMWF's h1012 to h2530) serve where the total sea has a height and no period of any
//!   kind: the middle of the band with most energy is taken as peak period, unless more energy lies outside all bands;
//!   then the cell lacks a period. Elsewhere they are ignored ([`Forecast::notes`](crate::forecast::Forecast::notes) says so).
//! - **Wind of another grid or time** is interpolated as told in [`crate::forecast::wind`].
//! - Of several periods the peak period is preferred, then Tm-10, Tm01, Tm02; of several directions the mean. Where
//!   the preferred one is missing at a cell, the next serves.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::Timestamp;
use serde::Serialize;

use crate::base::DirectionFrom;
use crate::forecast::field::{Field, Fields};
use crate::forecast::grid::Grid;
use crate::forecast::needed::{DIRECTIONS, PERIODS, counted_systems};
use crate::forecast::quantity::{Quantity, SystemLabel};
use crate::forecast::ranges::OutOfRange;
use crate::forecast::spectra::Spectra;
use crate::forecast::step::{Decoded, Step};
use crate::forecast::wind::WindFields;
use crate::sea::{Partition, PartitionKind, Partitions, Period, PeriodKind, SeaState, Spectrum2d};

/// The sea of one step, combined cell by cell when asked for.
#[derive(Debug, Clone)]
pub struct SeaGrid {
    /// When it is valid.
    pub valid: Timestamp,
    /// The ensemble member, where there are several.
    pub member: Option<u32>,
    pub grid: Arc<Grid>,
    wind: WindFields,
    systems: Vec<WaveFields>,
    total: Option<WaveFields>,
    spectra: Option<Spectra>,
    depth: Option<Field>,
    outside: Vec<OutOfRange>,
    unreadable: Vec<String>,
}

/// What is at a cell.
#[expect(clippy::large_enum_variant, reason = "cells are made one at a time; a box would allocate for each")]
#[derive(Debug, Clone, PartialEq)]
pub enum CellSea {
    /// No sea: land, ice, or beyond the model's domain.
    Land,
    /// A sea that lacks something.
    Gap(Lack),
    /// A whole sea state.
    Sea(SeaState),
}

/// What a cell lacks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lack {
    /// Waves without wind.
    Wind,
    /// A height that cannot be believed.
    Height(SystemLabel),
    /// A height without a period.
    Period(SystemLabel),
    /// A height without a direction.
    Direction(SystemLabel),
}

/// How many cells of each kind a step has.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CellCounts {
    /// Cells without a sea.
    pub land: usize,
    /// Whole sea states, flat ones included.
    pub sea: usize,
    /// Of those, seas without a wave system.
    pub flat: usize,
    /// Of those, seas in which the total sea stands in for its systems.
    pub total_sea: usize,
    /// Of those, seas whose systems come from splitting a spectrum.
    pub split_spectrum: usize,
    /// Cells that lack something.
    pub gaps: BTreeMap<Lack, usize>,
}

/// Where a cell's wave systems come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SeaOrigin {
    Systems,
    Spectrum,
    Total,
}

#[derive(Debug, Clone)]
struct WaveFields {
    system: SystemLabel,
    hs: Field,
    /// In order of preference.
    periods: Vec<(PeriodKind, Field)>,
    /// In order of preference.
    from: Vec<Field>,
    spread: Option<Field>,
}

impl SeaGrid {
    pub(super) fn new(step: &Step, decoded: Decoded) -> Self {
        let Decoded { mut fields, wind, spectra, depth, outside, unreadable } = decoded;
        let bands = Bands::take(&mut fields);
        let mut total = WaveFields::take(&mut fields, SystemLabel::Total);
        if let Some(total) = &mut total
            && total.periods.is_empty()
        {
            total.periods.extend(bands.peak_period(&total.hs));
        }
        let mut systems = Vec::new();
        let mut incomplete = false;
        for system in counted_systems(step) {
            match WaveFields::take(&mut fields, system) {
                Some(fields) => {
                    incomplete |= !fields.is_whole();
                    systems.push(fields);
                }
                None => incomplete = true,
            }
        }
        if incomplete && total.as_ref().is_some_and(WaveFields::is_whole) {
            systems.clear();
        }
        Self {
            valid: step.valid,
            member: step.member,
            grid: step.grid.clone(),
            wind,
            systems,
            total,
            spectra,
            depth,
            outside,
            unreadable,
        }
    }

    /// Messages of the step that cannot be read, in words: what they hold is missing, and their heights are gaps.
    pub fn unreadable(&self) -> &[String] {
        &self.unreadable
    }

    /// What of the step's fields is out of range, and therefore missing.
    pub fn out_of_range(&self) -> &[OutOfRange] {
        &self.outside
    }

    /// The directional spectrum at a cell, where the files have one.
    pub fn spectrum(&self, index: usize) -> Option<Spectrum2d> {
        self.spectra.as_ref()?.at(index)
    }

    /// The water's depth at a cell, m, where the files state it.
    pub fn depth_m(&self, index: usize) -> Option<f64> {
        self.depth.as_ref()?.get(index).map(f64::from)
    }

    /// What is at a cell; land, too, beyond the last cell.
    pub fn cell(&self, index: usize) -> CellSea {
        match self.sea_state(index) {
            Ok(Some((state, _))) => CellSea::Sea(state),
            Ok(None) => CellSea::Land,
            Err(lack) => CellSea::Gap(lack),
        }
    }

    /// All cells in grid order.
    pub fn cells(&self) -> impl Iterator<Item = CellSea> + '_ {
        (0..self.grid.points()).map(|index| self.cell(index))
    }

    /// Counts the cells of each kind.
    pub fn coverage(&self) -> CellCounts {
        let mut coverage = CellCounts::default();
        for index in 0..self.grid.points() {
            match self.sea_state(index) {
                Ok(None) => coverage.land += 1,
                Err(lack) => *coverage.gaps.entry(lack).or_default() += 1,
                Ok(Some((state, origin))) => {
                    coverage.sea += 1;
                    let flat = state.partitions.is_empty();
                    coverage.flat += usize::from(flat);
                    coverage.total_sea += usize::from(!flat && origin == SeaOrigin::Total);
                    coverage.split_spectrum += usize::from(!flat && origin == SeaOrigin::Spectrum);
                }
            }
        }
        coverage
    }

    /// The height of the total sea at a cell, m, where the step has it.
    pub fn total_hs_m(&self, index: usize) -> Option<f64> {
        self.total.as_ref().and_then(|total| total.hs.get(index)).map(f64::from)
    }

    fn sea_state(&self, index: usize) -> Result<Option<(SeaState, SeaOrigin)>, Lack> {
        let mut partitions = Partitions::new();
        for system in &self.systems {
            if let Some(partition) = system.at(index)? {
                partitions.push(partition);
            }
        }
        if self.spectra.as_ref().is_some_and(|spectra| spectra.is_refused(index)) {
            return Err(Lack::Height(SystemLabel::Total));
        }
        let wind = self.wind.at(index).ok_or(Lack::Wind);
        if !partitions.is_empty() {
            let spectrum = self.spectrum(index);
            return Ok(Some((SeaState { wind: wind?, partitions, spectrum }, SeaOrigin::Systems)));
        }
        if let Some(spectrum) = self.spectrum(index) {
            let wind = wind?;
            let partitions = spectrum.split(wind);
            return Ok(Some((SeaState { wind, partitions, spectrum: Some(spectrum) }, SeaOrigin::Spectrum)));
        }
        let is_there = |total: &&WaveFields| total.hs.get(index).is_some() || total.hs.is_refused(index);
        let Some(total) = self.total.as_ref().filter(is_there) else {
            return Ok(None);
        };
        partitions.extend(total.at(index)?);
        Ok(Some((SeaState { wind: wind?, partitions, spectrum: None }, SeaOrigin::Total)))
    }
}

/// Heights of bands of periods.
struct Bands(Vec<(f32, Field)>);

impl Bands {
    fn take(fields: &mut Fields) -> Self {
        let bands: Vec<_> = fields.keys().copied().filter(|q| matches!(q, Quantity::BandHs { .. })).collect();
        let take = |quantity| match quantity {
            Quantity::BandHs { low_s, high_s } => {
                Some((f32::from(low_s + high_s) / 2.0, fields.remove(&quantity)?))
            }
            _ => None,
        };
        Self(bands.into_iter().filter_map(take).collect())
    }

    /// The middle of the band with most energy, where the energy outside all bands is not more.
    fn peak_period(&self, total_hs: &Field) -> Option<(PeriodKind, Field)> {
        let at = |index: usize| {
            let energy = |field: &Field| field.get(index).map(|hs| hs * hs);
            let bands: Option<Vec<_>> =
                self.0.iter().map(|(middle, hs)| Some((*middle, energy(hs)?))).collect();
            let bands = bands?;
            let (middle, most) = bands.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
            let outside = energy(total_hs)? - bands.iter().map(|band| band.1).sum::<f32>();
            (most >= outside).then_some(middle)
        };
        (!self.0.is_empty()).then(|| (PeriodKind::Peak, Field::from_options((0..total_hs.len()).map(at))))
    }
}

impl WaveFields {
    fn take(fields: &mut Fields, system: SystemLabel) -> Option<Self> {
        let hs = fields.remove(&Quantity::Hs(system))?;
        let periods = PERIODS
            .into_iter()
            .filter_map(|kind| Some((kind, fields.remove(&Quantity::Period(system, kind))?)))
            .collect();
        let from =
            DIRECTIONS.into_iter().filter_map(|kind| fields.remove(&Quantity::From(system, kind))).collect();
        Some(Self { system, hs, periods, from, spread: fields.remove(&Quantity::Spread(system)) })
    }

    fn is_whole(&self) -> bool {
        !self.periods.is_empty() && !self.from.is_empty() && !self.hs.is_wholly_refused()
    }

    /// The system at a cell; none where it has no height there.
    fn at(&self, index: usize) -> Result<Option<Partition>, Lack> {
        if self.hs.is_refused(index) {
            return Err(Lack::Height(self.system));
        }
        let Some(hs) = self.hs.get(index).filter(|hs| *hs > 0.0) else {
            return Ok(None);
        };
        let period = self.periods.iter().find_map(|(kind, field)| {
            let seconds = f64::from(field.get(index).filter(|s| *s > 0.0)?);
            Some(Period { seconds, kind: *kind })
        });
        let from = self.from.iter().find_map(|field| field.get(index));
        Ok(Some(Partition {
            kind: kind_of(self.system),
            hs_m: f64::from(hs),
            period: period.ok_or(Lack::Period(self.system))?,
            from: DirectionFrom::from_deg(f64::from(from.ok_or(Lack::Direction(self.system))?)),
            spread_deg: self.spread.as_ref().and_then(|field| field.get(index)).map(f64::from),
        }))
    }
}

fn kind_of(system: SystemLabel) -> PartitionKind {
    match system {
        SystemLabel::Total => PartitionKind::Total,
        SystemLabel::WindSea => PartitionKind::WindSea,
        SystemLabel::TotalSwell | SystemLabel::Swell(_) => PartitionKind::Swell,
    }
}
