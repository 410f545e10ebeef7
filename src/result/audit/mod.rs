//! The audit: one row for every polar cell and tack of every region and window; written, read, and asked which cells were
//! derated, by how much and why.

mod columns;
mod contents;
mod filter;
mod group;
mod part;
mod read;
mod row;
mod summary;
mod write;

pub use columns::{AuditColumn, COLUMNS, is_stage, numbers, words};
pub use contents::AuditContents;
pub use filter::{AuditFilter, Span};
pub use group::{AuditGroup, GroupKey, group};
pub use part::AuditPart;
pub use read::{Audit, read};
pub use row::{AuditReader, AuditRow, DERATED_BELOW};
pub use summary::{AuditSummary, Stats};
pub use write::{held, members_to_bytes, to_bytes};
