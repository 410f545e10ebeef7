//! What any input file is and holds, for printing.

mod input;
mod sea_sheet;
mod text;

pub use input::{
    BoatReport, Examination, HullReport, JobReport, PolarReport, RegionReport, RegionsReport, examine,
};
