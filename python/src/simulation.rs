//! One boat in one sea in time.

use crate::arrow_table::Table;
use crate::error::raised;
use crate::names::{named, sides};
use crate::response::json;
use crate::work;
use pyo3::prelude::*;
use roughwater::files::HeldTable;
use roughwater::run::SimulationQuestion;
use roughwater::sea::PartitionKind;
use roughwater::simulate::{BodyChoice, TRACE_COLUMNS};
use std::path::PathBuf;

/// Figures as JSON, and the first drawing step by step.
#[pyfunction]
#[expect(clippy::too_many_arguments, reason = "those of the command")]
pub(crate) fn simulate(
    py: Python<'_>,
    boat: PathBuf,
    polar: PathBuf,
    tws_kn: f64,
    twa_deg: f64,
    hs_m: f64,
    tp_s: f64,
    off_wind_deg: f64,
    kind: &str,
    regular: bool,
    body: &str,
    duration_s: f64,
    dt_s: f64,
    seed: u64,
    seeds: u64,
    without_foil: Vec<String>,
) -> PyResult<(String, Table)> {
    let asked = || {
        Ok(SimulationQuestion {
            boat,
            polar,
            tws_kn,
            twa_deg,
            hs_m,
            tp_s,
            off_wind_deg,
            kind: named("kind", kind, &PartitionKind::ALL, PartitionKind::name)?,
            regular,
            body: named("body", body, &BodyChoice::ALL, BodyChoice::name)?,
            duration_s,
            dt_s,
            seed,
            seeds,
            without_foil: sides("without_foil", &without_foil)?,
        })
    };
    let question = asked().map_err(|error| raised(py, &error))?;
    let (figures, trace) = work::answering(py, move || {
        let simulation = question.answer()?;
        let mut trace = HeldTable::new(&TRACE_COLUMNS);
        simulation.trace.iter().try_for_each(|row| trace.add(row.fields().to_vec()))?;
        Ok((json(&simulation.figures)?, trace))
    })?;
    Ok((figures, Table::of(trace)?))
}
