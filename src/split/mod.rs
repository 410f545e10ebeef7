//! Regions and windows by need: neighbouring tiles and hours whose corrected polars are alike share one polar.
//!
//! Every region is derated by itself first; boxes of them whose polars agree within a stated error are tallied
//! together. Regions of a file have names and outlines of their own, so only their hours are joined; tiles are joined
//! over latitude, longitude and time.

mod boxes;

use crate::derate::PolarCell;
use crate::region::{Region, rectangle};
use crate::tally::{RegionTallies, TallySet, WindowTally};
use crate::window::Window;
use boxes::{Piece, boxes, rms_kn};
use geo::Rect;
use serde::Serialize;
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

/// How far the parts of a group lie from the polar they share.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ErrorLeft {
    /// The region.
    pub region: String,
    /// First instant of the window.
    pub window_start: String,
    /// Parts joined.
    pub parts: usize,
    /// Root mean square over parts and polar cells, kn.
    pub rms_kn: f64,
    /// Root mean square over the polar cells of the part that lies furthest off, kn.
    pub furthest_part_rms_kn: f64,
    /// The largest difference of one cell of one part, kn.
    pub largest_kn: f64,
}

/// Groups derated parts so that each lies within `error_kn` of its group's polar, root mean square over the polar's
/// cells, as far as the group's polar is the mean slowness of its parts.
pub fn groups(parts: &[Derated], error_kn: f64) -> Vec<Group> {
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
    sets.iter().flat_map(|set| grouped(parts, &tiles, set, error_kn)).collect()
}

fn grouped(parts: &[Derated], tiles: &[Option<Rect>], set: &[usize], error_kn: f64) -> Vec<Group> {
    let pieces: Vec<Piece> = set.iter().map(|index| piece(&parts[*index], tiles[*index])).collect();
    let group = |members: Vec<usize>| {
        let members: Vec<usize> = members.into_iter().map(|member| set[member]).collect();
        Group {
            region: common_region(parts, tiles, &members),
            window: common_window(parts, &members),
            parts: members,
        }
    };
    boxes(&pieces, error_kn).into_iter().map(group).collect()
}

fn piece((_, window, part, cells): &Derated, tile: Option<Rect>) -> Piece {
    let [lat, lon] =
        tile.map_or([[0.0; 2]; 2], |tile| [[tile.min().y, tile.max().y], [tile.min().x, tile.max().x]]);
    let time = [window.start, window.end].map(|time| time.as_second() as f64);
    Piece {
        spans: [lat, lon, time],
        weight: part.tally.coverage.sea,
        speeds_kn: cells.iter().map(|cell| cell.corrected_kn).collect(),
    }
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

/// How far the parts of each group lie from its polar, which is looked up in `joint`.
pub fn errors_left(parts: &[Derated], groups: &[Group], joint: &[Derated]) -> Vec<ErrorLeft> {
    let of_group = |group: &Group| {
        let own = joint
            .iter()
            .find(|(region, window, ..)| *window == group.window && region.polygons == group.region.polygons);
        own.map(|(.., cells)| error_left(parts, group, cells))
    };
    groups.iter().filter_map(of_group).collect()
}

fn error_left(parts: &[Derated], group: &Group, cells: &[PolarCell]) -> ErrorLeft {
    let corrected = |cells: &[PolarCell]| cells.iter().map(|cell| cell.corrected_kn).collect::<Vec<f64>>();
    let shared = corrected(cells);
    let each: Vec<Vec<f64>> = group.parts.iter().map(|index| corrected(&parts[*index].3)).collect();
    let rms: Vec<f64> = each.iter().map(|speeds| rms_kn(speeds, &shared)).collect();
    let off = each.iter().flat_map(|speeds| speeds.iter().zip(&shared).map(|(a, b)| (a - b).abs()));
    ErrorLeft {
        region: group.region.name.clone(),
        window_start: group.window.start.to_string(),
        parts: group.parts.len(),
        rms_kn: (rms.iter().map(|rms| rms * rms).sum::<f64>() / rms.len().max(1) as f64).sqrt(),
        furthest_part_rms_kn: rms.iter().copied().fold(0.0, f64::max),
        largest_kn: off.fold(0.0, f64::max),
    }
}
