//! `completions` and `man`: both know every command.

use crate::common::bench::{Ran, program};

const COMMANDS: [&str; 7] = ["derate", "inspect", "response", "simulate", "compare", "audit", "lookup"];

#[test]
fn completions_know_every_command() {
    let script = Ran::of(program().args(["completions", "bash"])).worked().stdout;
    for command in COMMANDS {
        assert!(script.contains(command), "{command}");
    }
}

#[test]
fn manual_pages_are_there_for_every_command() {
    let folder = tempfile::tempdir().unwrap();
    Ran::of(program().args(["man", "--out"]).arg(folder.path())).worked();
    for command in COMMANDS {
        assert!(folder.path().join(format!("roughwater-{command}.1")).is_file(), "{command}");
    }
}
