//! The manifest: what a result was made from and with, what was counted, and what is missing.

mod contents;
pub(in crate::result) mod file;
mod input;
mod options;

pub use contents::{AdvisoryLimits, Counts, Manifest, PartSea};
pub use file::{PROGRAM, as_it_stands, is_marked};
pub use input::{Input, InputRole};
pub use options::ManifestOptions;
