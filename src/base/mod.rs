//! What every room may use: errors, units, directions, positions and times as people write them, time windows, reservations.

pub mod bearing;
pub mod error;
pub mod flags;
mod guarded;
pub mod moment;
pub mod neutral;
pub mod position;
pub mod units;
pub mod window;
pub use bearing::{DirectionFrom, DirectionTo};
pub use error::{Error, Result};
pub use flags::{Flag, Flags};
pub use guarded::guarded;
pub use window::{Alignment, Window, WindowLength, Windows};
