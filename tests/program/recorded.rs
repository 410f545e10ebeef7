//! Recorded runs, `docs/first-hour.md` and `docs/before-the-forecast.md`: every command in them works in an empty folder, the first
//! with one real forecast, and what is shown is what is printed but for its numbers. `ROUGHWATER_RECORD=1` writes them anew.

use crate::common::bench::program;
use crate::common::files::{NOAA, file, text};
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

/// A command and what was printed after it.
struct Step {
    command: String,
    shown: String,
}

/// The commands of the `console` blocks, each with the lines below it.
fn steps(page: &str) -> Vec<Step> {
    let blocks = page.split("```console\n").skip(1).filter_map(|block| block.split("```").next());
    let mut steps: Vec<Step> = Vec::new();
    for block in blocks {
        for line in block.lines() {
            match line.strip_prefix("$ ") {
                Some(command) => steps.push(Step { command: command.to_owned(), shown: String::new() }),
                None => steps.last_mut().unwrap().shown += &format!("{line}\n"),
            }
        }
    }
    steps
}

/// Runs a command line by a shell in a folder; standard output, of a command that worked.
fn run(line: &str, folder: &Path) -> String {
    let program = program();
    let mut path = Path::new(program.get_program()).parent().unwrap().as_os_str().to_owned();
    path.push(":");
    path.push(std::env::var_os("PATH").unwrap_or_default());
    let mut command = Command::new("sh");
    command.args(["-c", line]).current_dir(folder).env("PATH", path).env("COLUMNS", "80");
    let output = command.env("ROUGHWATER_CACHE", folder.join(".cache")).output().unwrap();
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{line}: {:?}\n{told}", output.status);
    String::from_utf8(output.stdout).unwrap()
}

/// A line's words: physics may move a number, and what leads a list with it, but not what the line is about.
fn outline(text: &str) -> Vec<String> {
    let words = |line: &str| {
        line.split_whitespace()
            .next()
            .unwrap_or_default()
            .chars()
            .filter(|c| !c.is_ascii_digit())
            .collect::<String>()
    };
    text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with(' ')).map(words).collect()
}

/// Runs a page's commands in a folder.
#[cfg(unix)]
fn run_recorded(record: &str, folder: &Path) {
    let page = text(record);
    let recorded = steps(&page);
    assert!((5..10).contains(&recorded.len()), "{} commands", recorded.len());
    let begun = Instant::now();
    let mut anew = page.clone();
    for Step { command, shown } in &recorded {
        let printed = run(command, folder);
        if std::env::var_os("ROUGHWATER_RECORD").is_some() {
            let old = format!("$ {command}\n{shown}");
            anew = anew.replacen(&old, &format!("$ {command}\n{printed}"), 1);
        } else {
            let heads = |text: &str| outline(text).into_iter().take(3).collect::<Vec<_>>();
            assert_eq!(heads(&printed), heads(shown), "{command}\n{printed}");
        }
    }
    println!("{} commands in {:.1} s", recorded.len(), begun.elapsed().as_secs_f64());
    if anew != page {
        fs::write(file(record), anew).unwrap();
    }
}

#[cfg(unix)]
#[test]
fn the_recorded_first_hour_runs() {
    let folder = tempfile::tempdir().unwrap();
    let forecast = Path::new(NOAA).file_name().unwrap();
    fs::copy(file(NOAA), folder.path().join(forecast)).unwrap();
    run_recorded("docs/first-hour.md", folder.path());
    for name in ["boat.toml", "polar.csv", "job.toml", "out/report.html", "out/index.geojson"] {
        assert!(folder.path().join(name).is_file(), "{name}");
    }
}

#[cfg(unix)]
#[test]
fn the_recorded_planning_before_a_forecast_runs() {
    let folder = tempfile::tempdir().unwrap();
    run_recorded("docs/before-the-forecast.md", folder.path());
    for name in ["atlas/atlas.html", "atlas/index.csv", "trades.csv", "now.csv"] {
        assert!(folder.path().join(name).is_file(), "{name}");
    }
}
