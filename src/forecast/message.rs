//! One field in a file, described but not decoded: what every format's index yields.

use std::borrow::Cow;
use std::fmt;
use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;

use crate::base::{Error, Result};
use crate::forecast::field::Field;
use crate::forecast::grid::Grid;
use crate::forecast::quantity::Quantity;
use crate::forecast::sniff::FileKind;
use crate::forecast::spans::Spans;
use crate::forecast::spectra::Spectra;

/// A field as its header describes it; `T` is what its values decode to.
#[derive(Debug, Clone)]
pub struct Message<T = Field> {
    /// The file it is in.
    pub path: Arc<Path>,
    /// Its number in the file, from 1.
    pub number: usize,
    /// What the file calls it: GRIB code and surface, or a variable's name.
    pub code: String,
    /// What it is, where it is known and needed here.
    pub quantity: Option<Quantity>,
    /// What to know about that reading, or why there is none.
    pub note: Option<Cow<'static, str>>,
    /// The unit in the file, where the file states it.
    pub unit: Option<String>,
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
    /// Why it alone cannot be read, where its header says so already.
    pub damage: Option<Error>,
    pub(super) values: Lazy<T>,
}

/// Values still in their file, and how to read them from there.
pub(super) struct Lazy<T>(Arc<dyn Fn(&Spans) -> Result<T> + Send + Sync>);

/// A file's messages.
#[derive(Debug, Clone)]
pub struct FileIndex {
    /// What the file is.
    pub kind: FileKind,
    /// Its messages, in file order.
    pub messages: Vec<Message>,
    /// Its directional spectra.
    pub spectra: Vec<Message<Spectra>>,
    /// Bytes between or after messages that belong to none.
    pub stray_bytes: u64,
}

impl Message {
    /// Reads and decodes the field, in the order of its [`Grid`].
    ///
    /// # Errors
    /// An unsupported grid or packing, damaged data; each names the file and the message.
    pub fn decode(&self) -> Result<Field> {
        self.decode_at(&Spans::whole(self.grid.as_ref().map_or(0, |grid| grid.points())))
    }

    /// As [`Message::decode`], of the points looked at alone where the format lets others be passed over: they come out as
    /// missing.
    ///
    /// # Errors
    /// As [`Message::decode`], for what is looked at.
    pub fn decode_at(&self, points: &Spans) -> Result<Field> {
        self.read(points, Field::len)
    }
}

impl Message<Spectra> {
    /// Reads and decodes the spectra of all points, in the order of the [`Grid`].
    ///
    /// # Errors
    /// As of a field.
    pub fn decode(&self) -> Result<Spectra> {
        self.read(&Spans::default(), Spectra::points)
    }
}

impl<T> Message<T> {
    fn read(&self, at: &Spans, points: impl Fn(&T) -> usize) -> Result<T> {
        let grid = self.grid.clone()?;
        let values = self.values.read(at).map_err(|e| e.file(&self.path).at(self.place()))?;
        if points(&values) != grid.points() {
            return Err(Error::new("a field does not fill its grid")
                .file(&self.path)
                .at(self.place())
                .found(format!("{} values", points(&values)))
                .expected(format!("{} points", grid.points())));
        }
        Ok(values)
    }

    /// The message's number and code, for errors.
    pub fn place(&self) -> String {
        match self.quantity {
            Some(quantity) => format!("message {} ({quantity})", self.number),
            None => format!("message {} ({})", self.number, self.code),
        }
    }
}

impl<T> Lazy<T> {
    /// Values that are read as a whole.
    pub fn new(read: impl Fn() -> Result<T> + Send + Sync + 'static) -> Self {
        Self(Arc::new(move |_| read()))
    }

    /// Values of which those at some points can be had without the others.
    pub fn at_points(read: impl Fn(&Spans) -> Result<T> + Send + Sync + 'static) -> Self {
        Self(Arc::new(read))
    }

    fn read(&self, points: &Spans) -> Result<T> {
        (self.0)(points)
    }
}

impl<T> Clone for Lazy<T> {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}

impl<T> fmt::Debug for Lazy<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Lazy")
    }
}
