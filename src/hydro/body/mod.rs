//! The boat in time with all of her hull: surge, heave and pitch as equations of motion over the sections that are wetted at the
//! moment, with memory, impact, water on deck and foils.

mod deck_flow;
mod equations;
mod exciting;
mod foil_in_time;
pub mod impact;
mod lagging_lift;
mod memory;
mod pressure;
mod wave_rows;
mod waves;

pub use deck_flow::{DeckLoad, DeckWater, flow_over_edge_m2_s};
pub use equations::{Afloat, Body, BodyState, Outside, Passing, Scratch, Slam};
pub use foil_in_time::{BodyFoil, FoilNow};
pub use lagging_lift::Lag;
pub use memory::{Memory, MemoryState, POLES, Reaction};
pub use pressure::{Lying, Pressed, PressedHull, SectionNow};
pub use waves::Wave;
