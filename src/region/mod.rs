//! Named polygons on the sphere, and the area of grid cells that lies within them.
//!
//! Edges are straight in longitude and latitude (RFC 7946, section 3.1.1), so an edge along a parallel follows it.

mod area;
mod choice;
pub mod corridor;
mod geojson_file;
pub mod geometry;
mod named;
pub mod overlaps;
mod tiles;
pub mod track;
mod unwrap;
mod weights;

pub use choice::{CorridorChoice, Regions, TileSize};
pub use geojson_file::{parse, read};
pub use named::{MAX_NAME_CHARS, Region, check_name};
pub use tiles::{Extent, rectangle, tiles};
pub use weights::cell_areas_m2;
