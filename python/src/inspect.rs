//! What a file is and holds.

use crate::response::json;
use crate::work;
use pyo3::prelude::*;
use roughwater::examine::examine;
use std::path::PathBuf;

/// What a file is and holds, as the command's JSON.
#[pyfunction]
pub(crate) fn inspect(py: Python<'_>, file: PathBuf) -> PyResult<String> {
    work::answering(py, move || json(&examine(&file)?))
}
