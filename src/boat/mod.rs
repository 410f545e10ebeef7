//! The boat file: what the user knows of her, in metres, kilograms, knots, degrees and seconds.

pub mod advisory;
pub mod cache;
mod check;
mod file;
pub mod model;
mod model_choices;
pub mod own_table_file;
mod spec;

pub use advisory::Advisory;
pub use model::{BoatModel, Foils};
pub use model_choices::ModelChoices;
pub use spec::{
    AppendageSpec, Boat, DeckSpec, FoilPresence, FoilSide, FoilSpec, HullSpec, SailSpec, Side, WindageSpec,
};
