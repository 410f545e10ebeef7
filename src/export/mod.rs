//! A result in, bytes out: one file a format.

pub mod audit;
pub mod cells;
pub mod index;
pub mod manifest;
pub mod output_folder;
pub mod polar_csv;
pub mod table;
pub mod track_gpx;
