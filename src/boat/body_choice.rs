//! How a boat's hull answers the waves: in a simulation, and in large waves for her polars.

use serde::{Deserialize, Serialize};

/// Which of her motions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BodyChoice {
    /// Her linear responses, each wave by itself.
    #[default]
    Linear,
    /// All of her hull up to the deck, as far as it is wetted at the moment.
    Exact,
}

impl BodyChoice {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Linear, Self::Exact];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Linear => "linear",
            Self::Exact => "exact",
        }
    }
}
