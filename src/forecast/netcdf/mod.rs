//! NetCDF classic and NetCDF-4 files with CF or well-known names: an index of fields, read one at a time.
//!
//! # Rules
//! - **Names**: see [`crate::forecast::names::cf`]. A variable without a known name is listed and not used.
//! - **Dimensions** ([`axes`]): time, latitude and longitude, and optionally a forecast period and an ensemble member.
//!   Another dimension is allowed if its size is one. Spectra may be of [`stations`] instead of a grid; fields and spectra
//!   may stand on a curvilinear grid or a mesh ([`meshes`]).
//! - **Times** ([`times`], [`cf_time`]): valid and reference times and periods in any combination, each a scalar or along
//!   dimensions.
//! - **Wind** is that of 10 m ([`level`]).
//! - **Reference time**: `forecast_reference_time` where a file has it, else the file's first time.
//! - **Values**: scale, offset, fill value, missing value and valid range by the conventions; the format's own default
//!   fill value where a variable states none. Values are kept in 32 bits.

mod axes;
mod cell_methods;
mod cf_time;
mod compression;
mod file;
mod layout;
mod level;
mod meshes;
mod no_grid;
mod role;
mod source;
mod spectra;
mod stations;
mod times;

pub use source::index;
