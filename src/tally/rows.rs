//! A set of tallies as rows that merge by grouping: group by the first five columns, sum the rest.
//!
//! Every row belongs to a region and window and has a `kind` and a `bin`:
//!
//! | kind | bin | what is summed |
//! |---|---|---|
//! | `sea` | key of the bin, see `bin_text` | weight, count, weight x TWS, four sums a wave system |
//! | `coverage` | `sea`, `gap`, `land`, `outside` | weight: area x time |
//! | `steps` | empty | count: forecast steps |
//! | `time` | when a step is valid, seconds it stands for or `open`, see `step` | count: steps |
//! | `open-sea`, `open-coverage` | when an open step is valid, then as `sea` and `coverage` | the same, per second |
//! | `lack` | what sea cells lack | count: cells, over steps |
//! | `source` | SHA-256 and path of a forecast file | count: 1, or more where it counted twice |
//! | `member`, `flag`, `warning`, `gap` | the member, flag, sentence | count: tallies that have it |
//! | `layout` | bin widths and number of this layout | count: tallies |
//! | `outline` | the region's polygons as a GeoJSON geometry | count: tallies |
//!
//! All columns hold a value in every row: engines differ in what they do with missing keys. Rows that must agree
//! (`layout`, `outline`) stay apart when they differ, so whoever merged, reading finds tallies that don't belong together.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::base::{Flag, Flags};
use crate::region::{Region, geometry};
use crate::sea::MAX_PARTITIONS;
use crate::tally::bin_text;
use crate::tally::bins::Bins;
use crate::tally::set::{RegionTallies, TallySet, WindowTally, check_apart, counted_twice};
use crate::tally::step::TalliedStep;
use crate::tally::sums::{BinSums, Coverage, SystemSums, Tally};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Number of this layout; another number, other bins or columns.
const LAYOUT: u32 = 2;

const DROPPED: &str = "the tally file keeps the wave systems of seas that came with a directional spectrum, not the \
    spectrum: responses are of assumed spectra";

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TallyRow {
    pub region: String,
    pub window: Window,
    pub kind: String,
    pub bin: String,
    pub weight: f64,
    pub count: u64,
    pub tws: f64,
    pub systems: [SystemSums; MAX_PARTITIONS],
}

/// What must be the same in all tallies that are added.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
struct TallyLayout {
    layout: u32,
    #[serde(flatten)]
    bins: Bins,
}

/// The rows of a set, sorted by region as in the set, window, and within it in a fixed order.
pub(super) fn of(set: &TallySet) -> Result<Vec<TallyRow>> {
    let layout = serde_json::to_string(&TallyLayout { layout: LAYOUT, bins: set.bins })
        .map_err(|error| Error::new(format!("cannot write the bin widths: {error}")))?;
    let mut rows = Vec::new();
    for (region, window, part) in set.parts() {
        let part = &without_spectra(part);
        let mut writer = RowWriter { region: &region.name, window, rows: &mut rows };
        writer.add("layout", &layout, 0.0, 1);
        writer.add("outline", &geometry::to_text(&region.polygons), 0.0, 1);
        writer.add_account(part);
        writer.add_seas(part);
    }
    rows.iter().try_for_each(check_finite)?;
    Ok(rows)
}

/// Sums are finite, or the program has made them wrong.
fn check_finite(row: &TallyRow) -> Result<()> {
    let systems = row.systems.iter().flat_map(|sums| [sums.hs2, sums.hs2_tp, sums.hs2_cos, sums.hs2_sin]);
    if systems.chain([row.weight, row.tws]).all(f64::is_finite) {
        return Ok(());
    }
    Err(Error::fault("a sum of the tally is no number")
        .at(format!("region \"{}\", window from {}", row.region, row.window.start))
        .found(format!("kind `{}`, bin `{}`", row.kind, row.bin)))
}

/// Rows hold systems alone: spectra would be hundreds of sums a bin. Says so where any is dropped.
fn without_spectra(part: &WindowTally) -> WindowTally {
    let ends = part.ends.iter().map(|(valid, end)| (*valid, end.without_spectra())).collect();
    let mut kept = WindowTally { tally: part.tally.without_spectra(), ends, ..part.clone() };
    kept.tally.flags |= kept.ends.values().fold(Flags::empty(), |flags, end| flags | end.flags);
    if kept.tally.flags.contains(Flag::SpectrumDropped) {
        kept.origin.warnings.insert(DROPPED.to_owned());
    }
    kept
}

struct RowWriter<'a> {
    region: &'a str,
    window: Window,
    rows: &'a mut Vec<TallyRow>,
}

impl RowWriter<'_> {
    fn add(&mut self, kind: &str, bin: &str, weight: f64, count: u64) {
        self.rows.push(TallyRow {
            region: self.region.to_owned(),
            window: self.window,
            kind: kind.to_owned(),
            bin: bin.to_owned(),
            weight,
            count,
            tws: 0.0,
            systems: Default::default(),
        });
    }

    fn add_account(&mut self, part: &WindowTally) {
        self.add_coverage("coverage", "", &part.tally.coverage);
        for (valid, end) in &part.ends {
            self.add_coverage("open-coverage", &format!("{valid} "), &end.coverage);
        }
        self.add("steps", "", 0.0, part.steps);
        for (step, count) in &part.step_times {
            self.add("time", &step.to_text(), 0.0, *count);
        }
        for (lack, count) in &part.lacks {
            self.add("lack", lack, 0.0, *count);
        }
        for (sha256, file) in &part.origin.sources {
            self.add("source", &format!("{sha256} {file}"), 0.0, 1);
        }
        for member in &part.origin.members {
            self.add("member", &member.to_string(), 0.0, 1);
        }
        for flag in part.tally.flags {
            self.add("flag", flag.name(), 0.0, 1);
        }
        for (kind, lines) in [("warning", &part.origin.warnings), ("gap", &part.origin.gaps)] {
            for line in lines {
                self.add(kind, line, 0.0, 1);
            }
        }
    }

    fn add_coverage(&mut self, kind: &str, before: &str, coverage: &Coverage) {
        let Coverage { sea, gap, land, outside } = coverage;
        for (bin, weight) in [("sea", sea), ("gap", gap), ("land", land), ("outside", outside)] {
            self.add(kind, &format!("{before}{bin}"), *weight, 0);
        }
    }

    fn add_seas(&mut self, part: &WindowTally) {
        self.add_bins("sea", "", &part.tally);
        for (valid, end) in &part.ends {
            self.add_bins("open-sea", &format!("{valid} "), end);
        }
    }

    fn add_bins(&mut self, kind: &str, before: &str, tally: &Tally) {
        for (key, sums) in tally.bins() {
            self.add(kind, &format!("{before}{}", bin_text::write(key)), sums.weight, sums.count);
            if let Some(row) = self.rows.last_mut() {
                row.tws = sums.tws;
                for (slot, system) in row.systems.iter_mut().zip(&sums.systems) {
                    *slot = *system;
                }
            }
        }
    }
}

/// The set that rows stand for, in any order, each key once or several times.
///
/// # Errors
/// Rows that don't belong together; a bin that cannot be read; a forecast file that counted twice.
pub(super) fn to_set(rows: &[TallyRow]) -> Result<TallySet> {
    let mut parts: BTreeMap<(&str, Window), Vec<&TallyRow>> = BTreeMap::new();
    for row in rows {
        parts.entry((&row.region, row.window)).or_default().push(row);
    }
    let mut set: Option<TallySet> = None;
    for ((region, window), rows) in parts {
        let place = |error: Error| error.at(format!("region \"{region}\", window from {}", window.start));
        let part = part(region, window, &rows).map_err(place)?;
        match &mut set {
            None => set = Some(part),
            Some(set) => set.merge(&part).map_err(place)?,
        }
    }
    let set = set.ok_or_else(|| {
        Error::new("the tally is empty")
            .found("no rows")
            .remedy("write it anew with `roughwater tally write`")
    })?;
    for region in &set.regions {
        check_apart(region.windows.keys())?;
    }
    Ok(set)
}

/// The rows of one region and window.
fn part(region: &str, window: Window, rows: &[&TallyRow]) -> Result<TallySet> {
    let layout = the_one(rows, "layout")?;
    let layout: TallyLayout = serde_json::from_str(layout).map_err(|_| other_layout(layout))?;
    if layout.layout != LAYOUT {
        return Err(other_layout(&layout.layout.to_string()));
    }
    let polygons = geometry::from_text(the_one(rows, "outline")?)?;
    crate::region::check_name(region)?;
    let region = Region { name: region.to_owned(), polygons, notes: Vec::new() };
    let mut tally = WindowTally::new(layout.bins);
    for row in rows {
        read(row, &mut tally, layout.bins)?;
    }
    check_ends(&tally)?;
    let windows = BTreeMap::from([(window, tally)]);
    Ok(TallySet { bins: layout.bins, regions: vec![RegionTallies { region, windows }] })
}

fn other_layout(found: &str) -> Error {
    Error::new("the tally has another layout than this version reads")
        .found(found)
        .expected(format!("layout {LAYOUT}"))
        .remedy("write the tally anew with this version")
}

/// The bin of a kind that all rows must agree on.
fn the_one<'a>(rows: &[&'a TallyRow], kind: &str) -> Result<&'a str> {
    let mut bins: Vec<&str> =
        rows.iter().filter(|row| row.kind == kind).map(|row| row.bin.as_str()).collect();
    bins.sort_unstable();
    bins.dedup();
    match bins.as_slice() {
        [one] => Ok(one),
        [] => Err(Error::new(format!("a row of kind `{kind}` is missing"))
            .expected("one for each region and window")
            .remedy("keep rows of all kinds when tallies are merged or filtered")),
        [first, second, ..] => Err(Error::new("the tallies that were merged don't belong together")
            .found(format!("two values of `{kind}`: {first} and {second}"))
            .expected("the same bin widths and outlines in all of them")
            .remedy("make the tallies with the same version, options and regions")),
    }
}

/// Every open step is told among the times, and has its seas: without them its region would seem to be covered less.
fn check_ends(part: &WindowTally) -> Result<()> {
    let open = part.step_times.keys().filter(|step| step.span.is_none()).map(|step| &step.valid);
    let told: BTreeSet<&Timestamp> = open.collect();
    let kept: BTreeSet<&Timestamp> = part.ends.keys().collect();
    match told.symmetric_difference(&kept).next() {
        None => Ok(()),
        Some(valid) => Err(Error::new("rows of a step of the tally are missing")
            .found(format!("the step at {valid} in rows of kind `time` or of kind `open-coverage` alone"))
            .expected("both")
            .remedy("keep rows of all kinds when tallies are merged or filtered")),
    }
}

fn read(row: &TallyRow, part: &mut WindowTally, bins: Bins) -> Result<()> {
    match (row.kind.as_str(), row.bin.as_str()) {
        ("layout" | "outline", _) => {}
        ("sea", bin) => read_sea(row, bin, &mut part.tally)?,
        ("coverage", bin) => read_coverage(row, bin, &mut part.tally.coverage)?,
        ("open-sea" | "open-coverage", bin) => {
            let (valid, bin) = bin.split_once(' ').ok_or_else(|| unread(row))?;
            let valid: Timestamp = valid.parse().map_err(|_| unread(row))?;
            let end = part.tally_of(TalliedStep { valid, span: None }, bins);
            match row.kind.as_str() {
                "open-sea" => read_sea(row, bin, end)?,
                _ => read_coverage(row, bin, &mut end.coverage)?,
            }
        }
        ("time", bin) => {
            let step = TalliedStep::parse(bin).ok_or_else(|| unread(row))?;
            *part.step_times.entry(step).or_default() += row.count;
        }
        ("steps", _) => part.steps += row.count,
        ("lack", lack) => *part.lacks.entry(lack.to_owned()).or_default() += row.count,
        ("source", bin) => {
            let (sha256, file) = bin.split_once(' ').ok_or_else(|| unread(row))?;
            let twice = part.origin.sources.insert(sha256.to_owned(), file.to_owned()).is_some();
            if twice || row.count > 1 {
                return Err(counted_twice(file));
            }
        }
        ("member", bin) => {
            part.origin.members.insert(bin.parse().map_err(|_| unread(row))?);
        }
        ("flag", bin) => {
            let flag = Flags::all().iter().find(|flag: &Flag| flag.name() == bin);
            part.tally.flags |= flag.ok_or_else(|| unread(row))?;
        }
        ("warning", line) => {
            part.origin.warnings.insert(line.to_owned());
        }
        ("gap", line) => {
            part.origin.gaps.insert(line.to_owned());
        }
        _ => return Err(unread(row)),
    }
    Ok(())
}

fn read_coverage(row: &TallyRow, bin: &str, coverage: &mut Coverage) -> Result<()> {
    let sum = match bin {
        "sea" => &mut coverage.sea,
        "gap" => &mut coverage.gap,
        "land" => &mut coverage.land,
        "outside" => &mut coverage.outside,
        _ => return Err(unread(row)),
    };
    if row.weight < 0.0 {
        return Err(unread(row));
    }
    *sum += row.weight;
    Ok(())
}

fn read_sea(row: &TallyRow, bin: &str, tally: &mut Tally) -> Result<()> {
    let key = bin_text::parse(bin).ok_or_else(|| unread(row))?;
    let systems = row.systems[..key.systems.len()].iter().copied().collect();
    let sums = BinSums { weight: row.weight, count: row.count, tws: row.tws, systems, spectrum: None };
    if !(sums.weight > 0.0
        && sums.tws >= 0.0
        && sums.systems.iter().all(|system| system.hs2 > 0.0 && system.hs2_tp > 0.0))
    {
        return Err(unread(row));
    }
    tally.add_sums(key, &sums);
    Ok(())
}

fn unread(row: &TallyRow) -> Error {
    Error::new("a row of the tally cannot be read")
        .found(format!("kind `{}`, bin `{}`, weight {}, count {}", row.kind, row.bin, row.weight, row.count))
        .expected("a row as `roughwater tally write` makes it, or sums of such rows")
        .remedy("group by region, window_start, window_end, kind and bin, and sum all other columns")
}
