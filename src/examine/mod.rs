//! What any input file is and holds, and what the model would lack.

mod atlas;
mod input;
mod other;
mod sea_sheet;

pub use atlas::{AtlasReport, AxesReport};
pub use input::{
    BoatReport, Examination, HullReport, JobReport, NamedFile, PolarReport, RegionReport, RegionsReport,
    TopsidesReport, examine, hull_of,
};
pub use other::{ResponsesReport, ResultReport, TableReport, TallyReport, TrackReport};
pub use sea_sheet::{SeaSheet, SheetSea};
