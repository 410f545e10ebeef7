//! The files of a result: written and read.

pub mod audit;
pub mod audit_query;
pub mod cells;
pub mod folder;
pub mod gpx;
pub mod index;
pub mod index_query;
pub mod manifest;
pub mod polar_csv;
pub mod table;
