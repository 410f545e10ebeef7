//! An atlas made, read and asked.

use crate::arrow_table::Table;
use crate::error::raised;
use crate::names::{named, sides};
use crate::polar::Polar;
use crate::response::json;
use crate::work;
use pyo3::prelude::*;
use roughwater::atlas;
use roughwater::atlas::{AskedSea, ErrorRow, Fineness, Made, Making, Raised};
use roughwater::base::{Error, Result};
use roughwater::boat::{Boat, ModelChoices, OnOff};
use roughwater::files::{HeldColumn, OneOrMore, TableFormat};
use roughwater::hydro::response::Method;
use roughwater::polar::{CsvOptions, Decimal, Delimiter, Layout, LineEnd, Smoothing};
use roughwater::run::performance_of;
use std::path::PathBuf;
use std::sync::Arc;

/// What a boat's polar becomes in any sea.
#[pyclass(frozen, module = "roughwater")]
pub(crate) struct Atlas(Arc<atlas::Atlas>);

#[pymethods]
impl Atlas {
    /// Reads the atlas of a folder.
    #[staticmethod]
    fn read(py: Python<'_>, folder: PathBuf) -> PyResult<Self> {
        let read = py.detach(|| atlas::read(&folder)).map_err(|error| raised(py, &error))?;
        Ok(Self(Arc::new(read)))
    }

    /// The boat's name.
    #[getter]
    fn boat(&self) -> &str {
        &self.0.boat
    }

    /// SHA-256 of all that it was made from, hexadecimal.
    #[getter]
    fn digest(&self) -> &str {
        &self.0.digest
    }

    /// How fine it is, by name.
    #[getter]
    fn fineness(&self) -> &str {
        &self.0.fineness
    }

    /// Her polar in flat water.
    #[getter]
    fn flat(&self) -> Polar {
        Polar::of(self.0.flat.clone())
    }

    /// How far it is from the direct way at random seas.
    fn errors(&self) -> PyResult<Table> {
        Table::new(errors(&self.0.errors))
    }

    /// Every cell of every sea of its folder.
    fn table(&self, py: Python<'_>) -> PyResult<Table> {
        let atlas = Arc::clone(&self.0);
        Table::of(work::answering(py, move || atlas::table(&atlas))?)
    }

    /// Speeds, stages and band in one wind and sea, as the command's JSON.
    #[pyo3(signature = (tws_kn, twa_deg, *, swell = Vec::new(), wind_sea = Vec::new(), fetch_nm = None, duration_h = None))]
    #[expect(clippy::too_many_arguments, reason = "those of the command")]
    fn speed<'py>(
        &self,
        py: Python<'py>,
        tws_kn: f64,
        twa_deg: f64,
        swell: Vec<Vec<f64>>,
        wind_sea: Vec<Vec<f64>>,
        fetch_nm: Option<f64>,
        duration_h: Option<f64>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let told = sea(&swell, &wind_sea, fetch_nm, duration_h)
            .and_then(|sea| json(&self.0.answer(&sea, Some((tws_kn, twa_deg)))?));
        let told = told.map_err(|error| raised(py, &error))?;
        py.import("json")?.call_method1("loads", (told,))
    }

    /// Her polar in a sea, starboard tack positive.
    #[pyo3(signature = (*, swell = Vec::new(), wind_sea = Vec::new(), fetch_nm = None, duration_h = None))]
    fn polar(
        &self,
        py: Python<'_>,
        swell: Vec<Vec<f64>>,
        wind_sea: Vec<Vec<f64>>,
        fetch_nm: Option<f64>,
        duration_h: Option<f64>,
    ) -> PyResult<Polar> {
        let polar = sea(&swell, &wind_sea, fetch_nm, duration_h).and_then(|sea| self.0.polar(&sea));
        polar.map(Polar::of).map_err(|error| raised(py, &error))
    }

    fn __repr__(&self) -> String {
        let seas: usize = self.0.tables.iter().map(|table| table.axes.seas()).sum();
        format!("<roughwater.Atlas: {}, {}, {seas} seas>", self.0.boat, self.0.fineness)
    }
}

fn sea(
    swell: &[Vec<f64>],
    wind_sea: &[Vec<f64>],
    fetch_nm: Option<f64>,
    duration_h: Option<f64>,
) -> Result<AskedSea> {
    let systems = |what: &str, given: &[Vec<f64>], may_lack_angle: bool| -> Result<Vec<[f64; 3]>> {
        let system = |numbers: &Vec<f64>| match numbers[..] {
            [hs_m, tp_s, off_wind_deg] => Ok([hs_m, tp_s, off_wind_deg]),
            [hs_m, tp_s] if may_lack_angle => Ok([hs_m, tp_s, 0.0]),
            _ => Err(Error::new("a wave system is not told by its numbers")
                .at(what)
                .found(format!("{numbers:?}"))
                .expected("height in m, peak period in s and angle off the wind in degrees")
                .remedy(format!("give {what} as a list of such systems, [(2.5, 9.0, -60.0)]"))),
        };
        given.iter().map(system).collect()
    };
    if [fetch_nm.is_some(), duration_h.is_some(), !wind_sea.is_empty()].iter().filter(|given| **given).count()
        > 1
    {
        return Err(Error::new("the wind sea is told in more than one way")
            .expected("one of wind_sea, fetch_nm and duration_h")
            .remedy("take the others out"));
    }
    Ok(AskedSea {
        swells: systems("swell", swell, false)?,
        wind_seas: systems("wind_sea", wind_sea, true)?,
        raised: fetch_nm.map(Raised::FetchNm).or(duration_h.map(Raised::DurationH)),
    })
}

/// Makes an atlas and, where a folder is given, writes it.
///
/// Returns it, and the errors of all grids that were tried.
#[pyfunction]
#[expect(clippy::too_many_arguments, reason = "those of the command")]
pub(crate) fn make_atlas(
    py: Python<'_>,
    boat: PathBuf,
    polar: PathBuf,
    output: Option<PathBuf>,
    error_kn: f64,
    finest: &str,
    sailed_s: f64,
    table: Option<&str>,
    added_resistance: Option<&str>,
    own_responses: Option<PathBuf>,
    surge: Option<&str>,
    surfing_gains: Option<&str>,
    without_foil: Vec<String>,
    delimiter: Option<&str>,
    decimal: Option<&str>,
    corner: Option<String>,
    layout: Option<&str>,
    line_end: Option<&str>,
    smoothing: Option<&str>,
) -> PyResult<(Atlas, Table)> {
    let asked = || {
        let on = |what: &str, word: Option<&str>, default| {
            word.map_or(Ok(default), |word| named(what, word, &OnOff::ALL, OnOff::name))
        };
        let default = ModelChoices::default();
        let choices = ModelChoices {
            added_resistance: added_resistance.map_or(Ok(default.added_resistance), |word| {
                named("added_resistance", word, &Method::ALL, Method::name)
            })?,
            surge: on("surge", surge, default.surge)?,
            surfing_gains: on("surfing_gains", surfing_gains, default.surfing_gains)?,
            without_foil: OneOrMore::More(sides("without_foil", &without_foil)?),
            own_responses,
            ..default
        };
        let mut csv = CsvOptions::default();
        if let Some(word) = delimiter {
            csv.delimiter = named("delimiter", word, &Delimiter::ALL, Delimiter::name)?;
        }
        if let Some(word) = decimal {
            csv.decimal = named("decimal", word, &Decimal::ALL, Decimal::name)?;
        }
        if let Some(word) = layout {
            csv.layout = named("layout", word, &Layout::ALL, Layout::name)?;
        }
        if let Some(word) = line_end {
            csv.line_end = named("line_end", word, &LineEnd::ALL, LineEnd::name)?;
        }
        if let Some(word) = smoothing {
            csv.smoothing = named("smoothing", word, &Smoothing::ALL, Smoothing::name)?;
        }
        if let Some(corner) = corner {
            csv.corner = corner;
        }
        csv.check()?;
        let table =
            table.map(|word| named("table", word, &TableFormat::ALL, TableFormat::name)).transpose()?;
        let making = Making {
            error_kn: above_zero("error_kn", error_kn)?,
            finest: named("finest", finest, &Fineness::ALL, Fineness::name)?,
            sailed_s: above_zero("sailed_s", sailed_s)?,
        };
        Ok((choices, csv, table, making))
    };
    let (choices, csv, table, making) = asked().map_err(|error| raised(py, &error))?;
    let made = work::writing(py, move |stop| {
        let mut boat = Boat::read(&boat)?;
        for side in choices.without_foil.as_slice() {
            boat = boat.without_foil(*side)?;
        }
        let performance = performance_of(boat, roughwater::polar::Polar::read(&polar)?, &choices)?;
        let watch = |_: f64| match stop.is_told() {
            true => Err(Error::new("stopped: what is done is kept, the next run goes on from there")),
            false => Ok(()),
        };
        let made = atlas::make(&performance, making, &watch)?;
        if let Some(folder) = &output {
            atlas::write(&made, folder, &csv, table)?;
        }
        Ok(made)
    })?;
    let Made { atlas, tried } = made;
    let rows: Vec<ErrorRow> = tried.into_iter().flat_map(|tried| tried.rows).collect();
    Ok((Atlas(Arc::new(atlas)), Table::new(errors(&rows))?))
}

fn above_zero(name: &str, value: f64) -> Result<f64> {
    if value > 0.0 && value.is_finite() {
        return Ok(value);
    }
    Err(Error::new(format!("{name} is out of range"))
        .at(name)
        .found(value)
        .expected("a number above 0")
        .remedy(format!("correct {name}")))
}

fn errors(rows: &[ErrorRow]) -> Vec<(String, HeldColumn)> {
    let text = |of: fn(&ErrorRow) -> &str| {
        HeldColumn::Text(rows.iter().map(|row| Some(of(row).to_owned())).collect())
    };
    let count = |of: fn(&ErrorRow) -> usize| {
        HeldColumn::Count(rows.iter().map(|row| i64::try_from(of(row)).ok()).collect())
    };
    let kn = |of: fn(&ErrorRow) -> f64| HeldColumn::Real(rows.iter().map(|row| Some(of(row))).collect());
    [
        ("fineness", text(|row| &row.fineness)),
        ("nodes", count(|row| row.nodes)),
        ("seas", text(|row| &row.seas)),
        ("count", count(|row| row.count)),
        ("mean_kn", kn(|row| row.mean_kn)),
        ("rms_kn", kn(|row| row.rms_kn)),
        ("own_rms_kn", kn(|row| row.own_rms_kn)),
        ("within_95_kn", kn(|row| row.within_95_kn)),
        ("largest_kn", kn(|row| row.largest_kn)),
        ("chance_kn", kn(|row| row.chance_kn)),
    ]
    .map(|(name, column)| (name.to_owned(), column))
    .into()
}
