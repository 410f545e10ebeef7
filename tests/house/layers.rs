//! Arrows between modules point one way: each may use only what its row of the table allows.
//!
//! `crate::` paths are read from the sources, in `use` lines and inline, without comments and unit tests.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// What every module may use: errors, units, directions, reservations.
const COMMON: [&str; 4] = ["error", "units", "bearing", "flags"];

/// Every module with those it may use. A row names only modules of rows above it, so no arrow can point back.
///
/// `hydro` knows hulls and seas, no grid, file or boat; `forecast` knows no boat; `export` sees results only.
const ALLOWED: &[(&str, &[&str])] = &[
    ("error", &[]),
    ("units", &[]),
    ("bearing", &[]),
    ("flags", &[]),
    ("root", &[]),
    ("text_file", &[]),
    ("whole_file", &[]),
    ("parquet_table", &[]),
    ("strict_toml", &["text_file"]),
    ("window", &[]),
    ("sea", &[]),
    ("polar", &["text_file"]),
    ("region", &["text_file"]),
    ("hull", &[]),
    ("forecast", &["sea"]),
    ("hydro", &["hull", "root", "sea"]),
    ("own_table_file", &["hydro", "text_file"]),
    ("wind_frame", &["hydro", "sea"]),
    ("tally", &["hydro", "parquet_table", "region", "sea", "whole_file", "wind_frame", "window"]),
    ("wind_match", &[]),
    ("boat", &["strict_toml", "text_file"]),
    ("model", &["boat", "hull", "hydro"]),
    ("cache", &["hydro", "model"]),
    ("balance", &["hydro", "model", "root", "wind_frame"]),
    ("advisory", &["hydro", "model"]),
    ("column_use", &["tally", "wind_match"]),
    ("derate", &["advisory", "balance", "column_use", "polar", "tally", "wind_frame", "wind_match"]),
    ("split", &["column_use", "derate", "region", "tally", "wind_match", "window"]),
    ("job", &["boat", "hydro", "strict_toml", "window", "wind_match"]),
    ("smoothing", &["derate"]),
    ("corrected", &["derate", "job", "polar"]),
    ("survey", &["forecast", "region", "tally", "wind_frame", "window"]),
    (
        "cell_audit",
        &["balance", "derate", "forecast", "polar", "region", "sea", "survey", "wind_frame", "window"],
    ),
    (
        "export",
        &[
            "balance",
            "cell_audit",
            "derate",
            "job",
            "parquet_table",
            "polar",
            "region",
            "tally",
            "whole_file",
            "window",
        ],
    ),
    ("audit_query", &["derate", "export", "window"]),
    ("index_query", &["export", "job", "polar", "text_file", "window"]),
    ("gather", &["export", "forecast", "job", "region", "survey", "tally"]),
    ("passage", &["audit_query", "export", "forecast", "index_query", "job", "polar", "text_file", "window"]),
    ("one_sea", &["advisory", "balance", "hydro", "model", "sea"]),
    ("explain", &["balance", "derate", "hydro", "sea", "tally", "wind_frame", "wind_match", "window"]),
    ("compare", &["advisory", "balance", "derate", "wind_frame"]),
];

/// Where everything comes together; they may use all of the above, and nothing uses them but the program.
const TOPS: [&str; 2] = ["run", "examine"];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
}

/// The text without comments and without the unit tests at its end.
fn code(text: &str) -> String {
    let code = text.split("#[cfg(test)]").next().unwrap_or_default();
    code.lines().map(|line| line.split("//").next().unwrap_or_default()).collect::<Vec<_>>().join("\n")
}

/// The names that follow `crate::`, of a brace group each.
fn used(code: &str) -> BTreeSet<String> {
    let word = |text: &str| text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut names = BTreeSet::new();
    for rest in code.split("crate::").skip(1) {
        match rest.strip_prefix('{') {
            None => names.insert(word(rest)),
            Some(group) => {
                let mut depth = 0;
                let mut entry = true;
                for (at, c) in group.char_indices() {
                    match c {
                        '{' => depth += 1,
                        '}' if depth == 0 => break,
                        '}' => depth -= 1,
                        ',' if depth == 0 => entry = true,
                        c if entry && c.is_alphabetic() => {
                            names.insert(word(&group[at..]));
                            entry = false;
                        }
                        _ => {}
                    }
                }
                true
            }
        };
    }
    names.retain(|name| name.starts_with(char::is_lowercase));
    names
}

/// Each top-level module of the library with the others it uses.
fn arrows() -> BTreeMap<String, BTreeSet<String>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    let mut arrows: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for file in files {
        let first = file.strip_prefix(&root).unwrap().components().next().unwrap();
        let module = first.as_os_str().to_str().unwrap().trim_end_matches(".rs").to_owned();
        if !["lib", "main", "cli"].contains(&module.as_str()) {
            let names = used(&code(&fs::read_to_string(file).unwrap()));
            arrows.entry(module).or_default().extend(names);
        }
    }
    for (module, names) in &mut arrows {
        names.remove(module);
    }
    arrows
}

#[test]
fn rows_name_only_rows_above() {
    for (row, (module, allowed)) in ALLOWED.iter().enumerate() {
        for name in *allowed {
            assert!(ALLOWED[..row].iter().any(|(above, _)| above == name), "{module} -> {name}");
        }
    }
}

#[test]
fn modules_use_what_their_row_allows() {
    let mut broken = Vec::new();
    for (module, names) in arrows() {
        let allowed = ALLOWED.iter().find(|(name, _)| *name == module).map(|(_, allowed)| *allowed);
        let top = TOPS.contains(&module.as_str());
        if allowed.is_none() && !top {
            broken.push(format!("{module} has no row in the table"));
        }
        for name in names {
            let allowed = if top {
                ALLOWED.iter().any(|(known, _)| *known == name)
            } else {
                COMMON.contains(&name.as_str()) || allowed.is_some_and(|list| list.contains(&name.as_str()))
            };
            if !allowed {
                broken.push(format!("{module} -> {name}"));
            }
        }
    }
    assert!(broken.is_empty(), "arrows that the table does not allow:\n{}", broken.join("\n"));
}

/// The modules of a folder of the library with those of their siblings that they use.
fn siblings(folder: &str) -> BTreeMap<String, BTreeSet<String>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(folder);
    let mut files = Vec::new();
    sources(&root, &mut files);
    let mut arrows: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for file in files.iter().filter(|file| **file != root.join("mod.rs")) {
        let parts: Vec<_> =
            file.strip_prefix(&root).unwrap().iter().map(|part| part.to_str().unwrap()).collect();
        let depth = parts.len() - usize::from(parts.last() == Some(&"mod.rs"));
        let module = parts[0].trim_end_matches(".rs").to_owned();
        let code = code(&fs::read_to_string(file).unwrap());
        // a path with as many `super::` as lead up to the folder
        let up = "super::".repeat(depth);
        let own =
            code.replace(&format!("crate::{folder}::"), &up).replace("crate::", "").replace(&up, "crate::");
        arrows.entry(module).or_default().extend(used(&own));
    }
    let known: BTreeSet<String> = arrows.keys().cloned().collect();
    for (module, names) in &mut arrows {
        names.retain(|name| name != module && known.contains(name));
    }
    arrows
}

#[test]
fn modules_of_the_forecast_point_one_way() {
    let mut arrows = siblings("forecast");
    assert!(arrows["steps"].contains("step") && arrows["netcdf"].contains("message"), "{arrows:?}");
    // what points to nothing that is left is taken away, until nothing is left or a circle is
    while let Some(done) = arrows.iter().find(|(_, names)| names.is_empty()).map(|(module, _)| module.clone())
    {
        arrows.remove(&done);
        arrows.values_mut().for_each(|names| {
            names.remove(&done);
        });
    }
    assert!(arrows.is_empty(), "a circle among, or from there to one: {arrows:#?}");
}

/// A row that nothing needs any more would let an arrow back in unseen.
#[test]
fn the_table_allows_no_more_than_is_used() {
    let arrows = arrows();
    for (module, allowed) in ALLOWED {
        let used = arrows.get(*module).unwrap_or_else(|| panic!("there is no module {module}"));
        for name in *allowed {
            assert!(used.contains(*name), "{module} does not use {name}");
        }
    }
}

#[test]
fn paths_are_found_in_groups_and_inline() {
    let text =
        "use crate::{hull::{Hull, Hydro}, sea};\nlet x = crate::units::G; // crate::cli\ncrate::CAUTION";
    assert_eq!(used(&code(text)), ["hull", "sea", "units"].map(str::to_owned).into());
}
