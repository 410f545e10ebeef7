//! Regions and windows by need: neighbouring tiles and hours whose corrected polars are alike share one polar.
//!
//! Every region is derated by itself first; boxes of them whose polars agree within a stated error are tallied
//! together. Regions of a file have names and outlines of their own, so only their hours are joined; tiles are joined
//! over latitude, longitude and time.
//!
//! Agreement is asked for where polars are looked up: in the winds that blow ([`crate::derate::column_use`]). A column of 6 kn in
//! a gale, in which the boat makes no way, moves nobody and cuts nothing off.

mod boxes;
mod difference;
mod error_left;
mod groups;
mod piece;
mod rejoin;

pub use error_left::{ErrorLeft, errors_left};
pub use groups::{DeratedPart, PartGroup, PartName, PolarColumns, groups, halves, joined};
