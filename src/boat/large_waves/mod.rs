//! What large waves change of the mean forces that small ones give: a table of a boat's, made once by simulating all of her hull.

mod build;
mod held;
mod table;

pub use build::{Told, large_waves, large_waves_on, reaches_the_deck};
pub use table::{Beyond, LargeWaves, LargeWavesGrid, MADE_IN, Met};
