//! What a job makes before anything is written: all regions and windows, derated.

use crate::base::Result;
use crate::derate::{Balances, SeaChoice, derate};
use crate::result::AuditPart;
use crate::run::progress::{Progress, Watch, go_on};
use crate::split::{DeratedPart, ErrorLeft};
use crate::tally::{RegionTallies, TallySet};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What a job makes.
pub(super) struct Made<'a> {
    /// All regions, those without a usable sea too.
    pub(super) regions: &'a [RegionTallies],
    pub(super) all: Vec<DeratedPart<'a>>,
    /// Those of single members, where a job wants them.
    pub(super) of_members: Vec<(u32, Vec<DeratedPart<'a>>)>,
    pub(super) errors_left: Vec<ErrorLeft>,
}

/// All regions and windows that have some sea, derated in parallel.
pub(super) fn derated<'a>(
    balances: &Balances,
    set: &'a TallySet,
    choice: SeaChoice,
    watch: Watch,
) -> Result<Vec<DeratedPart<'a>>> {
    let sailed: Vec<_> = set.parts().filter(|(.., part)| !part.tally.is_empty()).collect();
    let done = AtomicUsize::new(0);
    go_on(watch, Progress::Polars(0, sailed.len()))?;
    let each = sailed.par_iter().map(|&(region, window, part)| {
        let cells = derate(balances, &part.tally, choice);
        go_on(watch, Progress::Polars(done.fetch_add(1, Ordering::Relaxed) + 1, sailed.len()))?;
        Ok(DeratedPart { region, window, tallied: part, cells })
    });
    each.collect()
}

/// What the audit and the summary want of derated parts.
pub(super) fn parts<'a>(derated: &'a [DeratedPart]) -> impl Iterator<Item = AuditPart<'a>> {
    derated.iter().map(|part| AuditPart {
        region: &part.region.name,
        window: part.window,
        tally: &part.tallied.tally,
        cells: &part.cells,
    })
}
