//! The page's modules as one script: each in a function of its own that returns what it exports, imports taken from there.
//!
//! Only the forms that our modules use are known: a line `import { a, b } from "./name.js";`, and lines that begin with
//! `export const`, `export function` or `export async function`. A test holds the modules to that.

use std::fmt::Write;

/// Modules, by name and text, in the order in which they use each other, as one script.
pub(super) fn bundled(modules: &[(&str, &str)]) -> String {
    modules.iter().fold("\"use strict\";\n".to_owned(), |mut script, (name, text)| {
        let lines: Vec<String> = text.lines().map(line).collect();
        let names: Vec<&str> = text.lines().flat_map(exported).collect();
        // writing to a string does not fail
        let _ = writeln!(
            script,
            "const ${name} = (() => {{\n{}\nreturn {{ {} }};\n}})();",
            lines.join("\n"),
            names.join(", ")
        );
        script
    })
}

fn line(line: &str) -> String {
    match imported(line) {
        Some((names, module)) => format!("const {{ {} }} = ${module};", names.join(", ")),
        None => line.strip_prefix("export ").unwrap_or(line).to_owned(),
    }
}

/// The names that a line imports, and from which module.
fn imported(line: &str) -> Option<(Vec<&str>, &str)> {
    let (names, module) = line.strip_prefix("import { ")?.split_once(" } from \"./")?;
    Some((names.split(", ").collect(), module.strip_suffix(".js\";")?))
}

/// The names that a line exports.
fn exported(line: &str) -> Vec<&str> {
    let Some(rest) = line.strip_prefix("export ") else { return Vec::new() };
    let rest = ["async function ", "function ", "const "].iter().find_map(|kind| rest.strip_prefix(kind));
    let Some(rest) = rest else { return Vec::new() };
    let several = rest.strip_prefix("{ ").and_then(|rest| rest.split_once(" }"));
    match several.or_else(|| rest.strip_prefix('[').and_then(|rest| rest.split_once(']'))) {
        Some((names, _)) => names.split(", ").collect(),
        None => rest.split(|c: char| !c.is_alphanumeric() && c != '_').take(1).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::page::MODULES;
    use std::collections::BTreeMap;

    #[test]
    fn a_module_keeps_its_own_and_hands_out_what_it_exports() {
        let (a, b) = (
            "const own = 1;\nexport const [c, d] = [own, 2];",
            "import { c } from \"./a.js\";\nexport function e() {}",
        );
        let script = bundled(&[("a", a), ("b", b)]);
        assert!(script.contains(
            "const $a = (() => {\nconst own = 1;\nconst [c, d] = [own, 2];\nreturn { c, d };\n})();"
        ));
        assert!(
            script.contains("const $b = (() => {\nconst { c } = $a;\nfunction e() {}\nreturn { e };\n})();"),
            "{script}"
        );
    }

    /// What a module imports, one before it exports; no other form of import or export stands in it.
    #[test]
    fn every_import_is_exported_before() {
        let mut known: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for (name, text) in MODULES {
            for line in text.lines() {
                if line.starts_with("import") {
                    let (names, module) = imported(line).unwrap_or_else(|| panic!("{name}: {line}"));
                    let exports = known.get(module).unwrap_or_else(|| panic!("{name} imports from {module}"));
                    let lacking: Vec<_> = names.iter().filter(|name| !exports.contains(name)).collect();
                    assert!(lacking.is_empty(), "{name} imports {lacking:?} from {module}");
                }
                assert!(!line.starts_with("export") || !exported(line).is_empty(), "{name}: {line}");
            }
            known.insert(name, text.lines().flat_map(exported).collect());
        }
    }
}
