//! How polars are written.

use crate::base::{Error, Result};
use serde::{Deserialize, Serialize};

/// How a polar is written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CsvOptions {
    /// What stands between fields.
    pub delimiter: Delimiter,
    /// The decimal mark.
    pub decimal: Decimal,
    /// The text in the matrix's corner.
    pub corner: String,
    /// Matrix or long form.
    pub layout: Layout,
    /// What ends a line.
    pub line_end: LineEnd,
    /// Whether neighbouring cells are smoothed.
    pub smoothing: Smoothing,
}

/// Whether the cells of a corrected polar are smoothed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Smoothing {
    /// Each cell as it was computed.
    #[default]
    None,
    /// Each factor averaged with those one row and column away, by a binomial kernel.
    Binomial,
}

/// What stands between fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Delimiter {
    /// `,`
    #[default]
    Comma,
    /// `;`
    Semicolon,
    /// A tab.
    Tab,
}

/// The decimal mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decimal {
    /// `.`
    #[default]
    Point,
    /// `,`, beside semicolons or tabs.
    Comma,
}

/// How the table is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Layout {
    /// TWS in the first row, TWA in the first column.
    #[default]
    Matrix,
    /// A header `tws_kn,twa_deg,speed_kn` and one row a cell.
    Long,
}

/// What ends a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LineEnd {
    /// CR LF, as RFC 4180 has it; number readers take the CR for white space.
    #[default]
    Crlf,
    /// LF alone, for readers that do not.
    Lf,
}

impl Smoothing {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::None, Self::Binomial];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Binomial => "binomial",
        }
    }
}

impl Delimiter {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Comma, Self::Semicolon, Self::Tab];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Comma => "comma",
            Self::Semicolon => "semicolon",
            Self::Tab => "tab",
        }
    }
}

impl Decimal {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Point, Self::Comma];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Point => "point",
            Self::Comma => "comma",
        }
    }
}

impl Layout {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Matrix, Self::Long];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Matrix => "matrix",
            Self::Long => "long",
        }
    }
}

impl LineEnd {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Crlf, Self::Lf];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Crlf => "crlf",
            Self::Lf => "lf",
        }
    }
}

impl Default for CsvOptions {
    fn default() -> Self {
        Self {
            delimiter: Delimiter::default(),
            decimal: Decimal::default(),
            corner: "twa_deg".to_owned(),
            layout: Layout::default(),
            line_end: LineEnd::default(),
            smoothing: Smoothing::default(),
        }
    }
}

impl CsvOptions {
    /// Errors: a decimal comma between commas; a corner that a reader would take for a comment or a number.
    pub fn check(&self) -> Result<()> {
        if self.delimiter == Delimiter::Comma && self.decimal == Decimal::Comma {
            return Err(Error::new("decimal commas cannot stand between commas")
                .at("polar_csv")
                .found("delimiter \"comma\" and decimal \"comma\"")
                .expected("one of them different")
                .remedy("set delimiter = \"semicolon\" or \"tab\""));
        }
        let corner = self.corner.trim();
        if corner.starts_with('#') || corner.parse::<f64>().is_ok() || corner.chars().any(char::is_control) {
            return Err(Error::new("the corner text would be misread")
                .at("polar_csv, corner")
                .found(format!("{:?}", self.corner))
                .expected("text without control characters that is no number and does not begin with #")
                .remedy("set corner = \"twa_deg\""));
        }
        Ok(())
    }
}
