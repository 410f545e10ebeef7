//! The choices a job leaves open.

use crate::boat::Side;
use crate::hydro::response::Method;
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// The size of tiles, degrees.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct TileSize {
    /// Step in latitude.
    pub lat_deg: f64,
    /// Step in longitude; divides 360.
    pub lon_deg: f64,
}

/// Regions along a track.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct CorridorChoice {
    /// The track: GPX, or a GeoJSON LineString.
    pub track: PathBuf,
    /// Half the corridor's width, nautical miles.
    pub half_width_nm: f64,
    /// The length of a leg, nautical miles: each leg is a region.
    pub leg_nm: f64,
}

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

/// Which tacks a corrected polar holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TackChoice {
    /// TWA 0..180, the mean slowness of both tacks.
    #[default]
    Mean,
    /// TWA 0..180, the slower tack of each cell.
    Slower,
    /// TWA 0..180, starboard tack.
    Starboard,
    /// TWA 0..180, port tack.
    Port,
    /// TWA -180..180, starboard tack positive.
    Signed,
}

impl TackChoice {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Mean, Self::Slower, Self::Starboard, Self::Port, Self::Signed];

    /// The name in files, and in their names.
    pub fn name(self) -> &'static str {
        match self {
            Self::Mean => "mean",
            Self::Slower => "slower",
            Self::Starboard => "starboard",
            Self::Port => "port",
            Self::Signed => "signed",
        }
    }
}

/// Whether the members of an ensemble get polars of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MemberChoice {
    /// One polar over all members, which weigh alike.
    #[default]
    Together,
    /// Besides, one polar for each member.
    Each,
}

impl MemberChoice {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Together, Self::Each];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Together => "together",
            Self::Each => "each",
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

/// The format of a long table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TableFormat {
    /// CSV, RFC 4180.
    Csv,
    /// Apache Parquet.
    Parquet,
}

impl TableFormat {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Csv, Self::Parquet];

    /// The name in files, which is also the ending of such a file's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::Parquet => "parquet",
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
        Some(Self::Formats(
            TableFormat::ALL.into_iter().filter(|format| words.contains(&word(*format))).collect(),
        ))
    }

    /// Whether it must be written.
    pub fn is_asked_for(&self) -> bool {
        matches!(self, Self::Formats(formats) if !formats.is_empty())
    }
}

/// Choices of the model.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize, Serialize)]
#[serde(default, deny_unknown_fields)]
pub struct Model {
    /// The method of added resistance.
    pub added_resistance: Method,
    /// The user's own responses (CSV), which the method `table` needs.
    pub own_responses: Option<PathBuf>,
    /// Foils that are missing or raised.
    pub without_foil: OneOrMore<Side>,
}

/// A value, or a list of them.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, Serialize)]
#[serde(untagged, expecting = "one value or a list of them")]
pub enum OneOrMore<T> {
    /// One value.
    One(T),
    /// A list.
    More(Vec<T>),
}

impl<T> Default for OneOrMore<T> {
    fn default() -> Self {
        Self::More(Vec::new())
    }
}

impl<T> OneOrMore<T> {
    /// The values.
    pub fn as_slice(&self) -> &[T] {
        match self {
            Self::One(value) => std::slice::from_ref(value),
            Self::More(values) => values,
        }
    }
}
