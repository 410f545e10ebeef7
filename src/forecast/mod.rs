//! Forecast files to sea states.
//!
//! A file is told by its first bytes ([`sniff`]) and indexed without decoding ([`mod@index`], [`message`]); [`steps`]
//! sorts the messages of one or several files into valid times; [`sea`] combines a step's fields into the sea at each
//! cell; [`inspect`] says what is in a file. Codes and names become quantities in [`names`] alone, and each format
//! has a module of its own (`grib1`, `grib2`, `netcdf`).

pub mod checks;
mod curved;
pub mod field;
mod gather;
mod grib1;
mod grib1_walk;
mod grib2;
mod grib_ends;
mod grib_frame;
pub mod grid;
pub mod index;
pub mod inspect;
mod member_choice;
mod mesh;
pub mod message;
pub mod names;
mod needed;
mod netcdf;
mod notes;
pub mod outline;
pub mod point_wind;
pub mod quantity;
pub mod ranges;
pub mod sea;
pub mod sniff;
pub mod spans;
pub mod spectra;
mod spectral_parts;
pub mod step;
pub mod steps;
pub mod wind;

pub use field::Field;
pub use grid::{Grid, GridLayout};
pub use index::index;
pub use inspect::FileReport;
pub use member_choice::MemberChoice;
pub use message::{FileIndex, Message};
pub use point_wind::PointWind;
pub use quantity::{DirectionKind, Quantity, SystemLabel};
pub use sea::{CellSea, Lack, SeaGrid};
pub use spans::Spans;
pub use step::Step;
pub use steps::Forecast;
