//! How wide a text may be, and texts wrapped by words to fit.

/// Where neither a terminal nor `COLUMNS` says how wide it is.
const PLAIN_COLUMNS: usize = 80;

/// Narrower than this nothing is wrapped well (common practice, no source).
const FEWEST_COLUMNS: usize = 40;

/// The columns of the terminal, those that `COLUMNS` names, or 80.
pub(super) fn columns() -> usize {
    told().unwrap_or(PLAIN_COLUMNS)
}

/// The columns of the terminal, or those that `COLUMNS` names; none where the text goes into a file or a pipe.
pub(super) fn told() -> Option<usize> {
    let named = std::env::var("COLUMNS").ok().and_then(|columns| columns.trim().parse::<usize>().ok());
    let of_terminal = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    named.filter(|columns| *columns > 0).or_else(of_terminal).map(|columns| columns.max(FEWEST_COLUMNS))
}

/// A text in lines of at most so many characters, broken between words; lines after the first begin with `indent` spaces.
pub(super) fn wrapped(text: &str, columns: usize, indent: usize) -> String {
    let mut lines: Vec<String> = Vec::new();
    for paragraph in text.split('\n') {
        let start = paragraph.len() - paragraph.trim_start().len();
        let mut line = paragraph[..start].to_owned();
        let mut is_bare = true;
        for word in paragraph.split_whitespace() {
            let room = line.chars().count() + usize::from(!is_bare) + word.chars().count() <= columns;
            if !room && !is_bare {
                lines.push(std::mem::replace(&mut line, " ".repeat(indent)));
                is_bare = true;
            }
            if !is_bare {
                line.push(' ');
            }
            line.push_str(word);
            is_bare = false;
        }
        lines.push(line);
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_break_between_words() {
        assert_eq!(wrapped("one two three four", 9, 2), "one two\n  three\n  four");
        assert_eq!(wrapped("  a bcdefghij k", 6, 4), "  a\n    bcdefghij\n    k");
        assert_eq!(wrapped("a\nb", 9, 2), "a\nb");
    }
}
