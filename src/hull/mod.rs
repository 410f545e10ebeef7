//! The hull: sections from keel to waterline, where they are known up to the deck, and what follows from them at rest.
//!
//! x runs forward from the aft end of the waterline, z up from the waterline (below it negative), y is the
//! half-breadth. Sections are symmetric; between points and between stations the surface is straight.

mod decked;
mod hydrostatics;
mod immersed;
mod offsets;
mod parametric;
mod point;
mod risen;
mod sections;
mod superellipse;
mod topsides;
mod trimmed;

pub use decked::{Decked, DeckedSection, ReserveBuoyancy};
pub use hydrostatics::Hydrostatics;
pub use immersed::{Immersed, ImmersedSection};
pub use parametric::Dimensions;
pub use point::{MIN_STATIONS, Point};
pub use risen::Risen;
pub use sections::{Hull, Station};
pub use topsides::{DeckBow, FLARE_AT, Topsides};
pub use trimmed::{Attitude, Displaced, Floating};
