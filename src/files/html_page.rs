//! One HTML page put together from a template and its parts.

/// Puts each part in its place; what stands in a part is never taken for a place.
pub fn fill(template: &str, parts: &[(&str, String)]) -> String {
    let mut pieces = template.split("{{");
    let mut page = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let (name, rest) = piece.split_once("}}").unwrap_or((piece, ""));
        page.extend(parts.iter().filter(|(part, _)| *part == name).map(|(_, text)| text.as_str()));
        page += rest;
    }
    page
}

/// JSON that no HTML parser sees an end or a comment in.
pub fn within_script(json: &str) -> String {
    let mut safe = String::with_capacity(json.len());
    for c in json.chars() {
        match c {
            '<' => safe += "\\u003c",
            '\u{2028}' => safe += "\\u2028",
            '\u{2029}' => safe += "\\u2029",
            c => safe.push(c),
        }
    }
    safe
}

/// Text as HTML shows it.
pub fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_no_places() {
        let page = fill("<b>{{a}}</b>{{b}}", &[("a", "{{b}}".to_owned()), ("b", "2".to_owned())]);
        assert_eq!(page, "<b>{{b}}</b>2");
        assert_eq!(within_script("</script>"), "\\u003c/script>");
        assert_eq!(escaped("a<b>&\"c\""), "a&lt;b&gt;&amp;&quot;c&quot;");
    }
}
