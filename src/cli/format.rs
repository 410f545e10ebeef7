//! In which form an answer is printed.

use crate::cli::named::{Named, offered};
use crate::cli::print::{print, print_json};
use clap::builder::TypedValueParser;
use roughwater::base::Result;
use serde::Serialize;

/// In which form an answer is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    /// For reading.
    Text,
    /// A table for programs.
    Csv,
    /// For programs.
    Json,
}

impl Named for Format {
    fn name(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Csv => "csv",
            Self::Json => "json",
        }
    }
}

/// The formats of answers that are no table.
pub(super) fn text_or_json() -> impl TypedValueParser<Value = Format> {
    offered([(Format::Text, "For reading"), (Format::Json, "For programs")])
}

/// All formats, with what text and CSV hold.
pub(super) fn with_csv(text: &'static str, csv: &'static str) -> impl TypedValueParser<Value = Format> {
    offered([(Format::Text, text), (Format::Csv, csv), (Format::Json, "For programs")])
}

/// Prints an answer that is no table.
pub(super) fn print_as<J: Serialize>(
    format: Format,
    text: impl FnOnce() -> String,
    json: impl FnOnce() -> J,
) -> Result<()> {
    if format == Format::Json { print_json(&json()) } else { print(&text()) }
}
