//! What every room may use: errors, units, directions, time windows, reservations.

pub mod bearing;
pub mod error;
pub mod flags;
mod guarded;
pub mod neutral;
pub mod units;
pub mod window;
pub use bearing::{DirectionFrom, DirectionTo};
pub use error::{Error, Result};
pub use flags::{Flag, Flags};
pub use guarded::guarded;
pub use window::{Alignment, Window, WindowLength, Windows};
