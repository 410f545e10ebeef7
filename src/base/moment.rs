//! Times as people write them: ISO 8601, dates with the month's name, `now`; UTC where no offset is given.

use jiff::{Timestamp, civil, tz};

/// Names of months, whole or by their first three letters.
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// What is taken for a time, for those who gave none.
pub const EXPECTED: &str = "a time in UTC such as 2030-03-01T12:00, \"1 Mar 2030 12:00\" or now; with an offset 2030-03-01T12:00+13:00";

/// An instant: `2030-03-01T12:00`, `2030-03-01 1200Z`, `1 March 2030 12:00`, `Mar 1, 2030`, `now`. Midnight where no hour
/// is given.
///
/// # Errors
/// Text that is none of these, in words.
pub fn moment(text: &str) -> Result<Timestamp, String> {
    let bare = text.trim();
    if bare.eq_ignore_ascii_case("now") {
        return Ok(Timestamp::now());
    }
    let utc = |time| tz::TimeZone::UTC.to_timestamp(time).ok();
    let read = bare
        .parse::<Timestamp>()
        .ok()
        .or_else(|| bare.parse::<civil::DateTime>().ok().and_then(utc))
        .or_else(|| by_words(bare).and_then(utc));
    read.ok_or_else(|| format!("`{text}` is no time; give {EXPECTED}"))
}

/// A date and perhaps an hour, in words.
fn by_words(text: &str) -> Option<civil::DateTime> {
    let spaced = text.replace(',', " ");
    let words: Vec<&str> = spaced
        .split_whitespace()
        .filter(|word| !["utc", "gmt", "z", "at"].contains(&word.to_ascii_lowercase().as_str()))
        .collect();
    let (date, hour): (Vec<&str>, Vec<&str>) =
        words.iter().partition(|word| clock(word).is_none() || word.len() < 4 || is_year(word, &words));
    let (hour, minute) = match hour.as_slice() {
        [] => (0, 0),
        [one] => clock(one)?,
        _ => return None,
    };
    let date = iso(&date).or_else(|| named(&date))?;
    date.at(hour, minute, 0, 0).into()
}

fn iso(words: &[&str]) -> Option<civil::Date> {
    let [one] = words else { return None };
    one.parse().ok()
}

/// Day, month by name and year in the order 1 March 2030 or March 1 2030, or with the year first.
fn named(words: &[&str]) -> Option<civil::Date> {
    let joined = words.iter().flat_map(|word| word.split('-')).collect::<Vec<_>>();
    let [a, b, c] = joined.as_slice() else { return None };
    let [day, month, year] =
        if month_of(b).is_some() { if a.len() == 4 { [c, b, a] } else { [a, b, c] } } else { [b, a, c] };
    let day = day.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '.').parse().ok()?;
    civil::Date::new(four_digits(year)?, month_of(month)?, day).ok()
}

fn month_of(word: &str) -> Option<i8> {
    let word = word.trim_end_matches('.').to_ascii_lowercase();
    let number = MONTHS.iter().position(|month| word.len() >= 3 && month.starts_with(&word))?;
    i8::try_from(number + 1).ok()
}

fn four_digits(word: &str) -> Option<i16> {
    if word.len() == 4 { word.parse().ok() } else { None }
}

/// Whether a word of four digits is the year: no other is.
fn is_year(word: &str, words: &[&str]) -> bool {
    let digits = |word: &&&str| word.len() == 4 && word.chars().all(|c| c.is_ascii_digit());
    let named = words.iter().any(|word| word.split('-').any(|part| month_of(part).is_some()));
    // of 1 Mar 2030 1200 the first is the year; of 2030-03-01 1200 none
    named && words.iter().find(digits).is_some_and(|first| std::ptr::eq(*first, word))
}

/// An hour of the day: `12:00`, `1200`, `12:00Z`.
fn clock(word: &str) -> Option<(i8, i8)> {
    let word = word.trim_end_matches(['z', 'Z', 'h']);
    let (hour, minute) = match word.split_once(':') {
        Some(parts) => parts,
        None if word.len() == 4 => word.split_at_checked(2)?,
        None => return None,
    };
    let digits = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    let number =
        |text: &str, most: i8| text.parse::<i8>().ok().filter(|value| digits(text) && *value <= most);
    number(hour, 23).zip(number(minute, 59))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_instant_in_many_hands() {
        let noon: Timestamp = "2030-03-01T12:00:00Z".parse().unwrap();
        for text in [
            "2030-03-01T12:00",
            "2030-03-01 12:00",
            "2030-03-01T12:00Z",
            "2030-03-02T01:00+13:00",
            "2030-03-01 1200Z",
            "1 Mar 2030 12:00",
            "01 March 2030 1200 UTC",
            "March 1, 2030 12:00Z",
            "12:00 1 mar 2030",
            "1-Mar-2030 12:00",
            "2030 Mar 1 12:00",
            "1st March 2030 at 12:00",
        ] {
            assert_eq!(moment(text), Ok(noon), "{text}");
        }
        let midnight: Timestamp = "2030-03-01T00:00:00Z".parse().unwrap();
        for text in ["2030-03-01", "1 Mar 2030", "mar 1 2030"] {
            assert_eq!(moment(text), Ok(midnight), "{text}");
        }
        assert!(moment("now").unwrap() <= Timestamp::now());
    }

    #[test]
    fn what_is_no_time_is_told() {
        for text in [
            "",
            "soon",
            "1 Mrz 2030",
            "32 Mar 2030",
            "1 Mar",
            "12:00",
            "1 Mar 2030 25:00",
            "1/3/2030",
            "1 Mar 30",
        ] {
            assert!(moment(text).unwrap_err().contains("2030-03-01T12:00"), "{text}");
        }
    }
}
