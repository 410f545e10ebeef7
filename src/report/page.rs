//! The page around the data: our files and the libraries they use, all inside one file.

use crate::files::html_page::{escaped, fill, within_script};
use crate::region::coastline;
use crate::report::atlas_of_page::AtlasOfPage;
use crate::report::bundle;

const TEMPLATE: &str = include_str!("page/page.html");

/// Libraries of others, as they are.
const LIBRARIES: [&str; 2] =
    [include_str!("vendor/d3.min.js"), include_str!("vendor/topojson-client.min.js")];

/// A module of the page: its name and text.
pub(super) type Module = (&'static str, &'static str);

macro_rules! module {
    ($name:literal) => {
        ($name, include_str!(concat!("page/", $name, ".js")))
    };
}

/// Our modules in the order in which they use each other.
pub(super) const MODULES: [Module; 27] = [
    module!("scales"),
    module!("data"),
    module!("words"),
    module!("means"),
    module!("state"),
    module!("looks"),
    module!("tables"),
    module!("headline"),
    module!("polar_table"),
    module!("copying"),
    module!("curves"),
    module!("cell"),
    module!("chart_base"),
    module!("map_cells"),
    module!("keys"),
    module!("arrows"),
    module!("sailed"),
    module!("map"),
    module!("advisories"),
    module!("notes"),
    module!("stages"),
    module!("sea"),
    module!("worst"),
    module!("provenance"),
    module!("what_if"),
    module!("controls"),
    module!("main"),
];

const LICENCES: [&str; 3] = [
    include_str!("vendor/d3-LICENSE.txt"),
    include_str!("vendor/topojson-client-LICENSE.txt"),
    include_str!("vendor/land-LICENSE.txt"),
];

/// The page with its data, which is JSON.
pub(super) fn with_data(data: &str, atlas: Option<&AtlasOfPage>) -> String {
    let code = atlas.map(|atlas| format!("\"use strict\";\n{}", atlas.code()));
    let scripts = LIBRARIES.iter().copied().map(str::to_owned).chain(code).chain([bundle::bundled(&MODULES)]);
    let scripts: String = scripts.map(|script| format!("<script>{script}</script>\n")).collect();
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
        ("atlas", within_script(atlas.map_or("null", AtlasOfPage::data))),
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
        let page = with_data(r#"{"name":"</script><b>\"& {{data}}"}"#, None);
        assert!(page.contains(r#"{"name":"\u003c/script>\u003cb>\"& {{data}}"}"#));
        let (opened, closed) = (page.matches("<script").count(), page.matches("</script").count());
        assert_eq!((opened, closed), (LIBRARIES.len() + 4, LIBRARIES.len() + 4));
    }

    #[test]
    fn nothing_is_fetched() {
        let page = with_data("{}", None);
        for asks in ["src=", "<link", "@import", "url("] {
            assert!(!TEMPLATE.contains(asks) && !include_str!("page/style.css").contains(asks), "{asks}");
        }
        assert!(page.contains("default-src 'none'"));
    }
}
