//! Errors of the library as exceptions, with the words of the command.

use pyo3::prelude::*;
use pyo3::types::PyDict;
use roughwater::base::Error;

/// The exception of an error: its text is what the command prints behind `error: `, its parts are attributes.
pub(crate) fn raised(py: Python<'_>, error: &Error) -> PyErr {
    exception(py, error).unwrap_or_else(|failed| failed)
}

fn exception(py: Python<'_>, error: &Error) -> PyResult<PyErr> {
    let parts = PyDict::new(py);
    parts.set_item("problem", error.problem())?;
    for (label, text) in error.parts() {
        let name = match label {
            "input" => "file",
            "where" => "place",
            other => other,
        };
        parts.set_item(name, text)?;
    }
    let class = py.import("roughwater._errors")?.getattr("RoughwaterError")?;
    Ok(PyErr::from_value(class.call((error.to_string(),), Some(&parts))?))
}
