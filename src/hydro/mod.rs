//! Sea and boat: one published method a file. No input or output, no grid, SI units and radians throughout.

pub mod added_resistance;
pub mod body;
pub mod calm_water;
pub mod deck_water;
pub mod dispersion;
pub mod foil;
pub mod own_table;
pub mod rates;
pub mod response;
pub mod sail;
pub mod sail_motion;
pub mod section;
pub mod spectrum;
pub mod spreading;
pub mod strip;
pub mod surge;
pub mod unsteady_lift;
pub mod wave_growth;
pub mod wave_shape;
pub mod wind_frame;
pub mod windage;
