//! What the seas of a result lack, in words.

use crate::base::Window;
use crate::tally::{Coverage, TallySet};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

/// What a set of tallies lacks, in words.
pub fn gaps(set: &TallySet) -> Vec<String> {
    let mut gaps: Vec<String> = set
        .empty_windows()
        .iter()
        .map(|window| format!("no forecast step falls into the window {} to {}", window.start, window.end))
        .collect();
    gaps.extend(set.origin().gaps);
    let mut lacks: BTreeMap<&str, u64> = BTreeMap::new();
    for (lack, count) in set.parts().flat_map(|(.., part)| &part.lacks) {
        *lacks.entry(lack).or_default() += count;
    }
    gaps.extend(lacks.iter().map(|(lack, count)| format!("{count} sea cells lack {lack}")));
    for (region, window, part) in set.parts() {
        let place = format!("region \"{}\", window from {}", region.name, window.start);
        if part.tally.is_empty() {
            gaps.push(format!("{place}: no usable sea, no polar"));
        } else if let Some(covered) = part.tally.coverage.fraction().filter(|covered| *covered < 1.0 - 1e-9) {
            gaps.push(format!("{place}: {}", uncovered(covered, &part.tally.coverage)));
        }
    }
    gaps
}

/// How much of a region's sea is covered, and why not all.
fn uncovered(covered: f64, coverage: &Coverage) -> String {
    let sea = coverage.sea + coverage.gap + coverage.outside;
    let share = |part: f64, why: &str| (part > 0.0).then(|| format!("{:.1} % {why}", 100.0 * part / sea));
    let why = [
        share(coverage.outside, "lies outside its grid"),
        share(coverage.gap, "it leaves empty or lacks a part of"),
    ];
    let why: Vec<String> = why.into_iter().flatten().collect();
    format!("the forecast covers only {:.1} % of the sea: {}", 100.0 * covered, why.join(", "))
}

/// Regions and windows with a sea in which a member of an ensemble has none, in words.
pub(super) fn of_members(set: &TallySet, members: &BTreeMap<u32, Cow<TallySet>>) -> Vec<String> {
    let mut gaps = Vec::new();
    for (member, own) in members {
        let own: BTreeSet<(&str, Window)> = sailed(own).collect();
        for (region, window) in sailed(set).filter(|here| !own.contains(here)) {
            gaps.push(format!(
                "member {member}: region \"{region}\", window from {}: no usable sea, no polar",
                window.start
            ));
        }
    }
    gaps
}

fn sailed(set: &TallySet) -> impl Iterator<Item = (&str, Window)> {
    let with_sea = set.parts().filter(|(.., part)| !part.tally.is_empty());
    with_sea.map(|(region, window, _)| (region.name.as_str(), window))
}
