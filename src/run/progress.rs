//! What happens while a job runs, and the word that ends it.

use crate::base::{Error, Result};
use std::ops::ControlFlow;

/// What happens while a job runs, for whoever shows progress.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// Tables of the boat are being made.
    Boat,
    /// Seas in which all of her hull was simulated, of all.
    LargeWaves(usize, usize),
    /// Steps of the forecast read, of all.
    Steps(usize, usize),
    /// What was found of steps tallied before: how many served, of all, and how many entries were damaged.
    Reused { steps: usize, all: usize, damaged: usize },
    /// Polars of regions and windows computed, of all.
    Polars(usize, usize),
    /// Steps of the forecast whose cells are accounted for, of all.
    Cells(usize, usize),
    /// The result is being written.
    Writing,
}

/// Told what happens; whoever watches may end the job there.
pub type Watch<'a> = &'a (dyn Fn(Progress) -> ControlFlow<()> + Sync);

/// Tells whoever watches.
///
/// # Errors
/// Where the job is to end.
pub(super) fn go_on(watch: Watch, progress: Progress) -> Result<()> {
    match watch(progress) {
        ControlFlow::Continue(()) => Ok(()),
        ControlFlow::Break(()) => {
            Err(Error::new("stopped on request; nothing was written").remedy("run the same command again"))
        }
    }
}
