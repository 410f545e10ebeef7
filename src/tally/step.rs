//! The steps of a tally: when each is valid and how long it stands for.
//!
//! A step stands for the time half-way to its neighbours, and what stands before the first and behind the last step of a file
//! only the other files tell. So sums of those two are kept apart, per second, until all files are together.

use crate::base::{Error, Result};
use jiff::Timestamp;
use std::time::Duration;

/// A tallied step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct TalliedStep {
    /// When it is valid.
    pub valid: Timestamp,
    /// The time its sums stand for; none where they are kept per second, at an end of what was tallied together.
    pub span: Option<Duration>,
}

impl TalliedStep {
    /// A step that stands for so many seconds, or for a time that is not known yet.
    pub fn new(valid: Timestamp, span_s: Option<f64>) -> Self {
        // to the millisecond, so that equal spans are equal whatever they were halved from
        let span = span_s.map(|span_s| Duration::from_millis((span_s * 1e3).round().max(0.0) as u64));
        Self { valid, span }
    }

    /// Checks the time its sums stand for against that which it has among all steps.
    ///
    /// # Errors
    /// Another time.
    pub fn check(&self, among_all_s: f64) -> Result<()> {
        match self.span {
            Some(span) if (span.as_secs_f64() - among_all_s).abs() > 1e-3 => {
                Err(Error::new("the steps of the tallies do not fit together")
                    .found(format!(
                        "the step at {} stands for {} h in its tally, and for {} h among all steps",
                        self.valid,
                        span.as_secs_f64() / 3600.0,
                        among_all_s / 3600.0
                    ))
                    .expected("tallies whose steps follow one another, none between those of another")
                    .remedy("tally the forecast files together: `roughwater tally write` with all of them"))
            }
            _ => Ok(()),
        }
    }

    /// As it stands in a tally's file: `2030-03-01T06:00:00Z 10800`, seconds, or `open` in their place.
    pub(super) fn to_text(self) -> String {
        match self.span {
            Some(span) => format!("{} {}", self.valid, span.as_secs_f64()),
            None => format!("{} {OPEN}", self.valid),
        }
    }

    pub(super) fn parse(text: &str) -> Option<Self> {
        let (valid, span) = text.split_once(' ')?;
        let valid = valid.parse().ok()?;
        if span == OPEN {
            return Some(Self { valid, span: None });
        }
        let span_s: f64 = span.parse().ok()?;
        // a year: no forecast's steps are as far apart
        (0.0..=366.0 * 86_400.0).contains(&span_s).then(|| Self::new(valid, Some(span_s)))
    }
}

const OPEN: &str = "open";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_come_back_as_they_went() {
        let valid = "2030-03-01T06:00:00Z".parse().unwrap();
        for (span_s, text) in [
            (Some(10_800.0), "2030-03-01T06:00:00Z 10800"),
            (Some(5400.5), "2030-03-01T06:00:00Z 5400.5"),
            (None, "2030-03-01T06:00:00Z open"),
        ] {
            let step = TalliedStep::new(valid, span_s);
            assert_eq!(step.to_text(), text);
            assert_eq!(TalliedStep::parse(text), Some(step));
        }
        for text in
            ["", "2030-03-01T06:00:00Z", "2030-03-01T06:00:00Z -1", "2030-03-01T06:00:00Z NaN", "x open"]
        {
            assert_eq!(TalliedStep::parse(text), None, "{text:?}");
        }
    }
}
