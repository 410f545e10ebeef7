//! Units of time: "hours since 1990-01-01T00:00:00Z" to an epoch and a length, and texts that are times.
//!
//! CF 1.11, 4.4: a unit, "since", a date with or without a time of day and an offset from UTC. Read besides what files
//! hold: `T` between date and time, `Z`, `UTC` or `GMT`, offsets with and without colon, fractions of a second, fields
//! without their leading zero. In the standard calendar dates before 1582-10-15 are Julian (4.4.1).

use jiff::Timestamp;
use jiff::civil::{Date, date};

use crate::base::{Error, Result};

/// What a time coordinate counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TimeUnit {
    /// Seconds since 1970-01-01 00:00 UTC.
    epoch_s: f64,
    /// Seconds a unit.
    seconds: f64,
}

const EXPECTED: &str = "for example \"hours since 1970-01-01 00:00:00\"";

impl TimeUnit {
    /// # Errors
    /// A unit without a fixed length, no date, or a calendar of a climate model.
    pub fn parse(unit: &str, calendar: Option<&str>) -> Result<Self> {
        let bad = |problem: &str| Error::new(problem).found(format!("\"{unit}\"")).expected(EXPECTED);
        let lower = unit.to_lowercase();
        let (length, since) =
            lower.split_once(" since ").ok_or_else(|| bad("a time is in an unknown unit"))?;
        let seconds = match length.trim() {
            "nanosecond" | "nanoseconds" | "ns" => 1e-9,
            "microsecond" | "microseconds" | "us" => 1e-6,
            "millisecond" | "milliseconds" | "msec" | "ms" => 1e-3,
            "second" | "seconds" | "sec" | "secs" | "s" => 1.0,
            "minute" | "minutes" | "min" | "mins" => 60.0,
            "hour" | "hours" | "hr" | "hrs" | "h" => 3600.0,
            "day" | "days" | "d" => 86_400.0,
            "week" | "weeks" => 604_800.0,
            _ => return Err(bad("a time is in a unit without a fixed length")),
        };
        let is_mixed = match calendar.map(str::to_lowercase).as_deref() {
            None | Some("standard" | "gregorian") => true,
            Some("proleptic_gregorian") => false,
            Some(other) => {
                return Err(Error::new("the times are in a calendar of a climate model, not of the world")
                    .found(other)
                    .expected("standard, gregorian or proleptic_gregorian"));
            }
        };
        let epoch_s = instant(since, is_mixed).ok_or_else(|| bad("a time does not count from a date"))?;
        Ok(Self { epoch_s, seconds })
    }

    /// To the nearest second: times in fractions of a day do not come out even.
    pub fn time(self, value: f64) -> Option<Timestamp> {
        let seconds = (self.epoch_s + value * self.seconds).round();
        // years 1 to 9999: what a calendar of the world holds
        (seconds.abs() < 3.2e11).then(|| Timestamp::from_second(seconds as i64).ok()).flatten()
    }
}

/// A time written out, as "2024-01-15T06:00:00Z".
pub(super) fn text_time(text: &str) -> Option<Timestamp> {
    // WRF's "2024-01-15_06:00:00"
    let text = text.trim().trim_matches('\0').to_lowercase().replace('_', "t");
    TimeUnit { epoch_s: instant(&text, false)?, seconds: 1.0 }.time(0.0)
}

/// Seconds since 1970 of a date, a time of day and an offset, in small letters.
fn instant(text: &str, is_mixed: bool) -> Option<f64> {
    let text = text.trim();
    let date_end = text.find([' ', 't']).unwrap_or(text.len());
    let (date_text, rest) = text.split_at(date_end);
    let mut fields = date_text.splitn(3, '-').map(|field| field.parse::<i16>().ok());
    let (year, month, day) = (fields.next()??, fields.next()??, fields.next()??);
    let days = days(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?, is_mixed)?;
    let rest = rest.trim_start_matches(['t', ' ']);
    // the zone starts at a letter, a space or a sign
    let zone_at = rest.find(|c: char| !(c.is_ascii_digit() || c == ':' || c == '.')).unwrap_or(rest.len());
    let (clock, zone) = rest.split_at(zone_at);
    Some(days as f64 * 86_400.0 + clock_s(clock)? - zone_s(zone.trim())?)
}

/// Days since 1970-01-01.
fn days(year: i16, month: i8, day: i8, is_mixed: bool) -> Option<i64> {
    if is_mixed && (year, month, day) < (1582, 10, 15) {
        let leap = i8::from(year % 4 == 0);
        let length = [31, 28 + leap, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
        let most = *length.get(usize::try_from(month).ok()?.checked_sub(1)?)?;
        if !(1..=most).contains(&day) {
            return None;
        }
        // Julian day numbers (Explanatory Supplement to the Astronomical Almanac, 12.92, from memory); 1970-01-01 is 2440588
        let (y, m, d) = (i64::from(year), i64::from(month), i64::from(day));
        let shift = (14 - m) / 12;
        let (years, months) = (y + 4800 - shift, m + 12 * shift - 3);
        return Some(d + (153 * months + 2) / 5 + 365 * years + years / 4 - 32_083 - 2_440_588);
    }
    let written = Date::new(year, month, day).ok()?;
    Some(i64::from(date(1970, 1, 1).until(written).ok()?.get_days()))
}

fn clock_s(text: &str) -> Option<f64> {
    if text.is_empty() {
        return Some(0.0);
    }
    let fields: Vec<f64> = text.split(':').map(|field| field.parse().ok()).collect::<Option<_>>()?;
    let (hour, minute, second) = match fields[..] {
        [hour] => (hour, 0.0, 0.0),
        [hour, minute] => (hour, minute, 0.0),
        [hour, minute, second] => (hour, minute, second),
        _ => return None,
    };
    let is_clock =
        (0.0..=24.0).contains(&hour) && (0.0..60.0).contains(&minute) && (0.0..=60.0).contains(&second);
    is_clock.then_some(hour * 3600.0 + minute * 60.0 + second)
}

/// How far a zone is ahead of UTC, seconds.
fn zone_s(text: &str) -> Option<f64> {
    let text = text.strip_prefix("utc").or_else(|| text.strip_prefix("gmt")).unwrap_or(text).trim();
    if matches!(text, "" | "z") {
        return Some(0.0);
    }
    let (sign, offset) = match (text.strip_prefix('+'), text.strip_prefix('-')) {
        (Some(offset), _) => (1.0, offset),
        (_, Some(offset)) => (-1.0, offset),
        _ => return None,
    };
    let (hours, minutes) = match offset.split_once(':') {
        Some(pair) => pair,
        None if offset.len() == 4 => offset.split_at(2),
        None => (offset, "0"),
    };
    let (hours, minutes): (f64, f64) = (hours.parse().ok()?, minutes.parse().ok()?);
    (hours <= 14.0 && minutes < 60.0).then_some(sign * (hours * 3600.0 + minutes * 60.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(unit: &str, value: f64) -> String {
        let unit = TimeUnit::parse(unit, None);
        unit.map_or_else(|e| e.to_string(), |unit| unit.time(value).unwrap().to_string())
    }

    /// By hand; the last two as cftime 1.6 dates them: days since 1-1-1 in the standard calendar.
    #[test]
    fn every_way_of_writing_a_unit_is_read() {
        let epoch = "2024-01-15T06:00:00Z";
        for unit in [
            "hours since 2024-01-15",
            "hours since 2024-1-15 0:0:0",
            "Hours Since 2024-01-15T00:00:00Z",
            "hours since 2024-01-15T00:00:00+00:00",
            "hours since 2024-01-15 00:00:00 UTC",
            "hours since 2024-01-15 00:00:0.0",
            "hours since 2024-01-15 00:00:00.000000",
            "hours since 2024-01-15 00:00 GMT",
            "hours since 2024-01-15T02:00:00+0200",
            "hours since 2024-01-14 18:00:00 -6:00",
            "hours since 2024-01-15 03 +3",
        ] {
            assert_eq!(at(unit, 6.0), epoch, "{unit}");
        }
        assert_eq!(at("days since 1990-01-01T00:00:00Z", 12_432.25), "2024-01-15T06:00:00Z");
        assert_eq!(at("nanoseconds since 1970-01-01", 1_705_298_400e9), epoch);
        assert_eq!(at("days since 1-1-1 00:00:00", 738_901.0), "2024-01-15T00:00:00Z");
        assert_eq!(
            TimeUnit::parse("days since 1-1-1", Some("proleptic_gregorian"))
                .unwrap()
                .time(738_899.0)
                .unwrap()
                .to_string(),
            "2024-01-15T00:00:00Z"
        );
    }

    #[test]
    fn what_is_no_unit_says_so() {
        for unit in [
            "hours",
            "hours since",
            "hours since then",
            "hours since 2024-13-01",
            "hours since 2024-01-15 25:00",
        ] {
            assert!(TimeUnit::parse(unit, None).is_err(), "{unit}");
        }
        assert!(at("months since 2024-01-15", 1.0).contains("fixed length"));
        assert!(TimeUnit::parse("days since 2024-01-15", Some("360_day")).is_err());
        assert!(at("hours since 2024-01-15 00:00 CET", 1.0).contains("does not count from a date"));
    }

    #[test]
    fn texts_are_times() {
        let at = |text: &str| text_time(text).map(|time| time.to_string());
        assert_eq!(at("2024-01-15T06:00:00Z").as_deref(), Some("2024-01-15T06:00:00Z"));
        assert_eq!(at("2024-01-15_06:00:00").as_deref(), Some("2024-01-15T06:00:00Z"));
        assert_eq!(at("2024-01-15 06:00 ").as_deref(), Some("2024-01-15T06:00:00Z"));
        assert_eq!(at("20240115"), None);
    }
}
