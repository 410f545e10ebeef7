//! Regions and windows by need: neighbouring tiles and hours whose corrected polars are alike share one polar.
//!
//! Every region is derated by itself first; boxes of them whose polars agree within a stated error are tallied
//! together. Regions of a file have names and outlines of their own, so only their hours are joined; tiles are joined
//! over latitude, longitude and time.
//!
//! Agreement is asked for where polars are looked up: in the winds that blow ([`crate::column_use`]). A column of 6 kn in
//! a gale, in which the boat makes no way, moves nobody and cuts nothing off.

mod boxes;
mod difference;
mod left;

pub use left::{ErrorLeft, errors_left};

use crate::column_use::{column_uses, winds};
use crate::derate::PolarCell;
use crate::region::{Region, rectangle};
use crate::tally::{RegionTallies, TallySet, WindowTally};
use crate::wind_match::{ColumnSeas, SeaChoice, SeaWind, column_seas};
use crate::window::Window;
use boxes::{Piece, boxes};
use geo::Rect;
use std::collections::BTreeMap;

/// A region and window with its cells.
pub type Derated<'a> = (&'a Region, Window, &'a WindowTally, Vec<PolarCell>);

/// What was joined into one region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The region.
    pub region: Region,
    /// The window.
    pub window: Window,
    /// The places of its parts in the list that was grouped.
    pub parts: Vec<usize>,
}

/// How polars are looked up and made.
#[derive(Debug, Clone, Copy)]
pub struct Columns<'a> {
    /// The wind speeds of the polars' columns, kn, rising.
    pub tws_kn: &'a [f64],
    /// Which seas a column sees.
    pub choice: SeaChoice,
}

/// Groups derated parts so that each lies within `error_kn` of its group's polar: root mean square over the polar's
/// headings and, weighted by their use, the columns that blow in the part, as far as the group's polar follows from
/// those of its parts.
pub fn groups(columns: Columns, parts: &[Derated], error_kn: f64) -> Vec<Group> {
    let tiles: Vec<Option<Rect>> = parts.iter().map(|(region, ..)| rectangle(region)).collect();
    let mut sets: Vec<Vec<usize>> = Vec::new();
    for (index, (region, ..)) in parts.iter().enumerate() {
        let same = |set: &&mut Vec<usize>| {
            let other = set[0];
            parts[other].0.name == region.name || (tiles[other].is_some() && tiles[index].is_some())
        };
        match sets.iter_mut().find(same) {
            Some(set) => set.push(index),
            None => sets.push(vec![index]),
        }
    }
    let of_set = |set: &Vec<usize>| {
        let pieces: Vec<Piece> =
            set.iter().map(|index| piece(columns, &parts[*index], tiles[*index])).collect();
        boxes(&pieces, error_kn)
            .into_iter()
            .map(|members| members.iter().map(|member| set[*member]).collect())
            .collect::<Vec<Vec<usize>>>()
    };
    let group = |parts_of_group: Vec<usize>| Group {
        region: common_region(parts, &tiles, &parts_of_group),
        window: common_window(parts, &parts_of_group),
        parts: parts_of_group,
    };
    sets.iter().flat_map(of_set).map(group).collect()
}

fn piece(columns: Columns, (_, window, part, cells): &Derated, tile: Option<Rect>) -> Piece {
    let [lat, lon] =
        tile.map_or([[0.0; 2]; 2], |tile| [[tile.min().y, tile.max().y], [tile.min().x, tile.max().x]]);
    let time = [window.start, window.end].map(|time| time.as_second() as f64);
    let winds = winds(&part.tally);
    let seen = column_seas(columns.choice, columns.tws_kn, &winds);
    Piece {
        spans: [lat, lon, time],
        speeds_kn: corrected_kn(cells),
        uses: column_uses(columns.tws_kn, &winds),
        made_of: seen.iter().map(|column| made_of(column, &winds)).collect(),
    }
}

/// The weight that a column's own seas have in it.
fn made_of(column: &ColumnSeas, winds: &[SeaWind]) -> f64 {
    if column.fallback {
        return 0.0;
    }
    column.shares.iter().zip(winds).map(|(share, wind)| share * wind.weight).sum()
}

/// Speeds in the order of the cells: heading by heading, wind by wind.
fn corrected_kn(cells: &[PolarCell]) -> Vec<f64> {
    cells.iter().map(|cell| cell.corrected_kn).collect()
}

fn common_window(parts: &[Derated], members: &[usize]) -> Window {
    let windows = || members.iter().map(|index| parts[*index].1);
    let first = parts[members[0]].1;
    Window {
        start: windows().map(|window| window.start).fold(first.start, Ord::min),
        end: windows().map(|window| window.end).fold(first.end, Ord::max),
    }
}

fn common_region(parts: &[Derated], tiles: &[Option<Rect>], members: &[usize]) -> Region {
    let one = parts[members[0]].0;
    let bounds = members.iter().filter_map(|index| tiles[*index]).reduce(|a, b| {
        Rect::new(
            (a.min().x.min(b.min().x), a.min().y.min(b.min().y)),
            (a.max().x.max(b.max().x), a.max().y.max(b.max().y)),
        )
    });
    match bounds {
        Some(bounds) if members.iter().any(|index| parts[*index].0.name != one.name) => {
            Region::of_rectangle(bounds)
        }
        _ => one.clone(),
    }
}

/// The tallies of groups; those of one region stand together.
///
/// # Errors
/// None for parts of one set: bins and windows agree.
pub fn joined(set: &TallySet, parts: &[Derated], groups: &[Group]) -> crate::error::Result<TallySet> {
    let mut regions: Vec<RegionTallies> = Vec::new();
    for group in groups {
        let mut tally = WindowTally::new(set.bins);
        let mut steps: BTreeMap<Window, u64> = BTreeMap::new();
        for (_, window, part, _) in group.parts.iter().map(|index| &parts[*index]) {
            tally.join(part)?;
            let of_window = steps.entry(*window).or_default();
            *of_window = part.steps.max(*of_window);
        }
        tally.steps = steps.values().sum();
        match regions.iter_mut().find(|region| region.region.polygons == group.region.polygons) {
            Some(region) => region.windows.extend([(group.window, tally)]),
            None => regions.push(RegionTallies {
                region: group.region.clone(),
                windows: [(group.window, tally)].into(),
            }),
        }
    }
    Ok(TallySet { bins: set.bins, regions })
}
