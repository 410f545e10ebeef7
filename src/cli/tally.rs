//! `tally`: write, merge and show tallies, which polars can be made from without the forecast.

use super::sea_options::SeaOptions;
use super::{Format, Outcome, plain_table, print, print_json};
use clap::{Args, Subcommand};
use roughwater::base::units::m_s_to_kn;
use roughwater::base::{Error, Result};
use roughwater::job::JobFile;
use roughwater::run::Opened;
use roughwater::run::gaps;
use roughwater::tally::{TallySet, WindowTally};
use serde_json::{Value, json};
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
        job: Option<PathBuf>,
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
        #[arg(long, value_enum, default_value_t)]
        format: Format,
    },
}

/// Runs the command.
pub fn run(options: &Options) -> Result<Outcome> {
    match &options.command {
        Command::Write { job, seas, output } => write(job.as_deref(), seas, output),
        Command::Merge { tallies, output } => merge(tallies, output),
        Command::Show { tally, format } => show(&TallySet::read(tally)?, *format),
    }
}

fn write(job: Option<&Path>, seas: &SeaOptions, output: &Path) -> Result<Outcome> {
    let mut file = match job {
        Some(path) => JobFile::read(path)?,
        None if !seas.has_forecast() => {
            return Err(Error::new("no job is given")
                .expected("a job file, or options such as --forecast and --regions")
                .remedy("try: roughwater tally write examples/south-pacific/job.toml -o seas.parquet"));
        }
        None => JobFile::default(),
    };
    seas.lay_over(&mut file);
    file.tally = None;
    // a tally has all members together, whatever the polars of the job are to be
    file.members = None;
    let set = Opened::open(&file.seas()?)?.tally(&|_, _| Ok(()))?.set;
    set.write(output)?;
    told(&set, output)
}

fn merge(tallies: &[PathBuf], output: &Path) -> Result<Outcome> {
    let mut sets = tallies.iter().map(|path| TallySet::read(path).map(|set| (path, set)));
    let Some(first) = sets.next() else { return Err(Error::new("no tallies are given")) };
    let (_, mut whole) = first?;
    for next in sets {
        let (path, set) = next?;
        whole.merge(&set).map_err(|error| error.file(path))?;
    }
    whole.write(output)?;
    told(&whole, output)
}

fn told(set: &TallySet, output: &Path) -> Result<Outcome> {
    let parts = set.parts().count();
    let states: u64 = set.parts().map(|(.., part)| part.tally.count()).sum();
    let bins: usize = set.parts().map(|(.., part)| part.tally.bin_count()).sum();
    print(&format!(
        "{}: {parts} regions and windows, {states} sea states in {bins} bins\n",
        output.display()
    ))?;
    let gaps = gaps(set);
    for gap in &gaps {
        print(&format!("gap: {gap}\n"))?;
    }
    Ok(if gaps.is_empty() { Outcome::Whole } else { Outcome::WithGaps })
}

fn show(set: &TallySet, format: Format) -> Result<Outcome> {
    match format {
        Format::Json => print_json(&as_json(set))?,
        Format::Text => {
            let mut table = plain_table([
                "region",
                "from (UTC)",
                "to",
                "steps",
                "sea states",
                "bins",
                "covered",
                "TWS kn",
                "Hs m",
            ]);
            for (region, window, part) in set.parts() {
                let time = |time: jiff::Timestamp| time.strftime("%Y-%m-%d %H:%M").to_string();
                let number =
                    |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |value| format!("{value:.2}"));
                table.add_row([
                    region.name.clone(),
                    time(window.start),
                    time(window.end),
                    part.steps.to_string(),
                    part.tally.count().to_string(),
                    part.tally.bin_count().to_string(),
                    number(part.tally.coverage.fraction()),
                    number(mean_tws_kn(part)),
                    number(rms_hs_m(part)),
                ]);
            }
            print(&format!("{table}\n"))?;
        }
    }
    Ok(Outcome::Whole)
}

fn as_json(set: &TallySet) -> Value {
    let parts = set.parts().map(|(region, window, part)| {
        json!({
            "region": region.name,
            "window_start": window.start.to_string(),
            "window_end": window.end.to_string(),
            "steps": part.steps,
            "sea_states": part.tally.count(),
            "bins": part.tally.bin_count(),
            "coverage_m2_s": part.tally.coverage,
            "covered": part.tally.coverage.fraction(),
            "mean_tws_kn": mean_tws_kn(part),
            "rms_hs_m": rms_hs_m(part),
        })
    });
    let origin = set.origin();
    json!({
        "parts": parts.collect::<Vec<_>>(),
        "tallied_forecasts": origin.sources,
        "warnings": origin.warnings,
        "gaps": gaps(set),
    })
}

fn mean_tws_kn(part: &WindowTally) -> Option<f64> {
    mean(part, |sea| m_s_to_kn(sea.tws_m_s))
}

fn rms_hs_m(part: &WindowTally) -> Option<f64> {
    mean(part, |sea| sea.hs_m().powi(2)).map(f64::sqrt)
}

fn mean(part: &WindowTally, of: impl Fn(&roughwater::hydro::wind_frame::WindFrameSea) -> f64) -> Option<f64> {
    let (sum, weight) = part
        .tally
        .seas()
        .fold((0.0, 0.0), |(sum, all), (sea, weight)| (sum + weight * of(&sea), all + weight));
    (weight > 0.0).then(|| sum / weight)
}
