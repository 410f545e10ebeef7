//! The command-line program, the files it reads and the result it writes.

#[allow(dead_code, reason = "each test program uses a part")]
#[path = "../common/mod.rs"]
mod common;

mod atlas;
mod audit;
mod boat_notes;
mod cell_audit;
mod compare_in_time;
mod completions;
mod damage;
mod errors;
mod explain;
mod first_hour;
mod forecasts;
mod guides;
mod handover;
mod inspect;
mod lookup;
mod members;
mod outputs;
mod passage;
mod polar_files;
mod recorded;
mod region_files;
mod regions;
mod report;
mod response;
mod result;
mod run;
mod simulate;
mod spectra;
mod split;
mod step_cache;
mod tally_files;
mod windows;
