//! What is built in: known licences, one registry, and a reason for each crate that is named.

use crate::common::files::{file, text};
use serde_json::Value;
use std::collections::BTreeSet;
use std::process::Command;

/// Our own packages and their manifests: the program with its library, and the library for Python.
const OWN: [(&str, &str); 2] = [("roughwater", "Cargo.toml"), ("roughwater-python", "python/Cargo.toml")];

fn manifest(path: &str) -> toml::Table {
    text(path).parse().unwrap()
}

/// The licences that `deny.toml` allows.
fn allowed() -> BTreeSet<String> {
    let rules = manifest("deny.toml");
    let allow = rules["licenses"]["allow"].as_array().unwrap();
    allow.iter().map(|licence| licence.as_str().unwrap().to_owned()).collect()
}

/// Whether a licence expression (SPDX 2.3, annex D; a slash as older crates have it) can be met: of alternatives one, of
/// licences that hold together all.
fn met(expression: &str, allowed: &BTreeSet<String>) -> bool {
    let expression = expression.trim();
    if let Some(parts) = split(expression, " AND ") {
        return parts.iter().all(|part| met(part, allowed));
    }
    if let Some(parts) = split(expression, " OR ") {
        return parts.iter().any(|part| met(part, allowed));
    }
    match expression.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        Some(inner) => met(inner, allowed),
        None => allowed.contains(expression),
    }
}

/// The parts around a word that stands outside all brackets; none where it does not occur.
fn split<'e>(expression: &'e str, word: &str) -> Option<Vec<&'e str>> {
    let (mut depth, mut from, mut parts) = (0, 0, Vec::new());
    for (at, c) in expression.char_indices() {
        depth += i32::from(c == '(') - i32::from(c == ')');
        if depth == 0 && expression[at..].starts_with(word) {
            parts.push(&expression[from..at]);
            from = at + word.len();
        }
    }
    parts.push(&expression[from..]);
    (parts.len() > 1).then_some(parts)
}

#[test]
fn expressions_are_met_as_they_read() {
    let allowed = ["MIT", "Zlib"].map(str::to_owned).into();
    for (expression, expected) in [
        ("MIT", true),
        ("GPL-3.0", false),
        ("GPL-3.0 OR MIT", true),
        ("GPL-3.0 AND MIT", false),
        ("(GPL-3.0 OR MIT) AND Zlib", true),
        ("(GPL-3.0 OR MIT) AND GPL-2.0", false),
    ] {
        assert_eq!(met(expression, &allowed), expected, "{expression}");
    }
}

/// Every package of every platform, as the lock file fixes it.
fn packages() -> Vec<Value> {
    let arguments = ["metadata", "--format-version", "1", "--offline", "--locked"];
    let output = Command::new(env!("CARGO")).args(arguments).current_dir(file(".")).output().unwrap();
    if !output.status.success() {
        // a machine without a network has not fetched what other platforms need
        println!("skipped: {}", String::from_utf8_lossy(&output.stderr));
        return Vec::new();
    }
    let metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    metadata["packages"].as_array().unwrap().clone()
}

#[test]
fn all_that_is_built_in_is_free_to_give_away_and_from_one_registry() {
    let allowed = allowed();
    for package in packages() {
        let Some(source) = package["source"].as_str() else {
            assert!(
                OWN.iter().any(|(name, _)| package["name"] == *name),
                "{} has no source",
                package["name"]
            );
            continue;
        };
        assert!(source.starts_with("registry+"), "{}: {source}", package["name"]);
        let licence =
            package["license"].as_str().unwrap_or("none stated").replace('/', " OR ").replace("  ", " ");
        assert!(met(&licence, &allowed), "{}: {licence}", package["name"]);
    }
}

/// The table in `DEVELOPERS.md` says why each crate is there, and of no other.
#[test]
fn every_crate_that_is_named_has_its_reason() {
    let mut named = BTreeSet::new();
    for (_, path) in OWN {
        let manifest = manifest(path);
        let mut add = |table: Option<&toml::Value>| {
            named.extend(table.into_iter().flat_map(|table| table.as_table().unwrap().keys().cloned()));
        };
        add(manifest.get("dependencies"));
        add(manifest.get("dev-dependencies"));
        let targets = manifest.get("target").and_then(toml::Value::as_table);
        targets
            .into_iter()
            .flat_map(|targets| targets.values())
            .for_each(|target| add(target.get("dependencies")));
    }
    OWN.iter().for_each(|(name, _)| {
        named.remove(*name);
    });
    let guide = text("DEVELOPERS.md");
    let table = guide.split("## Dependencies").nth(1).expect("a section");
    let table = table.split("\n## ").next().unwrap();
    let rows = table.lines().filter(|line| line.starts_with("| `")).filter_map(|line| line.split('|').nth(1));
    let told = rows.flat_map(|row| row.split('`').skip(1).step_by(2)).map(str::to_owned);
    assert_eq!(told.collect::<BTreeSet<_>>(), named);
}

/// A wheel says which program it is.
#[test]
fn our_packages_have_one_version_and_edition() {
    let [first, second] = OWN.map(|(_, path)| manifest(path)["package"].as_table().unwrap().clone());
    for key in ["version", "edition", "rust-version", "license"] {
        assert_eq!(first[key], second[key], "{key}");
    }
}
