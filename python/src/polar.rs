//! Polars.

use crate::arrow_table::Table;
use crate::error::raised;
use pyo3::prelude::*;
use roughwater::files::HeldColumn;
use roughwater::polar::{self, Lookup, PolarAsRead};
use std::path::PathBuf;

/// Boat speed through the water by true wind speed and angle.
#[pyclass(frozen, eq, module = "roughwater")]
#[derive(PartialEq)]
pub(crate) struct Polar {
    polar: polar::Polar,
    notes: Vec<String>,
}

impl Polar {
    pub(crate) fn of(polar: polar::Polar) -> Self {
        Self { polar, notes: Vec::new() }
    }
}

#[pymethods]
impl Polar {
    /// Reads a polar, flat or corrected, from CSV.
    #[staticmethod]
    fn read(py: Python<'_>, path: PathBuf) -> PyResult<Self> {
        let read = py.detach(|| PolarAsRead::read(&path)).map_err(|error| raised(py, &error))?;
        Ok(Self { polar: read.polar, notes: read.notes })
    }

    /// True wind speeds of the columns, kn, rising.
    #[getter]
    fn tws_kn(&self) -> Vec<f64> {
        self.polar.tws_kn().to_vec()
    }

    /// True wind angles of the rows, degrees, rising.
    #[getter]
    fn twa_deg(&self) -> Vec<f64> {
        self.polar.twa_deg().to_vec()
    }

    /// What was put in order as the file was read.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.notes.clone()
    }

    /// Boat speed in one wind, kn, bilinear between the table's values; None outside the table.
    fn speed(&self, tws_kn: f64, twa_deg: f64) -> Option<f64> {
        match self.polar.speed_kn(tws_kn, twa_deg) {
            Lookup::Inside(kn) => Some(kn),
            Lookup::Outside(_) => None,
        }
    }

    /// The polar with one row a cell: `tws_kn`, `twa_deg`, `speed_kn`.
    fn table(&self) -> PyResult<Table> {
        let (mut tws, mut twa, mut speed) = (Vec::new(), Vec::new(), Vec::new());
        for cell in cells(&self.polar) {
            tws.push(Some(cell[0]));
            twa.push(Some(cell[1]));
            speed.push(Some(cell[2]));
        }
        Table::new(vec![
            ("tws_kn".into(), HeldColumn::Real(tws)),
            ("twa_deg".into(), HeldColumn::Real(twa)),
            ("speed_kn".into(), HeldColumn::Real(speed)),
        ])
    }

    fn __repr__(&self) -> String {
        let span = |axis: &[f64]| format!("{} to {}", axis[0], axis[axis.len() - 1]);
        format!(
            "<roughwater.Polar: TWS {} kn, TWA {} degrees>",
            span(self.polar.tws_kn()),
            span(self.polar.twa_deg())
        )
    }
}

/// TWS, TWA and speed of each cell, angle by angle.
pub(crate) fn cells(polar: &polar::Polar) -> impl Iterator<Item = [f64; 3]> {
    polar.twa_deg().iter().enumerate().flat_map(move |(row, twa_deg)| {
        let speeds = polar.tws_kn().iter().zip(polar.row(row));
        speeds.map(move |(tws_kn, speed_kn)| [*tws_kn, *twa_deg, *speed_kn])
    })
}
