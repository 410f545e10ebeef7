//! Time windows: half-open intervals of UTC, which forecast steps fall into them, and how long each step stands for.

use crate::base::error::{Error, Result};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, SpanRelativeTo, Timestamp};
use std::str::FromStr;

/// How long windows are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
#[serde(try_from = "String", into = "String")]
pub enum WindowLength {
    /// One window over all steps.
    All,
    /// Windows of one length, a whole number of seconds above 0.
    Every(SignedDuration),
    /// The calendar's months, UTC.
    Month,
}

/// Where windows of one length begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Deserialize, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Alignment {
    /// At multiples of the length counted from midnight UTC of the first step's day.
    #[default]
    Midnight,
    /// At the first step.
    FirstStep,
    /// At multiples of the length since 1970-01-01T00Z, so that windows of any length agree between files of different days.
    Epoch,
}

impl Alignment {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Midnight, Self::FirstStep, Self::Epoch];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Midnight => "midnight",
            Self::FirstStep => "first-step",
            Self::Epoch => "epoch",
        }
    }
}

/// How long a step serves that stands alone, since nothing says when the next would come: the three hours between the steps
/// that wave forecasts are published in (common practice, no source), and as far as its wind is taken.
pub const LONE_STEP: SignedDuration = SignedDuration::from_hours(3);

/// A half-open interval [start, end) of UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Window {
    /// The first instant within.
    pub start: Timestamp,
    /// The first instant after.
    pub end: Timestamp,
}

/// Windows in order of time, and the window of each step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Windows {
    /// Windows that hold a step.
    pub windows: Vec<Window>,
    /// For each step the index of its window.
    pub window_of_step: Vec<usize>,
    /// Windows between the first and the last step that no step falls into: gaps to report.
    pub empty: Vec<Window>,
}

impl Window {
    /// Whether a time lies within.
    pub fn holds(&self, time: Timestamp) -> bool {
        self.start <= time && time < self.end
    }

    /// Whether it is a month of the calendar, UTC.
    pub fn is_month(&self) -> bool {
        Grid::Months.window(Grid::Months.number(self.start)).is_ok_and(|month| month == *self)
    }

    /// The window after it: as long, or the next month where `months`; none beyond the calendar.
    pub fn next(&self, months: bool) -> Option<Self> {
        if months {
            return Grid::Months.window(Grid::Months.number(self.start) + 1).ok();
        }
        let end = self.end.checked_add(self.end.duration_since(self.start)).ok()?;
        Some(Self { start: self.end, end })
    }
}

impl FromStr for WindowLength {
    type Err = Error;

    /// `all`, `month`, or a duration such as `6h`, `90m`, `1d`, `1d12h` (days of 24 hours).
    fn from_str(text: &str) -> Result<Self> {
        if text == "all" {
            return Ok(Self::All);
        }
        if text == "month" {
            return Ok(Self::Month);
        }
        let length =
            text.parse::<jiff::Span>().and_then(|span| span.to_duration(SpanRelativeTo::days_are_24_hours()));
        let longest = SignedDuration::from_hours(366 * 24);
        match length {
            Ok(length) if length.is_positive() && length <= longest && length.subsec_nanos() == 0 => {
                Ok(Self::Every(length))
            }
            _ => Err(Error::new("the window is not a length of time")
                .found(format!("\"{text}\""))
                .expected(
                    "\"all\", \"month\", or a length of whole seconds up to 366 days, such as \"6h\", \"90m\" or \"1d\"",
                )
                .remedy("write a number and its unit: m minutes, h hours, d days")),
        }
    }
}

impl TryFrom<String> for WindowLength {
    type Error = String;

    /// As it is parsed; the error is worded for whoever reads a value of a file.
    fn try_from(text: String) -> std::result::Result<Self, String> {
        let invalid = |_| {
            format!(
                "invalid window: \"{text}\", expected \"all\", \"month\" or a length such as \"6h\" or \"1d\""
            )
        };
        text.parse().map_err(invalid)
    }
}

impl From<WindowLength> for String {
    fn from(length: WindowLength) -> Self {
        length.to_string()
    }
}

impl std::fmt::Display for WindowLength {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::All => f.write_str("all"),
            Self::Month => f.write_str("month"),
            Self::Every(length) => write!(f, "{length:#}"),
        }
    }
}

impl Windows {
    /// Sorts steps into windows.
    ///
    /// A window over all steps ends one spacing (that of the last two steps; [`LONE_STEP`] for a single step) after the
    /// last, so that it holds it.
    ///
    /// # Errors
    /// No steps; steps that do not rise strictly; months from the first step.
    pub fn assign(length: WindowLength, alignment: Alignment, steps: &[Timestamp]) -> Result<Self> {
        check_rising(steps)?;
        let (first, last) = (steps[0], steps[steps.len() - 1]);
        let grid = match length {
            WindowLength::All => {
                Grid::Even { origin: first, length: last.duration_since(first) + last_spacing(steps) }
            }
            WindowLength::Every(length) => Grid::Even { origin: origin(alignment, first)?, length },
            WindowLength::Month if alignment == Alignment::FirstStep => {
                return Err(Error::new("months begin on their first day")
                    .found("windows of a month that begin at the first step")
                    .expected("window_alignment \"midnight\" or \"epoch\", or a window such as \"30d\"")
                    .remedy("leave window_alignment out"));
            }
            WindowLength::Month => Grid::Months,
        };
        let mut windows: Vec<Window> = Vec::new();
        let mut empty = Vec::new();
        let mut window_of_step = Vec::with_capacity(steps.len());
        let mut next = None;
        for &step in steps {
            let number = grid.number(step);
            if next != Some(number + 1) {
                for gap in next.unwrap_or(number)..number {
                    empty.push(grid.window(gap)?);
                }
                windows.push(grid.window(number)?);
            }
            next = Some(number + 1);
            window_of_step.push(windows.len() - 1);
        }
        Ok(Self { windows, window_of_step, empty })
    }
}

/// The time each step stands for, seconds: half-way to its neighbours on either side.
///
/// The first and the last step stand for as much on their outer side as on the inner, so equally spaced steps weigh
/// alike, and where hourly steps give way to three-hourly ones the step between stands for two hours. A single step
/// stands for [`LONE_STEP`]. Spans are not cut at window limits.
///
/// # Errors
/// No steps; steps that do not rise strictly.
pub fn step_spans_s(steps: &[Timestamp]) -> Result<Vec<f64>> {
    check_rising(steps)?;
    let gaps: Vec<f64> = steps.windows(2).map(|pair| pair[1].duration_since(pair[0]).as_secs_f64()).collect();
    let (Some(&first), Some(&last)) = (gaps.first(), gaps.last()) else {
        return Ok(vec![LONE_STEP.as_secs_f64()]);
    };
    let before = std::iter::once(first).chain(gaps.iter().copied());
    let after = gaps.iter().copied().chain(std::iter::once(last));
    Ok(before.zip(after).map(|(before, after)| (before + after) / 2.0).collect())
}

fn check_rising(steps: &[Timestamp]) -> Result<()> {
    if steps.is_empty() {
        return Err(Error::new("there are no forecast steps")
            .found("none")
            .expected("at least one valid time")
            .remedy("check that the forecast files hold wave fields"));
    }
    match steps.windows(2).find(|pair| pair[0] >= pair[1]) {
        Some(pair) => Err(Error::new("forecast steps do not rise")
            .found(format!("{} after {}", pair[1], pair[0]))
            .expected("each valid time once, in order")
            .remedy("give one forecast run, not overlapping ones")),
        None => Ok(()),
    }
}

fn last_spacing(steps: &[Timestamp]) -> SignedDuration {
    match steps {
        [.., before, last] => last.duration_since(*before),
        _ => LONE_STEP,
    }
}

/// Windows that follow one another, by their numbers.
#[derive(Debug, Clone, Copy)]
enum Grid {
    Even { origin: Timestamp, length: SignedDuration },
    Months,
}

impl Grid {
    /// The number of the window that holds a time.
    fn number(self, time: Timestamp) -> i64 {
        match self {
            Self::Even { origin, length } => {
                time.duration_since(origin).as_secs().div_euclid(length.as_secs())
            }
            Self::Months => {
                let date = TimeZone::UTC.to_datetime(time).date();
                12 * i64::from(date.year()) + i64::from(date.month()) - 1
            }
        }
    }

    fn window(self, number: i64) -> Result<Window> {
        Ok(Window { start: self.edge(number)?, end: self.edge(number + 1)? })
    }

    /// Where a window begins.
    fn edge(self, number: i64) -> Result<Timestamp> {
        match self {
            Self::Even { origin, length } => {
                let seconds = length.as_secs().saturating_mul(number);
                origin.checked_add(SignedDuration::from_secs(seconds)).map_err(out_of_time)
            }
            Self::Months => {
                // within 12 months of the calendar's years, which fit
                let (year, month) = (number.div_euclid(12) as i16, number.rem_euclid(12) as i8 + 1);
                let first = Date::new(year, month, 1).map_err(out_of_time)?;
                TimeZone::UTC.to_timestamp(first.into()).map_err(out_of_time)
            }
        }
    }
}

fn origin(alignment: Alignment, first: Timestamp) -> Result<Timestamp> {
    match alignment {
        Alignment::Epoch => Ok(Timestamp::UNIX_EPOCH),
        Alignment::FirstStep => Ok(first),
        // Unix time has days of 86400 s from midnight UTC
        Alignment::Midnight => {
            let day = first.as_second().div_euclid(86_400);
            Timestamp::from_second(day * 86_400).map_err(out_of_time)
        }
    }
}

fn out_of_time(error: jiff::Error) -> Error {
    Error::new("a window leaves the calendar")
        .found(error)
        .expected("times between the years -9999 and 9999")
        .remedy("check the forecast's times")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Timestamp {
        text.parse().unwrap()
    }

    fn hours(hours: &[i64]) -> Vec<Timestamp> {
        hours.iter().map(|&h| at("2030-03-01T00:00:00Z") + SignedDuration::from_hours(h)).collect()
    }

    #[test]
    fn lengths_as_people_write_them() {
        for (text, minutes) in [("6h", 360), ("90m", 90), ("1d", 1440), ("1d12h", 2160)] {
            assert_eq!(
                text.parse::<WindowLength>().unwrap(),
                WindowLength::Every(SignedDuration::from_mins(minutes))
            );
        }
        assert_eq!("all".parse::<WindowLength>().unwrap(), WindowLength::All);
        for text in ["", "6", "h", "0h", "-6h", "6h ago", "1mo", "400d", "six", "6 x", "1ms"] {
            assert!(text.parse::<WindowLength>().is_err(), "{text:?}");
        }
    }

    /// By hand: steps at 03, 06, 09 and 21 h in windows of 6 h; 12-18 h is empty.
    #[test]
    fn windows_stand_on_midnight_and_gaps_are_told() {
        let six = WindowLength::Every(SignedDuration::from_hours(6));
        let windows = Windows::assign(six, Alignment::Midnight, &hours(&[3, 6, 9, 21])).unwrap();
        assert_eq!(windows.window_of_step, [0, 1, 1, 2]);
        assert_eq!(windows.windows[0].start, at("2030-03-01T00:00:00Z"));
        assert_eq!(windows.windows[1].end, at("2030-03-01T12:00:00Z"));
        assert_eq!(
            windows.empty,
            [Window { start: at("2030-03-01T12:00:00Z"), end: at("2030-03-01T18:00:00Z") }]
        );
        let own = Windows::assign(six, Alignment::FirstStep, &hours(&[3, 6, 9, 21])).unwrap();
        assert_eq!(own.window_of_step, [0, 0, 1, 2]);
        assert_eq!(own.empty.len(), 1);
    }

    /// By hand: 2030-03-01 is 21,974 days after 1970-01-01, 3139 weeks and a day: its week begins the day before.
    #[test]
    fn windows_of_a_week_agree_whatever_day_a_file_begins() {
        let week = WindowLength::Every(SignedDuration::from_hours(7 * 24));
        let of = |first: i64| Windows::assign(week, Alignment::Epoch, &hours(&[first, first + 24])).unwrap();
        for first in [0, 24, 96] {
            assert_eq!(of(first).windows[0].start, at("2030-02-28T00:00:00Z"), "{first}");
        }
        assert_eq!(of(120).windows.len(), 2);
        assert_eq!(of(144).windows[0].start, at("2030-03-07T00:00:00Z"));
    }

    #[test]
    fn months_are_the_calendar_s() {
        let steps = ["2031-12-31T23:00:00Z", "2032-01-01T00:00:00Z", "2032-03-01T00:00:00Z"].map(at);
        let windows = Windows::assign(WindowLength::Month, Alignment::Midnight, &steps).unwrap();
        assert_eq!(windows.window_of_step, [0, 1, 2]);
        assert_eq!(
            windows.windows[0],
            Window { start: at("2031-12-01T00:00:00Z"), end: at("2032-01-01T00:00:00Z") }
        );
        let february = Window { start: at("2032-02-01T00:00:00Z"), end: at("2032-03-01T00:00:00Z") };
        assert_eq!(windows.empty, [february]);
        assert!(february.is_month() && windows.windows[1].next(true) == Some(february));
        let shifted = Window { start: at("2032-02-01T01:00:00Z"), ..february };
        assert!(!shifted.is_month());
        // 29 days on from a leap year's February
        assert_eq!(february.next(false).unwrap().end, at("2032-03-30T00:00:00Z"));
        assert!(Windows::assign(WindowLength::Month, Alignment::FirstStep, &steps).is_err());
        assert_eq!("month".parse::<WindowLength>().unwrap().to_string(), "month");
    }

    #[test]
    fn one_window_over_all_holds_the_last_step() {
        let windows = Windows::assign(WindowLength::All, Alignment::Midnight, &hours(&[3, 4, 7])).unwrap();
        assert_eq!(
            windows.windows,
            [Window { start: at("2030-03-01T03:00:00Z"), end: at("2030-03-01T10:00:00Z") }]
        );
        assert_eq!(windows.window_of_step, [0, 0, 0]);
        assert!(Windows::assign(WindowLength::All, Alignment::Midnight, &hours(&[4, 3])).is_err());
        assert!(Windows::assign(WindowLength::All, Alignment::Midnight, &[]).is_err());
    }

    /// By hand: hourly to 2 h, three-hourly on; the step at 2 h stands for half an hour and one and a half.
    #[test]
    fn steps_stand_for_the_time_around_them() {
        let spans = step_spans_s(&hours(&[0, 1, 2, 5, 8])).unwrap();
        assert_eq!(spans, [3600.0, 3600.0, 7200.0, 10800.0, 10800.0]);
        assert_eq!(step_spans_s(&hours(&[7])).unwrap(), [10_800.0]);
        let lone = Windows::assign(WindowLength::All, Alignment::Midnight, &hours(&[7])).unwrap();
        assert_eq!(
            lone.windows,
            [Window { start: at("2030-03-01T07:00:00Z"), end: at("2030-03-01T10:00:00Z") }]
        );
    }
}
