//! Forecast x regions x windows: the tallies that polars are made from.

use crate::base::window::step_spans_s;
use crate::base::{Alignment, WindowLength, Windows};
use crate::base::{Error, Result};
use crate::forecast::ranges::{AllOutOfRange, OutOfRange};
use crate::forecast::{CellSea, Forecast, Lack, SeaGrid};
use crate::forecast::{Grid, GridLayout};
use crate::forecast::{Spans, SystemLabel};
use crate::hydro::wind_frame::WindFrameSea;
use crate::region::{Region, cell_areas_m2, coastline, outlined_areas_m2};
use crate::survey::kept::{KeptSteps, Reused};
use crate::tally::{Bins, Coverage, Origin, RegionTallies, StepTally, TalliedStep, TallySet, WindowTally};
use jiff::Timestamp;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// What a forecast's seas are tallied into.
#[derive(Debug, Clone, PartialEq)]
pub struct Surveyed {
    /// All seas, to be settled; members of an ensemble weigh alike.
    pub set: TallySet,
    /// Those of each member that was asked for, in the windows in which it has steps; summed over all members of an
    /// ensemble they are `set`.
    pub members: BTreeMap<u32, TallySet>,
    /// Values that were taken as missing because they are out of range.
    pub out_of_range: AllOutOfRange,
    /// Messages that could not be read, in words.
    pub unreadable: BTreeSet<String>,
    /// What was found of steps tallied before.
    pub reused: Reused,
}

/// Tallies a forecast: while a step is tallied the next is decoded, so that two are in memory at a time, each as far as the
/// regions reach. Regions are tallied in parallel, each in order of time, so the sums don't depend on the number of
/// threads. The members named are tallied apart besides.
///
/// `progress` is told the steps done and the steps in all; its error ends the survey.
///
/// # Errors
/// Fields that cannot be read; an error of `progress`.
pub fn survey(
    forecast: &Forecast,
    regions: &[Region],
    length: WindowLength,
    alignment: Alignment,
    members: &[u32],
    progress: &dyn Fn(usize, usize) -> Result<()>,
) -> Result<Surveyed> {
    survey_keeping(forecast, regions, length, alignment, members, None, progress)
}

/// Steps that are read while as many are tallied: threads wait for each other once for all of them.
const ABREAST: usize = 2;

/// As [`survey`], with the same result; steps that are kept are not decoded, and others are kept.
///
/// # Errors
/// As [`survey`].
pub fn survey_keeping(
    forecast: &Forecast,
    regions: &[Region],
    length: WindowLength,
    alignment: Alignment,
    members: &[u32],
    kept: Option<&KeptSteps>,
    progress: &dyn Fn(usize, usize) -> Result<()>,
) -> Result<Surveyed> {
    let mut times: Vec<Timestamp> = forecast.steps().iter().map(|step| step.valid).collect();
    times.dedup();
    let windows = Windows::assign(length, alignment, &times)?;
    let spans_s = step_spans_s(&times)?;
    let mut tallies = empty(regions, &windows);
    let mut apart: BTreeMap<u32, Vec<Vec<WindowTally>>> =
        members.iter().map(|member| (*member, empty(regions, &windows))).collect();
    let mut out_of_range = AllOutOfRange::default();
    let mut unreadable: BTreeSet<String> = forecast.unreadable().iter().cloned().collect();
    let reader = StepReader { forecast, regions, kept, areas: Mutex::default() };
    let all = forecast.steps().len();
    let read = |steps: Range<usize>| -> Vec<Result<ReadStep>> {
        steps.into_par_iter().with_max_len(1).map(|index| reader.read(index)).collect()
    };
    let mut ahead = read(0..ABREAST.min(all));
    for first in (0..all).step_by(ABREAST) {
        progress(first, all)?;
        let current = ahead.into_iter().collect::<Result<Vec<_>>>()?;
        let next = first + current.len();
        let tally = || -> Vec<Tallied> {
            let steps = current.into_par_iter().with_max_len(1).enumerate();
            steps.map(|(k, step)| reader.tally(first + k, step)).collect()
        };
        let (tallied, read) = rayon::join(tally, || read(next..(next + ABREAST).min(all)));
        ahead = read;
        for (step, tallied) in forecast.steps()[first..].iter().zip(tallied) {
            out_of_range.add(&tallied.outside);
            unreadable.extend(tallied.unreadable);
            let time = times.partition_point(|time| *time < step.valid);
            let window = windows.window_of_step[time];
            // what stands beyond the ends only other files may tell; a member's own tally goes into none
            let inner = time > 0 && time + 1 < times.len();
            let of_all = TalliedStep::new(step.valid, inner.then_some(spans_s[time]));
            let of_one = TalliedStep::new(step.valid, Some(spans_s[time]));
            let own = step.member.and_then(|member| apart.get_mut(&member)).into_iter().flatten();
            for (windows, region) in tallies.iter_mut().zip(&tallied.regions) {
                region.add_to(&mut windows[window], of_all)?;
            }
            for (windows, region) in own.zip(&tallied.regions) {
                region.add_to(&mut windows[window], of_one)?;
            }
        }
    }
    progress(all, all)?;
    let set = set_of(regions, &windows, tallies, forecast.members());
    let of_member = |(member, tallies)| {
        let mut set = set_of(regions, &windows, tallies, vec![member]);
        set.regions.iter_mut().for_each(|region| region.windows.retain(|_, part| part.steps > 0));
        (member, set)
    };
    let members = apart.into_iter().map(of_member).collect();
    let reused = kept.map(KeptSteps::finish).unwrap_or_default();
    Ok(Surveyed { set, members, out_of_range, unreadable, reused })
}

/// Steps on their way from the forecast's files to tallies.
struct StepReader<'f> {
    forecast: &'f Forecast,
    regions: &'f [Region],
    kept: Option<&'f KeptSteps>,
    /// The cells of the regions on the grid met last.
    areas: Mutex<Option<Arc<GridCells>>>,
}

/// The cells of regions on a grid, and all of them together.
struct GridCells {
    grid: Arc<Grid>,
    of_regions: Vec<RegionCells>,
    points: Spans,
}

/// A step that was read.
#[expect(clippy::large_enum_variant, reason = "two at a time")]
enum ReadStep {
    Kept(Vec<StepTally>),
    Decoded(SeaGrid, Arc<GridCells>),
}

/// A step that was tallied, region by region.
struct Tallied {
    regions: Vec<StepTally>,
    outside: Vec<OutOfRange>,
    unreadable: Vec<String>,
}

impl StepReader<'_> {
    fn read(&self, index: usize) -> Result<ReadStep> {
        let step = &self.forecast.steps()[index];
        if let Some(tallies) = self.kept.and_then(|kept| kept.find(step)) {
            return Ok(ReadStep::Kept(tallies));
        }
        let cells = self.cells(&step.grid);
        Ok(ReadStep::Decoded(self.forecast.read_step_at(index, &cells.points)?, cells))
    }

    fn cells(&self, grid: &Arc<Grid>) -> Arc<GridCells> {
        let lock = || self.areas.lock().unwrap_or_else(PoisonError::into_inner);
        let known = lock().clone();
        if let Some(known) = known.filter(|known| known.grid == *grid) {
            return known;
        }
        let of_regions: Vec<RegionCells> =
            self.regions.par_iter().map(|region| RegionCells::new(region, grid)).collect();
        let points =
            Spans::of(of_regions.iter().flat_map(|cells| cells.cells.iter().map(|(index, _)| *index)));
        let cells = Arc::new(GridCells { grid: grid.clone(), of_regions, points });
        *lock() = Some(cells.clone());
        cells
    }

    fn tally(&self, index: usize, step: ReadStep) -> Tallied {
        match step {
            ReadStep::Kept(regions) => Tallied { regions, outside: Vec::new(), unreadable: Vec::new() },
            ReadStep::Decoded(sea, cells) => {
                let regions: Vec<StepTally> =
                    cells.of_regions.par_iter().with_max_len(1).map(|cells| cells.tally(&sea)).collect();
                let (outside, unreadable) = (sea.out_of_range().to_vec(), sea.unreadable().to_vec());
                // what was odd is told of what is decoded, so a step with such a thing is decoded each time
                if let Some(kept) = self.kept.filter(|_| outside.is_empty() && unreadable.is_empty()) {
                    kept.keep(&self.forecast.steps()[index], &regions);
                }
                Tallied { regions, outside, unreadable }
            }
        }
    }
}

/// An empty tally for each region and window.
pub(super) fn empty(regions: &[Region], windows: &Windows) -> Vec<Vec<WindowTally>> {
    let of_region = || windows.windows.iter().map(|_| WindowTally::new(Bins::default())).collect();
    regions.iter().map(|_| of_region()).collect()
}

pub(super) fn set_of(
    regions: &[Region],
    windows: &Windows,
    tallies: Vec<Vec<WindowTally>>,
    members: Vec<u32>,
) -> TallySet {
    let regions = regions.iter().zip(tallies).map(|(region, tallies)| RegionTallies {
        region: region.clone(),
        windows: windows.windows.iter().copied().zip(tallies).collect(),
    });
    let mut set = TallySet { bins: Bins::default(), regions: regions.collect() };
    set.add_origin(&Origin { members: members.into_iter().collect(), ..Origin::default() });
    set
}

/// Regions that were left out of a set, as tiles over a coast or beyond a model's domain are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeftOut {
    /// Those that are land alone.
    pub land: usize,
    /// Those with sea of which the forecast has none.
    pub empty: usize,
}

/// Leaves out the regions that are land alone, and those whose sea the forecast does not reach.
pub fn leave_out_empty(set: &mut TallySet) -> LeftOut {
    let before = set.regions.len();
    set.regions.retain(|region| !region.windows.values().all(|part| part.tally.coverage.is_land()));
    let land = before - set.regions.len();
    set.regions.retain(|region| !region.windows.values().all(is_out_of_reach));
    LeftOut { land, empty: before - land - set.regions.len() }
}

/// Whether a part has no sea, and lacks nothing but a forecast that reaches it.
fn is_out_of_reach(part: &WindowTally) -> bool {
    part.tally.is_empty() && part.lacks.keys().all(|lack| lack == EMPTY_AT_SEA)
}

/// Checks that every region has some usable sea in some window: without, there is no polar to be made.
///
/// # Errors
/// A region wholly outside the forecast, wholly on land, or without what the model needs.
pub fn check_covered(set: &TallySet) -> Result<()> {
    let bare = |region: &&RegionTallies| region.windows.values().all(|part| part.tally.is_empty());
    set.regions.iter().find(bare).map_or(Ok(()), |region| Err(not_covered(region)))
}

/// The stations of a grid that lie within a region.
pub(super) fn stations_within(region: &Region, grid: &Grid) -> Vec<usize> {
    let is_within = |(lat, lon)| region.contains(lat, lon);
    (0..grid.points()).filter(|station| grid.centre(*station).is_some_and(is_within)).collect()
}

/// What to know where a forecast is of stations: which region's whole sea is taken to be that of which few places.
pub fn station_notes(regions: &[Region], grid: &Grid) -> Vec<String> {
    if grid.layout() != GridLayout::Stations {
        return Vec::new();
    }
    let mut used = BTreeSet::new();
    let mut notes = Vec::new();
    for region in regions {
        let within = stations_within(region, grid);
        let places: Vec<String> =
            within.iter().filter_map(|station| grid.centre(*station)).map(place).collect();
        if !places.is_empty() {
            notes.push(format!(
                "region \"{}\": the sea of its whole area is taken from the spectra at {} within it, at {}; \
                 stations share the area evenly",
                region.name,
                if places.len() == 1 {
                    "one station".to_owned()
                } else {
                    format!("{} stations", places.len())
                },
                places.join(", "),
            ));
        }
        used.extend(within);
    }
    let unused = grid.points() - used.len();
    if unused > 0 {
        notes.push(format!("{unused} of {} stations lie in no region and are not used", grid.points()));
    }
    notes
}

pub(super) fn place((lat_deg, lon_deg): (f64, f64)) -> String {
    format!("latitude {lat_deg:.3} longitude {lon_deg:.3}")
}

/// The cells of a grid that a region touches, with the area of each that lies within.
pub(crate) struct RegionCells {
    /// Index in the grid and area within, m².
    pub(crate) cells: Vec<(usize, f64)>,
    /// For each cell, once it was met without a sea, whether the coastline has land there.
    land: Vec<OnceLock<bool>>,
    outside_m2: f64,
}

impl RegionCells {
    pub(crate) fn new(region: &Region, grid: &Grid) -> Self {
        let cells: Vec<(usize, f64)> = match grid.layout() {
            GridLayout::Stations => return Self::of_stations(region, grid),
            GridLayout::Rectilinear => {
                let (lat_bounds, lon_bounds) = bounds(grid);
                let index = |(row, column, area)| (row * grid.columns() + column, area);
                cell_areas_m2(region, &lat_bounds, &lon_bounds).into_iter().map(index).collect()
            }
            GridLayout::Curvilinear | GridLayout::Mesh => {
                outlined_areas_m2(region, grid.outlines().iter().map(|part| (part.point, &part.corners)))
            }
        };
        let within: f64 = cells.iter().map(|(_, area)| area).sum();
        let outside = region.area_m2() - within;
        // differences of equal areas leave rounding, which is no gap
        let outside_m2 = if outside > 1e-9 * region.area_m2() { outside } else { 0.0 };
        Self { land: unknown(cells.len()), cells, outside_m2 }
    }

    /// The stations within a region, which share its area evenly.
    fn of_stations(region: &Region, grid: &Grid) -> Self {
        let within = stations_within(region, grid);
        let area_m2 = region.area_m2();
        let outside_m2 = if within.is_empty() { area_m2 } else { 0.0 };
        let share_m2 = area_m2 / within.len().max(1) as f64;
        let cells: Vec<(usize, f64)> = within.into_iter().map(|station| (station, share_m2)).collect();
        Self { land: unknown(cells.len()), cells, outside_m2 }
    }

    /// The tally of a step, by areas.
    fn tally(&self, sea: &SeaGrid) -> StepTally {
        let mut step = StepTally::new(Bins::default());
        let mut lacks: BTreeMap<Lack, u64> = BTreeMap::new();
        let mut empty = 0_u64;
        for (&(index, area_m2), land) in self.cells.iter().zip(&self.land) {
            match sea.cell(index) {
                CellSea::Sea(state) => {
                    step.tally.add(&WindFrameSea::of(&state).in_depth(sea.depth_m(index)), area_m2);
                }
                // a regional model's domain is smaller than its grid: what it leaves empty at sea is a gap
                CellSea::Land if *land.get_or_init(|| is_land(&sea.grid, index)) => {
                    step.tally.coverage.land += area_m2;
                }
                CellSea::Land => {
                    step.tally.coverage.gap += area_m2;
                    empty += 1;
                }
                CellSea::Gap(lack) => {
                    step.tally.coverage.gap += area_m2;
                    *lacks.entry(lack).or_default() += 1;
                }
            }
        }
        step.tally.coverage.outside += self.outside_m2;
        step.lacks.extend(lacks.into_iter().map(|(lack, count)| (lack_words(lack), count)));
        if empty > 0 {
            step.lacks.insert(EMPTY_AT_SEA.to_owned(), empty);
        }
        step
    }
}

/// What a cell lacks that the forecast leaves empty though the coastline has no land there.
const EMPTY_AT_SEA: &str = "any wave height, though the coastline has no land there: they lie beyond the model's domain, or under ice";

fn unknown(cells: usize) -> Vec<OnceLock<bool>> {
    (0..cells).map(|_| OnceLock::new()).collect()
}

/// Whether a cell without a sea is land: by the coastline, with its shore and half the cell.
fn is_land(grid: &Grid, index: usize) -> bool {
    let Some((lat_deg, lon_deg)) = grid.centre(index) else { return true };
    coastline::is_land_or_shore(lat_deg, lon_deg, grid.reach_deg(index))
}

/// What a sea cell lacks, in words.
pub(super) fn lack_words(lack: Lack) -> String {
    match lack {
        Lack::Wind => "the wind".into(),
        Lack::Height(system) => format!("a height of {} that can be believed", system_words(system)),
        Lack::Period(system) => format!("the period of {}", system_words(system)),
        Lack::Direction(system) => format!("the direction of {}", system_words(system)),
    }
}

pub(super) fn system_words(system: SystemLabel) -> String {
    match system {
        SystemLabel::Total => "the total sea".into(),
        SystemLabel::WindSea => "the wind sea".into(),
        SystemLabel::TotalSwell => "the total swell".into(),
        SystemLabel::Swell(number) => format!("swell {number}"),
    }
}

/// The edges of a grid's rows and columns, degrees.
pub(super) fn bounds(grid: &Grid) -> (Vec<f64>, Vec<f64>) {
    let row_starts = (0..grid.rows()).filter_map(|row| grid.cell(row * grid.columns()));
    let columns = (0..grid.columns()).filter_map(|column| grid.cell(column));
    let mut lat: Vec<f64> = Vec::with_capacity(grid.rows() + 1);
    for cell in row_starts {
        if lat.is_empty() {
            lat.push(cell.south_deg);
        }
        lat.push(cell.north_deg);
    }
    let mut lon: Vec<f64> = Vec::with_capacity(grid.columns() + 1);
    for cell in columns {
        if lon.is_empty() {
            lon.push(cell.west_deg);
        }
        lon.push(cell.east_deg);
    }
    (lat, lon)
}

pub(super) fn not_covered(region: &RegionTallies) -> Error {
    let any = |of: fn(&Coverage) -> f64| region.windows.values().any(|part| of(&part.tally.coverage) > 0.0);
    let empty_at_sea = region.windows.values().all(is_out_of_reach);
    let (problem, remedy) = if empty_at_sea && any(|coverage| coverage.gap) {
        (
            "lies at sea, but the forecast has no waves there: it is beyond the model's domain, or under ice",
            "get a forecast whose model reaches there, or move the region; `inspect` shows where this one has sea",
        )
    } else if any(|coverage| coverage.gap) {
        ("has no sea with all the model needs", "run `inspect` on the forecast to see what it lacks")
    } else if any(|coverage| coverage.land) {
        ("has no sea: what the forecast covers of it is land by the coastline", "move the region to sea")
    } else {
        (
            "lies wholly outside the forecast",
            "move the region, or get a forecast that covers it; positions are longitude, then latitude",
        )
    };
    Error::new(format!("a region {problem}"))
        .at(format!("region \"{}\"", region.region.name))
        .expected("some sea of the forecast within the region")
        .remedy(remedy)
}
