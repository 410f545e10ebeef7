//! The height of a wind: that of 10 m is taken, any other is named and left alone.
//!
//! A height is told by a vertical dimension or a scalar coordinate (CF 1.11, 4.3; cfgrib's `heightAboveGround`,
//! `isobaricInhPa`), else by `GRIB_typeOfLevel`, by a number in the name (`u100`, `UGRD_80maboveground`, `u850`) or in the
//! long name ("100 metre U wind component"). A wind that states no height is taken to be of 10 m, as wave models write
//! it, and so is one of the surface, as their GRIB files have it.

use crate::base::Result;
use crate::forecast::netcdf::file::{File, Variable};

/// The height that counts, m.
const WANTED_M: f64 = 10.0;
/// What rounding may take from it.
const ROUNDING_M: f64 = 0.05;
/// A number without a unit in a wind's name is its place in a list below this, a height or pressure from here on.
const LEAST_BARE_NUMBER: f64 = 20.0;

/// What of a wind's variable is of 10 m.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum WindLevel {
    /// All of it.
    Whole,
    /// One place along a vertical dimension.
    At {
        /// The dimension's name.
        dim: String,
        /// Where along it.
        index: u64,
    },
    /// None of it, and why.
    Other(String),
}

/// What a vertical coordinate counts.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Vertical {
    /// Metres above ground or sea, of so many metres a unit.
    Height(f64),
    /// The surface itself.
    Surface,
    /// Pressure, model levels and the like.
    Other,
}

/// What of a wind's variable is of 10 m.
///
/// # Errors
/// A vertical coordinate that cannot be read.
pub(super) fn of_wind(file: &File, variables: &[Variable], wind: &Variable) -> Result<WindLevel> {
    let named = |name: &str| variables.iter().find(|v| v.name == name);
    for dim in &wind.dims {
        let Some((coordinate, vertical)) = named(&dim.name).and_then(|v| Some((v, vertical(v)?))) else {
            continue;
        };
        let values = file.coordinate(coordinate)?;
        let index = match vertical {
            Vertical::Height(metres) => values.iter().position(|v| is_wanted(v * metres)),
            Vertical::Surface => (values.len() == 1).then_some(0),
            Vertical::Other => None,
        };
        return Ok(match index {
            Some(index) => WindLevel::At { dim: dim.name.clone(), index: index as u64 },
            None => WindLevel::Other(at(coordinate, &values)),
        });
    }
    let stated = wind.text("coordinates");
    let belongs = |v: &&Variable| match stated {
        Some(names) => names.split_whitespace().any(|name| name == v.name),
        None => true,
    };
    for coordinate in variables.iter().filter(|v| v.dims.is_empty()).filter(belongs) {
        let Some(vertical) = vertical(coordinate) else { continue };
        let values = file.coordinate(coordinate)?;
        let is_right = match vertical {
            Vertical::Height(metres) => values.first().is_some_and(|v| is_wanted(v * metres)),
            Vertical::Surface => true,
            Vertical::Other => false,
        };
        return Ok(if is_right { WindLevel::Whole } else { WindLevel::Other(at(coordinate, &values)) });
    }
    Ok(by_words(wind).map_or(WindLevel::Whole, WindLevel::Other))
}

fn is_wanted(metres: f64) -> bool {
    (metres - WANTED_M).abs() < ROUNDING_M
}

fn at(coordinate: &Variable, values: &[f64]) -> String {
    let listed: Vec<String> = values.iter().take(4).map(|v| format!("{v}")).collect();
    let unit = coordinate.unit.as_deref().unwrap_or_default();
    let more = if values.len() > 4 { " and more" } else { "" };
    not_used(format!("{} {} {unit}", coordinate.name, listed.join(", ")).trim_end(), more)
}

fn not_used(level: &str, more: &str) -> String {
    format!("wind at {level}{more} is not used: the model needs that of 10 m")
}

/// What a variable counts upwards, if it is a vertical coordinate.
fn vertical(variable: &Variable) -> Option<Vertical> {
    let unit = variable.unit.as_deref().unwrap_or_default().to_lowercase();
    let length = match unit.as_str() {
        "m" | "meter" | "meters" | "metre" | "metres" | "" => Some(1.0),
        "km" => Some(1000.0),
        "ft" | "feet" => Some(0.3048),
        _ => None,
    };
    let height = || Some(length.map_or(Vertical::Other, Vertical::Height));
    if matches!(unit.as_str(), "pa" | "hpa" | "mb" | "mbar" | "millibar" | "millibars") {
        return Some(Vertical::Other);
    }
    if let Some(standard) = variable.standard_name.as_deref() {
        match standard {
            "height" | "altitude" | "height_above_mean_sea_level" | "height_above_geopotential_datum" => {
                return height();
            }
            "air_pressure" | "model_level_number" | "air_potential_temperature" => {
                return Some(Vertical::Other);
            }
            _ if standard.starts_with("atmosphere_") => return Some(Vertical::Other),
            _ => {}
        }
    }
    match variable.name.to_lowercase().as_str() {
        "height" | "heightaboveground" | "heightabovesea" | "altitude" | "z" => height(),
        name if name.starts_with("height_above") => height(),
        "surface" | "meansea" => Some(Vertical::Surface),
        "level" | "lev" | "plev" | "pressure" | "pressure_level" | "isobaricinhpa" | "isobaricinpa"
        | "hybrid" | "model_level" | "modellevel" | "potentialvorticity" | "theta" => Some(Vertical::Other),
        name if name.starts_with("isobaric") => Some(Vertical::Other),
        _ => None,
    }
}

/// Why a wind is not of 10 m, by the words of its variable; none where they do not say so.
fn by_words(wind: &Variable) -> Option<String> {
    if let Some(level) = wind.text("GRIB_typeOfLevel")
        && !matches!(level, "surface" | "meanSea" | "heightAboveGround" | "heightAboveSea")
    {
        return Some(not_used(level, ""));
    }
    let name = wind.name.to_lowercase();
    let long = wind.text("long_name").unwrap_or_default().to_lowercase();
    [&name, &long].into_iter().find_map(|text| {
        let (number, unit) = level_in(text, *text == name)?;
        (unit != "m" || !is_wanted(number)).then(|| not_used(&format!("{number} {unit}"), ""))
    })
}

/// The first number in a text that can be a level, with its unit; in a name it may stand alone.
fn level_in(text: &str, is_name: bool) -> Option<(f64, &'static str)> {
    let mut rest = text;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let digits = rest[start..].find(|c: char| !c.is_ascii_digit()).map_or(rest.len(), |n| start + n);
        let number: f64 = rest[start..digits].parse().ok()?;
        rest = &rest[digits..];
        let after = rest.trim_start_matches([' ', '-', '_']);
        let starts = |word: &str| after.starts_with(word);
        if starts("hpa") || starts("mb") {
            return Some((number, "hPa"));
        }
        let bare_m = starts("m") && !after[1..].starts_with(|c: char| c.is_ascii_alphabetic());
        if bare_m || ["metre", "meter", "mabove", "m_above", "m above"].into_iter().any(starts) {
            return Some((number, "m"));
        }
        if is_name && number >= LEAST_BARE_NUMBER {
            return Some((number, "(by its name)"));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_tell_heights_from_places_in_a_list() {
        assert_eq!(level_in("u100", true), Some((100.0, "(by its name)")));
        assert_eq!(level_in("u10", true), None);
        assert_eq!(level_in("wind_2", true), None);
        assert_eq!(level_in("ugrd_80maboveground", true), Some((80.0, "m")));
        assert_eq!(level_in("u2m", true), Some((2.0, "m")));
        assert_eq!(level_in("10 metre u wind component", false), Some((10.0, "m")));
        assert_eq!(level_in("u wind at 850 hpa", false), Some((850.0, "hPa")));
        assert_eq!(level_in("surface wind, model run 3", false), None);
    }
}
