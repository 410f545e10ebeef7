//! Numbers and times of a passage in words.

use jiff::Timestamp;

/// A number to some decimals; nothing where there is none.
pub(super) fn fixed(value: Option<f64>, decimals: usize) -> String {
    value.map(|value| format!("{value:.decimals$}")).unwrap_or_default()
}

/// RFC 3339 UTC to the second.
pub(super) fn seconds(time: Timestamp) -> String {
    time.round(jiff::Unit::Second).unwrap_or(time).to_string()
}
