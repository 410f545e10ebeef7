//! The page of an atlas: one file that opens offline and computes any sea itself.

use crate::atlas::contents::Atlas;
use crate::atlas::page_data::{INTERPOLATE_JS, to_json};
use crate::base::Result;
use crate::files::html_page::{escaped, fill, within_script};

const TEMPLATE: &str = include_str!("page/atlas.html");
/// The looks are the report's; what only this page has comes after.
const STYLES: [&str; 2] = [include_str!("../report/page/style.css"), include_str!("page/atlas.css")];
const MAIN_JS: &str = include_str!("page/main.js");

/// The page.
///
/// # Errors
/// A number that JSON cannot hold.
pub fn to_html(atlas: &Atlas) -> Result<String> {
    // one script: what a module would hand out is there already
    let interpolate = INTERPOLATE_JS.replacen("export function", "function", 1);
    let parts = [
        ("style", STYLES.concat()),
        ("caution", escaped(crate::CAUTION)),
        ("data", within_script(&to_json(atlas)?)),
        ("scripts", format!("\"use strict\";\n{interpolate}\n{MAIN_JS}")),
    ];
    Ok(fill(TEMPLATE, &parts))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_fetched() {
        for text in [TEMPLATE, STYLES[0], STYLES[1], MAIN_JS, INTERPOLATE_JS] {
            for asks in ["src=", "<link", "@import", "url(", "fetch(", "XMLHttpRequest"] {
                assert!(!text.contains(asks), "{asks}");
            }
        }
        assert!(TEMPLATE.contains("default-src 'none'"));
        assert!(!MAIN_JS.contains("</script") && !INTERPOLATE_JS.contains("</script"));
    }
}
