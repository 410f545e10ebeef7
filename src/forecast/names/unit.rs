//! Units and senses of a file to those used here.

use std::f64::consts::PI;

use crate::base::units::KN;
use crate::forecast::quantity::Quantity;

/// What is done to each value of a field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Conversion {
    /// Nothing.
    None,
    /// Times a factor.
    Scale(f64),
    /// Degrees towards to degrees from.
    Reverse,
    /// Radians to degrees, then towards to from.
    RadiansReverse,
    /// Frequency in Hz to period in s; no value where there is no positive frequency.
    Reciprocal,
}

/// Radians to degrees.
const RADIANS: Conversion = Conversion::Scale(180.0 / PI);

impl Conversion {
    /// Converts one value; not-a-number stays so.
    pub(in crate::forecast) fn apply(self, value: f64) -> f64 {
        match self {
            Self::None => value,
            Self::Scale(factor) => value * factor,
            Self::Reverse => reverse(value),
            Self::RadiansReverse => reverse(value * (180.0 / PI)),
            Self::Reciprocal if value > 0.0 => 1.0 / value,
            Self::Reciprocal => f64::NAN,
        }
    }

    /// Adds a unit's conversion before a sense or a reciprocal; none where the two don't go together.
    pub(super) fn after_unit(self, unit: Self) -> Option<Self> {
        match (self, unit) {
            (any, Self::None) => Some(any),
            (Self::None, unit) => Some(unit),
            (Self::Reverse, RADIANS) => Some(Self::RadiansReverse),
            // a name that says frequency and a unit that says Hz mean one and the same
            (Self::Reciprocal, Self::Reciprocal) => Some(Self::Reciprocal),
            _ => None,
        }
    }

    /// What a user should know of it.
    pub(super) fn note(self) -> Option<&'static str> {
        match self {
            Self::None => None,
            Self::Scale(_) if self == RADIANS => Some("radians in the file, turned into degrees"),
            Self::Scale(_) => Some("another unit in the file, converted"),
            Self::Reverse => Some("towards in the file, turned into from"),
            Self::RadiansReverse => Some("radians towards in the file, turned into degrees from"),
            Self::Reciprocal => Some("a frequency in the file, turned into a period"),
        }
    }
}

fn reverse(deg: f64) -> f64 {
    (deg + 180.0).rem_euclid(360.0)
}

/// From the unit a file states to the quantity's own; none where the unit is of another kind.
pub(super) fn from_unit(quantity: Quantity, unit: &str) -> Option<Conversion> {
    let unit: String = unit.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
    let conversion = match quantity {
        Quantity::Hs(_) | Quantity::BandHs { .. } | Quantity::Depth => match unit.as_str() {
            "m" | "meter" | "meters" | "metre" | "metres" => Conversion::None,
            "cm" => Conversion::Scale(0.01),
            "ft" | "feet" | "foot" => Conversion::Scale(0.3048),
            _ => return None,
        },
        Quantity::Period(..) => match unit.as_str() {
            "s" | "sec" | "second" | "seconds" => Conversion::None,
            "hz" | "s-1" | "s**-1" | "1/s" | "s^-1" => Conversion::Reciprocal,
            _ => return None,
        },
        Quantity::WindFrom | Quantity::From(..) | Quantity::Spread(_) => match unit.as_str() {
            u if u.starts_with("deg") || u == "°" => Conversion::None,
            "rad" | "radian" | "radians" => RADIANS,
            _ => return None,
        },
        Quantity::WindSpeed | Quantity::WindEastward | Quantity::WindNorthward => match unit.as_str() {
            "m/s" | "m s-1" | "m s**-1" | "m.s-1" | "m s^-1" | "meter/second" | "metre/second" => {
                Conversion::None
            }
            "kn" | "kt" | "kts" | "knot" | "knots" => Conversion::Scale(KN),
            "km/h" | "km h-1" => Conversion::Scale(1.0 / 3.6),
            _ => return None,
        },
        Quantity::Spectrum => return None,
    };
    Some(conversion)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::forecast::quantity::{DirectionKind, SystemLabel};
    use crate::sea::PeriodKind;

    /// By hand: towards 090 is from 270; 3 pi / 2 radians are 270 degrees; 0.125 Hz are 8 s; 10 kn are 5.1444 m/s.
    #[test]
    fn units_and_senses_convert() {
        assert_eq!(Conversion::Reverse.apply(90.0), 270.0);
        assert_eq!(Conversion::Reverse.apply(270.0), 90.0);
        assert!((Conversion::RadiansReverse.apply(PI / 2.0) - 270.0).abs() < 1e-4);
        assert_eq!(Conversion::Reciprocal.apply(0.125), 8.0);
        assert!(Conversion::Reciprocal.apply(0.0).is_nan());
        let from = |q, unit: &str| from_unit(q, unit);
        let direction = Quantity::From(SystemLabel::Total, DirectionKind::Mean);
        assert_eq!(from(direction, "Degree true"), Some(Conversion::None));
        assert!((from(direction, "radians").unwrap().apply(1.5 * PI) - 270.0).abs() < 1e-4);
        let period = Quantity::Period(SystemLabel::Total, PeriodKind::Peak);
        assert_eq!(from(period, "Hz"), Some(Conversion::Reciprocal));
        assert_eq!(from(period, "m"), None);
        assert!((from(Quantity::WindSpeed, "knots").unwrap().apply(10.0) - 5.1444).abs() < 1e-4);
        assert_eq!(Conversion::Reverse.after_unit(RADIANS), Some(Conversion::RadiansReverse));
        assert_eq!(Conversion::Reciprocal.after_unit(RADIANS), None);
    }
}
