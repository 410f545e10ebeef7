//! `audit explain`: one cell taken apart.

use crate::cli::explain_text;
use crate::cli::format::{Format, text_or_json};
use crate::cli::named::Named;
use crate::cli::outcome::Outcome;
use crate::cli::print::{print, print_json};
use crate::cli::values::time;
use clap::Args;
use jiff::Timestamp;
use roughwater::base::{Error, Result};
use roughwater::explain::flag_words;
use roughwater::run::{Explained, Question, explain_cell};
use serde_json::{Value, json};
use std::path::PathBuf;

/// Take one polar cell apart: its seas, what the boat does in each, the forces that balance
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Folder of a result, whose job is made again from its manifest; or a job file
    #[arg(value_name = "RESULT|JOB")]
    source: PathBuf,
    /// Region
    region: String,
    /// True wind speed of the polar, kn
    #[arg(value_name = "TWS", allow_negative_numbers = true)]
    tws_kn: f64,
    /// True wind angle of the polar, degrees; with a minus sign on port tack
    #[arg(value_name = "TWA", allow_negative_numbers = true)]
    twa_deg: f64,
    /// A time within the window (UTC unless it has an offset); not needed where there is one
    #[arg(long, value_name = "TIME", value_parser = time)]
    window: Option<Timestamp>,
    /// Seas told in full as text, the heaviest first
    #[arg(long, value_name = "N", default_value_t = 3)]
    seas: usize,
    /// How the answer is printed; JSON holds every sea
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater audit explain out/south-pacific \"Date line\" 14 65 --window 2024-01-15T12:00\n  \
roughwater audit explain out/south-pacific \"Date line\" 14 -65 --window 2024-01-15T12:00 --format json\n\n\
The account is computed anew and held against the result's audit; inputs that have changed since are named.";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let question = Question {
        region: options.region.clone(),
        time: options.window,
        tws_kn: options.tws_kn,
        signed_twa_deg: options.twa_deg,
    };
    let explained = explain_cell(&options.source, &question)?;
    if options.format == Format::Json {
        print_json(&as_json(&explained)?)?;
    } else {
        print(&(explain_text::text(&explained.explanation, options.seas) + &checked(&explained)))?;
    }
    Ok(Outcome::Whole)
}

/// For programs: each reservation with what it means.
fn as_json(explained: &Explained) -> Result<Value> {
    let mut value = serde_json::to_value(explained)
        .map_err(|error| Error::new(format!("cannot write the answer as JSON: {error}")))?;
    let flags = explained.explanation.flags.iter().map(|flag| {
        json!({ "name": flag.flag.name(), "meaning": flag_words::meaning(flag.flag), "share": flag.share })
    });
    value["flags"] = flags.collect();
    Ok(value)
}

/// How the account stands to the result.
fn checked(explained: &Explained) -> String {
    let mut text = match &explained.audit_row {
        None => "There is no result of this job yet to hold this against.\n".to_owned(),
        Some(row) if row.agrees => {
            format!("Agrees with the audit of the result: {:.4} kn.\n", row.corrected_kn)
        }
        Some(row) => format!(
            "DIFFERS from the audit of the result, which has {:.4} kn: make the result again.\n",
            row.corrected_kn
        ),
    };
    for input in &explained.changed_inputs {
        text += &format!("changed since the result was made: {input}\n");
    }
    text
}
