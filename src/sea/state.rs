//! The sea at one place and time: wind, wave systems (partitions), and its directional spectrum where there is one.

use crate::sea::partition::{Partitions, Wind};
use crate::sea::spectrum::Spectrum2d;

/// One place and time.
#[derive(Debug, Clone, PartialEq)]
pub struct SeaState {
    /// The wind there.
    pub wind: Wind,
    /// Wave systems, at most [`crate::sea::MAX_PARTITIONS`]; none in a flat sea.
    pub partitions: Partitions,
    /// The spectrum of the whole sea, where the forecast states it; the partitions are then but a summary of it.
    pub spectrum: Option<Spectrum2d>,
}
