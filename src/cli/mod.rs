//! One file a command; this one holds what they share: the command line, exit codes, printing.

mod audit;
mod compare;
mod completions;
mod derate;
mod derate_summary;
mod explain;
mod inspect;
mod interrupt;
mod lookup;
mod man;
mod passage;
mod passage_table;
mod passage_track;
mod report;
mod response;
mod sea_options;
mod tally;

use clap::{Parser, Subcommand, ValueEnum};
use roughwater::base::{Error, Result};
use std::io::Write;
use std::process::ExitCode;

/// Turns a boat's flat-water speed polar into the speeds she will make in the sea that is forecast.
#[derive(Debug, Parser)]
#[command(version, about, after_help = CAUTION, max_term_width = 100, propagate_version = true)]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
}

const CAUTION: &str = "A planning aid, not a safety limit: speeds in waves are estimates from a model with known \
gaps. The skipper, official forecasts and the rules decide.\n\n\
Exit codes: 0 whole, 1 failed and nothing written, 2 wrong usage, 3 written with declared gaps, 130 stopped with Ctrl-C and \
nothing written.";

#[derive(Debug, Subcommand)]
enum Command {
    Derate(Box<derate::Options>),
    Compare(compare::Options),
    Inspect(inspect::Options),
    Response(Box<response::Options>),
    Tally(tally::Options),
    Audit(audit::Options),
    Lookup(lookup::Options),
    Passage(Box<passage::Options>),
    Report(report::Options),
    Completions(completions::Options),
    Man(man::Options),
}

/// How numbers are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
enum Format {
    /// For reading.
    #[default]
    Text,
    /// For programs.
    Json,
}

/// How a command that worked ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Outcome {
    /// All there.
    Whole,
    /// Written, with gaps that the result declares.
    WithGaps,
}

/// Runs a command line; returns the program's exit code.
pub fn run(cli: Cli) -> ExitCode {
    let done = match cli.command {
        Command::Derate(options) => derate::run(&options),
        Command::Compare(options) => compare::run(&options),
        Command::Inspect(options) => inspect::run(&options),
        Command::Response(options) => response::run(&options),
        Command::Tally(options) => tally::run(&options),
        Command::Audit(options) => audit::run(&options),
        Command::Lookup(options) => lookup::run(&options),
        Command::Passage(options) => passage::run(&options),
        Command::Report(options) => report::run(&options),
        Command::Completions(options) => completions::run(&options),
        Command::Man(options) => man::run(&options),
    };
    match done {
        Ok(Outcome::Whole) => ExitCode::SUCCESS,
        Ok(Outcome::WithGaps) => ExitCode::from(3),
        Err(error) => {
            eprintln!("error: {error}");
            if interrupt::interrupted().is_break() { interrupt::EXIT_CODE.into() } else { ExitCode::FAILURE }
        }
    }
}

/// Reads a time; UTC where no offset is given.
fn time(text: &str) -> std::result::Result<jiff::Timestamp, String> {
    let utc = |time| jiff::tz::TimeZone::UTC.to_timestamp(time);
    text.parse()
        .or_else(|_| text.parse::<jiff::civil::DateTime>().and_then(utc))
        .map_err(|_| "give a time such as 2030-03-01T12:00, or 2030-03-01T12:00+13:00".to_owned())
}

/// Prints to standard output; a reader that has gone away is no failure.
fn print(text: &str) -> Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Error::new(format!("cannot write to standard output: {error}")))
        }
        _ => Ok(()),
    }
}

/// A table without rules under a header.
fn plain_table(header: impl Into<comfy_table::Row>) -> comfy_table::Table {
    let mut table = comfy_table::Table::new();
    table.load_style(comfy_table::presets::NOTHING).set_header(header);
    table
}

/// Prints a value as JSON.
fn print_json(value: &impl serde::Serialize) -> Result<()> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| Error::new(format!("cannot write the answer as JSON: {error}")))?;
    print(&(text + "\n"))
}
