//! A result in, bytes out: one file a format.

pub mod output_folder;
pub mod polar_csv;
