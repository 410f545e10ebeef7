//! Numbers as the page takes them.

use serde::{Serialize, Serializer};
use serde_json::{Value, json};

/// A number that is written without a decimal point where it is whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Short(pub f64);

impl Serialize for Short {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        if self.0.fract() == 0.0 && self.0.abs() < 1e15 {
            serializer.serialize_i64(self.0 as i64)
        } else {
            serializer.serialize_f64(self.0)
        }
    }
}

/// A number as JSON, rounded to decimals.
pub(super) fn rounded(number: f64, decimals: i32) -> Value {
    let scale = 10_f64.powi(decimals);
    json!(Short((number * scale).round() / scale))
}
