//! The main job, from a job's files to a whole result folder; questions of one boat or two, from their files to an answer.

mod asked;
mod begin;
mod boat_notes;
mod cells;
mod comparison;
mod derate;
mod explain;
mod files;
mod gaps;
mod held;
mod in_time;
mod joining;
mod made;
mod manifest;
mod progress;
mod ready;
mod remake;
mod response;
pub mod seas;
mod simulation;
mod summary;

mod doubts;

pub use begin::{Beginning, Begun};
pub use comparison::{Compared, ComparedBoat, ComparedSeas, ComparisonQuestion};
pub use derate::{run, run_held};
pub use doubts::doubts;
pub use explain::{AuditedSpeed, Explained, Question, explain_cell};
pub use gaps::gaps;
pub use held::{Held, HeldPolar};
pub use in_time::{InTime, InTimeQuestion};
pub use progress::{Progress, Watch};
pub use ready::performance_of;
pub use response::{AskedSpeed, AskedWaves, Response, ResponseQuestion};
pub use seas::{Gathered, Opened, job_seas};
pub use simulation::{LONGEST_STEP_S, Simulation, SimulationQuestion, check_steps, check_twa};
pub use summary::{PartSummary, Summary, WorstCell};
