//! The index: each region's polygon with its windows and the polar files that serve them, as GeoJSON (RFC 7946).

mod entry;
mod lookup;
mod read;
mod write;

pub use entry::{IndexEntry, IndexedRegion};
pub use lookup::{Answer, Serving};
pub use read::Index;
pub use write::to_bytes;
