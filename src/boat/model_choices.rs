//! The choices that the model leaves open.

use crate::boat::body_choice::BodyChoice;
use crate::boat::spec::Side;
use crate::files::OneOrMore;
use crate::hydro::response::Method;
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// Choices of the model.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize, Serialize)]
#[serde(default, deny_unknown_fields)]
pub struct ModelChoices {
    /// The method of added resistance.
    pub added_resistance: Method,
    /// The user's own responses (CSV), which the method `table` needs.
    pub own_responses: Option<PathBuf>,
    /// Foils that are missing or raised.
    pub without_foil: OneOrMore<Side>,
    /// Whether the swing of her speed in the waves is counted.
    pub surge: OnOff,
    /// Whether it may make her faster.
    pub surfing_gains: OnOff,
    /// Whether the mean forces of large waves are those of all of her hull in time.
    pub body: BodyChoice,
}

/// A switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OnOff {
    /// Counted.
    #[default]
    On,
    /// Left out.
    Off,
}

impl OnOff {
    /// Both.
    pub const ALL: [Self; 2] = [Self::On, Self::Off];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::On => "on",
            Self::Off => "off",
        }
    }
}

/// What is counted of the swing of her speed in the waves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Surge {
    /// What it takes and what it gives.
    #[default]
    Counted,
    /// Only what it takes: surfing gains nothing.
    LossesOnly,
    /// Nothing.
    Off,
}

impl Surge {
    /// Whether anything is counted.
    pub fn is_counted(self) -> bool {
        self != Self::Off
    }
}

impl ModelChoices {
    /// What is counted of surge.
    pub fn counted_surge(&self) -> Surge {
        match (self.surge, self.surfing_gains) {
            (OnOff::Off, _) => Surge::Off,
            (OnOff::On, OnOff::On) => Surge::Counted,
            (OnOff::On, OnOff::Off) => Surge::LossesOnly,
        }
    }
}
