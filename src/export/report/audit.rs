//! The audit by region and window, columns as arrays: every number as it stands in the file.

use super::table::{Table, short};
use crate::error::{Error, Result};
use crate::export::audit::{self, COLUMNS};
use crate::parquet_table::Kind;
use crate::window::Window;
use csv::StringRecord;
use serde_json::{Map, Value, json};
use std::path::Path;

/// The columns that tell regions and windows apart.
const PART: [&str; 3] = ["region", "window_start", "window_end"];

/// Columns of words, kept as places in a list of the words that occur.
fn words() -> Vec<String> {
    let words = COLUMNS.iter().filter(|name| audit::kind(name) == Kind::Text && !PART.contains(name));
    words.map(|name| (*name).to_owned()).collect()
}

/// Columns of numbers: those every audit has, then the stages of this one.
fn numbers(stages: &[String]) -> Vec<String> {
    let is_number = |name: &str| matches!(audit::kind(name), Kind::Real | Kind::Count);
    let numbers = COLUMNS.iter().filter(|name| is_number(name) && !is_stage(name));
    numbers.map(|name| (*name).to_owned()).chain(stages.iter().cloned()).collect()
}

fn is_stage(column: &str) -> bool {
    column.starts_with("stage_")
}

/// The audit of a result.
pub(super) struct Audit {
    words: Vec<(String, Vec<String>)>,
    stages: Vec<String>,
    parts: Vec<Part>,
}

/// The rows of one region and window.
struct Part {
    region: String,
    window: Window,
    columns: Vec<(String, Vec<Value>)>,
}

impl Audit {
    /// Regions in the order of the file.
    pub(super) fn region(&self, part: usize) -> &str {
        &self.parts[part].region
    }

    /// How many regions with windows there are.
    pub(super) fn parts(&self) -> usize {
        self.parts.len()
    }

    /// The part of a region that a time falls in.
    pub(super) fn part_at(&self, region: &str, time: jiff::Timestamp) -> Option<usize> {
        self.parts
            .iter()
            .position(|part| part.region == region && part.window.start <= time && time < part.window.end)
    }

    /// As the page takes it.
    pub(super) fn to_json(&self) -> Value {
        let words: Map<String, Value> =
            self.words.iter().map(|(column, words)| (column.clone(), json!(words))).collect();
        let part = |part: &Part| {
            let columns: Map<String, Value> =
                part.columns.iter().map(|(name, values)| (name.clone(), json!(values))).collect();
            json!({
                "region": part.region,
                "start": part.window.start.to_string(),
                "end": part.window.end.to_string(),
                "columns": columns,
            })
        };
        let parts: Vec<Value> = self.parts.iter().map(part).collect();
        json!({"words": words, "stages": self.stages, "parts": parts})
    }
}

/// Reads an audit.
///
/// # Errors
/// A file that is not an audit or holds no rows; a field that cannot be read.
pub(super) fn read(path: &Path) -> Result<Audit> {
    let mut table = Table::open(path)?;
    let stages: Vec<String> = table.columns().iter().filter(|name| is_stage(name)).cloned().collect();
    let places = Places::of(&table, &stages)?;
    let words = words().into_iter().map(|name| (name, Vec::new())).collect();
    let mut audit = Audit { words, stages, parts: Vec::new() };
    while let Some(row) = table.next()? {
        let part = audit.part_of(&table, &places, &row)?;
        let mut values = Vec::with_capacity(places.words.len() + places.numbers.len());
        for ((_, known), &place) in audit.words.iter_mut().zip(&places.words) {
            values.push(json!(word(known, &row[place])));
        }
        for &place in &places.numbers {
            values.push(table.number(&row, place)?.map_or(Value::Null, short));
        }
        for ((_, column), value) in audit.parts[part].columns.iter_mut().zip(values) {
            column.push(value);
        }
    }
    if audit.parts.is_empty() {
        return Err(Error::new("the audit holds no cells")
            .file(path)
            .expected("a row for every cell")
            .remedy("make the result again with derate"));
    }
    Ok(audit)
}

/// Where the columns stand.
struct Places {
    region: usize,
    start: usize,
    end: usize,
    words: Vec<usize>,
    numbers: Vec<usize>,
    names: Vec<String>,
}

impl Places {
    fn of(table: &Table, stages: &[String]) -> Result<Self> {
        let places =
            |names: &[String]| names.iter().map(|name| table.place(name)).collect::<Result<Vec<_>>>();
        let (words, numbers) = (words(), numbers(stages));
        let [region, start, end] = PART;
        Ok(Self {
            region: table.place(region)?,
            start: table.place(start)?,
            end: table.place(end)?,
            words: places(&words)?,
            numbers: places(&numbers)?,
            names: words.into_iter().chain(numbers).collect(),
        })
    }
}

impl Audit {
    /// The place of a row's part, made where it is new.
    fn part_of(&mut self, table: &Table, places: &Places, row: &StringRecord) -> Result<usize> {
        let time = |place| table.value(row, place)?.ok_or_else(|| table.unreadable(row, place));
        let window = Window { start: time(places.start)?, end: time(places.end)? };
        let region = &row[places.region];
        // rows of a part stand together
        let known = self.parts.iter().rposition(|part| part.window == window && part.region == region);
        Ok(known.unwrap_or_else(|| {
            let columns = places.names.iter().map(|name| (name.clone(), Vec::new())).collect();
            self.parts.push(Part { region: region.to_owned(), window, columns });
            self.parts.len() - 1
        }))
    }
}

/// The place of a word in a list, added where it is new.
fn word(known: &mut Vec<String>, word: &str) -> usize {
    known.iter().position(|other| other == word).unwrap_or_else(|| {
        known.push(word.to_owned());
        known.len() - 1
    })
}
