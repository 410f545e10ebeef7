//! A clean stop on Ctrl-C: the work ends at the next step, and temporary files go with it.

use roughwater::base::{Error, Result};
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};

static INTERRUPTED: AtomicBool = AtomicBool::new(false);

/// Watches for Ctrl-C from now on; a second one ends the program at once.
pub(super) fn watch() -> Result<()> {
    let asked = || {
        if INTERRUPTED.swap(true, Ordering::Relaxed) {
            std::process::exit(EXIT_CODE.into());
        }
        eprintln!("stopping; press Ctrl-C again to stop at once");
    };
    ctrlc::set_handler(asked).map_err(|error| Error::new(format!("cannot watch for Ctrl-C: {error}")))
}

/// Whether to go on.
pub(super) fn interrupted() -> ControlFlow<()> {
    if INTERRUPTED.load(Ordering::Relaxed) { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
}

/// 128 + SIGINT, as shells report it.
pub(super) const EXIT_CODE: u8 = 130;
