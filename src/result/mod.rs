//! The files of a result: written and read.

pub mod audit;
pub mod audit_query;
pub mod cells;
mod folder;
pub mod found;
pub mod gpx;
pub mod index;
pub mod manifest;
pub mod names;
pub mod table;
pub use audit::Part;
pub use audit_query::Audit;
pub use audit_query::Row;
pub use audit_query::Summary;
pub use audit_query::{Filter, Span};
pub use audit_query::{Group, Key};
pub use folder::OutputFolder;
pub use gpx::{TimedPoint, TimedTrack};
pub use index::{Answer, Index, IndexEntry, IndexedRegion, Serving};
pub use manifest::{Counts, Input, InputRole, Manifest, ManifestOptions};
pub use table::Table;
