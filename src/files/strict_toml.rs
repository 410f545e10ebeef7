//! TOML read strictly: an unknown key, a wrong type or a missing key is an error with its line and a suggestion.
//!
//! The types that are read deny unknown fields (`#[serde(deny_unknown_fields)]`); serde's messages then hold the names
//! that are known, from which the nearest is suggested. A value kept as [`toml::Spanned`] can be placed later with
//! [`crate::files::text_file::place`].

use crate::base::error::nearest;
use crate::base::{Error, Result};
use crate::files::text_file::{line_of, place};
use serde::de::DeserializeOwned;
use std::path::Path;

/// Reads a TOML file; see [`parse`].
///
/// # Errors
/// A file that cannot be read; as [`parse`].
pub fn read<T: DeserializeOwned>(path: &Path) -> Result<T> {
    let text = crate::files::text_file::read(path)?;
    parse(&text, path)
}

/// Reads a value from TOML text; `path` names it in errors.
///
/// # Errors
/// Text that is not TOML, unknown or missing keys, wrong kinds of value, with their line.
pub fn parse<T: DeserializeOwned>(text: &str, path: &Path) -> Result<T> {
    toml::from_str(text).map_err(|error| explain(text, &error).file(path))
}

fn explain(text: &str, error: &toml::de::Error) -> Error {
    let message = error.message();
    let known = names(message);
    let explained = match message.split(['`', ',']).next().map(str::trim) {
        Some("unknown field") => unknown("key", &known),
        Some("unknown variant") => unknown("value", &known),
        Some("missing field") => Error::new("a key is missing")
            .found("no such key")
            .expected(format!("a key \"{}\"", known.first().unwrap_or(&"")))
            .remedy("add the key"),
        Some(start) if start.starts_with("invalid") => invalid(message),
        _ => Error::new("the file is not valid TOML")
            .found(message)
            .expected("lines such as key = \"text\", key = 1.5 or [table]")
            .remedy("correct the line; text stands in quotes, decimals take a point"),
    };
    match error.span() {
        Some(span) => explained.at(format!("{}: {}", place(text, span.start), line_of(text, span.start))),
        None => explained,
    }
}

/// The names that a message of serde's puts in backticks: the one in question, then those expected.
fn names(message: &str) -> Vec<&str> {
    message.split('`').skip(1).step_by(2).collect()
}

fn unknown(what: &str, names: &[&str]) -> Error {
    let (found, known) = names.split_first().map_or(("", &[][..]), |(found, known)| (*found, known));
    let error = Error::new(format!("the {what} is not known")).found(format!("\"{found}\"")).expected(
        if known.is_empty() { format!("no {what} here") } else { format!("one of {}", known.join(", ")) },
    );
    match nearest(found, known.iter().copied()) {
        Some(name) => error.remedy(format!("did you mean \"{name}\"?")),
        None => {
            error.remedy(format!("take the {what} out, or check its spelling and the table it stands in"))
        }
    }
}

/// "invalid type: string \"x\", expected f64" and its kin.
fn invalid(message: &str) -> Error {
    let (found, expected) = message.split_once(", expected ").unwrap_or((message, "another value"));
    let found = found.split_once(": ").map_or(found, |(_, found)| found);
    let expected = match expected {
        "f64" => "a number",
        "a string" => "text in quotes",
        "a sequence" => "a list in [ ]",
        other => other,
    };
    Error::new("a value is of the wrong kind").found(found).expected(expected).remedy("correct the value")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Boat {
        #[allow(dead_code)]
        name: String,
        #[allow(dead_code)]
        hull: Hull,
    }

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Hull {
        #[allow(dead_code)]
        lwl_m: f64,
        #[allow(dead_code)]
        kind: Option<Kind>,
    }

    #[derive(Debug, serde::Deserialize)]
    #[serde(rename_all = "kebab-case")]
    enum Kind {
        Light,
        Heavy,
    }

    fn error(text: &str) -> String {
        parse::<Boat>(text, Path::new("boat.toml")).unwrap_err().to_string()
    }

    #[test]
    fn errors_hold_line_found_expected_and_suggestion() {
        for (text, words) in [
            (
                "name = \"a\"\n[hull]\nlwl = 9",
                ["line 3, column 1: lwl = 9", "\"lwl\"", "did you mean \"lwl_m\"?"],
            ),
            ("name = \"a\"\n[hull]\nlwl_m = \"9\"", ["line 3, column 9", "string \"9\"", "a number"]),
            ("name = 3\n[hull]\nlwl_m = 9", ["line 1, column 8", "integer `3`", "text in quotes"]),
            ("name = \"a\"\n[hull]\n", ["line 2", "a key \"lwl_m\"", "missing"]),
            ("[hull]\nlwl_m = 9", ["line 1", "a key \"name\"", "missing"]),
            (
                "name = \"a\"\n[hull]\nlwl_m = 9\nkind = \"lihgt\"",
                ["line 4", "\"lihgt\"", "did you mean \"light\"?"],
            ),
            ("name = \"a\"\n[hull\nlwl_m = 9", ["line 2", "not valid TOML", "remedy"]),
            ("name = \"a\"\n[hull]\nlwl_m = 9,5", ["line 3", "not valid TOML", "take a point"]),
            ("name = \"a\"\nname = \"b\"", ["line 2", "duplicate key", "boat.toml"]),
        ] {
            let error = error(text);
            for word in words {
                assert!(error.contains(word), "{text:?} should say {word:?}:\n{error}");
            }
        }
    }
}
