//! Stations: spectra at points that lie on no grid, as wave models write them for chosen places and buoys measure them.
//!
//! A dimension is one of stations where a spectrum runs along it and latitude and longitude do too (by time as well, as
//! WAVEWATCH III writes them, if no station moves). A file of one station may have no such dimension at all.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::base::bearing::wrap180;
use crate::base::{Error, Result};
use crate::forecast::grid::Grid;
use crate::forecast::netcdf::file::{File, Variable};
use crate::forecast::netcdf::role::{Role, role};

/// How far a station may be written to have moved, degrees: buoys swing on their moorings.
const MOORING_DEG: f64 = 0.05;

/// The stations of a file.
pub(super) struct Stations {
    /// Their dimension; none where the whole file is one station's.
    pub dim: Option<String>,
    /// Where they are.
    pub grid: Result<Arc<Grid>>,
    /// The variables that say so.
    pub coordinates: BTreeSet<String>,
}

/// The stations of a file, if it has any; `known` tells the roles of dimensions that have their own coordinate.
pub(super) fn find(
    file: &File,
    variables: &[Variable],
    known: impl Fn(&str) -> Option<Role>,
) -> Option<Stations> {
    let has = |v: &Variable, wanted: Role| v.dims.iter().any(|dim| known(&dim.name) == Some(wanted));
    let is_spectrum = |v: &&Variable| {
        has(v, Role::Frequency) && v.dims.len() > 1 && !has(v, Role::Lat) && !has(v, Role::Lon)
    };
    let spectrum = variables.iter().filter(is_spectrum).max_by_key(|v| v.dims.len())?;
    let positions = |wanted: Role, dim: Option<&str>| {
        variables.iter().find(|v| {
            let others = v.dims.iter().filter(|d| known(&d.name) != Some(Role::Time));
            let others: Vec<&str> = others.map(|d| d.name.as_str()).collect();
            role(v) == Some(wanted) && others.as_slice() == dim.as_slice()
        })
    };
    let unknown = spectrum.dims.iter().map(|d| d.name.as_str()).filter(|name| known(name).is_none());
    let (dim, lat, lon) = unknown
        .map(Some)
        .chain([None])
        .find_map(|dim| Some((dim, positions(Role::Lat, dim)?, positions(Role::Lon, dim)?)))?;
    let count =
        dim.and_then(|dim| spectrum.dims.iter().find(|d| d.name == dim)).map_or(1, |d| d.size as usize);
    let grid =
        fixed(file, lat, count).and_then(|lats| Grid::stations(lats, fixed(file, lon, count)?)).map(Arc::new);
    Some(Stations {
        dim: dim.map(str::to_owned),
        grid,
        coordinates: [lat.name.clone(), lon.name.clone()].into(),
    })
}

/// The one position of each station, degrees.
fn fixed(file: &File, variable: &Variable, count: usize) -> Result<Vec<f64>> {
    let values = file.coordinate(variable)?;
    let at = |station: usize| {
        let mut times = values.iter().skip(station).step_by(count.max(1)).filter(|v| v.is_finite());
        let first = *times.next().ok_or_else(|| {
            Error::new("a station has no position").at(format!(
                "station {} of {}",
                station + 1,
                variable.name
            ))
        })?;
        match times.find(|later| wrap180(**later - first).abs() > MOORING_DEG) {
            None => Ok(first),
            Some(later) => Err(Error::new("a station moves")
                .at(format!("station {} of {}", station + 1, variable.name))
                .found(format!("{first} and later {later}"))
                .expected("fixed positions")
                .remedy("a drifting buoy or a ship serves no region: choose times at which it lies still")),
        }
    };
    (0..count).map(at).collect()
}
