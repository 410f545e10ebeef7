//! `completions`: a script that completes commands and options in a shell.

use crate::cli::outcome::Outcome;
use crate::cli::print::print;
use clap::{Args, Command};
use clap_complete::{Shell, generate};
use roughwater::base::Result;

/// Print a script that completes commands and options in a shell
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater completions bash > ~/.local/share/bash-completion/completions/roughwater\n  \
roughwater completions fish > ~/.config/fish/completions/roughwater.fish";

/// Runs the command; `program` is what the script completes.
pub(super) fn run(options: &Options, mut program: Command) -> Result<Outcome> {
    // into memory first: the generator panics on a pipe that closes
    let mut script = Vec::new();
    generate(options.shell, &mut program, "roughwater", &mut script);
    print(&String::from_utf8_lossy(&script))?;
    Ok(Outcome::Whole)
}
