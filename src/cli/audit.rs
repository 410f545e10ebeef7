//! `audit`: questions to the audit of a result.

use super::{Outcome, explain, plain_table, print, print_json};
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Args, Subcommand, ValueEnum};
use comfy_table::Table;
use enumset::EnumSet;
use jiff::Timestamp;
use roughwater::balance::STAGE_NAMES;
use roughwater::base::Flag;
use roughwater::base::{Error, Result};
use roughwater::derate::Tack;
use roughwater::result::audit::{group, read};
use roughwater::result::{Audit, AuditFilter, AuditGroup, AuditRow, AuditSummary, GroupKey, Span};
use serde_json::{Map, Value, json};
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
    #[arg(long, value_name = "TIME", value_parser = super::time)]
    window: Option<Timestamp>,
    /// Only this tack
    #[arg(long, value_enum)]
    tack: Option<TackName>,
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
    #[arg(long, value_name = "FACTOR", value_parser = super::response::positive, allow_negative_numbers = true)]
    below: Option<f64>,
    /// Print the N most derated cells or groups; without it 20 as text, all as CSV and JSON
    #[arg(long, value_name = "N")]
    top: Option<usize>,
    /// Count and average instead of listing cells; several keys with commas between them
    #[arg(long, value_parser = keys(), value_delimiter = ',')]
    group_by: Vec<GroupKey>,
    /// How the answer is printed
    #[arg(long, value_enum, default_value_t)]
    format: AuditFormat,
}

#[derive(Debug, Subcommand)]
enum Command {
    Explain(explain::Options),
}

const EXAMPLES: &str = "Examples:\n  \
roughwater audit out/south-pacific\n  \
roughwater audit explain out/south-pacific \"Date line\" 14 -65 --window 2024-01-15T12:00\n  \
roughwater audit out/south-pacific --region \"Date line\" --twa-deg 40..70 --below 0.8\n  \
roughwater audit out/south-pacific --group-by stage,tack\n  \
roughwater audit out/south-pacific --group-by flag --format csv\n\n\
The most derated come first. A cell counts as derated below a factor of 0.9995; means count every cell alike.";

/// How the answer is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
enum AuditFormat {
    /// A sentence and a table, for reading
    #[default]
    Text,
    /// All columns of the audit, or one row a group
    Csv,
    /// For programs
    Json,
}

/// A tack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum TackName {
    /// Wind over the starboard side
    Starboard,
    /// Wind over the port side
    Port,
}

impl From<TackName> for Tack {
    fn from(name: TackName) -> Self {
        match name {
            TackName::Starboard => Self::Starboard,
            TackName::Port => Self::Port,
        }
    }
}

fn stages() -> PossibleValuesParser {
    PossibleValuesParser::new(STAGE_NAMES.into_iter().chain(["none"]))
}

fn flags() -> PossibleValuesParser {
    PossibleValuesParser::new(EnumSet::<Flag>::all().iter().map(Flag::name))
}

fn keys() -> impl TypedValueParser<Value = GroupKey> {
    let value = |key: GroupKey| PossibleValue::new(key.name()).help(key_help(key));
    PossibleValuesParser::new(EnumSet::<GroupKey>::all().iter().map(value))
        .try_map(|name| EnumSet::<GroupKey>::all().iter().find(|key| key.name() == name).ok_or("no such key"))
}

fn key_help(key: GroupKey) -> &'static str {
    match key {
        GroupKey::Region => "Region",
        GroupKey::Window => "Time window",
        GroupKey::Tack => "Tack",
        GroupKey::Tws => "True wind speed",
        GroupKey::Twa => "True wind angle",
        GroupKey::Stage => "Stage that takes most",
        GroupKey::Flag => "Each flag; a cell with several counts for each",
    }
}

/// Runs the command.
pub fn run(options: &Options) -> Result<Outcome> {
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
        tack: options.tack.map(Into::into),
        tws_kn: options.tws_kn,
        twa_deg: options.twa_deg,
        stage: options.stage.clone(),
        flags: options.flag.clone(),
        below: options.below,
    }
}

/// The first of a list that are to be printed.
fn top<'t, T>(options: &Options, all: &'t [T]) -> &'t [T] {
    let otherwise = if options.format == AuditFormat::Text { TEXT_ROWS } else { all.len() };
    &all[..options.top.unwrap_or(otherwise).min(all.len())]
}

fn print_cells(options: &Options, audit: &Audit, summary: &AuditSummary) -> Result<()> {
    let shown = top(options, &audit.rows);
    match options.format {
        AuditFormat::Text => {
            let mut table = plain_table([
                "region",
                "from (UTC)",
                "tack",
                "TWS kn",
                "TWA",
                "flat kn",
                "in waves",
                "factor",
                "mostly by",
                "flags",
            ]);
            shown.iter().for_each(|row| {
                table.add_row(cells(row));
            });
            print(&text(summary, &table, audit.rows.len(), shown.len(), "cells"))
        }
        AuditFormat::Csv => print_csv(&audit.columns, shown.iter().map(|row| &row.fields)),
        AuditFormat::Json => {
            let cells: Vec<Value> = shown.iter().map(|row| object(&audit.columns, row)).collect();
            print_json(&json!({ "summary": summary, "cells": cells }))
        }
    }
}

fn cells(row: &AuditRow) -> [String; 10] {
    [
        row.region().to_owned(),
        row.window.start.strftime("%Y-%m-%d %H:%M").to_string(),
        row.tack().to_owned(),
        row.tws_kn.to_string(),
        row.twa_deg.to_string(),
        format!("{:.2}", row.flat_kn),
        format!("{:.2}", row.corrected_kn),
        row.factor.map(|factor| format!("{factor:.3}")).unwrap_or_default(),
        row.dominant_stage().replace('_', " "),
        row.flags().collect::<Vec<_>>().join(", "),
    ]
}

/// All fields of a row: numbers as numbers, empty ones as null, flags as a list.
fn object(columns: &[String], row: &AuditRow) -> Value {
    let value = |name: &str, text: &str| match name {
        "flags" => json!(row.flags().collect::<Vec<_>>()),
        "region" | "window_start" | "window_end" | "tack" | "dominant_stage" => json!(text),
        _ if text.is_empty() => Value::Null,
        _ => text.parse::<f64>().map_or(json!(text), |number| json!(number)),
    };
    let fields = columns.iter().zip(&row.fields);
    Value::Object(fields.map(|(name, text)| (name.clone(), value(name, text))).collect())
}

fn print_groups(options: &Options, audit: &Audit, summary: &AuditSummary) -> Result<()> {
    let keys = &options.group_by;
    let groups = group(&audit.rows, keys);
    let shown = top(options, &groups);
    let counts = ["cells", "derated", "share_derated", "mean_factor", "min_factor"];
    let columns: Vec<&str> = keys.iter().flat_map(|key| key.columns()).copied().chain(counts).collect();
    match options.format {
        AuditFormat::Text => {
            let mut table = plain_table(columns.iter().map(|name| name.replace('_', " ")));
            shown.iter().for_each(|group| {
                table.add_row(fields(group, 3));
            });
            print(&text(summary, &table, groups.len(), shown.len(), "groups"))
        }
        AuditFormat::Csv => print_csv(&columns, shown.iter().map(|group| fields(group, 6))),
        AuditFormat::Json => {
            let groups: Vec<Value> = shown.iter().map(|group| group_object(&columns, group)).collect();
            print_json(&json!({ "summary": summary, "groups": groups }))
        }
    }
}

fn fields(group: &AuditGroup, decimals: usize) -> Vec<String> {
    let factor = |value: Option<f64>| value.map(|value| format!("{value:.decimals$}")).unwrap_or_default();
    let stats = &group.stats;
    let mut fields = group.values.clone();
    fields.extend([
        stats.cells.to_string(),
        stats.derated.to_string(),
        factor(stats.share_derated()),
        factor(stats.mean_factor()),
        factor(stats.min_factor()),
    ]);
    fields
}

fn group_object(columns: &[&str], group: &AuditGroup) -> Value {
    let stats = &group.stats;
    let keys = group.values.iter().zip(columns).map(|(text, name)| match *name {
        "tws_kn" | "twa_deg" => text.parse::<f64>().map_or(json!(text), |number| json!(number)),
        _ => json!(text),
    });
    let counts = [
        json!(stats.cells),
        json!(stats.derated),
        json!(stats.share_derated()),
        json!(stats.mean_factor()),
        json!(stats.min_factor()),
    ];
    let names = columns.iter().map(|name| (*name).to_owned());
    Value::Object(names.zip(keys.chain(counts)).collect::<Map<_, _>>())
}

fn text(summary: &AuditSummary, table: &Table, all: usize, shown: usize, what: &str) -> String {
    let mut text = summary.words.clone() + "\n";
    if shown > 0 {
        text += &format!("\n{table}\n");
    }
    if shown < all {
        text += &format!("\n{} more {what}; --top {all} shows all\n", all - shown);
    }
    text
}

fn print_csv<R, F>(header: &[impl AsRef<[u8]>], records: impl Iterator<Item = R>) -> Result<()>
where
    R: IntoIterator<Item = F>,
    F: AsRef<[u8]>,
{
    let failed = |error: csv::Error| Error::new(format!("cannot write the answer as CSV: {error}"));
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(header).map_err(failed)?;
    for record in records {
        writer.write_record(record).map_err(failed)?;
    }
    let bytes = writer.into_inner().map_err(|error| failed(error.into_error().into()))?;
    print(&String::from_utf8_lossy(&bytes))
}
