//! A long table held in memory, column by column, with the values that its files have.

use crate::base::{Error, Result};
use crate::files::parquet_table::{Column, Kind};
use jiff::Timestamp;

/// A table, column by column.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldTable {
    columns: Vec<(&'static str, HeldColumn)>,
}

/// The values of a column; none where a field is empty.
#[derive(Debug, Clone, PartialEq)]
pub enum HeldColumn {
    /// Text.
    Text(Vec<Option<String>>),
    /// Times.
    Time(Vec<Option<Timestamp>>),
    /// Numbers with decimals.
    Real(Vec<Option<f64>>),
    /// Whole numbers.
    Count(Vec<Option<i64>>),
    /// Yes or no.
    Truth(Vec<Option<bool>>),
}

impl HeldTable {
    /// A table without rows.
    pub fn new(columns: &[Column]) -> Self {
        let empty = |kind: Kind| match kind {
            Kind::Text => HeldColumn::Text(Vec::new()),
            Kind::Time => HeldColumn::Time(Vec::new()),
            Kind::Real => HeldColumn::Real(Vec::new()),
            Kind::Count => HeldColumn::Count(Vec::new()),
        };
        Self { columns: columns.iter().map(|(name, kind)| (*name, empty(*kind))).collect() }
    }

    /// Adds a record as it stands in CSV, with a field for every column.
    ///
    /// # Errors
    /// A field that is not what its column holds.
    pub fn add(&mut self, record: Vec<String>) -> Result<()> {
        self.columns.iter_mut().zip(record).try_for_each(|((name, column), field)| {
            column.add(field).map_err(|field| {
                Error::fault("a field of a table is not what its column holds").at(*name).found(field)
            })
        })
    }

    /// The columns with their names.
    pub fn into_columns(self) -> Vec<(&'static str, HeldColumn)> {
        self.columns
    }
}

impl HeldColumn {
    /// Gives back a field that is not of this kind.
    fn add(&mut self, field: String) -> std::result::Result<(), String> {
        fn parsed<T: std::str::FromStr>(field: String) -> std::result::Result<Option<T>, String> {
            if field.is_empty() { Ok(None) } else { field.parse().map(Some).map_err(|_| field) }
        }
        match self {
            Self::Text(values) => values.push((!field.is_empty()).then_some(field)),
            Self::Time(values) => values.push(parsed(field)?),
            Self::Real(values) => values.push(parsed(field)?),
            Self::Count(values) => values.push(parsed(field)?),
            Self::Truth(values) => values.push(parsed(field)?),
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_held_by_their_kind_and_empty_ones_as_none() {
        let mut table = HeldTable::new(&[("region", Kind::Text), ("kn", Kind::Real), ("n", Kind::Count)]);
        table.add(["a", "1.25", "7"].map(str::to_owned).into()).unwrap();
        table.add(["", "", ""].map(str::to_owned).into()).unwrap();
        let columns = [
            ("region", HeldColumn::Text(vec![Some("a".into()), None])),
            ("kn", HeldColumn::Real(vec![Some(1.25), None])),
            ("n", HeldColumn::Count(vec![Some(7), None])),
        ];
        assert_eq!(table.clone().into_columns(), columns);
        let told = table.add(["b", "1,25", "7"].map(str::to_owned).into()).unwrap_err().to_string();
        assert!(told.contains("kn") && told.contains("1,25"), "{told}");
    }
}
