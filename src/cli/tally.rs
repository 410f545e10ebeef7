//! `tally`: write, merge and show tallies, which polars can be made from without the forecast.

use crate::cli::derate_progress::reused_words;
use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::named::Named;
use crate::cli::outcome::Outcome;
use crate::cli::print::{but_written, print, tell};
use crate::cli::sea_options::SeaOptions;
use crate::cli::{job_argument, tally_table};
use clap::{Args, Subcommand};
use roughwater::base::{Error, Result};
use roughwater::files::{shortest, whole_file};
use roughwater::job::JobFile;
use roughwater::run::gaps;
use roughwater::run::{Gathered, Opened};
use roughwater::tally::TallySet;
use std::path::{Path, PathBuf};

/// Tally a forecast's seas into a file (Parquet), merge such files, show what one holds
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    #[command(subcommand)]
    command: Command,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater tally write examples/south-pacific/job.toml -o day-1.parquet\n  \
roughwater tally merge day-1.parquet day-2.parquet -o days.parquet\n  \
roughwater derate examples/south-pacific/job.toml --tally days.parquet\n\n\
A tally is one table: group by region, window_start, window_end, kind and bin, sum all other columns, and tallies are \
merged, in any engine.";

#[derive(Debug, Subcommand)]
enum Command {
    /// Tally the seas of a job's forecast, regions and windows; needs neither boat nor polar
    Write {
        /// Job file; every key that is needed can be given as an option instead
        job: Vec<PathBuf>,
        #[command(flatten)]
        seas: Box<SeaOptions>,
        /// File to write
        #[arg(long, short)]
        output: PathBuf,
    },
    /// Add tallies of different forecast files
    Merge {
        /// Tallies of the same bins, and of regions with the same outlines where names are the same
        #[arg(required = true, num_args = 2..)]
        tallies: Vec<PathBuf>,
        /// File to write
        #[arg(long, short)]
        output: PathBuf,
    },
    /// Say what a tally holds
    Show {
        /// Tally
        tally: PathBuf,
        /// How the answer is printed
        #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
        format: Format,
    },
}

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    match &options.command {
        Command::Write { job, seas, output } => write(job, seas, output),
        Command::Merge { tallies, output } => merge(tallies, output),
        Command::Show { tally, format } => {
            let mut set = TallySet::read(tally)?;
            set.settle().map_err(|error| error.file(tally))?;
            print_as(*format, || tally_table::text(&set), || tally_table::as_json(&set))?;
            Ok(Outcome::Whole)
        }
    }
}

fn write(given: &[PathBuf], seas: &SeaOptions, output: &Path) -> Result<Outcome> {
    let mut seas = seas.clone();
    let mut file = match job_argument::job(given, &mut seas)? {
        Some(path) => JobFile::read(&path)?,
        None if !seas.has_forecast() => {
            return Err(Error::new("no job is given")
                .expected("a job file, or options such as --forecast and --regions")
                .remedy("such as: roughwater tally write job.toml --output seas.parquet; `roughwater new` writes a job"));
        }
        None => JobFile::default(),
    };
    seas.lay_over(&mut file);
    file.tally = None;
    // a tally has all members together, whatever the polars of the job are to be
    file.members = None;
    let Gathered { set, forecast, reused, .. } =
        Opened::open(&file.seas()?)?.tally_to_keep(&|_, _| Ok(()))?;
    let all = forecast.map_or(0, |forecast| forecast.steps().len());
    if let Some(told) = reused_words(reused.steps, all, reused.damaged.len()) {
        tell(&told);
    }
    keep(set, output)
}

fn merge(tallies: &[PathBuf], output: &Path) -> Result<Outcome> {
    let mut sets = tallies.iter().map(|path| TallySet::read(path).map(|set| (path, set)));
    let Some(first) = sets.next() else { return Err(Error::new("no tallies are given")) };
    let (_, mut whole) = first?;
    for next in sets {
        let (path, set) = next?;
        whole.merge(&set).map_err(|error| error.file(path))?;
    }
    keep(whole, output)
}

/// Writes a tally whose steps fit together, and says what it holds as it stands.
fn keep(mut set: TallySet, output: &Path) -> Result<Outcome> {
    let bytes = set.to_parquet()?;
    set.settle()?;
    whole_file::write("the tally", output, &bytes)?;
    let parts = set.parts().count();
    let states: u64 = set.parts().map(|(.., part)| part.tally.count()).sum();
    let bins: usize = set.parts().map(|(.., part)| part.tally.bin_count()).sum();
    let told = format!(
        "{}: {parts} regions and windows, {states} sea states in {bins} bins\n",
        shortest(output).display()
    );
    let gaps = gaps(&set);
    let gaps_told: String = gaps.iter().map(|gap| format!("gap: {gap}\n")).collect();
    print(&(told + &gaps_told)).map_err(|error| but_written(error, "the tally", output))?;
    Ok(if gaps.is_empty() { Outcome::Whole } else { Outcome::WithGaps })
}
