//! The hull below the waterline: sections from keel to waterline, and what follows from them at rest.
//!
//! x runs forward from the aft end of the waterline, z up from the waterline (below it negative), y is the
//! half-breadth. Sections are symmetric; between points and between stations the surface is straight.

mod hydrostatics;
mod offsets;
mod parametric;
mod risen;
mod sections;
mod superellipse;

pub use hydrostatics::Hydrostatics;
pub use parametric::Dimensions;
pub use risen::Risen;
pub use sections::{Hull, MIN_STATIONS, Point, Station};
