//! The audit by region and window, columns as arrays: every number as it stands in the file.

use crate::base::{Result, Window};
use crate::report::numbers::Short;
use crate::result::AuditRow;
use crate::result::audit::{AuditReader, is_stage, numbers, words};
use crate::result::table::TableReader;
use jiff::Timestamp;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
use std::path::Path;

/// The audit of a result.
#[derive(Serialize)]
pub(super) struct Audit {
    #[serde(serialize_with = "as_map")]
    words: Vec<(String, Vec<String>)>,
    stages: Vec<String>,
    #[serde(serialize_with = "as_told")]
    parts: Vec<Part>,
}

/// The rows of one region and window.
struct Part {
    region: String,
    start: Timestamp,
    end: Timestamp,
    columns: Columns,
}

/// A column as the page takes it: most of what an audit holds is the same in every row, or in every region and window, and is
/// told once. An array is what stands in the rows; `{"all": x}` is x in each; `{}` is the first part's column again.
#[derive(Serialize)]
#[serde(untagged)]
enum Told<'c, T> {
    Rows(&'c [T]),
    All { all: &'c T },
    AsFirst {},
}

fn told<'c, T: PartialEq>(column: &'c [T], first: Option<&[T]>) -> Told<'c, T> {
    match column {
        [all, rest @ ..] if rest.iter().all(|value| value == all) => Told::All { all },
        column if first.is_some_and(|first| first == column) => Told::AsFirst {},
        column => Told::Rows(column),
    }
}

/// The columns of a part beside those of the first one.
struct ToldColumns<'c> {
    own: &'c Columns,
    first: Option<&'c Columns>,
}

/// The columns of a part: places in the lists of words that occur, and numbers.
struct Columns {
    words: Vec<(String, Vec<usize>)>,
    numbers: Vec<(String, Vec<Option<Short>>)>,
}

impl Serialize for ToldColumns<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        let Self { own, first } = self;
        let mut map = serializer.serialize_map(Some(own.words.len() + own.numbers.len() + 1))?;
        map.serialize_entry("rows", &own.words.first().map_or(0, |(_, words)| words.len()))?;
        for (place, (name, words)) in own.words.iter().enumerate() {
            map.serialize_entry(name, &told(words, first.map(|first| first.words[place].1.as_slice())))?;
        }
        for (place, (name, numbers)) in own.numbers.iter().enumerate() {
            map.serialize_entry(name, &told(numbers, first.map(|first| first.numbers[place].1.as_slice())))?;
        }
        map.end()
    }
}

fn as_told<S: Serializer>(parts: &[Part], serializer: S) -> std::result::Result<S::Ok, S::Error> {
    serializer.collect_seq(parts.iter().enumerate().map(|(at, part)| ToldPart {
        region: &part.region,
        start: part.start,
        end: part.end,
        columns: ToldColumns {
            own: &part.columns,
            first: parts.first().filter(|_| at > 0).map(|first| &first.columns),
        },
    }))
}

/// A part as the page takes it.
#[derive(Serialize)]
struct ToldPart<'p> {
    region: &'p str,
    start: Timestamp,
    end: Timestamp,
    columns: ToldColumns<'p>,
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
    let mut reader = AuditReader::open(path)?;
    let places = Places::of(reader.table())?;
    let words = empty(&places.words);
    let mut audit = Audit { words, stages: places.stages.clone(), parts: Vec::new() };
    while let Some(row) = reader.next_row()? {
        let part = audit.part_of(&places, &row);
        let columns = &mut audit.parts[part].columns;
        for (((_, places_of), (_, known)), (_, place)) in
            columns.words.iter_mut().zip(&mut audit.words).zip(&places.words)
        {
            places_of.push(place_of(known, &row.fields[*place]));
        }
        for ((_, numbers), (_, place)) in columns.numbers.iter_mut().zip(&places.numbers) {
            numbers.push(reader.table().optional_number(&row.fields, *place)?.map(Short));
        }
    }
    Ok(audit)
}

/// The columns that are shown, and where each stands.
struct Places {
    /// Columns of words, kept as places in a list of the words that occur.
    words: Vec<(String, usize)>,
    /// Columns of numbers: those every audit has, then the stages of this one.
    numbers: Vec<(String, usize)>,
    stages: Vec<String>,
}

impl Places {
    fn of(table: &TableReader) -> Result<Self> {
        let placed = |name: &str| Ok((name.to_owned(), table.place_of(name)?));
        let stages: Vec<String> = table.columns().iter().filter(|name| is_stage(name)).cloned().collect();
        let of_all = numbers().map(|column| column.name).chain(stages.iter().map(String::as_str));
        Ok(Self {
            words: words().map(|column| placed(column.name)).collect::<Result<_>>()?,
            numbers: of_all.map(placed).collect::<Result<_>>()?,
            stages,
        })
    }
}

impl Audit {
    /// The place of a row's part, made where it is new.
    fn part_of(&mut self, places: &Places, row: &AuditRow) -> usize {
        let (Window { start, end }, region) = (row.window, row.region());
        // rows of a part stand together
        let same = |part: &Part| part.start == start && part.end == end && part.region == region;
        let known = self.parts.iter().rposition(same);
        known.unwrap_or_else(|| {
            let columns = Columns { words: empty(&places.words), numbers: empty(&places.numbers) };
            self.parts.push(Part { region: region.to_owned(), start, end, columns });
            self.parts.len() - 1
        })
    }
}

/// Columns without values.
fn empty<T>(names: &[(String, usize)]) -> Vec<(String, Vec<T>)> {
    names.iter().map(|(name, _)| (name.clone(), Vec::new())).collect()
}

/// The place of a word in a list, added where it is new.
pub(super) fn place_of(known: &mut Vec<String>, word: &str) -> usize {
    known.iter().position(|other| other == word).unwrap_or_else(|| {
        known.push(word.to_owned());
        known.len() - 1
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_repeats_is_told_once() {
        let as_json = |told: Told<i32>| serde_json::to_value(told).unwrap();
        assert_eq!(as_json(told(&[7, 7, 7], Some(&[7, 7, 7]))), json!({"all": 7}));
        assert_eq!(as_json(told(&[1, 2], Some(&[1, 2]))), json!({}));
        assert_eq!(as_json(told(&[1, 2], Some(&[1, 3]))), json!([1, 2]));
        assert_eq!(as_json(told(&[1, 2], None)), json!([1, 2]));
    }
}
