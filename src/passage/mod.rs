//! The time a track takes on the flat polar and on the corrected ones: what the sea costs.
//!
//! # Rules
//! - Two boats start at once, one on the flat polar and one on the corrected polar of the region and window she is in;
//!   each meets the wind of her own place and time ([`crate::forecast::point_wind`]).
//! - Along the course she makes what [`made_good`] says.
//! - Where **no corrected polar** serves, outside every region or every window, she sails on the flat one: that part of
//!   the sea's cost is missing, and is declared as a gap.
//! - Where **speed is not known**, with no wind in the forecast or a wind outside the polar, or where she makes no way,
//!   she stops there: no time is given for the rest, and that is a gap.

mod chart;
mod departures;
pub mod gap_words;
mod leg;
mod made_good;
mod question;
mod sail;
pub mod sailed_leg;
mod setting;
mod sources;

pub use chart::{Chart, PolarServing};
pub use departures::departures;
pub use leg::{Leg, LegKind};
pub use made_good::{LEAST_KN, MadeGood, Manner, made_good};
pub use question::PassageQuestion;
pub use sail::{STEP_M, Sailing, StopReason, Stopped, Stretch, Voyage, after};
pub use sailed_leg::{Sailed, SailedLeg};
pub use setting::{Gap, Passage, SailedOn, Setting, Uncorrected};
pub use sources::{FileOverrides, Sources, SpeedSource};
