//! The `roughwater` program: parses options, prints, and turns errors into exit codes.

use clap::Parser;
use roughwater::cli::{Cli, run};
use std::process::ExitCode;

fn main() -> ExitCode {
    run(Cli::parse()).into()
}
