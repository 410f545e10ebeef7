//! The boat file: what the user knows of her, in metres, kilograms, knots, degrees and seconds.

pub mod advisory;
pub mod cache;
mod check;
mod file;
mod freeboard;
pub mod model;
mod model_choices;
pub mod own_table_file;
mod shipped_water;
mod spec;

pub use advisory::Advisory;
pub use freeboard::Running;
pub use model::{BoatModel, Foils};
pub use model_choices::{ModelChoices, OnOff, Surge};
pub use shipped_water::ShippedWater;
pub use spec::{
    AppendageSpec, Boat, DeckSpec, FoilPresence, FoilSide, FoilSpec, HullSpec, SailSpec, Side, TopsidesSpec,
    WindageSpec,
};
