//! Numbers that a question is asked with, held to their ranges.

use crate::base::{Error, Result};
use std::ops::RangeInclusive;

/// A number above 0.
///
/// # Errors
/// Any other.
pub(super) fn positive(name: &str, value: f64) -> Result<f64> {
    held(name, value, value > 0.0 && value.is_finite(), "a number above 0")
}

/// A number not below 0.
///
/// # Errors
/// Any other.
pub(super) fn non_negative(name: &str, value: f64) -> Result<f64> {
    held(name, value, value >= 0.0 && value.is_finite(), "a number not below 0")
}

/// A finite number.
///
/// # Errors
/// Any other.
pub(super) fn finite(name: &str, value: f64) -> Result<f64> {
    held(name, value, value.is_finite(), "a finite number")
}

/// A number within a range.
///
/// # Errors
/// Any other.
pub(super) fn within(name: &str, value: f64, range: RangeInclusive<f64>) -> Result<f64> {
    held(name, value, range.contains(&value), &format!("{} to {}", range.start(), range.end()))
}

fn held(name: &str, value: f64, fits: bool, expected: &str) -> Result<f64> {
    if fits {
        return Ok(value);
    }
    Err(Error::new(format!("{name} is out of range"))
        .at(name)
        .found(value)
        .expected(expected)
        .remedy(format!("correct {name}")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_out_of_range_are_named_with_what_is_expected() {
        assert_eq!(within("wave_angle_deg", 180.0, 0.0..=180.0), Ok(180.0));
        assert_eq!((positive("tp_s", 0.1), non_negative("hs_m", 0.0)), (Ok(0.1), Ok(0.0)));
        for (wrong, words) in [
            (positive("tp_s", 0.0), ["tp_s is out of range", "above 0"]),
            (positive("tp_s", f64::INFINITY), ["tp_s is out of range", "inf"]),
            (non_negative("hs_m", f64::NAN), ["hs_m is out of range", "NaN"]),
            (finite("off_wind_deg", f64::NAN), ["off_wind_deg", "a finite number"]),
            (within("wave_angle_deg", 181.0, 0.0..=180.0), ["181", "0 to 180"]),
        ] {
            let told = wrong.unwrap_err().to_string();
            assert!(words.iter().all(|word| told.contains(word)), "{told}");
        }
    }
}
