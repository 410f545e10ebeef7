//! How far `derate` has come, on a terminal.

use indicatif::{ProgressBar, ProgressStyle};
use roughwater::run::Progress;

/// A progress line on a terminal, nothing elsewhere.
pub(super) fn bar(quiet: bool) -> ProgressBar {
    if quiet { ProgressBar::hidden() } else { ProgressBar::new_spinner() }
}

/// Shows what happens.
pub(super) fn show(bar: &ProgressBar, progress: Progress) {
    match progress {
        Progress::Boat => bar.set_message("tabulating the boat's responses"),
        Progress::LargeWaves(done, all) => {
            counted(bar, "simulating her hull in large waves (once a boat)", done, all)
        }
        Progress::Steps(done, all) => counted(bar, "reading forecast steps", done, all),
        Progress::Polars(done, all) => counted(bar, "computing polars", done, all),
        Progress::Writing => {
            bar.set_style(ProgressStyle::default_spinner());
            bar.set_message("writing the result");
        }
        Progress::Cells(done, all) => counted(bar, "accounting for forecast cells", done, all),
    }
    bar.tick();
}

/// A bar with the rate and the time left.
fn counted(bar: &ProgressBar, what: &'static str, done: usize, all: usize) {
    if done == 0 || bar.length() != Some(all as u64) {
        if let Ok(style) = ProgressStyle::with_template("{msg} {wide_bar} {pos}/{len} {per_sec} {eta} left") {
            bar.set_style(style);
        }
        bar.set_length(all as u64);
        bar.reset_elapsed();
        bar.set_message(what);
    }
    bar.set_position(done as u64);
}
