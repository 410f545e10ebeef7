//! Tallies of several regions and windows, with what they were made from: what polars are computed from.

use crate::base::window::step_spans_s;
use crate::base::{Error, Result, Window};
use crate::region::Region;
use crate::tally::bins::Bins;
use crate::tally::step::TalliedStep;
use crate::tally::sums::Tally;
use jiff::Timestamp;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

/// Tallies of regions and windows.
#[derive(Debug, Clone, PartialEq)]
pub struct TallySet {
    /// The bin widths of all tallies.
    pub bins: Bins,
    /// Regions, each with its windows.
    pub regions: Vec<RegionTallies>,
}

/// The tallies of one region.
#[derive(Debug, Clone, PartialEq)]
pub struct RegionTallies {
    pub region: Region,
    /// Tallies by window, in order of time; windows don't overlap.
    pub windows: BTreeMap<Window, WindowTally>,
}

/// The tally of one region and window, and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowTally {
    /// The seas, but for those of `ends`.
    pub tally: Tally,
    /// Every step with how often it was tallied: once for each member.
    pub step_times: BTreeMap<TalliedStep, u64>,
    /// The seas of steps whose time depends on other files, by when they are valid: weights are areas, m².
    pub ends: BTreeMap<Timestamp, Tally>,
    /// Forecast steps tallied, those of each member counted.
    pub steps: u64,
    /// What sea cells lack, in words, and how many do, summed over steps.
    pub lacks: BTreeMap<String, u64>,
    /// The rest of the account.
    pub origin: Origin,
}

/// What tallies were made from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Origin {
    /// Forecast files: path by SHA-256 of the bytes.
    pub sources: BTreeMap<String, String>,
    /// Ensemble members; none for a single forecast.
    pub members: BTreeSet<u32>,
    /// Things to know.
    pub warnings: BTreeSet<String>,
    /// Declared gaps of the forecast.
    pub gaps: BTreeSet<String>,
}

impl WindowTally {
    /// An empty tally.
    pub fn new(bins: Bins) -> Self {
        Self {
            tally: Tally::new(bins),
            step_times: BTreeMap::new(),
            ends: BTreeMap::new(),
            steps: 0,
            lacks: BTreeMap::new(),
            origin: Origin::default(),
        }
    }

    /// The tally that the seas of a step are added to, with weights of area x time where it is known, else of area.
    pub fn tally_of(&mut self, step: TalliedStep, bins: Bins) -> &mut Tally {
        match step.span {
            Some(_) => &mut self.tally,
            None => self.ends.entry(step.valid).or_insert_with(|| Tally::new(bins)),
        }
    }

    fn merge(&mut self, other: &Self) -> Result<()> {
        if let Some((_, file)) =
            other.origin.sources.iter().find(|(sha256, _)| self.origin.sources.contains_key(*sha256))
        {
            return Err(counted_twice(file));
        }
        self.join(other)
    }

    /// Adds the tally of another region or window of the same forecast; steps are summed.
    ///
    /// # Errors
    /// Different bin widths.
    pub fn join(&mut self, other: &Self) -> Result<()> {
        self.tally.merge(&other.tally)?;
        for (step, count) in &other.step_times {
            *self.step_times.entry(*step).or_default() += count;
        }
        for (valid, theirs) in &other.ends {
            match self.ends.entry(*valid) {
                Entry::Occupied(ours) => ours.into_mut().merge(theirs)?,
                Entry::Vacant(none) => drop(none.insert(theirs.clone())),
            }
        }
        self.steps += other.steps;
        for (lack, count) in &other.lacks {
            *self.lacks.entry(lack.clone()).or_default() += count;
        }
        self.origin.merge(&other.origin);
        Ok(())
    }
}

/// The error of one forecast file that went into one tally twice.
pub(super) fn counted_twice(file: &str) -> Error {
    Error::new("a forecast file would count twice")
        .found(format!("\"{file}\" is in both tallies of one region and window"))
        .expected("tallies of different forecast files")
        .remedy("leave one of the tallies out")
}

impl Origin {
    /// Adds another origin to this one.
    pub fn merge(&mut self, other: &Self) {
        self.sources.extend(other.sources.clone());
        self.members.extend(&other.members);
        self.warnings.extend(other.warnings.iter().cloned());
        self.gaps.extend(other.gaps.iter().cloned());
    }
}

impl TallySet {
    /// Adds another set: tallies of one region and window are summed, others stand beside each other.
    ///
    /// # Errors
    /// Different bin widths; regions of one name and different outlines; windows of one region that overlap; a forecast
    /// file that would count twice.
    pub fn merge(&mut self, other: &Self) -> Result<()> {
        for theirs in &other.regions {
            let name = &theirs.region.name;
            let widths = self.bins;
            match self.region_mut(name) {
                None if widths == other.bins => self.regions.push(theirs.clone()),
                None => return Tally::new(widths).merge(&Tally::new(other.bins)),
                Some(ours) => {
                    ours.merge(theirs, widths).map_err(|error| error.at(format!("region \"{name}\"")))?;
                }
            }
        }
        Ok(())
    }

    /// Gives every step the time it stands for among all steps of its region: no ends are left open.
    ///
    /// # Errors
    /// A step whose sums stand for another time: the tallies do not follow one another.
    pub fn settle(&mut self) -> Result<()> {
        self.regions.iter_mut().try_for_each(|region| {
            let name = region.region.name.clone();
            region.settle().map_err(|error| error.at(format!("region \"{name}\"")))
        })
    }

    /// A region by its name.
    pub fn region(&self, name: &str) -> Option<&RegionTallies> {
        self.regions.iter().find(|region| region.region.name == name)
    }

    /// As [`TallySet::region`], to be changed.
    pub fn region_mut(&mut self, name: &str) -> Option<&mut RegionTallies> {
        self.regions.iter_mut().find(|region| region.region.name == name)
    }

    /// All windows of all regions, in order of time.
    pub fn windows(&self) -> BTreeSet<Window> {
        self.regions.iter().flat_map(|region| region.windows.keys().copied()).collect()
    }

    /// Windows that stand empty between others, as far as windows of the same length, or months, fill the time between.
    pub fn empty_windows(&self) -> Vec<Window> {
        let windows: Vec<Window> = self.windows().into_iter().collect();
        let months = windows.iter().all(Window::is_month);
        let mut empty = Vec::new();
        for pair in windows.windows(2) {
            let mut before = pair[0];
            while let Some(next) = before.next(months).filter(|next| next.end <= pair[1].start) {
                empty.push(next);
                before = next;
            }
        }
        empty
    }

    /// Adds an origin to every tally.
    pub fn add_origin(&mut self, origin: &Origin) {
        for window in self.regions.iter_mut().flat_map(|region| region.windows.values_mut()) {
            window.origin.merge(origin);
        }
    }

    /// The origins of all tallies together.
    pub fn origin(&self) -> Origin {
        let mut whole = Origin::default();
        for (_, _, part) in self.parts() {
            whole.merge(&part.origin);
        }
        whole
    }

    /// Each region, window and tally, region by region, in order of time.
    pub fn parts(&self) -> impl Iterator<Item = (&Region, Window, &WindowTally)> {
        self.regions
            .iter()
            .flat_map(|region| region.windows.iter().map(|(window, tally)| (&region.region, *window, tally)))
    }
}

impl RegionTallies {
    fn settle(&mut self) -> Result<()> {
        let steps = || self.windows.values().flat_map(|part| part.step_times.keys());
        let times: BTreeSet<Timestamp> = steps().map(|step| step.valid).collect();
        if times.is_empty() {
            return Ok(());
        }
        let spans_s = step_spans_s(&times.iter().copied().collect::<Vec<_>>())?;
        let span_s: BTreeMap<Timestamp, f64> = times.into_iter().zip(spans_s).collect();
        let among_all_s = |valid: &Timestamp| span_s.get(valid).copied().unwrap_or_default();
        steps().try_for_each(|step| step.check(among_all_s(&step.valid)))?;
        for part in self.windows.values_mut() {
            for (valid, end) in std::mem::take(&mut part.ends) {
                part.tally.merge_scaled(&end, among_all_s(&valid))?;
            }
        }
        Ok(())
    }

    fn merge(&mut self, other: &Self, bins: Bins) -> Result<()> {
        if self.region.polygons != other.region.polygons {
            return Err(Error::new("two regions of one name have different outlines")
                .found("tallies that were made for different parts of the sea")
                .expected("the same polygons in all tallies")
                .remedy("make both tallies with the same regions file, or rename one region"));
        }
        for (window, theirs) in &other.windows {
            self.windows
                .entry(*window)
                .or_insert_with(|| WindowTally::new(bins))
                .merge(theirs)
                .map_err(|error| error.input(format!("window from {}", window.start)))?;
        }
        check_apart(self.windows.keys())
    }
}

/// Windows of one region serve one polar at a time.
pub(super) fn check_apart<'a>(windows: impl Iterator<Item = &'a Window>) -> Result<()> {
    let windows: Vec<&Window> = windows.collect();
    match windows.windows(2).find(|pair| pair[1].start < pair[0].end) {
        None => Ok(()),
        Some(pair) => Err(Error::new("windows of the tallies overlap")
            .found(format!("{} to {} and {} to {}", pair[0].start, pair[0].end, pair[1].start, pair[1].end))
            .expected("equal windows, or ones that don't overlap")
            .remedy("make the tallies with one window length, aligned to midnight")),
    }
}
