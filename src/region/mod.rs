//! Named polygons on the sphere, and the area of grid cells that lies within them.
//!
//! Edges are straight in longitude and latitude (RFC 7946, section 3.1.1), so an edge along a parallel follows it.

mod area;
mod boxes;
mod choice;
pub mod coastline;
pub mod corridor;
mod geojson_file;
pub mod geometry;
mod named;
mod outlined;
pub mod overlaps;
mod tiles;
pub mod track;
mod unwrap;
mod validity;
mod weights;

pub use boxes::of_boxes;
pub use choice::{BoxDeg, CorridorChoice, Regions, TileSize};
pub use geojson_file::{parse, read};
pub use named::{MAX_NAME_CHARS, Region, check_name};
pub use outlined::{Corners, outlined_areas_m2};
pub use tiles::{Extent, rectangle, tiles};
pub use weights::cell_areas_m2;
