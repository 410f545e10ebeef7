//! What a file is, by its first bytes and not by its name.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use serde::Serialize;

use crate::base::{Error, Result};

/// Forecast file formats that are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FileKind {
    /// GRIB edition 1.
    Grib1,
    /// GRIB edition 2.
    Grib2,
    /// NetCDF classic, 64-bit offset or 64-bit data (CDF-1, CDF-2, CDF-5).
    NetcdfClassic,
    /// HDF5, the container of NetCDF-4.
    Hdf5,
}

impl FileKind {
    /// The name in reports.
    pub fn name(self) -> &'static str {
        match self {
            Self::Grib1 => "grib1",
            Self::Grib2 => "grib2",
            Self::NetcdfClassic => "netcdf-classic",
            Self::Hdf5 => "hdf5",
        }
    }
}

/// How far into a file a bulletin header may push the first GRIB message.
const HEADER_BYTES: usize = 1024;

/// Reads the start of a file and says what it is.
///
/// # Errors
/// A file that is no forecast is an error that names what it is instead (an empty file, a web page saved in place
/// of the forecast, a compressed file, text) and how to mend it.
pub fn sniff(path: &Path) -> Result<FileKind> {
    if path.is_dir() {
        return Err(Error::new("this is a folder, not a forecast file")
            .file(path)
            .remedy("name the files in it, for example with *.grib2"));
    }
    let file = File::open(path).map_err(|e| Error::io("open", path, &e))?;
    let mut start = Vec::with_capacity(HEADER_BYTES);
    file.take(HEADER_BYTES as u64).read_to_end(&mut start).map_err(|e| Error::io("read", path, &e))?;
    kind_of(&start).map_err(|e| e.file(path))
}

/// Says what a file is from its first bytes (1024 are enough).
///
/// # Errors
/// As [`sniff`], without the file's name.
pub fn kind_of(start: &[u8]) -> Result<FileKind> {
    if let Some(kind) = known(start) {
        return kind;
    }
    Err(stranger(start).expected("GRIB edition 1 or 2, or NetCDF"))
}

fn known(start: &[u8]) -> Option<Result<FileKind>> {
    match start {
        [b'C', b'D', b'F', 1 | 2 | 5, ..] => return Some(Ok(FileKind::NetcdfClassic)),
        [0x89, b'H', b'D', b'F', b'\r', b'\n', 0x1a, b'\n', ..] => return Some(Ok(FileKind::Hdf5)),
        _ => {}
    }
    let at = start.windows(4).position(|w| w == b"GRIB")?;
    // a web page that mentions GRIB is not one
    if at > 0 && is_markup(start) {
        return None;
    }
    Some(match start.get(at + 7) {
        Some(1) => Ok(FileKind::Grib1),
        Some(2) => Ok(FileKind::Grib2),
        Some(edition) => Err(Error::new("unknown GRIB edition")
            .at(format!("byte {}", at + 7))
            .found(edition)
            .expected("edition 1 or 2")),
        None => Err(Error::new("the file ends inside its first GRIB message")
            .found(format!("{} bytes", start.len()))
            .remedy("download it again")),
    })
}

fn stranger(start: &[u8]) -> Error {
    let compressed = |name: &str, command: &str| {
        Error::new(format!("this is a {name} file")).remedy(format!("unpack it first: {command}"))
    };
    match start {
        [] => Error::new("the file is empty").found("0 bytes").remedy("the download failed: download it again"),
        [0x1f, 0x8b, ..] => compressed("gzip", "gunzip FILE"),
        [b'B', b'Z', b'h', ..] => compressed("bzip2", "bunzip2 FILE"),
        [b'P', b'K', 3 | 5, ..] => compressed("zip", "unzip FILE"),
        [0xfd, b'7', b'z', b'X', b'Z', ..] => compressed("xz", "unxz FILE"),
        [0x28, 0xb5, 0x2f, 0xfd, ..] => compressed("Zstandard", "unzstd FILE"),
        _ if is_markup(start) => Error::new("this is a web page or an XML message, not a forecast")
            .found(first_line(start))
            .remedy("the download failed and the server's answer was saved in its place: open it to read why, then download again"),
        _ if is_text(start) => Error::new("this is a text file, not a forecast")
            .found(first_line(start))
            .remedy("if it was downloaded, the text may say why the download failed"),
        _ => Error::new("this file is of no known kind")
            .found(format!("first bytes {:02x?}", &start[..start.len().min(8)]))
            .remedy("check that it is a forecast, and download it again if it was"),
    }
}

fn is_markup(start: &[u8]) -> bool {
    let text = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start);
    text.trim_ascii_start().first() == Some(&b'<')
}

fn is_text(start: &[u8]) -> bool {
    let valid = match std::str::from_utf8(start) {
        Ok(_) => true,
        // a character cut in half at the end of the sample
        Err(e) => e.error_len().is_none(),
    };
    valid && start.iter().all(|&b| b >= 0x20 || matches!(b, b'\t' | b'\n' | b'\r' | 0x0c))
}

fn first_line(start: &[u8]) -> String {
    let text = String::from_utf8_lossy(start);
    let line = text.trim_start().lines().next().unwrap_or_default();
    format!("\"{}\"", line.chars().take(60).collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn knows_forecasts_by_their_magic_numbers() {
        assert_eq!(kind_of(b"GRIB\0\0\0\x02"), Ok(FileKind::Grib2));
        assert_eq!(kind_of(b"GRIB\0\0\x10\x01"), Ok(FileKind::Grib1));
        assert_eq!(
            kind_of(b"\x01\r\r\n123\r\r\nHTXX01 KWBC 010000\r\r\nGRIB\0\0\0\x02"),
            Ok(FileKind::Grib2)
        );
        assert_eq!(kind_of(b"CDF\x02\0\0"), Ok(FileKind::NetcdfClassic));
        assert_eq!(kind_of(b"\x89HDF\r\n\x1a\n\0"), Ok(FileKind::Hdf5));
    }

    #[test]
    fn names_what_a_stranger_is_and_the_remedy() {
        let text = |bytes: &[u8]| kind_of(bytes).unwrap_err().to_string();
        assert!(text(b"").contains("empty"));
        assert!(text(b"\x1f\x8b\x08").contains("gunzip"));
        assert!(text(b"<!DOCTYPE html>\n<p>no GRIB file here today</p>").contains("download failed"));
        assert!(text(b"\xef\xbb\xbf \n<html>").contains("web page"));
        assert!(text(b"data file is not present: 404").contains("text file"));
        assert!(text(&[0x9c, 0x01, 0xfe, 0x00, 0x7f]).contains("no known kind"));
        assert!(text(b"GRIB\0\0\0\x07").contains("edition"));
        assert!(text(b"GRIB\0").contains("ends inside"));
    }
}
