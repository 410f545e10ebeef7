//! The report: one page that shows a result offline. The result folder's files go in, the bytes of the page come out.

mod atlas_of_page;
mod audit;
mod bundle;
mod cells;
mod data;
mod numbers;
mod page;
mod sea;

pub use atlas_of_page::AtlasOfPage;
pub use data::{Around, Sailed, to_bytes};
