//! The audit by region and window, columns as arrays: every number as it stands in the file.

use crate::base::{Error, Result};
use crate::files::Kind;
use crate::report::table::{Short, Table};
use crate::result::audit;
use crate::result::audit::COLUMNS;
use csv::StringRecord;
use jiff::Timestamp;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
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
#[derive(Serialize)]
pub(super) struct Audit {
    #[serde(serialize_with = "as_map")]
    words: Vec<(String, Vec<String>)>,
    stages: Vec<String>,
    parts: Vec<Part>,
}

/// The rows of one region and window.
#[derive(Serialize)]
struct Part {
    region: String,
    start: Timestamp,
    end: Timestamp,
    columns: Columns,
}

/// The columns of a part: places in the lists of words that occur, and numbers.
struct Columns {
    words: Vec<(String, Vec<usize>)>,
    numbers: Vec<(String, Vec<Option<Short>>)>,
}

impl Serialize for Columns {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.words.len() + self.numbers.len()))?;
        self.words.iter().try_for_each(|(name, words)| map.serialize_entry(name, words))?;
        self.numbers.iter().try_for_each(|(name, numbers)| map.serialize_entry(name, numbers))?;
        map.end()
    }
}

fn as_map<T: Serialize, S: Serializer>(
    entries: &[(String, T)],
    serializer: S,
) -> std::result::Result<S::Ok, S::Error> {
    serializer.collect_map(entries.iter().map(|(name, value)| (name, value)))
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
    pub(super) fn part_at(&self, region: &str, time: Timestamp) -> Option<usize> {
        self.parts.iter().position(|part| part.region == region && part.start <= time && time < part.end)
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
        let columns = &mut audit.parts[part].columns;
        for (((_, places_of), (_, known)), &place) in
            columns.words.iter_mut().zip(&mut audit.words).zip(&places.words)
        {
            places_of.push(word(known, &row[place]));
        }
        for ((_, numbers), &place) in columns.numbers.iter_mut().zip(&places.numbers) {
            numbers.push(table.number(&row, place)?.map(Short));
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
    names: [Vec<String>; 2],
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
            names: [words, numbers],
        })
    }
}

impl Audit {
    /// The place of a row's part, made where it is new.
    fn part_of(&mut self, table: &Table, places: &Places, row: &StringRecord) -> Result<usize> {
        let time = |place| table.value(row, place)?.ok_or_else(|| table.unreadable(row, place));
        let (start, end) = (time(places.start)?, time(places.end)?);
        let region = &row[places.region];
        // rows of a part stand together
        let same = |part: &Part| part.start == start && part.end == end && part.region == region;
        let known = self.parts.iter().rposition(same);
        Ok(known.unwrap_or_else(|| {
            let [words, numbers] = &places.names;
            let columns = Columns { words: empty(words), numbers: empty(numbers) };
            self.parts.push(Part { region: region.to_owned(), start, end, columns });
            self.parts.len() - 1
        }))
    }
}

/// Columns without values.
fn empty<T>(names: &[String]) -> Vec<(String, Vec<T>)> {
    names.iter().map(|name| (name.clone(), Vec::new())).collect()
}

/// The place of a word in a list, added where it is new.
fn word(known: &mut Vec<String>, word: &str) -> usize {
    known.iter().position(|other| other == word).unwrap_or_else(|| {
        known.push(word.to_owned());
        known.len() - 1
    })
}
