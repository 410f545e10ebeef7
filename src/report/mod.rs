//! The report: one page that shows a result offline. The result folder's files go in, the bytes of the page come out.

mod audit;
mod bundle;
mod cells;
mod data;
mod numbers;
mod page;
mod sea;

pub use data::{Around, Sailed, to_bytes};
pub use page::AtlasOfPage;
