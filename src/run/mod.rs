//! The main job: from a job's files to a whole result folder.

mod cells;
mod derate;
mod explain;
mod files;
mod gaps;
mod joining;
mod manifest;
mod ready;
mod remake;
pub mod seas;

pub use derate::{PartSummary, Progress, Summary, Watch, WorstCell, job_seas, read_job, run};
pub use explain::{AuditedSpeed, Explained, Question, explain_cell};
pub use gaps::gaps;
pub use ready::{performance, performance_of};
pub use seas::Opened;
