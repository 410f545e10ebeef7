//! Which rows of an audit are asked for.

use crate::base::error::nearest;
use crate::base::{Error, Result};
use crate::derate::Tack;
use crate::result::audit::contents::AuditContents;
use crate::result::audit::row::AuditRow;
use jiff::Timestamp;
use std::str::FromStr;

/// Conditions on a row; all that are given must hold.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AuditFilter {
    /// Names of regions, any of them, in upper or lower case; empty for all.
    pub regions: Vec<String>,
    /// A time that the window holds.
    pub time: Option<Timestamp>,
    /// The tack.
    pub tack: Option<Tack>,
    /// True wind speeds, kn.
    pub tws_kn: Option<Span>,
    /// True wind angles, degrees.
    pub twa_deg: Option<Span>,
    /// The dominant stage, or `none`.
    pub stage: Option<String>,
    /// Names of flags that the row has, all of them.
    pub flags: Vec<String>,
    /// The factor lies below this.
    pub below: Option<f64>,
}

/// A value or a range of values, both ends within.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The lower end.
    pub from: f64,
    /// The upper end.
    pub to: f64,
}

impl FromStr for Span {
    type Err = String;

    /// `12`, `12..20`, `..20` or `12..`.
    fn from_str(text: &str) -> std::result::Result<Self, String> {
        let number = |text: &str| match text.trim().parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(number),
            _ => Err(format!("\"{text}\" is not a number; give one, as 12, or a range, as 12..20")),
        };
        let end = |text: &str, open: f64| if text.trim().is_empty() { Ok(open) } else { number(text) };
        match text.split_once("..") {
            None => number(text).map(|value| Self { from: value, to: value }),
            Some((from, to)) if from.trim().is_empty() && to.trim().is_empty() => {
                Err("the range has no ends; give one, as 12..20, ..20 or 12..".to_owned())
            }
            Some((from, to)) => {
                let span = Self { from: end(from, f64::NEG_INFINITY)?, to: end(to, f64::INFINITY)? };
                if span.from <= span.to {
                    Ok(span)
                } else {
                    Err(format!("the range {text} runs downwards; give the smaller number first"))
                }
            }
        }
    }
}

impl Span {
    fn holds(self, value: f64) -> bool {
        self.from <= value && value <= self.to
    }
}

impl AuditFilter {
    /// Whether a row fulfils every condition. A row without a factor is below none.
    pub fn admits(&self, row: &AuditRow) -> bool {
        let region = |name: &String| same_name(name, row.region());
        (self.regions.is_empty() || self.regions.iter().any(region))
            && self.time.is_none_or(|time| row.window.start <= time && time < row.window.end)
            && self.tack.is_none_or(|tack| tack.name() == row.tack())
            && self.tws_kn.is_none_or(|span| span.holds(row.tws_kn))
            && self.twa_deg.is_none_or(|span| span.holds(row.twa_deg))
            && self.stage.as_ref().is_none_or(|stage| stage == row.dominant_stage())
            && self.flags.iter().all(|flag| row.flags().any(|name| name == flag))
            && self.below.is_none_or(|below| row.factor.is_some_and(|factor| factor < below))
    }

    /// Checks that what is asked for by name, time or wind occurs in the audit at all.
    pub(super) fn check(&self, contents: &AuditContents) -> Result<()> {
        self.regions.iter().try_for_each(|name| check_region(name, contents))?;
        if let Some(time) = self.time {
            check_time(time, contents)?;
        }
        check_span("TWS", "kn", self.tws_kn, &contents.tws_kn)?;
        check_span("TWA", "degrees", self.twa_deg, &contents.twa_deg)
    }
}

/// Names of regions differ by more than upper and lower case.
fn same_name(a: &str, b: &str) -> bool {
    a == b || a.to_lowercase() == b.to_lowercase()
}

fn check_region(name: &str, contents: &AuditContents) -> Result<()> {
    let known = || contents.regions.iter().map(String::as_str);
    if known().any(|region| same_name(region, name)) {
        return Ok(());
    }
    let shown: Vec<&str> = known().take(12).collect();
    let more = contents.regions.len() - shown.len();
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let folded: Vec<(String, &str)> = known().map(|region| (region.to_lowercase(), region)).collect();
    let near = nearest(&name.to_lowercase(), folded.iter().map(|(folded, _)| folded.as_str()));
    let meant = folded.iter().find(|(folded, _)| Some(folded.as_str()) == near);
    let remedy =
        meant.map_or("name one of these".to_owned(), |(_, region)| format!("did you mean \"{region}\"?"));
    Err(Error::new("the audit has no such region")
        .found(format!("\"{name}\""))
        .expected(shown.join(", ") + &more)
        .remedy(remedy))
}

fn check_time(time: Timestamp, contents: &AuditContents) -> Result<()> {
    if contents.windows.iter().any(|window| window.start <= time && time < window.end) {
        return Ok(());
    }
    let ends = contents.windows.first().zip(contents.windows.last());
    let expected = ends.map(|(first, last)| format!("from {} up to {}", first.start, last.end));
    Err(Error::new("no window of the audit holds this time")
        .found(time)
        .expected(expected.unwrap_or_default())
        .remedy("give a time in UTC within a window; --group-by window lists them"))
}

fn check_span(what: &str, unit: &str, span: Option<Span>, known: &[f64]) -> Result<()> {
    let Some(span) = span else { return Ok(()) };
    if known.iter().any(|value| span.holds(*value)) {
        return Ok(());
    }
    let found =
        if span.from == span.to { span.from.to_string() } else { format!("{}..{}", span.from, span.to) };
    let known: Vec<String> = known.iter().map(f64::to_string).collect();
    Err(Error::new(format!("the audit has no such {what}"))
        .found(found)
        .expected(format!("{} {unit}", known.join(", ")))
        .remedy("give one of these, or a range that holds some, as 12..20"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_as_people_write_them() {
        let span = |from, to| Ok(Span { from, to });
        assert_eq!("12".parse(), span(12.0, 12.0));
        assert_eq!("12..20".parse(), span(12.0, 20.0));
        assert_eq!("..20".parse(), span(f64::NEG_INFINITY, 20.0));
        assert_eq!("12.5..".parse(), span(12.5, f64::INFINITY));
        for text in ["", "..", "20..12", "a..b", "nan", "1...2"] {
            assert!(text.parse::<Span>().is_err(), "{text}");
        }
    }
}
