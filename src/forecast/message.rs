//! One field in a file, described but not decoded: what every format's index yields.

use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;

use super::field::Field;
use super::grib2;
use super::grid::Grid;
use super::quantity::Quantity;
use super::sniff::{Kind, sniff};
use crate::error::{Error, Result};

/// A field as its header describes it.
#[derive(Debug, Clone)]
pub struct Message {
    /// The file it is in.
    pub path: Arc<Path>,
    /// Its number in the file, from 1.
    pub number: usize,
    /// What the file calls it: GRIB code and surface, or a variable's name.
    pub code: String,
    /// What it is, where it is known and needed here.
    pub quantity: Option<Quantity>,
    /// What to know about that reading.
    pub note: Option<&'static str>,
    /// When the forecast starts.
    pub reference: Timestamp,
    /// When the field is valid.
    pub valid: Timestamp,
    /// The ensemble member, where the file says so.
    pub member: Option<u32>,
    /// Its grid, or why that cannot be used.
    pub grid: Result<Arc<Grid>>,
    /// How its values are packed.
    pub packing: String,
    pub(super) store: Store,
}

/// Where a message's values are.
#[derive(Debug, Clone)]
pub(super) enum Store {
    Grib2(grib2::Stored),
}

/// A file's messages.
#[derive(Debug, Clone)]
pub struct Index {
    /// What the file is.
    pub kind: Kind,
    /// Its messages, in file order.
    pub messages: Vec<Message>,
    /// Bytes between or after messages that belong to none.
    pub stray_bytes: u64,
}

/// Lists a file's messages without decoding them.
///
/// # Errors
/// A file that cannot be read, is no forecast, is cut short or damaged.
pub fn index(path: &Path) -> Result<Index> {
    match sniff(path)? {
        Kind::Grib2 => grib2::index(path),
        other => Err(Error::new("forecasts of this kind cannot be read").file(path).found(match other {
            Kind::Grib1 => "GRIB edition 1",
            _ => "NetCDF",
        })),
    }
}

impl Message {
    /// Reads and decodes the field, in the order of its [`Grid`].
    ///
    /// # Errors
    /// An unsupported grid or packing, damaged data; each names the file and the message.
    pub fn decode(&self) -> Result<Field> {
        let grid = self.grid.clone()?;
        let field = match &self.store {
            Store::Grib2(stored) => grib2::decode(&self.path, stored),
        };
        let field = field.map_err(|e| e.file(&self.path).at(self.place()))?;
        if field.len() != grid.points() {
            return Err(Error::new("a field does not fill its grid")
                .file(&self.path)
                .at(self.place())
                .found(format!("{} values", field.len()))
                .expected(format!("{} points", grid.points())));
        }
        Ok(field)
    }

    /// The message's number and code, for errors.
    pub fn place(&self) -> String {
        match self.quantity {
            Some(quantity) => format!("message {} ({quantity})", self.number),
            None => format!("message {} ({})", self.number, self.code),
        }
    }
}
