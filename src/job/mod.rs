//! The job file: what to compute from which inputs, with every choice that is not left at its default.

mod checks;
mod choices;
mod complete;
mod contents;
mod file;
mod keys;
mod over;
mod patterns;

pub use choices::{CellAudit, CellAuditWord, Split};
pub use contents::{ForecastSeas, Job, Seas};
pub use file::JobFile;
pub use keys::JOB_KEYS;
