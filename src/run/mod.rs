//! The main job: from a job's files to a whole result folder.

mod begin;
mod boat_notes;
mod cells;
mod derate;
mod explain;
mod files;
mod gaps;
mod joining;
mod made;
mod manifest;
mod progress;
mod ready;
mod remake;
pub mod seas;
mod summary;

mod doubts;

pub use begin::{Beginning, Begun};
pub use derate::run;
pub use doubts::doubts;
pub use explain::{AuditedSpeed, Explained, Question, explain_cell};
pub use gaps::gaps;
pub use progress::{Progress, Watch};
pub use ready::performance_of;
pub use seas::{Gathered, Opened, job_seas};
pub use summary::{POINTS_OF_SAILING_DEG, PartSummary, Summary, WorstCell};
