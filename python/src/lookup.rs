//! Which polar of a result serves a place and a time.

use crate::error::raised;
use crate::response::json;
use crate::times::moment;
use crate::work;
use pyo3::prelude::*;
use roughwater::base::Result;
use roughwater::result::{Index, ServedAnswer};
use std::path::PathBuf;

/// What serves there and then, with speeds in a wind where one is given, as the command's JSON.
#[pyfunction]
pub(crate) fn lookup(
    py: Python<'_>,
    result: PathBuf,
    lat_deg: f64,
    lon_deg: f64,
    time: &str,
    tws_kn: Option<f64>,
    twa_deg: Option<f64>,
) -> PyResult<String> {
    let time = moment("time", time).map_err(|error| raised(py, &error))?;
    let wind = tws_kn.zip(twa_deg);
    let answered = move || -> Result<String> {
        let index = Index::read(&result)?;
        json(&ServedAnswer::of(&result, index.lookup(lat_deg, lon_deg, time), wind)?)
    };
    work::answering(py, answered)
}
