//! One cell of a corrected polar, taken apart: its seas, what the boat does in each, the forces that balance, and how
//! they make up the cell's speed and factors. Every number can be followed by hand. Beside it, what reservations mean in words.

mod cell;
pub mod flag_words;
pub mod one_sea;
pub mod polar_match;
mod sea;
mod stage_value;

pub use cell::{Explanation, FlagAccount, Place, WindowAccount, explain};
pub use one_sea::{Irregular, Regular};
pub use polar_match::MatchedCell;
pub use sea::{BalanceAccount, FoilAccount, SeaAccount, SystemAccount};
pub use stage_value::StageValue;
