//! Numbers and times on the command line.

use jiff::{SignedDuration, SpanRelativeTo, Timestamp};
use roughwater::base::moment::moment;

/// A number that is finite.
pub(super) fn number(text: &str) -> Result<f64, String> {
    let value: f64 = text.parse().map_err(|_| format!("`{text}` is not a number"))?;
    if value.is_finite() { Ok(value) } else { Err(format!("`{text}` is not a finite number")) }
}

/// A number above 0.
pub(super) fn positive(text: &str) -> Result<f64, String> {
    number(text)
        .and_then(|value| if value > 0.0 { Ok(value) } else { Err(format!("{value} is not above 0")) })
}

/// A number not below 0.
pub(super) fn non_negative(text: &str) -> Result<f64, String> {
    number(text).and_then(|value| if value >= 0.0 { Ok(value) } else { Err(format!("{value} is below 0")) })
}

/// An angle within 0 to 180 degrees.
pub(super) fn angle(text: &str) -> Result<f64, String> {
    number(text).and_then(|value| {
        if (0.0..=180.0).contains(&value) {
            Ok(value)
        } else {
            Err(format!("{value} is not within 0 to 180"))
        }
    })
}

/// A time as people write it; UTC where no offset is given.
pub(super) fn time(text: &str) -> Result<Timestamp, String> {
    moment(text)
}

/// A length of time above zero, days of 24 hours.
pub(super) fn length(text: &str) -> Result<SignedDuration, String> {
    let days = SpanRelativeTo::days_are_24_hours();
    let span = text.parse::<jiff::Span>().and_then(|span| span.to_duration(days));
    span.ok()
        .filter(|length| length.is_positive())
        .ok_or_else(|| "give a length of time such as 6h, 90m or 1d".to_owned())
}
