//! Forecast files to sea states: every format against another program's reading of it, and what is said about bad ones.

#[allow(dead_code, reason = "each test program uses a part")]
#[path = "../common/mod.rs"]
mod common;

mod cfgrib;
mod checks;
mod combine;
mod damage;
mod errors;
mod looked_at;
mod meshes;
mod netcdf;
mod ranges;
mod reasons;
mod reference;
mod sea;
mod spectra;
mod stations;
mod stored;
mod times;
mod unreadable;
mod what_a_file_can_be;
mod wind_level;

#[global_allocator]
static WATCHED: common::heap::Watched = common::heap::Watched;
