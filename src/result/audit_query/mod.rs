//! Questions to the audit of a result: which cells were derated, by how much and why.

mod filter;
mod group;
mod read;
mod row;
mod summary;

pub use filter::{Filter, Span};
pub use group::{Group, Key, group};
pub use read::{Audit, Contents, read};
pub use row::Row;
pub use summary::{Stats, Summary};

/// A cell counts as derated below this factor; the same loss makes a stage a dominant one.
pub const DERATED_BELOW: f64 = 0.9995;
