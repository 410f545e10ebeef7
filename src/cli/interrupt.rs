//! A clean stop on Ctrl-C: the work ends at the next step, or after a moment wherever it is, and temporary files go with it.

use crate::cli::print::tell;
use roughwater::base::{Error, Result};
use roughwater::result::OutputFolder;
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

static INTERRUPTED: AtomicBool = AtomicBool::new(false);
static WORK_DONE: AtomicBool = AtomicBool::new(false);

/// How long the work may go on to its next step; common practice, no source: a stop feels prompt within a second.
const PATIENCE: Duration = Duration::from_millis(600);

/// Watches for Ctrl-C from now on, for a result that is on its way to a folder; a second one ends the program at once.
pub(super) fn watch(output: &Path) -> Result<()> {
    let output = output.to_owned();
    let asked = move || {
        if INTERRUPTED.swap(true, Ordering::Relaxed) {
            end(&output);
        }
        tell("stopping; press Ctrl-C again to stop at once");
        let output = output.clone();
        thread::spawn(move || {
            thread::sleep(PATIENCE);
            if !WORK_DONE.load(Ordering::Relaxed) {
                end(&output);
            }
        });
    };
    ctrlc::set_handler(asked).map_err(|error| Error::new(format!("cannot watch for Ctrl-C: {error}")))
}

/// Says that the result is in its place, or that there is none: what remains is to say so.
pub(super) fn work_done() {
    WORK_DONE.store(true, Ordering::Relaxed);
}

fn end(output: &Path) -> ! {
    OutputFolder::abandon(output);
    std::process::exit(EXIT_CODE.into())
}

/// Whether to go on.
pub(super) fn interrupted() -> ControlFlow<()> {
    if INTERRUPTED.load(Ordering::Relaxed) { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
}

/// 128 + SIGINT, as shells report it.
pub(super) const EXIT_CODE: u8 = 130;
