//! A resistance curve of the user's own, from tank tests or a flow solver.

use crate::base::{Error, Result};
use crate::base::{Flag, Flags};
use crate::hydro::calm_water::curve::Calm;
use crate::maths::monotone_cubic;

/// Resistance against speed in flat water, joined by a monotone cubic so that its slope is continuous.
#[derive(Debug, Clone, PartialEq)]
pub struct UserCurve {
    speed_m_s: Vec<f64>,
    resistance_n: Vec<f64>,
}

impl UserCurve {
    /// Takes at least three points with speeds above zero and rising and resistances above zero.
    ///
    /// # Errors
    /// Names the first row that breaks this.
    pub fn new(speed_m_s: Vec<f64>, resistance_n: Vec<f64>) -> Result<Self> {
        let bad = |problem: &str| Error::new(format!("resistance curve: {problem}"));
        if speed_m_s.len() != resistance_n.len() {
            return Err(bad("speeds and resistances differ in number")
                .found(format!("{} speeds, {} resistances", speed_m_s.len(), resistance_n.len()))
                .expected("one resistance for each speed"));
        }
        if speed_m_s.len() < 3 {
            return Err(bad("too few points").found(speed_m_s.len()).expected("at least 3"));
        }
        let mut previous = 0.0;
        for (row, (&speed, &resistance)) in speed_m_s.iter().zip(&resistance_n).enumerate() {
            let place = format!("point {}", row + 1);
            if !(speed.is_finite() && speed > previous) {
                return Err(bad("speeds must be above zero and rise")
                    .at(place)
                    .found(format!("{speed} m/s after {previous} m/s"))
                    .remedy("sort the points by speed and remove doubles and the point at rest"));
            }
            if !(resistance.is_finite() && resistance > 0.0) {
                return Err(bad("a resistance is not above zero").at(place).found(format!("{resistance} N")));
            }
            previous = speed;
        }
        Ok(Self { speed_m_s, resistance_n })
    }

    /// Resistance at a speed. Beyond either end R/V² of the end point is held and the result is flagged
    /// [`Flag::CalmWaterOutOfRange`]; at rest it is zero, unflagged.
    pub fn resistance_n(&self, speed_m_s: f64) -> Calm {
        let last = self.speed_m_s.len() - 1;
        let held = |end: usize| Calm {
            resistance_n: self.resistance_n[end] * (speed_m_s / self.speed_m_s[end]).powi(2),
            flags: if speed_m_s == 0.0 { Flags::empty() } else { Flag::CalmWaterOutOfRange.into() },
        };
        if speed_m_s < self.speed_m_s[0] {
            held(0)
        } else if speed_m_s > self.speed_m_s[last] {
            held(last)
        } else {
            Calm {
                resistance_n: monotone_cubic::interpolate(
                    &self.speed_m_s,
                    |i| self.resistance_n[i],
                    speed_m_s,
                ),
                flags: Flags::empty(),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve() -> UserCurve {
        UserCurve::new(vec![2.0, 4.0, 6.0, 8.0], vec![200.0, 900.0, 2500.0, 4000.0]).unwrap()
    }

    #[test]
    fn passes_through_its_points_and_flags_exactly_outside() {
        assert_eq!(curve().resistance_n(4.0), Calm { resistance_n: 900.0, flags: Flags::empty() });
        assert!(curve().resistance_n(2.0).flags.is_empty() && curve().resistance_n(8.0).flags.is_empty());
        let above = curve().resistance_n(16.0);
        assert_eq!((above.resistance_n, above.flags), (16_000.0, Flag::CalmWaterOutOfRange.into()));
        let below = curve().resistance_n(1.0);
        assert_eq!((below.resistance_n, below.flags), (50.0, Flag::CalmWaterOutOfRange.into()));
        assert_eq!(curve().resistance_n(0.0), Calm { resistance_n: 0.0, flags: Flags::empty() });
    }

    #[test]
    fn names_the_row_that_is_wrong() {
        let error = UserCurve::new(vec![2.0, 4.0, 4.0], vec![1.0, 2.0, 3.0]).unwrap_err().to_string();
        assert!(error.contains("point 3") && error.contains("4 m/s after 4 m/s"), "{error}");
        assert!(UserCurve::new(vec![2.0, 4.0, 5.0], vec![1.0, f64::NAN, 3.0]).is_err());
        assert!(UserCurve::new(vec![2.0, 4.0], vec![1.0, 2.0]).is_err());
        assert!(UserCurve::new(vec![2.0, 4.0, 5.0], vec![1.0, 2.0]).is_err());
    }
}
