//! The `roughwater` program: parses options, prints, and turns errors into exit codes.

mod cli;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run(cli::Cli::parse())
}
