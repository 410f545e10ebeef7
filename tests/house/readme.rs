//! README against `--help`: options and commands that are named exist, and every command is named.

use crate::common::bench::{Ran, program};
use crate::common::files::text;
use roughwater::explain::flag_words::{meaning, what_to_do};
use std::collections::BTreeSet;

fn help(command: &[&str]) -> String {
    Ran::of(program().args(command).arg("--help")).worked().stdout
}

/// The commands that a `--help` lists.
fn commands(help: &str) -> Vec<String> {
    let list = help.split("Commands:\n").nth(1).unwrap_or_default();
    let lines = list.lines().take_while(|line| !line.trim().is_empty());
    // a description that runs on is indented further than a command
    let commands = lines.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    commands
        .filter_map(|line| line.split_whitespace().next())
        .filter(|command| *command != "help")
        .map(str::to_owned)
        .collect()
}

/// Every option as `--name`, lower case and hyphens.
fn options(text: &str) -> BTreeSet<String> {
    let word =
        |rest: &str| rest.chars().take_while(|c| c.is_ascii_lowercase() || *c == '-').collect::<String>();
    let starts = text.match_indices("--").filter(|(at, _)| !text[..*at].ends_with(['-', '<', '!']));
    starts
        .map(|(at, _)| word(&text[at + 2..]))
        .filter(|name| !name.is_empty() && !name.starts_with('-'))
        .collect()
}

/// README without what belongs to other programs: command lines of `cargo` up to their end.
fn readme_of_ours() -> String {
    let cut = |line: &str| line.split("cargo ").next().unwrap_or_default().to_owned();
    text("README.md").lines().map(cut).collect::<Vec<_>>().join("\n")
}

#[test]
fn every_option_named_exists() {
    let mut known = options(&help(&[]));
    for command in commands(&help(&[])) {
        let own = help(&[&command]);
        known.extend(options(&own));
        commands(&own).iter().for_each(|sub| known.extend(options(&help(&[&command, sub]))));
    }
    let named = options(&readme_of_ours());
    assert!(named.len() > 10 && known.len() > 30, "{named:?} of {known:?}");
    let unknown: Vec<_> = named.difference(&known).collect();
    assert!(unknown.is_empty(), "README names options that no command has: {unknown:?}");
}

#[test]
fn every_command_is_named() {
    let readme = text("README.md");
    let named = |command: &String| {
        readme.contains(&format!("roughwater {command}")) || readme.contains(&format!("`{command}"))
    };
    let all = commands(&help(&[]));
    assert!(all.len() > 8, "{all:?}");
    let missing: Vec<_> = all.iter().filter(|command| !named(command)).collect();
    assert!(missing.is_empty(), "README does not name the commands {missing:?}");
}

/// In the program's own words: what it says and what to do.
#[test]
fn every_flag_is_told() {
    let readme = text("README.md");
    let flags = roughwater::base::Flags::all();
    assert!(flags.len() > 20);
    for flag in flags {
        let row = format!("| `{}` | {} | {} |", flag.name(), meaning(flag), what_to_do(flag));
        assert!(readme.contains(&row), "README does not have the row {row}");
    }
}
