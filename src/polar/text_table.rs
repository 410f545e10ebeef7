//! A delimited text table whose every field knows its line and column.

use crate::base::{Error, Result};

const DELIMITERS: [char; 3] = ['\t', ';', ','];

/// The rows of a file that hold anything.
pub(super) struct TextTable {
    pub rows: Vec<TextRow>,
    delimiter: char,
    decimal: Option<char>,
}

pub(super) struct TextRow {
    /// The line in the file, from 1.
    pub line: usize,
    /// The fields without surrounding space.
    pub fields: Vec<String>,
}

impl TextTable {
    /// # Errors
    /// Text without data, or of one column.
    pub fn parse(text: &str) -> Result<Self> {
        // comments become empty lines, so that line numbers hold
        let lines = text.split('\n').map(|line| if line.trim_start().starts_with('#') { "" } else { line });
        let body = lines.collect::<Vec<_>>().join("\n");
        if body.trim().is_empty() {
            return Err(empty());
        }
        let (body, delimiter) = match delimiter(&body) {
            Some(delimiter) => (body, delimiter),
            None => (by_spaces(&body).ok_or_else(one_column)?, '\t'),
        };
        let rows = rows(&body, delimiter)?;
        if rows.is_empty() {
            return Err(empty());
        }
        let decimal = decimal_mark(&rows, delimiter)?;
        Ok(Self { rows, delimiter, decimal })
    }

    /// Whether the first row names columns instead of holding TWS.
    pub fn has_long_header(&self) -> bool {
        let mut header = self.rows[0].fields.iter().filter(|field| !field.is_empty());
        header.clone().count() > 1 && header.all(|field| self.parse_number(field).is_none())
    }

    /// The number in a field of a row; `what` names it in the error.
    ///
    /// # Errors
    /// A field that is empty or no finite number.
    pub fn number(&self, row: &TextRow, column: usize, what: &str) -> Result<f64> {
        let field = row.fields.get(column).map_or("", String::as_str);
        if field.is_empty() {
            return Err(Error::new(format!("{what} is missing"))
                .at(at(row.line, column))
                .found("an empty cell")
                .expected("a number")
                .remedy(
                    "fill the cell, or leave its whole row or column out; 0 where the boat makes no way",
                ));
        }
        self.parse_number(field).ok_or_else(|| self.not_a_number(row, column, what))
    }

    fn parse_number(&self, field: &str) -> Option<f64> {
        let field = without_unit(field);
        let point = match self.decimal {
            Some(',') => field.replace(',', "."),
            _ => field.to_owned(),
        };
        point.parse::<f64>().ok().filter(|value| value.is_finite())
    }

    fn not_a_number(&self, row: &TextRow, column: usize, what: &str) -> Error {
        let field = &row.fields[column];
        let error = Error::new(format!("{what} is not a number"))
            .at(at(row.line, column))
            .found(format!("\"{field}\""))
            .expected("a finite number");
        if field.contains(',') && self.delimiter == ',' {
            error.remedy(DECIMAL_COMMA)
        } else {
            error.remedy(
                "write the bare number, without a sign for missing; speeds are in knots, angles in degrees",
            )
        }
    }

    /// Adds to an error about the table's shape what may be behind it.
    pub fn shape_remedy(&self, error: Error, otherwise: &str) -> Error {
        let whole_numbers = |row: &TextRow| row.fields.iter().skip(1).all(|field| !field.contains('.'));
        if self.delimiter == ',' && self.rows.iter().all(whole_numbers) {
            error.remedy(format!("{otherwise}; {DECIMAL_COMMA}"))
        } else {
            error.remedy(otherwise)
        }
    }
}

const DECIMAL_COMMA: &str =
    "where commas are decimal marks, separate the fields with semicolons or tabs, or use decimal points";

/// "line 3, column 2", both from 1.
pub(super) fn at(line: usize, column: usize) -> String {
    format!("line {line}, column {}", column + 1)
}

fn empty() -> Error {
    Error::new("the polar is empty")
        .found("no line with data")
        .expected("a row of TWS, then rows of TWA and boat speeds")
        .remedy("save the polar again, or check that the right file is named")
}

fn one_column() -> Error {
    Error::new("the polar has only one column")
        .found("no comma, semicolon, tab or space in most lines")
        .expected("fields separated by commas, semicolons, tabs or spaces")
        .remedy("check that the right file is named, or separate its columns with one of these")
}

/// The first of tab, semicolon and comma that stands outside quotes in most lines; none where commas are decimal marks
/// between runs of spaces.
fn delimiter(body: &str) -> Option<char> {
    let lines: Vec<&str> = body.split('\n').filter(|line| !line.trim().is_empty()).collect();
    let split =
        |delimiter: char| lines.iter().filter(|line| outside_quotes(line).any(|c| c == delimiter)).count();
    let found = DELIMITERS.into_iter().find(|&delimiter| 2 * split(delimiter) > lines.len());
    // "60 4,5 6,2": numbers with spaces within
    let spaced = |line: &&&str| {
        let mut fields = line.split(',').map(str::trim);
        fields.any(|field| field.contains(' ') && field.split_whitespace().all(looks_numeric))
    };
    found.filter(|delimiter| *delimiter != ',' || 2 * lines.iter().filter(spaced).count() <= lines.len())
}

/// A body whose runs of spaces are tabs; a first row that is one field short has no corner, and gets one.
fn by_spaces(body: &str) -> Option<String> {
    let mut lines: Vec<String> =
        body.split('\n').map(|line| line.split_whitespace().collect::<Vec<_>>().join("\t")).collect();
    let fields = |line: &str| line.split('\t').count();
    let filled: Vec<usize> = (0..lines.len()).filter(|line| !lines[*line].is_empty()).collect();
    let (first, second) = (*filled.first()?, filled.get(1).copied());
    if filled.iter().filter(|line| fields(&lines[**line]) > 1).count() * 2 <= filled.len() {
        return None;
    }
    if second.is_some_and(|second| fields(&lines[second]) == fields(&lines[first]) + 1) {
        lines[first].insert_str(0, "-\t");
    }
    Some(lines.join("\n"))
}

/// A number's text without the unit behind it.
fn without_unit(field: &str) -> &str {
    let ends_so = |unit: &&&str| {
        let start = field.len().saturating_sub(unit.len());
        field.get(start..).is_some_and(|end| end.eq_ignore_ascii_case(unit))
    };
    let unit = UNITS.iter().find(ends_so).map_or(0, |unit| unit.len());
    field[..field.len() - unit].trim_end()
}

/// Units that may stand behind a number, longer ones first.
const UNITS: [&str; 9] = ["degrees", "knots", "deg", "kts", "kn", "kt", "°", "º", "˚"];

fn outside_quotes(line: &str) -> impl Iterator<Item = char> {
    line.split('"').step_by(2).flat_map(str::chars)
}

fn rows(body: &str, delimiter: char) -> Result<Vec<TextRow>> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter as u8)
        .trim(csv::Trim::All)
        .from_reader(body.as_bytes());
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| {
            Error::new("the table cannot be read").found(error).remedy("save the polar again as CSV")
        })?;
        let start = record.position().map_or(0, |position| position.byte() as usize);
        let fields: Vec<String> = record.iter().map(str::to_owned).collect();
        // spreadsheets pad tables with empty rows
        if fields.iter().any(|field| !field.is_empty()) {
            rows.push(TextRow { line: line_at(body, start), fields });
        }
    }
    Ok(rows)
}

/// The line of the record that a position announces: positions stand before the empty lines that precede it.
fn line_at(body: &str, start: usize) -> usize {
    let (before, rest) = body.split_at_checked(start).unwrap_or((body, ""));
    1 + before.matches('\n').count() + rest.split('\n').take_while(|line| line.is_empty()).count()
}

/// The decimal mark in use, if any number has one.
fn decimal_mark(rows: &[TextRow], delimiter: char) -> Result<Option<char>> {
    if delimiter == ',' {
        return Ok(Some('.'));
    }
    let mut mark = None;
    for row in rows {
        for (column, field) in row.fields.iter().enumerate().filter(|(_, field)| looks_numeric(field)) {
            for found in field.chars().filter(|c| [',', '.'].contains(c)) {
                if *mark.get_or_insert(found) != found {
                    return Err(Error::new("the polar mixes decimal points and decimal commas")
                        .at(at(row.line, column))
                        .found(format!("\"{field}\""))
                        .expected("one decimal mark throughout, and no mark between thousands")
                        .remedy("write every number with the same decimal mark"));
                }
            }
        }
    }
    Ok(mark)
}

fn looks_numeric(field: &str) -> bool {
    let field = without_unit(field);
    field.starts_with(|c: char| c.is_ascii_digit() || "+-.,".contains(c))
        && field.chars().all(|c| c.is_ascii_digit() || "+-.,eE".contains(c))
}
