//! The page around the data: our files and the libraries they use, all inside one file.

use crate::files::html_page::{escaped, fill, within_script};
use crate::region::coastline;

const TEMPLATE: &str = include_str!("page/page.html");

/// Libraries first, then ours in the order in which they use each other.
const SCRIPTS: [&str; 11] = [
    include_str!("vendor/d3.min.js"),
    include_str!("vendor/topojson-client.min.js"),
    include_str!("page/data.js"),
    include_str!("page/looks.js"),
    include_str!("page/sailed.js"),
    include_str!("page/map.js"),
    include_str!("page/keys.js"),
    include_str!("page/polar.js"),
    include_str!("page/sea.js"),
    include_str!("page/tables.js"),
    include_str!("page/main.js"),
];

const LICENCES: [&str; 3] = [
    include_str!("vendor/d3-LICENSE.txt"),
    include_str!("vendor/topojson-client-LICENSE.txt"),
    include_str!("vendor/land-LICENSE.txt"),
];

/// The page with its data, which is JSON.
pub(super) fn with_data(data: &str) -> String {
    let scripts: String = SCRIPTS.iter().map(|script| format!("<script>{script}</script>\n")).collect();
    let licences = format!(
        "Charts by d3 7.9.2:\n\n{}\n\nCoastlines unpacked by topojson-client 3.1.0:\n\n{}\n\nCoastline from Natural \
         Earth (public domain), by world-atlas 2.0.2:\n\n{}",
        LICENCES[0], LICENCES[1], LICENCES[2]
    );
    let parts = [
        ("style", include_str!("page/style.css").to_owned()),
        ("caution", escaped(crate::CAUTION)),
        ("licences", escaped(&licences)),
        ("land", within_script(coastline::TOPOJSON)),
        ("data", within_script(data)),
        ("scripts", scripts),
    ];
    fill(TEMPLATE, &parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn data_cannot_end_its_script() {
        let page = with_data(r#"{"name":"</script><b>\"& {{data}}"}"#);
        assert!(page.contains(r#"{"name":"\u003c/script>\u003cb>\"& {{data}}"}"#));
        let (opened, closed) = (page.matches("<script").count(), page.matches("</script").count());
        assert_eq!((opened, closed), (SCRIPTS.len() + 2, SCRIPTS.len() + 2));
    }

    #[test]
    fn nothing_is_fetched() {
        let page = with_data("{}");
        for asks in ["src=", "<link", "@import", "url("] {
            assert!(!TEMPLATE.contains(asks) && !include_str!("page/style.css").contains(asks), "{asks}");
        }
        assert!(page.contains("default-src 'none'"));
    }
}
