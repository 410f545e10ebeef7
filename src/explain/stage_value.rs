//! Numbers of the stages of a cell, each with its stage's name.

use serde::Serializer;

/// A number of a stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageValue {
    /// The stage's name in files, or `flat` for what comes before them.
    pub stage: &'static str,
    /// The number.
    pub value: f64,
}

/// Writes them as a map from names to numbers, in their order.
pub(super) fn as_map<S: Serializer>(values: &[StageValue], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(values.iter().map(|value| (value.stage, value.value)))
}
