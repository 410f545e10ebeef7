//! The choices that the model leaves open.

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
}
