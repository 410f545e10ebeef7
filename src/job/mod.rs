//! The job file: what to compute from which inputs, with every choice that is not left at its default.

mod checks;
mod choices;
mod complete;
mod contents;
mod file;
mod patterns;
pub mod polar_csv;

pub use choices::{CellAudit, CellAuditWord, TableFormat};
pub use choices::{CorridorChoice, MemberChoice, Model, OneOrMore, Split, TackChoice, TileSize};
pub use contents::{ForecastSeas, Job, Regions, Seas};
pub use file::{JobFile, WindowText};
pub use polar_csv::{Decimal, Delimiter, Layout, Options, Smoothing};
