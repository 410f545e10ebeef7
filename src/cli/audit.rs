//! `audit`: questions to the audit of a result.

use crate::cli::format::{Format, with_csv};
use crate::cli::named::{Named, any};
use crate::cli::outcome::Outcome;
use crate::cli::print::{print, print_csv, print_json};
use crate::cli::values::{positive, time};
use crate::cli::{audit_cells, audit_groups, audit_words, explain, width};
use clap::builder::PossibleValuesParser;
use clap::{Args, Subcommand};
use comfy_table::Table;
use csv::Terminator;
use enumset::EnumSet;
use jiff::Timestamp;
use roughwater::balance::STAGE_NAMES;
use roughwater::base::{Flag, Result};
use roughwater::derate::Tack;
use roughwater::result::audit::{group, read};
use roughwater::result::{Audit, AuditFilter, AuditSummary, GroupKey, Span};
use serde_json::json;
use std::path::{Path, PathBuf};

/// Rows of a table for reading where --top is not given.
const TEXT_ROWS: usize = 20;

/// Ask the audit of a result which cells were derated, by how much and why
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES, args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct Options {
    #[command(subcommand)]
    command: Option<Command>,
    /// Folder of a result, or its audit.csv
    #[arg(required = true)]
    result: Option<PathBuf>,
    /// Only this region; may be given several times
    #[arg(long)]
    region: Vec<String>,
    /// Only the window that holds this time (UTC unless it has an offset)
    #[arg(long, value_name = "TIME", value_parser = time)]
    window: Option<Timestamp>,
    /// Only this tack
    #[arg(long, value_parser = any::<Tack>())]
    tack: Option<Tack>,
    /// Only these true wind speeds, kn: one, or a range such as 12..20, ends within
    #[arg(long, value_name = "KN")]
    tws_kn: Option<Span>,
    /// Only these true wind angles, 0 to 180 degrees: one, or a range such as 40..70, ends within
    #[arg(long, value_name = "DEG")]
    twa_deg: Option<Span>,
    /// Only cells where this stage takes most; none: where no stage takes a noticeable part
    #[arg(long, value_parser = stages())]
    stage: Option<String>,
    /// Only cells with this flag; may be given several times: all must be there
    #[arg(long, value_parser = flags(), hide_possible_values = true)]
    flag: Vec<String>,
    /// Only cells with a factor below this
    #[arg(long, value_name = "FACTOR", value_parser = positive, allow_negative_numbers = true)]
    below: Option<f64>,
    /// Print the N most derated cells or groups; without it 20 as text, all as CSV and JSON
    #[arg(long, value_name = "N")]
    top: Option<usize>,
    /// Count and average instead of listing cells; several keys with commas between them
    #[arg(long, value_parser = any::<GroupKey>(), value_delimiter = ',')]
    group_by: Vec<GroupKey>,
    /// How the answer is printed
    #[arg(long, value_parser = with_csv(TEXT_HELP, CSV_HELP), default_value = Format::Text.name())]
    format: Format,
}

#[derive(Debug, Subcommand)]
enum Command {
    Explain(explain::Options),
}

const TEXT_HELP: &str = "A sentence and a table, for reading";
const CSV_HELP: &str = "All columns of the audit, or one row a group";

const EXAMPLES: &str = "Examples:\n  \
roughwater audit out/south-pacific\n  \
roughwater audit explain out/south-pacific \"Date line\" 14 -65 --window 2024-01-15T12:00\n  \
roughwater audit out/south-pacific --region \"Date line\" --twa-deg 40..70 --below 0.8\n  \
roughwater audit out/south-pacific --group-by stage,tack\n  \
roughwater audit out/south-pacific --group-by flag --format csv\n\n\
The most derated come first. A cell counts as derated below a factor of 0.9995; means count every cell alike.";

fn stages() -> PossibleValuesParser {
    PossibleValuesParser::new(STAGE_NAMES.into_iter().chain(["none"]))
}

fn flags() -> PossibleValuesParser {
    PossibleValuesParser::new(EnumSet::<Flag>::all().iter().map(Flag::name))
}

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    if let Some(Command::Explain(options)) = &options.command {
        return explain::run(options);
    }
    let result = options.result.as_deref().unwrap_or(Path::new("."));
    let audit = read(result, &filter(options))?;
    let summary = AuditSummary::of(&audit.rows);
    if options.group_by.is_empty() {
        print_cells(options, &audit, &summary)?;
    } else {
        print_groups(options, &audit, &summary)?;
    }
    Ok(Outcome::Whole)
}

fn filter(options: &Options) -> AuditFilter {
    AuditFilter {
        regions: options.region.clone(),
        time: options.window,
        tack: options.tack,
        tws_kn: options.tws_kn,
        twa_deg: options.twa_deg,
        stage: options.stage.clone(),
        flags: options.flag.clone(),
        below: options.below,
    }
}

/// The first of a list that are to be printed.
fn top<'t, T>(options: &Options, all: &'t [T]) -> &'t [T] {
    let otherwise = if options.format == Format::Text { TEXT_ROWS } else { all.len() };
    &all[..options.top.unwrap_or(otherwise).min(all.len())]
}

fn print_cells(options: &Options, audit: &Audit, summary: &AuditSummary) -> Result<()> {
    let shown = top(options, &audit.rows);
    let words = audit_words::sentence(summary, &audit.rows);
    match options.format {
        Format::Text => {
            print(&text(&words, &audit_cells::table(shown), audit.rows.len(), shown.len(), "cells"))
        }
        Format::Csv => print_csv(Terminator::CRLF, &audit.columns, shown.iter().map(|row| &row.fields)),
        Format::Json => print_json(&json!({
            "summary": audit_words::Told { words, summary },
            "cells": audit_cells::objects(&audit.columns, shown),
        })),
    }
}

fn print_groups(options: &Options, audit: &Audit, summary: &AuditSummary) -> Result<()> {
    let groups = group(&audit.rows, &options.group_by);
    let shown = top(options, &groups);
    let columns = audit_groups::columns(&options.group_by);
    let words = audit_words::sentence(summary, &audit.rows);
    match options.format {
        Format::Text => {
            let table = audit_groups::table(&columns, shown);
            print(&text(&words, &table, groups.len(), shown.len(), "groups"))
        }
        Format::Csv => print_csv(Terminator::CRLF, &columns, audit_groups::records(shown)),
        Format::Json => print_json(&json!({
            "summary": audit_words::Told { words, summary },
            "groups": audit_groups::objects(&columns, shown),
        })),
    }
}

/// The sentence, a table of what is shown of it, and how much more there is.
fn text(words: &str, table: &Table, all: usize, shown: usize, what: &str) -> String {
    // a sentence for programs to split by lines, wrapped where a person reads it
    let mut text =
        width::told().map_or_else(|| words.to_owned(), |columns| width::wrapped(words, columns, 0)) + "\n";
    if shown > 0 {
        text += &format!("\n{table}\n");
    }
    if shown < all {
        text += &format!("\n{} more {what}; --top {all} shows all\n", all - shown);
    }
    text
}
