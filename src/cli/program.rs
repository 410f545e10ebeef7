//! The program: its commands and exit codes.

use crate::cli::outcome::Outcome;
use crate::cli::print::tell;
use crate::cli::{
    atlas, audit, compare, completions, derate, explain_key, inspect, interrupt, lookup, man, new, passage,
    report, response, simulate, tally,
};
use clap::{CommandFactory, Parser, Subcommand};

/// Turns a boat's flat-water speed polar into the speeds she will make in the sea that is forecast.
#[derive(Debug, Parser)]
#[command(version, about, after_help = format!("{}\n\n{EXIT_CODES}", roughwater::CAUTION), max_term_width = 100, propagate_version = true)]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
}

const EXIT_CODES: &str = "Exit codes: 0 whole, 1 failed and nothing written, 2 wrong usage, 3 written with declared gaps, \
130 stopped with Ctrl-C and nothing written.";

#[derive(Debug, Subcommand)]
enum Command {
    New(Box<new::Options>),
    Derate(Box<derate::Options>),
    Atlas(Box<atlas::Options>),
    Compare(compare::Options),
    Inspect(inspect::Options),
    Response(Box<response::Options>),
    Simulate(Box<simulate::Options>),
    Tally(tally::Options),
    Audit(audit::Options),
    Lookup(lookup::Options),
    Passage(Box<passage::Options>),
    Report(report::Options),
    ExplainKey(explain_key::Options),
    Completions(completions::Options),
    Man(man::Options),
}

/// Runs a command line; returns the program's exit code.
pub fn run(cli: Cli) -> u8 {
    let done = match cli.command {
        Command::New(options) => new::run(&options),
        Command::Derate(options) => derate::run(&options),
        Command::Atlas(options) => atlas::run(&options),
        Command::Compare(options) => compare::run(&options),
        Command::Inspect(options) => inspect::run(&options),
        Command::Response(options) => response::run(&options),
        Command::Simulate(options) => simulate::run(&options),
        Command::Tally(options) => tally::run(&options),
        Command::Audit(options) => audit::run(&options),
        Command::Lookup(options) => lookup::run(&options),
        Command::Passage(options) => passage::run(&options),
        Command::Report(options) => report::run(&options),
        Command::ExplainKey(options) => explain_key::run(&options),
        Command::Completions(options) => completions::run(&options, Cli::command()),
        Command::Man(options) => man::run(&options, Cli::command()),
    };
    match done {
        Ok(Outcome::Whole) => 0,
        Ok(Outcome::WithGaps) => 3,
        Err(error) => {
            tell(&format!("error: {error}"));
            if interrupt::interrupted().is_break() { interrupt::EXIT_CODE } else { 1 }
        }
    }
}
