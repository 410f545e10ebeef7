//! The choices a job leaves open.

use crate::files::TableFormat;
use serde::{Deserialize, Serialize};

/// Whether regions and windows whose polars are alike are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Split {
    /// Every region and window has a polar of its own.
    #[default]
    Given,
    /// Neighbouring tiles and hours are joined where one polar serves them.
    Auto,
}

impl Split {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Given, Self::Auto];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Auto => "auto",
        }
    }
}

/// A choice of the cell audit, as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CellAuditWord {
    /// As CSV.
    Csv,
    /// As Apache Parquet.
    Parquet,
    /// Not at all.
    None,
}

impl CellAuditWord {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Csv, Self::Parquet, Self::None];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::Parquet => "parquet",
            Self::None => "none",
        }
    }
}

/// Whether each forecast cell is accounted for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum CellAudit {
    /// As CSV, where the forecast has few cells within the regions.
    #[default]
    IfSmall,
    /// In these formats, each once; none of them means not at all.
    Formats(Vec<TableFormat>),
}

impl CellAudit {
    /// What words mean; none where they contradict each other.
    pub fn of(words: &[CellAuditWord]) -> Option<Self> {
        if words.contains(&CellAuditWord::None) {
            return words.iter().all(|word| *word == CellAuditWord::None).then(|| Self::Formats(Vec::new()));
        }
        let word = |format: TableFormat| match format {
            TableFormat::Csv => CellAuditWord::Csv,
            TableFormat::Parquet => CellAuditWord::Parquet,
        };
        let formats = TableFormat::ALL.into_iter().filter(|format| words.contains(&word(*format)));
        Some(Self::Formats(formats.collect()))
    }

    /// Whether it must be written.
    pub fn is_asked_for(&self) -> bool {
        matches!(self, Self::Formats(formats) if !formats.is_empty())
    }
}
