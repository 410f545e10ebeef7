//! The choice which tacks a polar holds.

use serde::{Deserialize, Serialize};

/// Which tacks a corrected polar holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TackChoice {
    /// TWA 0..180, the mean slowness of both tacks.
    #[default]
    Mean,
    /// TWA 0..180, the slower tack of each cell.
    Slower,
    /// TWA 0..180, starboard tack.
    Starboard,
    /// TWA 0..180, port tack.
    Port,
    /// TWA -180..180, starboard tack positive.
    Signed,
}

impl TackChoice {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Mean, Self::Slower, Self::Starboard, Self::Port, Self::Signed];

    /// The name in files, and in their names.
    pub fn name(self) -> &'static str {
        match self {
            Self::Mean => "mean",
            Self::Slower => "slower",
            Self::Starboard => "starboard",
            Self::Port => "port",
            Self::Signed => "signed",
        }
    }
}
