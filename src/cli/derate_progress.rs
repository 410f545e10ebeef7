//! How far `derate` has come, on a terminal.

use crate::cli::print::tell;
use indicatif::{ProgressBar, ProgressStyle};
use roughwater::run::Progress;

/// A progress line on a terminal, nothing elsewhere.
pub(super) fn bar(quiet: bool) -> ProgressBar {
    if quiet { ProgressBar::hidden() } else { ProgressBar::new_spinner() }
}

/// Shows what happens.
pub(super) fn show(bar: &ProgressBar, quiet: bool, progress: Progress) {
    match progress {
        Progress::Reused { steps, all, damaged } => {
            if !quiet && let Some(told) = reused_words(steps, all, damaged) {
                bar.suspend(|| tell(&told));
            }
        }
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

/// What is said of steps tallied before, where there is something to say.
pub(super) fn reused_words(steps: usize, all: usize, damaged: usize) -> Option<String> {
    let reused =
        (steps > 0).then(|| format!("{steps} of {all} forecast steps were tallied before and not decoded"));
    let mended = (damaged > 0).then(|| {
        format!("kept tallies of {damaged} forecast steps were damaged: the steps were decoded anew")
    });
    let told: Vec<String> = reused.into_iter().chain(mended).collect();
    (!told.is_empty()).then(|| told.join("\n"))
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
