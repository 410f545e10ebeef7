//! Times and lengths of time that come from Python.

use jiff::{SignedDuration, Timestamp};
use roughwater::base::{Error, Result};

/// An instant, written with its offset.
///
/// # Errors
/// Any other text.
pub(crate) fn moment(what: &str, text: &str) -> Result<Timestamp> {
    text.parse().map_err(|error: jiff::Error| {
        Error::new("this is no time")
            .at(what)
            .found(error)
            .expected("a datetime of the calendar's years 1 to 9999")
    })
}

/// A length above zero, s.
///
/// # Errors
/// Any other.
pub(crate) fn length(what: &str, seconds: f64) -> Result<SignedDuration> {
    SignedDuration::try_from_secs_f64(seconds).ok().filter(SignedDuration::is_positive).ok_or_else(|| {
        Error::new("this is no length of time")
            .at(what)
            .found(format!("{seconds} s"))
            .expected("a length above zero")
            .remedy(format!("correct {what}"))
    })
}
