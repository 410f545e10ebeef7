//! Seas, hulls, boats and passages against publications, hand calculation and other programs.

#[allow(dead_code, reason = "each test program uses a part")]
#[path = "../common/mod.rs"]
mod common;

mod balance;
mod body;
mod body_hydrostatics;
mod bow_claims;
mod cell_audit;
mod compared_speeds;
mod deck_water;
mod journee;
mod large_waves;
mod monte_carlo;
mod passage;
mod rebinned;
mod region_areas;
mod response_table;
mod shoal_water;
mod short_waves;
mod slamming;
mod solver_allocation;
mod spectra_response;
mod strip;
mod surge;
mod tally_quantising;
mod thrust;
mod trade;
mod wigley;

#[global_allocator]
static WATCHED: common::heap::Watched = common::heap::Watched;
