//! Reads the audit of a result folder, a row at a time: only the rows asked for are kept.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::result::audit::COLUMNS;
use crate::result::audit_query::filter::Filter;
use crate::result::audit_query::row::{FIRST_COLUMNS, Row};
use std::collections::BTreeSet;
use std::fs::File;
use std::path::{Path, PathBuf};

/// The rows of an audit that a filter admits.
#[derive(Debug, Clone, PartialEq)]
pub struct Audit {
    /// The names of all columns, in the order of the file.
    pub columns: Vec<String>,
    /// The rows, most derated first; those without a factor last.
    pub rows: Vec<Row>,
    /// What the whole file holds.
    pub contents: Contents,
}

/// The values that occur in an audit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Contents {
    /// Number of rows.
    pub rows: usize,
    /// Names of regions.
    pub regions: BTreeSet<String>,
    /// Windows in order of time.
    pub windows: BTreeSet<Window>,
    /// True wind speeds, kn, ascending.
    pub tws_kn: Vec<f64>,
    /// True wind angles, degrees, ascending.
    pub twa_deg: Vec<f64>,
}

/// Reads the rows of a result's audit that a filter admits; `result` is the folder, or its `audit.csv`.
///
/// # Errors
/// No audit there; a file that is not an audit; a field that cannot be read; a region or time the audit does not hold.
pub fn read(result: &Path, filter: &Filter) -> Result<Audit> {
    let path = audit_path(result)?;
    read_file(&path, filter).map_err(|error| error.file(&path))
}

fn audit_path(result: &Path) -> Result<PathBuf> {
    if result.is_file() {
        return Ok(result.to_owned());
    }
    if !result.is_dir() {
        return Err(Error::new("there is no such result folder")
            .file(result)
            .expected("a folder that derate wrote")
            .remedy("check the path; a job's folder is its key \"output\""));
    }
    let path = result.join("audit.csv");
    if path.is_file() {
        return Ok(path);
    }
    Err(Error::new("the folder holds no audit")
        .file(result)
        .expected("a result of derate, with audit.csv in it")
        .remedy("name the folder that the job's key \"output\" names, or make the result with derate"))
}

fn read_file(path: &Path, filter: &Filter) -> Result<Audit> {
    let file = File::open(path).map_err(|error| Error::io("read the audit", path, &error))?;
    let mut reader = csv::Reader::from_reader(std::io::BufReader::new(file));
    let columns: Vec<String> = reader.headers().map_err(not_csv)?.iter().map(str::to_owned).collect();
    check_columns(&columns)?;
    let (mut rows, mut contents) = (Vec::new(), Contents::default());
    for record in reader.into_records() {
        let row = Row::new(record.map_err(not_csv)?)?;
        contents.note(&row);
        if filter.admits(&row) {
            rows.push(row);
        }
    }
    if contents.rows == 0 {
        return Err(Error::new("the audit holds no cells")
            .expected("a row for every cell")
            .remedy("make the result again with derate"));
    }
    filter.check(&contents)?;
    rows.sort_by(|a, b| {
        let factor = |row: &Row| row.factor.unwrap_or(f64::INFINITY);
        let lost_kn = |row: &Row| row.flat_kn - row.corrected_kn;
        factor(a).total_cmp(&factor(b)).then(lost_kn(b).total_cmp(&lost_kn(a)))
    });
    Ok(Audit { columns, rows, contents })
}

fn check_columns(columns: &[String]) -> Result<()> {
    for (place, expected) in COLUMNS.iter().take(FIRST_COLUMNS).enumerate() {
        let found = columns.get(place).map_or("nothing", String::as_str);
        if found != *expected {
            return Err(Error::new("the file is not an audit")
                .at(format!("line 1, column {}", place + 1))
                .found(found)
                .expected(expected)
                .remedy("use audit.csv as derate wrote it"));
        }
    }
    Ok(())
}

fn not_csv(error: csv::Error) -> Error {
    Error::new("the audit cannot be read as CSV")
        .found(error)
        .expected("rows of equal length, in UTF-8")
        .remedy("make the result again with derate")
}

impl Contents {
    fn note(&mut self, row: &Row) {
        self.rows += 1;
        if !self.regions.contains(row.region()) {
            self.regions.insert(row.region().to_owned());
        }
        self.windows.insert(row.window);
        insert(&mut self.tws_kn, row.tws_kn);
        insert(&mut self.twa_deg, row.twa_deg);
    }
}

fn insert(ascending: &mut Vec<f64>, value: f64) {
    if let Err(place) = ascending.binary_search_by(|known| known.total_cmp(&value)) {
        ascending.insert(place, value);
    }
}
