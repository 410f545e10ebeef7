//! The report: one page that shows a result offline. The result folder's files go in, the bytes of the page come out.

mod audit;
mod cells;
mod data;
mod folder;
mod page;
mod sea;
mod table;

pub use data::{REPORT, Sailed, to_bytes};
