//! `man`: the manual pages.

use crate::cli::outcome::Outcome;
use crate::cli::print::print;
use clap::{Args, Command};
use roughwater::base::{Error, Result};
use std::path::PathBuf;

/// Print the manual page, or write those of all commands
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Write the pages of all commands to this folder
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater man | man -l -\n  \
roughwater man --out ~/.local/share/man/man1";

/// Runs the command; `program` is what the pages are of.
pub(super) fn run(options: &Options, program: Command) -> Result<Outcome> {
    match &options.out {
        Some(folder) => {
            let failed = |error| Error::io("write the manual pages", folder, &error);
            std::fs::create_dir_all(folder).map_err(failed)?;
            clap_mangen::generate_to(program, folder).map_err(failed)?;
        }
        None => {
            let mut page = Vec::new();
            clap_mangen::Man::new(program)
                .render(&mut page)
                .map_err(|error| Error::new(format!("cannot make the manual page: {error}")))?;
            print(&String::from_utf8_lossy(&page))?;
        }
    }
    Ok(Outcome::Whole)
}
