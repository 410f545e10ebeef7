//! The boat file: what the user knows of her, in metres, kilograms, knots, degrees and seconds.

pub mod advisory;
pub mod believable;
mod body_choice;
pub mod cache;
mod check;
mod file;
mod freeboard;
mod keys;
mod large_waves;
pub mod model;
mod model_choices;
pub mod outline;
pub mod own_table_file;
mod shipped_water;
mod spec;
mod whole_body;

pub use advisory::Advisory;
pub use body_choice::BodyChoice;
pub use freeboard::Running;
pub use keys::BOAT_KEYS;
pub use large_waves::{
    Beyond, LargeWaves, LargeWavesGrid, MADE_IN, Met, Told, large_waves, large_waves_on, reaches_the_deck,
};
pub use model::{BoatModel, Foils};
pub use model_choices::{ModelChoices, OnOff, Surge};
pub use shipped_water::ShippedWater;
pub use spec::{
    AppendageSpec, Boat, DeckSpec, FoilPresence, FoilSide, FoilSpec, HullSpec, SailSpec, Side, TopsidesSpec,
    WindageSpec,
};
pub use whole_body::{LONGEST_STEP_S, WholeBody, shortest_felt_rad_s};
