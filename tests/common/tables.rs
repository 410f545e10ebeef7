//! CSV files as rows of columns by name.

use std::collections::BTreeMap;

pub type Row = BTreeMap<String, String>;

pub fn rows(text: &str) -> Vec<Row> {
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}

pub fn number(row: &Row, name: &str) -> f64 {
    row[name].parse().unwrap_or_else(|_| panic!("{name} in {row:?}"))
}
