//! Text files as people save them: UTF-8 with or without a byte order mark, any line ending.

use crate::base::{Error, Result};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The largest text input that is read, bytes; a larger one is a forecast or another file named by mistake.
const LIMIT: u64 = 256 << 20;

/// Reads a text file; see [`decode`].
///
/// # Errors
/// A file that cannot be read or is larger than 256 MiB; as [`decode`].
pub fn read(path: &Path) -> Result<String> {
    let failed = |error| Error::io("read the file", path, &error);
    let mut bytes = Vec::new();
    File::open(path).map_err(failed)?.take(LIMIT + 1).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 > LIMIT {
        return Err(Error::new("the file is too large for a text input")
            .file(path)
            .found("more than 256 MiB")
            .expected("a text file")
            .remedy("check that the right file is named"));
    }
    decode(&bytes).map_err(|error| error.file(path))
}

/// Text without its byte order mark, every line ending made `\n`.
///
/// # Errors
/// UTF-16 or UTF-32, binary content, a web page, bytes that are not UTF-8.
pub fn decode(bytes: &[u8]) -> Result<String> {
    let utf8 = "text in UTF-8";
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(Error::new("the file is in UTF-16")
            .found("a UTF-16 byte order mark")
            .expected(utf8)
            .remedy("save it again as \"CSV UTF-8\" or plain text in UTF-8"));
    }
    let bytes = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]).unwrap_or(bytes);
    if let Some(place) = bytes.iter().position(|&byte| byte == 0) {
        return Err(Error::new("the file is not text")
            .at(format!("byte {place}"))
            .found("a zero byte, as in binary files and UTF-16")
            .expected(utf8)
            .remedy("check that the right file is named, or save it again as text in UTF-8"));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let good = &bytes[..error.valid_up_to()];
        let line = 1 + good.iter().filter(|&&byte| byte == b'\n').count();
        Error::new("the file is not in UTF-8")
            .at(format!("line {line}"))
            .found(format!("byte 0x{:02x}", bytes[error.valid_up_to()]))
            .expected(utf8)
            .remedy("save it again in UTF-8, or take the accented letter or sign out")
    })?;
    let start = text.trim_start().get(..9).unwrap_or_default().to_ascii_lowercase();
    if start.starts_with("<!doctype") || start.starts_with("<html") {
        return Err(Error::new("the file is a web page")
            .at("line 1")
            .found("HTML")
            .expected(utf8)
            .remedy("the download may have led to a log-in or error page; save the file itself"));
    }
    Ok(text.replace("\r\n", "\n").replace('\r', "\n"))
}

/// The line and column, both from 1, of a byte in a text.
pub fn place(text: &str, byte: usize) -> String {
    let before = text.get(..byte).unwrap_or(text);
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    let line = 1 + before.matches('\n').count();
    format!("line {line}, column {}", 1 + before[line_start..].chars().count())
}

/// The line that a byte stands in, without space around it.
pub fn line_of(text: &str, byte: usize) -> &str {
    let start = text.get(..byte).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1);
    text[start..].lines().next().unwrap_or_default().trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_endings_and_marks_go() {
        assert_eq!(decode(b"\xef\xbb\xbfa\r\nb\rc\n").unwrap(), "a\nb\nc\n");
    }

    #[test]
    fn what_is_not_utf8_text_is_named() {
        for (bytes, problem) in [
            (&b"\xff\xfea\0"[..], "the file is in UTF-16"),
            (b"a\0b", "the file is not text"),
            (b"30,5\n40,5\xb0", "the file is not in UTF-8"),
            (b"\n<!DOCTYPE html>", "the file is a web page"),
        ] {
            assert_eq!(decode(bytes).unwrap_err().problem(), problem);
        }
        assert!(decode(b"30,5\n40,5\xb0").unwrap_err().to_string().contains("line 2"));
    }

    #[test]
    fn places_count_characters() {
        assert_eq!(place("a\nüb = 1", 4), "line 2, column 2");
    }
}
