//! One clear error: which input, where in it, what was found, what was expected, how to mend it.

use crate::base::neutral::cut;
use std::fmt;

/// What went wrong with an input or an output, in the words a user needs to mend it.
///
/// Every part but `problem` is optional; [`fmt::Display`] prints the parts that are there, one a line, with what stands in a
/// file cut where it is long and characters that would act on a terminal written out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Error(Box<Parts>);

/// Boxed, so that a `Result` that holds an error is no larger than one that holds a pointer.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Parts {
    problem: String,
    input: Option<String>,
    place: Option<String>,
    found: Option<String>,
    expected: Option<String>,
    remedy: Option<String>,
    is_io: bool,
}

/// The result of anything that reads or writes.
pub type Result<T> = std::result::Result<T, Error>;

impl Error {
    /// Starts an error with one sentence that says what is wrong.
    pub fn new(problem: impl Into<String>) -> Self {
        Self(Box::new(Parts {
            problem: problem.into(),
            input: None,
            place: None,
            found: None,
            expected: None,
            remedy: None,
            is_io: false,
        }))
    }

    /// Names the file or other input.
    pub fn input(mut self, input: impl fmt::Display) -> Self {
        self.0.input.get_or_insert_with(|| input.to_string());
        self
    }

    /// Names the file a path points to, as the user wrote it.
    pub fn file(self, path: &std::path::Path) -> Self {
        self.input(path.display())
    }

    /// Names the place in the input: line, record, message, field.
    pub fn at(mut self, place: impl fmt::Display) -> Self {
        self.0.place = Some(place.to_string());
        self
    }

    /// States what stands there.
    pub fn found(mut self, found: impl fmt::Display) -> Self {
        self.0.found = Some(found.to_string());
        self
    }

    /// States what should stand there.
    pub fn expected(mut self, expected: impl fmt::Display) -> Self {
        self.0.expected = Some(expected.to_string());
        self
    }

    /// States how to mend it.
    pub fn remedy(mut self, remedy: impl fmt::Display) -> Self {
        self.0.remedy = Some(remedy.to_string());
        self
    }

    /// What cannot happen unless the program is wrong.
    pub fn fault(problem: impl Into<String>) -> Self {
        Self::new(problem)
            .remedy("this is a fault of the program, not of your files: report it with the command line")
    }

    /// An input or output error of the operating system on a path.
    pub fn io(action: &str, path: &std::path::Path, source: &std::io::Error) -> Self {
        let remedy = match source.kind() {
            std::io::ErrorKind::NotFound => "check the path; paths in a job file are relative to that file",
            std::io::ErrorKind::PermissionDenied => "check the permissions of the file and its folder",
            std::io::ErrorKind::StorageFull => "free some space on the disk",
            _ => "check that the file and its disk can be used",
        };
        Self::new(format!("cannot {action}: {source}")).file(path).remedy(remedy).of_the_system()
    }

    /// Says that the operating system failed.
    pub fn of_the_system(mut self) -> Self {
        self.0.is_io = true;
        self
    }

    /// Whether the operating system failed, and not what stands in a file.
    pub fn is_io(&self) -> bool {
        self.0.is_io
    }

    /// The sentence that says what is wrong and what was found, in one line.
    pub fn in_a_line(&self) -> String {
        match &self.0.found {
            Some(found) => format!("{}: {}", self.0.problem, cut(found)),
            None => self.0.problem.clone(),
        }
    }

    /// The sentence that says what is wrong, without the other parts.
    pub fn problem(&self) -> &str {
        &self.0.problem
    }

    /// The other parts, each with its label; none where a part is not there.
    pub fn parts(&self) -> [(&'static str, Option<&str>); 5] {
        let Parts { input, place, found, expected, remedy, .. } = &*self.0;
        [
            ("input", input.as_deref()),
            ("where", place.as_deref()),
            ("found", found.as_deref()),
            ("expected", expected.as_deref()),
            ("remedy", remedy.as_deref()),
        ]
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&cut(&self.0.problem))?;
        for (label, text) in self.parts() {
            if let Some(text) = text {
                // further lines stand below the first
                let lines: Vec<_> = text.lines().map(cut).collect();
                write!(f, "\n  {label:<9} {}", lines.join("\n            "))?;
            }
        }
        Ok(())
    }
}

impl std::error::Error for Error {}

/// The known name nearest to a mistyped one, if it is near enough to be meant.
pub fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    known
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(typed, name), name))
        .filter(|(distance, name)| *distance <= 2.max(name.len() / 3))
        .min()
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prints_only_the_parts_that_are_there() {
        let error = Error::new("boat speed is negative").input("a.csv").at("line 3").remedy("correct it");
        assert_eq!(
            error.to_string(),
            "boat speed is negative\n  input     a.csv\n  where     line 3\n  remedy    correct it"
        );
    }

    #[test]
    fn suggests_a_near_name_and_no_far_one() {
        assert_eq!(nearest("lwl", ["lwl_m", "bwl_m"]), Some("lwl_m"));
        assert_eq!(nearest("colour", ["lwl_m", "bwl_m"]), None);
    }
}
