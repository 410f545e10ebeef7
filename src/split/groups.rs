//! Regions and windows by need: neighbouring tiles and hours whose corrected polars are alike share one polar.
//!
//! Every region is derated by itself first; boxes of them whose polars agree within a stated error are tallied
//! together. Regions of a file have names and outlines of their own, so only their hours are joined; tiles are joined
//! over latitude, longitude and time.
//!
//! Agreement is asked for where polars are looked up: in the winds that blow ([`crate::derate::column_use`]). A column of 6 kn in
//! a gale, in which the boat makes no way, moves nobody and cuts nothing off.

use crate::base::Window;
use crate::derate::PolarCell;
use crate::derate::column_use::{column_uses, winds};
use crate::derate::wind_match::column_seas;
use crate::derate::{ColumnSeas, SeaChoice, SeaWind};
use crate::region::{Region, rectangle};
use crate::split::boxes;
use crate::split::piece::Piece;
use crate::tally::{RegionTallies, TallySet, WindowTally};
use geo::Rect;
use std::collections::{BTreeMap, BTreeSet};

/// A region and window with the seas tallied there and the polar they make.
#[derive(Debug, Clone)]
pub struct DeratedPart<'a> {
    pub region: &'a Region,
    pub window: Window,
    /// The seas.
    pub tallied: &'a WindowTally,
    /// The corrected polar, cell by cell.
    pub cells: Vec<PolarCell>,
}

impl DeratedPart<'_> {
    /// What the part is found by.
    pub(super) fn key(&self) -> (&str, Window) {
        (self.region.name.as_str(), self.window)
    }
}

/// A part by its region's name and its window.
pub type PartName = (String, Window);

/// What was joined into one region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct PartGroup {
    pub region: Region,
    pub window: Window,
    pub parts: Vec<PartName>,
}

impl PartGroup {
    /// The group of the parts of a set that have some sea in regions of these names and within this window.
    pub fn within(set: &TallySet, regions: &[String], window: Window) -> Option<Self> {
        let named = set.parts().filter(|(region, ..)| regions.contains(&region.name));
        let within = named.filter(|(_, part, _)| window.start <= part.start && part.end <= window.end);
        let sailed = within.filter(|(.., part)| !part.tally.is_empty());
        Self::of(&sailed.map(|(region, window, _)| (region, window)).collect::<Vec<_>>())
    }

    fn of(parts: &[(&Region, Window)]) -> Option<Self> {
        let (one, first) = *parts.first()?;
        let windows = || parts.iter().map(|(_, window)| *window);
        Some(Self {
            region: common_region(one, parts),
            window: Window {
                start: windows().map(|window| window.start).fold(first.start, Ord::min),
                end: windows().map(|window| window.end).fold(first.end, Ord::max),
            },
            parts: parts.iter().map(|(region, window)| (region.name.clone(), *window)).collect(),
        })
    }

    /// The names of the regions of its parts, each once.
    pub fn regions(&self) -> BTreeSet<&str> {
        self.parts.iter().map(|(region, _)| region.as_str()).collect()
    }
}

/// The region itself, or where there are several, which are tiles, the box around them.
pub(super) fn common_region(one: &Region, parts: &[(&Region, Window)]) -> Region {
    let bounds = parts.iter().filter_map(|(region, _)| rectangle(region)).reduce(|a, b| {
        Rect::new(
            (a.min().x.min(b.min().x), a.min().y.min(b.min().y)),
            (a.max().x.max(b.max().x), a.max().y.max(b.max().y)),
        )
    });
    match bounds {
        Some(bounds) if parts.iter().any(|(region, _)| region.name != one.name) => {
            Region::of_rectangle(bounds)
        }
        _ => one.clone(),
    }
}

/// How polars are looked up and made.
#[derive(Debug, Clone, Copy)]
pub struct PolarColumns<'a> {
    /// The wind speeds of the polars' columns, kn, rising.
    pub tws_kn: &'a [f64],
    /// Which seas a column sees.
    pub choice: SeaChoice,
}

/// Groups derated parts so that each lies within `error_kn` of its group's polar: root mean square over the polar's
/// headings and, weighted by their use, the columns that blow in the part, as far as the group's polar follows from
/// those of its parts.
pub fn groups(columns: PolarColumns, parts: &[DeratedPart], error_kn: f64) -> Vec<PartGroup> {
    let tiles: Vec<Option<Rect>> = parts.iter().map(|part| rectangle(part.region)).collect();
    let mut sets: Vec<Vec<usize>> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let same = |set: &&mut Vec<usize>| {
            let other = set[0];
            parts[other].region.name == part.region.name || (tiles[other].is_some() && tiles[index].is_some())
        };
        match sets.iter_mut().find(same) {
            Some(set) => set.push(index),
            None => sets.push(vec![index]),
        }
    }
    sets.iter().flat_map(|set| grouped(columns, parts, &tiles, set, error_kn)).collect()
}

/// Groups of parts that may be joined with each other.
pub(super) fn grouped(
    columns: PolarColumns,
    parts: &[DeratedPart],
    tiles: &[Option<Rect>],
    set: &[usize],
    error_kn: f64,
) -> Vec<PartGroup> {
    let pieces: Vec<Piece> = set.iter().map(|index| piece(columns, &parts[*index], tiles[*index])).collect();
    let group = |members: Vec<usize>| {
        let part = |member: usize| (parts[set[member]].region, parts[set[member]].window);
        PartGroup::of(&members.into_iter().map(part).collect::<Vec<_>>())
    };
    boxes::boxes(&pieces, error_kn).into_iter().filter_map(group).collect()
}

/// Both halves of a group, or the group where nothing can be cut.
pub fn halves(columns: PolarColumns, parts: &[DeratedPart], group: &PartGroup) -> Vec<PartGroup> {
    let parts = by_name(parts);
    let own: Vec<&DeratedPart> = group
        .parts
        .iter()
        .filter_map(|(region, window)| parts.get(&(region.as_str(), *window)).copied())
        .collect();
    let pieces: Vec<Piece> = own.iter().map(|part| piece(columns, part, rectangle(part.region))).collect();
    let half = |members: Vec<usize>| {
        PartGroup::of(
            &members.into_iter().map(|member| (own[member].region, own[member].window)).collect::<Vec<_>>(),
        )
    };
    boxes::halves(&pieces).into_iter().filter_map(half).collect()
}

pub(super) fn by_name<'d>(parts: &'d [DeratedPart]) -> BTreeMap<(&'d str, Window), &'d DeratedPart<'d>> {
    parts.iter().map(|part| (part.key(), part)).collect()
}

/// Where a region of a file lies among its own hours: all in one place, which has some width as every place.
pub(super) const ONE_PLACE: [[f64; 2]; 2] = [[0.0, 1.0]; 2];

pub(super) fn piece(columns: PolarColumns, part: &DeratedPart, tile: Option<Rect>) -> Piece {
    let [lat, lon] =
        tile.map_or(ONE_PLACE, |tile| [[tile.min().y, tile.max().y], [tile.min().x, tile.max().x]]);
    let time = [part.window.start, part.window.end].map(|time| time.as_second() as f64);
    let winds = winds(&part.tallied.tally);
    let seen = column_seas(columns.choice, columns.tws_kn, &winds);
    Piece {
        spans: [lat, lon, time],
        speeds_kn: corrected_kn(&part.cells),
        uses: column_uses(columns.tws_kn, &winds),
        made_of: seen.iter().map(|column| made_of(column, &winds)).collect(),
    }
}

/// The weight that a column's own seas have in it.
pub(super) fn made_of(column: &ColumnSeas, winds: &[SeaWind]) -> f64 {
    if column.fallback {
        return 0.0;
    }
    column.shares.iter().zip(winds).map(|(share, wind)| share * wind.weight).sum()
}

/// Speeds in the order of the cells: heading by heading, wind by wind.
pub(super) fn corrected_kn(cells: &[PolarCell]) -> Vec<f64> {
    cells.iter().map(|cell| cell.corrected_kn).collect()
}

/// The tallies of groups; those of one region stand together. Parts that the set does not have are left out, as an
/// ensemble's member may lack some, and groups without any.
///
/// # Errors
/// None for parts of one set: bins and windows agree.
pub fn joined(set: &TallySet, groups: &[PartGroup]) -> crate::base::error::Result<TallySet> {
    let known: BTreeMap<(&str, Window), &WindowTally> =
        set.parts().map(|(region, window, part)| ((region.name.as_str(), window), part)).collect();
    let mut all = TallySet { bins: set.bins, regions: Vec::new() };
    for group in groups {
        let mut tally = WindowTally::new(set.bins);
        let mut steps: BTreeMap<Window, u64> = BTreeMap::new();
        for (region, window) in &group.parts {
            let Some(part) = known.get(&(region.as_str(), *window)) else { continue };
            tally.join(part)?;
            let of_window = steps.entry(*window).or_default();
            *of_window = part.steps.max(*of_window);
        }
        if steps.is_empty() {
            continue;
        }
        tally.steps = steps.values().sum();
        match all.region_mut(&group.region.name) {
            Some(region) => region.windows.extend([(group.window, tally)]),
            None => all.regions.push(RegionTallies {
                region: group.region.clone(),
                windows: [(group.window, tally)].into(),
            }),
        }
    }
    Ok(all)
}
