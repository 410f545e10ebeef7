//! The files of a result folder: for each its name, its columns or keys once, its writer and its reader.

pub mod audit;
pub mod cells;
mod folder;
mod foreign;
pub mod found;
pub mod gpx;
pub mod index;
mod left_over;
pub mod manifest;
pub mod names;
mod served;
mod served_answer;
pub mod table;

pub use audit::{Audit, AuditFilter, AuditGroup, AuditPart, AuditRow, AuditSummary, GroupKey, Span};
pub use folder::OutputFolder;
pub use gpx::{TimedPoint, TimedTrack};
pub use index::{Answer, Index, IndexEntry, IndexedRegion, Serving};
pub use manifest::{AdvisoryLimits, Counts, Input, InputRole, Manifest, ManifestOptions, PartSea};
pub use served::AuditedPart;
pub use served_answer::{ServedAnswer, ServedPolar, ServedSpeeds};
