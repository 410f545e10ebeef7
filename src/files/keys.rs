//! The keys of a file of settings: one list that says what each means, and that a file is held against before it is read, so
//! that all that is unknown or missing in it is told at once.

use crate::base::error::nearest;
use crate::base::{Error, Result};
use crate::files::text_file;
use std::path::Path;
use toml::de::{DeTable, DeValue};

/// A key of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Key {
    /// The table it stands in, dots between nested ones; empty for none.
    pub table: &'static str,
    /// Its name, which ends with its unit.
    pub name: &'static str,
    /// The unit in words; empty where the value is no number.
    pub unit: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// What usually stands there (common practice, no source).
    pub usual: &'static str,
    /// Whether it must be there.
    pub need: Need,
    /// An earlier name that is still read; empty for none.
    pub older: &'static str,
    /// The option of the command line that stands in for it; empty for none.
    pub option: &'static str,
}

/// Whether a key must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Always, where its table is.
    Always,
    /// Unless another key of its table is.
    Unless(&'static str),
    /// No; this holds without it.
    No(&'static str),
}

/// A table of keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeyTable {
    /// Its name, dots between nested ones; empty for the top of the file.
    pub name: &'static str,
    /// What it is for.
    pub meaning: &'static str,
    /// Whether it must be there, where the table around it is.
    pub is_needed: bool,
}

/// All keys of a kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeyList {
    /// The kind of file, such as `boat`.
    pub file: &'static str,
    /// Its tables, the top of the file first.
    pub tables: &'static [KeyTable],
    /// Its keys, table by table.
    pub keys: &'static [Key],
}

/// Something wrong with a key: the line it stands in, or should.
struct Fault {
    place: String,
    found: String,
    expected: String,
    remedy: String,
    kind: FaultKind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum FaultKind {
    Unknown,
    Missing,
}

impl Key {
    /// The name with its table, as `hull.lwl_m`.
    pub fn path(&self) -> String {
        if self.table.is_empty() { self.name.to_owned() } else { format!("{}.{}", self.table, self.name) }
    }

    /// Meaning, unit and usual range in a line.
    pub fn told(&self) -> String {
        let unit = if self.unit.is_empty() { String::new() } else { format!(", in {}", self.unit) };
        let usual = if self.usual.is_empty() { String::new() } else { format!("; usually {}", self.usual) };
        format!("{}{unit}{usual}", self.meaning)
    }

    /// Whether a name in a file is this key's, its own or an earlier one.
    fn is_called(&self, name: &str) -> bool {
        self.name == name || (!self.older.is_empty() && self.older == name)
    }
}

impl KeyList {
    /// The keys of a table.
    pub fn of<'l>(&'l self, table: &'l str) -> impl Iterator<Item = &'l Key> {
        self.keys.iter().filter(move |key| key.table == table)
    }

    /// The key of a table and a name.
    pub fn key(&self, table: &str, name: &str) -> Option<&Key> {
        self.keys.iter().find(|key| key.table == table && key.is_called(name))
    }

    /// Holds a file's text against the list. Text that is no TOML passes: its reader says what is wrong with that.
    ///
    /// # Errors
    /// Every key that is not known, and every one that is missing where its table is there, in one error.
    pub fn check(&self, text: &str, path: &Path) -> Result<()> {
        let Ok(root) = DeTable::parse(text) else { return Ok(()) };
        let mut faults = Vec::new();
        self.check_table("", root.get_ref(), "line 1".to_owned(), text, &mut faults);
        match faults.as_slice() {
            [] => Ok(()),
            [one] => Err(one.alone().file(path)),
            several => Err(together(self.file, several).file(path)),
        }
    }

    fn check_table(&self, table: &str, held: &DeTable, place: String, text: &str, faults: &mut Vec<Fault>) {
        for (name, value) in held.iter() {
            let start = name.span().start;
            let inner = if table.is_empty() {
                name.get_ref().to_string()
            } else {
                format!("{table}.{}", name.get_ref())
            };
            match value.get_ref() {
                DeValue::Table(held) if self.tables.iter().any(|known| known.name == inner) => {
                    self.check_table(&inner, held, text_file::place(text, start), text, faults);
                }
                _ if self.key(table, name.get_ref()).is_some() => {}
                _ => faults.push(self.unknown(table, name.get_ref(), start, text)),
            }
        }
        let has = |key: &Key| held.iter().any(|(name, _)| key.is_called(name.get_ref()));
        let is_missing = |key: &&Key| match key.need {
            Need::Always => !has(key),
            Need::Unless(other) => !has(key) && !held.iter().any(|(name, _)| name.get_ref() == other),
            Need::No(_) => false,
        };
        faults.extend(self.of(table).filter(is_missing).map(|key| missing(key, &place)));
        for inner in self.tables.iter().filter(|inner| inner.is_needed && parent(inner.name) == Some(table)) {
            let last = inner.name.rsplit('.').next().unwrap_or_default();
            if !held.iter().any(|(name, _)| name.get_ref() == last) {
                faults.push(Fault {
                    place: place.clone(),
                    found: format!("no [{}]", inner.name),
                    expected: format!("[{}]: {}", inner.name, inner.meaning),
                    remedy: format!("add the table; `roughwater explain-key {}` tells its keys", inner.name),
                    kind: FaultKind::Missing,
                });
            }
        }
    }

    fn unknown(&self, table: &str, name: &str, start: usize, text: &str) -> Fault {
        let names: Vec<&str> = self
            .of(table)
            .map(|key| key.name)
            .chain(
                self.tables.iter().filter(|inner| parent(inner.name) == Some(table)).map(|inner| inner.name),
            )
            .collect();
        let elsewhere = self.keys.iter().find(|key| key.is_called(name));
        let remedy = match (nearest(name, names.iter().copied()), elsewhere) {
            (_, Some(key)) => format!("\"{}\" belongs to {}", key.name, in_table(key.table)),
            (Some(near), None) => format!("did you mean \"{near}\"?"),
            (None, None) => "take the key out, or check its spelling and the table it stands in".to_owned(),
        };
        let place = format!("{}: {}", text_file::place(text, start), text_file::line_of(text, start));
        let found = format!("\"{name}\" in {}", in_table(table));
        Fault {
            place,
            found,
            expected: format!("one of {}", names.join(", ")),
            remedy,
            kind: FaultKind::Unknown,
        }
    }
}

fn missing(key: &Key, place: &str) -> Fault {
    Fault {
        place: place.to_owned(),
        found: format!("no \"{}\" in {}", key.name, in_table(key.table)),
        expected: format!("a key \"{}\": {}", key.name, key.told()),
        remedy: format!("add the key; `roughwater explain-key {}` says more", key.path()),
        kind: FaultKind::Missing,
    }
}

/// The table around a table; none around the top.
fn parent(table: &str) -> Option<&str> {
    if table.is_empty() { None } else { Some(table.rsplit_once('.').map_or("", |(outer, _)| outer)) }
}

fn in_table(table: &str) -> String {
    if table.is_empty() { "the top of the file".to_owned() } else { format!("[{table}]") }
}

impl Fault {
    fn alone(&self) -> Error {
        let problem = match self.kind {
            FaultKind::Unknown => "the key is not known",
            FaultKind::Missing => "a key is missing",
        };
        Error::new(problem).at(&self.place).found(&self.found).expected(&self.expected).remedy(&self.remedy)
    }
}

fn together(file: &str, faults: &[Fault]) -> Error {
    let count = |kind: FaultKind| faults.iter().filter(|fault| fault.kind == kind).count();
    let (unknown, missing) = (count(FaultKind::Unknown), count(FaultKind::Missing));
    let of = |kind: FaultKind| faults.iter().filter(move |fault| fault.kind == kind);
    let found = of(FaultKind::Unknown)
        .map(|fault| format!("{}\n  {}, not known: {}", fault.place, fault.found, fault.remedy))
        .chain(
            of(FaultKind::Missing)
                .map(|fault| format!("{}\n  {}; expected {}", fault.place, fault.found, fault.expected)),
        );
    Error::new(format!("the {file} file has {unknown} unknown and {missing} missing keys"))
        .found(found.collect::<Vec<_>>().join("\n"))
        .expected(format!("the keys of a {file} file, each in its table"))
        .remedy("mend them all; `roughwater explain-key KEY` says more of any, without KEY it lists all")
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn key(table: &'static str, name: &'static str, need: Need) -> Key {
        Key { table, name, unit: "m", meaning: "how long", usual: "2 to 3", need, older: "", option: "" }
    }

    const LIST: KeyList = KeyList {
        file: "boat",
        tables: &[
            KeyTable { name: "", meaning: "top", is_needed: true },
            KeyTable { name: "hull", meaning: "the hull", is_needed: true },
            KeyTable { name: "foils", meaning: "the foils", is_needed: false },
            KeyTable { name: "foils.port", meaning: "one of them", is_needed: true },
        ],
        keys: &[
            key("", "name", Need::Always),
            key("hull", "lwl_m", Need::Unless("sections")),
            key("hull", "sections", Need::No("drawn")),
            Key { older: "bwl", ..key("hull", "bwl_m", Need::Always) },
            key("foils", "span_m", Need::Always),
            key("foils.port", "state", Need::Always),
        ],
    };

    fn told(text: &str) -> String {
        LIST.check(text, Path::new("boat.toml")).map_or_else(|error| error.to_string(), |()| String::new())
    }

    #[test]
    fn whole_files_pass() {
        for text in [
            "name = 'a'\n[hull]\nlwl_m = 1\nbwl_m = 2",
            "name = 'a'\n[hull]\nsections = 'x'\nbwl = 2\n[foils]\nspan_m = 1\nport = { state = 'x' }",
            "name = 'a'\nhull.lwl_m = 1\nhull.bwl_m = 2",
            "this is no TOML",
        ] {
            assert_eq!(told(text), "", "{text}");
        }
    }

    /// By hand: two names that are none, and five keys that are not there.
    #[test]
    fn everything_wrong_is_told_at_once() {
        let told = told("nme = 'a'\n[hull]\nspan_m = 1\n[foils]\nport = { stat = 1 }");
        assert_eq!(told.matches("not known").count(), 3, "{told}");
        for word in [
            "3 unknown and 5 missing",
            "line 1, column 1: nme = 'a'",
            "did you mean \"name\"?",
            "\"span_m\" belongs to [foils]",
            "no \"lwl_m\" in [hull]",
            "how long, in m; usually 2 to 3",
            "no \"bwl_m\" in [hull]",
            "no \"span_m\" in [foils]",
            "no \"state\" in [foils.port]",
            "did you mean \"state\"?",
        ] {
            assert!(told.contains(word), "should say {word:?}:\n{told}");
        }
    }

    #[test]
    fn one_fault_is_told_as_one() {
        let told = told("name = 'a'\n[hull]\nlwl_m = 1");
        for word in ["a key is missing", "line 2", "no \"bwl_m\" in [hull]", "a key \"bwl_m\": how long"] {
            assert!(told.contains(word), "should say {word:?}:\n{told}");
        }
    }
}
