//! Reads the audit of a result folder, a row at a time: only the rows asked for are kept.

use crate::base::{Error, Result};
use crate::result::audit::contents::AuditContents;
use crate::result::audit::filter::AuditFilter;
use crate::result::audit::row::{AuditReader, AuditRow};
use crate::result::names::AUDIT;
use std::path::{Path, PathBuf};

/// The rows of an audit that a filter admits.
#[derive(Debug, Clone, PartialEq)]
pub struct Audit {
    /// The names of all columns, in the order of the file.
    pub columns: Vec<String>,
    /// The rows, most derated first; those without a factor last.
    pub rows: Vec<AuditRow>,
    /// What the whole file holds.
    pub contents: AuditContents,
}

/// Reads the rows of a result's audit that a filter admits; `result` is the folder, or its `audit.csv`.
///
/// # Errors
/// No audit there; a file that is not an audit; a field that cannot be read; a region or time the audit does not hold.
pub fn read(result: &Path, filter: &AuditFilter) -> Result<Audit> {
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
    let path = result.join(AUDIT);
    if path.is_file() {
        return Ok(path);
    }
    Err(Error::new("the folder holds no audit")
        .file(result)
        .expected(format!("a result of derate, with {AUDIT} in it"))
        .remedy("name the folder that the job's key \"output\" names, or make the result with derate"))
}

fn read_file(path: &Path, filter: &AuditFilter) -> Result<Audit> {
    let mut reader = AuditReader::open(path)?;
    let (mut rows, mut contents) = (Vec::new(), AuditContents::default());
    while let Some(row) = reader.next_row()? {
        contents.note(&row);
        if filter.admits(&row) {
            rows.push(row);
        }
    }
    filter.check(&contents)?;
    rows.sort_by(|a, b| {
        let factor = |row: &AuditRow| row.factor.unwrap_or(f64::INFINITY);
        let lost_kn = |row: &AuditRow| row.flat_kn - row.corrected_kn;
        factor(a).total_cmp(&factor(b)).then(lost_kn(b).total_cmp(&lost_kn(a)))
    });
    Ok(Audit { columns: reader.table().columns().to_vec(), rows, contents })
}
