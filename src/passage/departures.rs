//! The times of several departures.

use crate::base::{Error, Result};
use jiff::{SignedDuration, Timestamp};

/// Departures from a first one at a spacing: as many as asked for, else up to the last time, of a forecast.
///
/// # Errors
/// A spacing that is not above zero; more than 1000 departures; a time beyond the calendar.
pub fn departures(
    first: Timestamp,
    every: SignedDuration,
    count: Option<usize>,
    last: Option<Timestamp>,
) -> Result<Vec<Timestamp>> {
    const MOST: usize = 1000;
    if !every.is_positive() {
        return Err(Error::new("departures need a spacing above zero").found(format!("{every:#}")));
    }
    let mut starts = vec![first];
    while starts.len() < count.unwrap_or(MOST + 1) {
        let next = starts[starts.len() - 1].checked_add(every).map_err(|error| {
            Error::new("a departure leaves the calendar").found(error).remedy("ask for fewer departures")
        })?;
        if count.is_none() && last.is_none_or(|last| next > last) {
            break;
        }
        if starts.len() == MOST {
            return Err(Error::new("there are too many departures")
                .found(format!("more than {MOST}"))
                .expected(format!("at most {MOST}"))
                .remedy("give a longer --start-every, or fewer --starts"));
        }
        starts.push(next);
    }
    Ok(starts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_many_as_asked_for_or_to_the_end_of_the_forecast() {
        let at = |text: &str| text.parse::<Timestamp>().unwrap();
        let six = SignedDuration::from_hours(6);
        let first = at("2030-03-01T03:00:00Z");
        let of = |count, last: &str| departures(first, six, count, Some(at(last))).unwrap().len();
        assert_eq!(of(Some(4), "2030-03-01T06:00:00Z"), 4);
        // by hand: 03, 09, 15 and 21 h
        assert_eq!(of(None, "2030-03-01T21:00:00Z"), 4);
        assert_eq!(of(None, "2030-03-01T20:00:00Z"), 3);
        assert_eq!(of(None, "2030-02-01T00:00:00Z"), 1);
        assert!(departures(first, SignedDuration::ZERO, None, None).is_err());
        assert!(departures(first, SignedDuration::from_secs(1), Some(5000), None).is_err());
    }
}
