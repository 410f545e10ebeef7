//! Joining regions and windows whose polars are alike, until each lies within the error asked for.

use crate::base::Result;
use crate::base::Window;
use crate::derate::{Balances, PolarCell};
use crate::region::Region;
use crate::run::made::derated;
use crate::run::progress::Watch;
use crate::split::{
    DeratedPart, ErrorLeft, PartGroup, PartName, PolarColumns, errors_left, groups, halves, joined,
};
use crate::tally::{TallySet, WindowTally};
use std::collections::BTreeMap;

/// Regions and windows derated by themselves, and how they are joined.
pub(super) struct Joining<'a> {
    columns: PolarColumns<'a>,
    parts: Vec<DeratedPart<'a>>,
    /// What is joined, in the order of the parts.
    pub groups: Vec<PartGroup>,
    /// The cells of each group's polar, by its region's name and its window.
    cells: BTreeMap<PartName, Vec<PolarCell>>,
}

impl<'a> Joining<'a> {
    /// Derates every region and window by itself and groups those that are alike within an error.
    ///
    /// What is grouped follows from the polars of the parts. The polar of their seas together may lie further off, since
    /// seas are binned once more: a group in which it does is cut in two.
    pub(super) fn new(
        balances: &Balances,
        columns: PolarColumns<'a>,
        set: &'a TallySet,
        error_kn: f64,
        watch: Watch,
    ) -> Result<Self> {
        let parts = derated(balances, set, columns.choice, watch)?;
        let cells = parts.iter().map(|part| ((part.region.name.clone(), part.window), part.cells.clone()));
        let mut joining = Self { columns, cells: cells.collect(), parts, groups: Vec::new() };
        let mut open = groups(columns, &joining.parts, error_kn);
        while !open.is_empty() {
            open = joining.try_out(balances, set, open, error_kn, watch)?;
        }
        let place: BTreeMap<(&str, Window), usize> = joining
            .parts
            .iter()
            .enumerate()
            .map(|(at, part)| ((part.region.name.as_str(), part.window), at))
            .collect();
        let first = |group: &PartGroup| {
            let (region, window) = group.parts.first()?;
            place.get(&(region.as_str(), *window)).copied()
        };
        joining.groups.sort_by_key(first);
        Ok(joining)
    }

    /// Derates groups; keeps those whose parts lie within the error, and returns the halves of the others.
    fn try_out(
        &mut self,
        balances: &Balances,
        set: &TallySet,
        open: Vec<PartGroup>,
        error_kn: f64,
        watch: Watch,
    ) -> Result<Vec<PartGroup>> {
        let (alone, several): (Vec<_>, Vec<_>) = open.into_iter().partition(|group| group.parts.len() == 1);
        self.groups.extend(alone);
        let set = joined(set, &several)?;
        let joint = derated(balances, &set, self.columns.choice, watch)?;
        let left = errors_left(self.columns.tws_kn, &self.parts, &several, &joint);
        let mut too_far = Vec::new();
        for (group, left) in several.into_iter().zip(left) {
            let halves = if left.furthest_part_rms_kn > error_kn {
                halves(self.columns, &self.parts, &group)
            } else {
                Vec::new()
            };
            // regions of a file may overlap, which no cut parts
            if halves.len() > 1 { too_far.extend(halves) } else { self.groups.push(group) }
        }
        let cells = joint.into_iter().map(|part| ((part.region.name.clone(), part.window), part.cells));
        self.cells.extend(cells);
        Ok(too_far)
    }

    /// The polars of all groups, whose tallies are those of a set.
    pub(super) fn derated<'s>(&self, set: &'s TallySet) -> Vec<DeratedPart<'s>> {
        let known = |(region, window, tallied): (&'s Region, Window, &'s WindowTally)| {
            let cells = self.cells.get(&(region.name.clone(), window))?;
            Some(DeratedPart { region, window, tallied, cells: cells.clone() })
        };
        set.parts().filter_map(known).collect()
    }

    /// How far the parts lie from the polars of their groups.
    pub(super) fn errors_left(&self, joint: &[DeratedPart]) -> Vec<ErrorLeft> {
        errors_left(self.columns.tws_kn, &self.parts, &self.groups, joint)
    }
}
