//! The choice what becomes of an ensemble's members.

use serde::{Deserialize, Serialize};

/// Whether the members of an ensemble get polars of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MemberChoice {
    /// One polar over all members, which weigh alike.
    #[default]
    Together,
    /// Besides, one polar for each member.
    Each,
}

impl MemberChoice {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Together, Self::Each];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Together => "together",
            Self::Each => "each",
        }
    }
}
