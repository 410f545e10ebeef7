//! Texts from files made harmless where they are shown: on a terminal, in a table that a spreadsheet opens, in an error.

use std::borrow::Cow;

/// Whether a character acts on what shows it, instead of being shown: control characters, with the escape that begins
/// terminals' commands, but for tab and line end; marks that turn the direction of what follows, or hide
/// (Unicode 15, UAX 9, section 2; line and paragraph separators, invisible operators, tags). Joiners are letters' own.
pub fn acts(c: char) -> bool {
    (c.is_control() && !matches!(c, '\t' | '\n'))
        || matches!(
            c,
            '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}'
        )
        || matches!(c, '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The text with every character that acts written out: `\u{1b}`.
pub fn shown(text: &str) -> Cow<'_, str> {
    written_out(text, |c| c.escape_unicode().collect())
}

/// JSON text with every such character as JSON writes it, which reads back as the character.
pub fn shown_json(text: &str) -> Cow<'_, str> {
    written_out(text, |c| {
        let mut units = [0; 2];
        c.encode_utf16(&mut units).iter().map(|unit| format!("\\u{unit:04x}")).collect()
    })
}

fn written_out(text: &str, write: impl Fn(char) -> String) -> Cow<'_, str> {
    // letters of most texts are ASCII, and none of those but controls act
    if !text.chars().any(acts) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(|c| if acts(c) { write(c) } else { c.to_string() }).collect())
}

/// The most characters of a text from a file in an error.
const MOST_CHARS: usize = 400;

/// The text as [`shown`], on one line, its middle left out where it is long.
pub fn cut(text: &str) -> Cow<'_, str> {
    let on_a_line =
        if text.contains('\n') { Cow::Owned(text.replace('\n', "\\n")) } else { Cow::Borrowed(text) };
    let count = on_a_line.chars().count();
    if count <= MOST_CHARS {
        return match on_a_line {
            Cow::Borrowed(text) => shown(text),
            Cow::Owned(text) => Cow::Owned(shown(&text).into_owned()),
        };
    }
    let ends = MOST_CHARS / 2;
    let (first, last) = (on_a_line.chars().take(ends), on_a_line.chars().skip(count - ends));
    let cut = format!(
        "{}[... {} characters ...]{}",
        first.collect::<String>(),
        count - 2 * ends,
        last.collect::<String>()
    );
    Cow::Owned(shown(&cut).into_owned())
}

/// What spreadsheets take for the beginning of a formula (OWASP, "CSV Injection"); numbers are none.
const FORMULA: [char; 4] = ['=', '+', '-', '@'];

/// A field of a CSV table as [`shown`], and behind an apostrophe where a spreadsheet would take it for a formula.
pub fn csv_field(field: &str) -> Cow<'_, str> {
    if begins_formula(field) && field.parse::<f64>().is_err()
        || field.strip_prefix('\'').is_some_and(begins_formula)
    {
        return Cow::Owned(format!("'{}", shown(field)));
    }
    shown(field)
}

/// The field that [`csv_field`] put behind an apostrophe.
pub fn of_csv_field(field: &str) -> &str {
    let bare = field.strip_prefix('\'');
    bare.filter(|bare| begins_formula(bare.strip_prefix('\'').unwrap_or(bare))).unwrap_or(field)
}

fn begins_formula(text: &str) -> bool {
    text.starts_with(FORMULA)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_acts_is_written_out_and_letters_of_any_script_stay() {
        for (text, expected) in [
            ("a\u{1b}[31mred", "a\\u{1b}[31mred"),
            ("Box\u{202e}gpj", "Box\\u{202e}gpj"),
            ("\r\u{7}\u{9b}\u{0}", "\\u{d}\\u{7}\\u{9b}\\u{0}"),
            ("البحر\tЮжный 海 می\u{200c}خواهم\n", "البحر\tЮжный 海 می\u{200c}خواهم\n"),
        ] {
            assert_eq!(shown(text), expected);
            let json = serde_json::to_string(text).unwrap();
            assert!(!shown_json(&json).chars().any(acts));
            assert_eq!(serde_json::from_str::<String>(&shown_json(&json)).unwrap(), text);
        }
    }

    #[test]
    fn fields_are_no_formulas_and_read_back() {
        for (field, written) in [
            ("=1+2", "'=1+2"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("-2+3", "'-2+3"),
            ("'=1", "''=1"),
            ("-2.5", "-2.5"),
            ("'quoted'", "'quoted'"),
            ("Box", "Box"),
            ("", ""),
        ] {
            assert_eq!(csv_field(field), written);
            assert_eq!(of_csv_field(written), field);
        }
    }

    #[test]
    fn long_texts_are_cut_in_the_middle() {
        let long = format!("begin{}end", "x".repeat(1 << 20));
        let told = cut(&long);
        assert!(
            told.starts_with("begin") && told.ends_with("end") && told.contains("1048184 characters"),
            "{told}"
        );
        assert_eq!(cut("two\nlines"), "two\\nlines");
    }
}
