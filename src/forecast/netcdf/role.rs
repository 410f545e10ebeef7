//! Which coordinate a variable is, and the values of those that are neither time nor place.

use jiff::SignedDuration;

use crate::base::{Error, Result};
use crate::forecast::netcdf::file::Variable;

/// What a dimension runs along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Role {
    Time,
    Period,
    Member,
    Lat,
    Lon,
    Frequency,
    Direction,
    Station,
    /// Rows of a curvilinear grid.
    Row,
    /// Its columns.
    Column,
    /// Nodes or faces of a mesh.
    Node,
    /// The ranks of swells.
    Rank,
}

/// Which coordinate a variable is: by standard name, then unit, axis and the usual names.
pub(super) fn role(variable: &Variable) -> Option<Role> {
    let is_since = variable.unit.as_deref().is_some_and(|unit| unit.to_lowercase().contains(" since "));
    let name = variable.name.to_lowercase();
    let is_time = is_since || variable.is_text;
    if let Some(standard) = variable.standard_name.as_deref() {
        match standard {
            "latitude" => return Some(Role::Lat),
            "longitude" => return Some(Role::Lon),
            "time" | "forecast_reference_time" if is_time => return Some(Role::Time),
            "forecast_period" => return Some(Role::Period),
            "realization" => return Some(Role::Member),
            "wave_frequency" | "sea_surface_wave_frequency" => return Some(Role::Frequency),
            // a coordinate only as the dimension of a spectrum: a field of it has dimensions of its own
            "sea_surface_wave_from_direction" | "sea_surface_wave_to_direction"
                if !variable.dims.is_empty() =>
            {
                return Some(Role::Direction);
            }
            // rotated and projected axes are no degrees of latitude and longitude, whatever they are called
            "grid_latitude"
            | "grid_longitude"
            | "projection_x_coordinate"
            | "projection_y_coordinate"
            | "projection_x_angular_coordinate"
            | "projection_y_angular_coordinate" => return None,
            _ => {}
        }
    }
    match variable.unit.as_deref().unwrap_or_default().to_lowercase().as_str() {
        "degrees_north" | "degree_north" | "degrees_n" | "degree_n" => return Some(Role::Lat),
        "degrees_east" | "degree_east" | "degrees_e" | "degree_e" => return Some(Role::Lon),
        _ => {}
    }
    if is_time && (variable.axis.as_deref() == Some("T") || name.contains("time")) {
        return Some(Role::Time);
    }
    match name.as_str() {
        "latitude" | "lat" if is_degrees(variable) => Some(Role::Lat),
        "longitude" | "lon" if is_degrees(variable) => Some(Role::Lon),
        "step" | "leadtime" | "lead_time" => Some(Role::Period),
        "orderedsequencedata" => Some(Role::Rank),
        "frequency" | "freq" => Some(Role::Frequency),
        "direction" | "dir" if !variable.dims.is_empty() => Some(Role::Direction),
        _ if is_member_name(&name) => Some(Role::Member),
        _ => None,
    }
}

/// Metres and radians are no degrees; no unit at all is taken for them.
fn is_degrees(variable: &Variable) -> bool {
    variable.unit.as_deref().is_none_or(|unit| unit.to_lowercase().starts_with("deg"))
}

pub(super) fn is_member_name(name: &str) -> bool {
    matches!(name, "number" | "member" | "realization" | "ensemble" | "ensemble_member" | "ens")
}

pub(super) fn periods(variable: &Variable, values: &[f64]) -> Result<Vec<SignedDuration>> {
    let unit = variable.unit.as_deref().unwrap_or_default();
    let seconds = match unit.to_lowercase().as_str() {
        "s" | "sec" | "second" | "seconds" => 1.0,
        "min" | "minute" | "minutes" => 60.0,
        "h" | "hr" | "hour" | "hours" => 3600.0,
        "d" | "day" | "days" => 86_400.0,
        "nanoseconds" => 1e-9,
        _ => {
            return Err(Error::new("a forecast period is in an unknown unit")
                .at(format!("variable {}", variable.name))
                .found(unit)
                .expected("seconds, minutes, hours or days"));
        }
    };
    let far = 366.0 * 86_400.0;
    values
        .iter()
        .map(|value| match value * seconds {
            s if s.abs() <= far => Ok(SignedDuration::from_secs(s.round() as i64)),
            s => Err(Error::new("a forecast period is longer than a year")
                .at(format!("variable {}", variable.name))
                .found(s)),
        })
        .collect()
}

pub(super) fn members(variable: &Variable, values: &[f64]) -> Result<Vec<u32>> {
    values
        .iter()
        .map(|&value| {
            let whole = value.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&value);
            whole.then_some(value as u32).ok_or_else(|| {
                Error::new("an ensemble member is no number")
                    .at(format!("variable {}", variable.name))
                    .found(value)
            })
        })
        .collect()
}
