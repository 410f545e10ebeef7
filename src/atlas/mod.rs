//! The atlas: what a boat's polar becomes in any sea, tabulated before there is a forecast. One wave system at a time is derated
//! over height, period and angle off the wind; several together follow from what each does alone, and the error of that, against
//! the direct way at random seas, is measured and kept with it.

mod asked_sea;
pub mod axes;
pub mod blend;
mod build;
mod contents;
mod error_table;
pub mod file;
mod folder;
mod known;
mod measure;
mod page;
pub mod page_data;
pub mod quantity;
mod seas;
mod table;

pub use asked_sea::{AnswerInWind, AnsweredSystem, AskedSea, AtlasAnswer};
pub use axes::Fineness;
pub use build::{Made, Making, SAILED_S, Tried, make};
pub use contents::{Atlas, AtlasCell, AtlasSpeed, MetSea, PlacedSea};
pub use error_table::ErrorRow;
pub use folder::{Written, file_in, is_part, read, table, write};
pub use seas::{Raised, TabledSea};
pub use table::{Beyond, Node, SystemTable};
