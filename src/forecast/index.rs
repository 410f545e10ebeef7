//! A file to its messages, whatever its format.

use std::path::Path;

use crate::base::Result;
use crate::forecast::message::FileIndex;
use crate::forecast::sniff::{FileKind, sniff};
use crate::forecast::{grib1, grib2, netcdf};

/// Lists a file's messages without decoding them.
///
/// # Errors
/// A file that cannot be read, is no forecast, is cut short or damaged.
pub fn index(path: &Path) -> Result<FileIndex> {
    match sniff(path)? {
        FileKind::Grib1 => grib1::index(path),
        FileKind::Grib2 => grib2::index(path),
        kind @ (FileKind::NetcdfClassic | FileKind::Hdf5) => netcdf::index(path, kind),
    }
}
