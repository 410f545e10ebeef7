//! `explain-key`: what a key of a boat or job file means.

use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::named::Named;
use crate::cli::outcome::Outcome;
use clap::Args;
use roughwater::base::error::nearest;
use roughwater::base::{Error, Result};
use roughwater::boat::BOAT_KEYS;
use roughwater::files::keys::{Key, KeyList, Need};
use roughwater::job::JOB_KEYS;
use serde_json::{Value, json};

/// Say what a key of a boat or job file means: unit, usual range, what holds without it, and its option
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// A key such as lwl_m or sails.mainsail_m2, or a table such as deck; without it, all keys
    key: Option<String>,
    /// How the answer is printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater explain-key\n  \
roughwater explain-key hull\n  \
roughwater explain-key max_righting_moment_n_m\n\n\
Usual ranges are common practice, without a source.";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let asked = options.key.as_deref().map(|key| key.trim_matches(['[', ']']));
    let wanted = |list: &KeyList, key: &Key| asked.is_none_or(|asked| is_asked(list, key, asked));
    let found: Vec<(&KeyList, &Key)> = [&BOAT_KEYS, &JOB_KEYS]
        .into_iter()
        .flat_map(|list| list.keys.iter().map(move |key| (list, key)))
        .filter(|(list, key)| wanted(list, key))
        .collect();
    if let (true, Some(asked)) = (found.is_empty(), asked) {
        return Err(unknown(asked));
    }
    let text = || if let [(list, key)] = found.as_slice() { one(list, key) } else { several(&found) };
    print_as(options.format, text, || found.iter().map(|(list, key)| object(list, key)).collect::<Vec<_>>())?;
    Ok(Outcome::Whole)
}

/// A key by its name, its earlier one or its path, and all of a table or a file.
fn is_asked(list: &KeyList, key: &Key, asked: &str) -> bool {
    let below = key.table.strip_prefix(asked).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'));
    [key.name, key.older, list.file].contains(&asked) || key.path() == asked || (!asked.is_empty() && below)
}

fn unknown(asked: &str) -> Error {
    let last = asked.rsplit('.').next().unwrap_or(asked);
    let names = || [&BOAT_KEYS, &JOB_KEYS].into_iter().flat_map(|list| list.keys.iter().map(|key| key.name));
    let error = Error::new("no key has this name")
        .found(format!("\"{asked}\""))
        .expected("a key or table of a boat or job file, such as lwl_m or deck");
    match nearest(last, names()) {
        Some(near) => error.remedy(format!("did you mean \"{near}\"?")),
        None => error.remedy("run explain-key without a name to see all keys"),
    }
}

fn one(list: &KeyList, key: &Key) -> String {
    let mut lines = vec![format!("{}, a key of the {} file", key.path(), list.file), key.meaning.to_owned()];
    let mut add = |label: &str, text: &str| {
        if !text.is_empty() {
            lines.push(format!("  {label:<12} {text}"));
        }
    };
    add("unit", key.unit);
    add("usually", key.usual);
    add("needed", &needed(key));
    add("option", key.option);
    add("once called", key.older);
    lines.join("\n") + "\n"
}

fn needed(key: &Key) -> String {
    match key.need {
        Need::Always if key.table.is_empty() => "yes".to_owned(),
        Need::Always => format!("yes, where [{}] is", key.table),
        Need::Unless(other) => format!("yes, unless {other} is there"),
        Need::No(default) => format!("no; without it: {default}"),
    }
}

/// A line for each key, under its table.
fn several(found: &[(&KeyList, &Key)]) -> String {
    let mut text = String::new();
    let mut table = None;
    for (list, key) in found {
        if table != Some((list.file, key.table)) {
            table = Some((list.file, key.table));
            let meaning =
                list.tables.iter().find(|table| table.name == key.table).map_or("", |table| table.meaning);
            let name = if key.table.is_empty() { String::new() } else { format!(" [{}]", key.table) };
            let line = if text.is_empty() { "" } else { "\n" };
            text += &format!("{line}{} file{name}: {meaning}\n", list.file);
        }
        text += &format!("  {}: {}\n", key.name, key.told());
    }
    text
}

fn object(list: &KeyList, key: &Key) -> Value {
    json!({
        "file": list.file,
        "table": key.table,
        "key": key.name,
        "unit": key.unit,
        "meaning": key.meaning,
        "usual": key.usual,
        "needed": needed(key),
        "option": key.option,
        "older": key.older,
    })
}
