//! One boat in one sea.

use crate::error::raised;
use crate::names::{named, sides};
use crate::work;
use pyo3::prelude::*;
use roughwater::base::{Error, Result};
use roughwater::run::{AskedSpeed, AskedWaves, ResponseQuestion};
use roughwater::sea::PartitionKind;
use serde::Serialize;
use std::path::PathBuf;

/// Every number of one boat in one sea or one regular wave, as JSON.
#[pyfunction]
#[expect(clippy::too_many_arguments, reason = "those of the command")]
pub(crate) fn response(
    py: Python<'_>,
    boat: PathBuf,
    speed_kn: Option<f64>,
    froude: Option<f64>,
    hs_m: Option<f64>,
    tp_s: Option<f64>,
    wave_angle_deg: f64,
    kind: &str,
    long_crested: bool,
    regular: bool,
    period_s: Option<f64>,
    wave_length_m: Option<f64>,
    without_foil: Vec<String>,
) -> PyResult<String> {
    let asked = || {
        let kind = named("kind", kind, &PartitionKind::ALL, PartitionKind::name)?;
        Ok(ResponseQuestion {
            boat,
            speed: speed(speed_kn, froude)?,
            waves: waves(regular, period_s, hs_m, tp_s, kind, long_crested)?,
            wave_angle_deg,
            wave_length_m,
            without_foil: sides("without_foil", &without_foil)?,
        })
    };
    let question = asked().map_err(|error| raised(py, &error))?;
    let answer = work::answering(py, move || question.answer())?;
    json(&answer).map_err(|error| raised(py, &error))
}

/// An answer as JSON.
///
/// # Errors
/// A fault of the program.
pub(crate) fn json(answer: &impl Serialize) -> Result<String> {
    serde_json::to_string(answer).map_err(|error| Error::fault("the answer cannot be told").found(error))
}

fn speed(speed_kn: Option<f64>, froude: Option<f64>) -> Result<AskedSpeed> {
    match (speed_kn, froude) {
        (Some(kn), None) => Ok(AskedSpeed::Knots(kn)),
        (None, Some(froude)) => Ok(AskedSpeed::Froude(froude)),
        (None, None) => Err(Error::new("no speed is given")
            .expected("speed_kn or froude")
            .remedy("give speed_kn or froude")),
        (Some(_), Some(_)) => Err(Error::new("two speeds are given")
            .found("speed_kn and froude")
            .expected("one of them")
            .remedy("take one out")),
    }
}

fn waves(
    regular: bool,
    period_s: Option<f64>,
    hs_m: Option<f64>,
    tp_s: Option<f64>,
    kind: PartitionKind,
    long_crested: bool,
) -> Result<AskedWaves> {
    match (regular, period_s, hs_m, tp_s) {
        (true, Some(period_s), None, None) => Ok(AskedWaves::Regular(period_s)),
        (false, None, Some(hs_m), Some(tp_s)) => Ok(AskedWaves::Sea { kind, hs_m, tp_s, long_crested }),
        (false, None, ..) => {
            Err(Error::new("no sea is given").remedy("give hs_m and tp_s, or regular and period_s"))
        }
        _ => Err(Error::new("the waves are not told in one way")
            .expected("hs_m and tp_s of a sea, or regular=True and period_s of one wave")
            .remedy("give one of both")),
    }
}
