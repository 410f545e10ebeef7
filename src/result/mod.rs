//! The files of a result: written and read.

pub mod audit;
pub mod audit_query;
pub mod cells;
pub mod folder;
pub mod gpx;
pub mod index;
pub mod index_query;
pub mod manifest;
pub mod table;
pub use audit::Part;
pub use audit_query::Audit;
pub use audit_query::Row;
pub use audit_query::Summary;
pub use audit_query::{Filter, Span};
pub use audit_query::{Group, Key};
pub use folder::OutputFolder;
pub use gpx::{TimedPoint, TimedTrack};
pub use index::Entry;
pub use index_query::{Answer, Index, IndexedRegion, Serving};
pub use manifest::{Input, Manifest};
pub use table::Table;
