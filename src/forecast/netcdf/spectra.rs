//! Two-dimensional spectra: ECMWF's and ERA5's `d2fd`, and any variable with the CF name of a directional spectrum.
//!
//! - `d2fd` holds the logarithm to base 10 of m2 s/rad; a missing value is no energy, a point without any is land.
//!   Where its frequencies and directions are but counted (1 to 30, 1 to 24), they are ECMWF's: 0.03453 Hz x 1.1^(n-1),
//!   and 7.5 + 15 (n-1) degrees **towards** (ECMWF, "About ERA wave spectra", documentation of its reanalyses).
//! - Directions are towards or from by their standard name; without one they are taken as from, and the note says so.

use std::sync::Arc;

use crate::base::{DirectionFrom, DirectionTo};
use crate::base::{Error, Result};
use crate::forecast::netcdf::axes::{Axes, FieldPlace};
use crate::forecast::netcdf::file::{File, Pick, Variable};
use crate::forecast::netcdf::layout::FieldLayout;
use crate::forecast::netcdf::level::WindLevel;
use crate::forecast::netcdf::role::Role;
use crate::forecast::spectra::Spectra;

/// The standard name of densities in m2 s/rad.
const STANDARD_NAME: &str = "sea_surface_wave_directional_variance_spectral_density";

/// How a variable's spectra are to be read.
#[derive(Debug, Clone)]
pub(super) struct SpectraReading {
    frequency_hz: Arc<[f64]>,
    from: Arc<[DirectionFrom]>,
    logarithm: bool,
    /// To m2/(Hz rad).
    factor: f64,
    /// The dimensions that are read whole, in the order of the file.
    order: Vec<Role>,
    pub note: Option<&'static str>,
}

/// Whether a variable is a directional spectrum.
pub(super) fn is_spectrum(variable: &Variable, axes: &Axes) -> bool {
    axes.dim(variable, Role::Frequency).is_some() && axes.dim(variable, Role::Direction).is_some()
}

/// What reading the variable takes.
pub(super) fn prepare(
    file: &File,
    variable: &Variable,
    axes: &Axes,
) -> Result<(Vec<FieldPlace>, FieldLayout, SpectraReading)> {
    let logarithm = variable.name == "d2fd";
    if !logarithm && variable.standard_name.as_deref() != Some(STANDARD_NAME) && variable.name != "efth" {
        return Err(Error::new("a spectrum without a known name cannot be read")
            .expected(format!("the standard name {STANDARD_NAME}, or the name d2fd or efth")));
    }
    let factor = density_factor(variable)?;
    let layout = axes.layout(variable)?;
    let frequency = file.coordinate(axes.variable(variable, Role::Frequency)?)?;
    let towards = axes.variable(variable, Role::Direction)?;
    let direction = file.coordinate(towards)?;
    let counted = |axis: &[f64]| axis.iter().enumerate().all(|(i, v)| *v == (i + 1) as f64);
    let (frequency_hz, from, note) = if logarithm && counted(&frequency) && counted(&direction) {
        let (frequency, from) = ecmwf_axes(frequency.len(), direction.len())?;
        (frequency, from, Some("frequencies and directions are only counted in the file: taken as ECMWF's"))
    } else {
        let (from, note) = directions(towards, &direction)?;
        (frequency, from, note)
    };
    let ascending = frequency_hz.windows(2).all(|pair| pair[0] < pair[1]);
    if frequency_hz.len() < 2 || !ascending || !frequency_hz.iter().all(|f| f.is_finite() && *f > 0.0) {
        return Err(Error::new("a spectrum's frequencies do not ascend").found(format!("{frequency_hz:?}")));
    }
    let order = axes.whole_dimensions(variable);
    let how = SpectraReading {
        frequency_hz: frequency_hz.into(),
        from: from.into(),
        logarithm,
        factor,
        order,
        note,
    };
    Ok((axes.places(variable, &WindLevel::Whole)?, layout, how))
}

fn ecmwf_axes(frequencies: usize, directions: usize) -> Result<(Vec<f64>, Vec<DirectionFrom>)> {
    if (frequencies, directions) != (30, 24) {
        return Err(Error::new("a spectrum's frequencies and directions are only counted")
            .found(format!("{frequencies} frequencies and {directions} directions"))
            .expected("30 and 24, as ERA5 has, or axes in Hz and degrees")
            .remedy("write frequencies and directions into the file"));
    }
    let frequency = (0..frequencies).map(|n| 0.034_53 * 1.1f64.powi(n as i32)).collect();
    let from = (0..directions).map(|n| DirectionTo::from_deg(7.5 + 15.0 * n as f64).from()).collect();
    Ok((frequency, from))
}

fn directions(variable: &Variable, values: &[f64]) -> Result<(Vec<DirectionFrom>, Option<&'static str>)> {
    if values.is_empty() || !values.iter().all(|v| v.is_finite()) {
        return Err(Error::new("a spectrum's directions are missing"));
    }
    let radians = variable.unit.as_deref().is_some_and(|unit| unit.to_lowercase().starts_with("rad"));
    let degrees = values.iter().map(|v| if radians { v.to_degrees() } else { *v });
    Ok(match variable.standard_name.as_deref() {
        Some("sea_surface_wave_to_direction") => (
            degrees.map(|d| DirectionTo::from_deg(d).from()).collect(),
            Some("directions towards in the file, turned into from"),
        ),
        Some("sea_surface_wave_from_direction") => (degrees.map(DirectionFrom::from_deg).collect(), None),
        _ => (
            degrees.map(DirectionFrom::from_deg).collect(),
            Some("the file does not say whether directions are from or towards: taken as from"),
        ),
    })
}

fn density_factor(variable: &Variable) -> Result<f64> {
    let unit =
        variable.unit.as_deref().unwrap_or("m2 s rad-1").to_lowercase().replace("**", "").replace('^', "");
    match unit.as_str() {
        "m2 s rad-1" | "m2 s radian-1" | "m2 s/rad" | "m2/hz/rad" | "m2 hz-1 rad-1" => Ok(1.0),
        // WAVEWATCH III writes "m2 s rad-1" and older point files just "m2 s", per radian all the same
        "m2 s" => Ok(1.0),
        "m2 s degree-1" | "m2 s deg-1" | "m2/hz/degree" | "m2/hz/deg" => Ok(180.0 / std::f64::consts::PI),
        _ => Err(Error::new("a spectrum is in an unknown unit")
            .found(unit)
            .expected("m2 s rad-1 or m2 s degree-1")),
    }
}

/// Reads one time's spectra into grid order.
pub(super) fn read(
    file: &File,
    name: &str,
    picks: &[Pick],
    layout: FieldLayout,
    how: &SpectraReading,
) -> Result<Spectra> {
    let values = file.values(name, picks)?;
    let (frequencies, directions) = (how.frequency_hz.len(), how.from.len());
    let size = |role: Role| match role {
        Role::Frequency => frequencies,
        Role::Direction => directions,
        Role::Lat | Role::Row => layout.rows,
        // longitude, column, node or station
        _ => layout.columns,
    };
    // the distance in the file between neighbours along each dimension
    let mut strides = vec![0; how.order.len()];
    let mut stride = 1;
    for (k, role) in how.order.iter().enumerate().rev() {
        strides[k] = stride;
        stride *= size(*role);
    }
    if stride != values.len() {
        return Err(Error::new("a variable is not of the size of its dimensions").found(values.len()));
    }
    let along = |role: Role| how.order.iter().position(|r| *r == role).map_or(0, |k| strides[k]);
    let (df, dd, dlat, dlon) = (
        along(Role::Frequency),
        along(Role::Direction),
        along(Role::Lat) + along(Role::Row),
        along(Role::Lon) + along(Role::Column) + along(Role::Node) + along(Role::Station),
    );
    let mut density = Vec::with_capacity(values.len());
    for row in 0..layout.rows {
        for column in 0..layout.columns {
            let (lat, lon) = layout.file_row_column(row, column);
            let start = density.len();
            let (mut present, mut negative) = (false, false);
            for i in 0..frequencies {
                for j in 0..directions {
                    let value = values[lat * dlat + lon * dlon + i * df + j * dd];
                    present |= !value.is_nan();
                    let value = if how.logarithm { 10f64.powf(value) } else { value } * how.factor;
                    negative |= value < 0.0 || value.is_infinite();
                    density.push(if value.is_nan() { 0.0 } else { value as f32 });
                }
            }
            if negative {
                return Err(Error::new("a spectrum has a density that is negative or infinite")
                    .found(format!("at row {row}, column {column} of the grid")));
            }
            if !present {
                density[start] = f32::NAN;
            }
        }
    }
    Ok(Spectra::new(how.frequency_hz.clone(), how.from.clone(), density))
}
