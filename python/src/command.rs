//! The command, run within the interpreter.

use clap::Parser;
use pyo3::prelude::*;
use roughwater::cli::{Cli, run};
use std::ffi::OsString;

/// Runs a command line whose first word is the program; returns its exit code. Help, the version and wrong usage end the process.
#[pyfunction]
pub(crate) fn command(py: Python<'_>, arguments: Vec<OsString>) -> u8 {
    py.detach(|| match Cli::try_parse_from(arguments) {
        Ok(cli) => run(cli),
        Err(told) => told.exit(),
    })
}
