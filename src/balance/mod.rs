//! One polar cell in one sea: the speed at which thrust and resistance balance, and what each cause takes.
//!
//! At the flat polar's speed thrust equals flat-water resistance by definition: the polar is the truth, and the sail
//! model gives only how thrust changes with speed at fixed true wind. Causes are added one by one in a fixed order,
//! and each is charged with the ratio of the speeds after and before it.

mod account;
mod calm_table;
mod carriage;
mod cell;
mod drive;
mod foil_state;
mod forces;
mod in_time;
mod own_speed;
mod rungs;
mod sea_curve;
mod search;
mod surge;
mod tables;

pub use account::{BalancePoint, Closing};
pub use cell::{Added, CellBalance, Outcome, STAGE_NAMES, STAGES};
pub use drive::Match;
pub use foil_state::FoilState;
pub use forces::Forces;
pub use in_time::BalanceInTime;
pub use own_speed::own_speeds;
pub use sea_curve::SeaCurve;
pub use surge::{ADDED_SURGE_MASS, Embarked, Swing};
pub use tables::BoatTables;
