//! A column of a long table: what it is called, what it holds, and how a row's field in it is written.

use crate::files::{Column, Kind};

/// A column; `F` is the function from what a row is made from to the field's text.
#[derive(Debug, Clone, Copy)]
pub struct TableColumn<F> {
    /// The name. Names, once out, stay; new columns are added at the end.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// The field of a row; empty where there is no value.
    pub field: F,
}

impl<F: Copy> TableColumn<F> {
    /// A column of words.
    pub const fn text(name: &'static str, field: F) -> Self {
        Self { name, kind: Kind::Text, field }
    }

    /// A column of times.
    pub const fn time(name: &'static str, field: F) -> Self {
        Self { name, kind: Kind::Time, field }
    }

    /// A column of numbers with decimals.
    pub const fn real(name: &'static str, field: F) -> Self {
        Self { name, kind: Kind::Real, field }
    }

    /// A column of whole numbers.
    pub const fn count(name: &'static str, field: F) -> Self {
        Self { name, kind: Kind::Count, field }
    }

    /// Name and kind.
    pub const fn head(&self) -> Column {
        (self.name, self.kind)
    }
}

/// A number with so many decimals.
pub fn fixed(value: f64, decimals: usize) -> String {
    format!("{value:.decimals$}")
}

/// A number with so many decimals, or an empty field.
pub fn optional(value: Option<f64>, decimals: usize) -> String {
    value.map(|value| fixed(value, decimals)).unwrap_or_default()
}
