//! README's guides: their command lines run, and the layouts shown are what is written.

use crate::common::bench::program;
use crate::common::files::{file, text};
use roughwater::polar::{CsvOptions, Decimal, Delimiter, Layout, Polar, csv_write};
use std::fs;
use std::path::Path;
use std::process::Command;

/// A folder with the repository's examples, forecasts and polars, the polars cut to a few cells.
fn demo() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for name in ["examples", "grids", "polars"] {
        copy(&file(name), &folder.path().join(name));
    }
    for entry in fs::read_dir(folder.path().join("polars")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "csv") {
            let whole = Polar::read(&path).unwrap();
            fs::write(&path, csv_write::to_bytes(&cut(&whole), &CsvOptions::default()).unwrap()).unwrap();
        }
    }
    folder
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// Every fifth angle and the last: enough to run, and quick. All wind speeds stay, as guides name some.
fn cut(polar: &Polar) -> Polar {
    let rows: Vec<usize> =
        (0..polar.twa_deg().len()).filter(|row| row % 5 == 0 || row + 1 == polar.twa_deg().len()).collect();
    let twa_deg = rows.iter().map(|row| polar.twa_deg()[*row]).collect();
    let speeds = rows.iter().flat_map(|row| polar.row(*row).to_vec()).collect();
    Polar::new(polar.tws_kn().to_vec(), twa_deg, speeds).unwrap()
}

/// The command lines in the `console` blocks of one section.
fn command_lines(section: &str) -> Vec<String> {
    let readme = text("README.md");
    let start = readme.find(&format!("\n## {section}\n")).unwrap_or_else(|| panic!("no section {section}"));
    let rest = &readme[start + 4..];
    let body = &rest[..rest.find("\n## ").unwrap_or(rest.len())];
    let blocks = body.split("```console\n").skip(1).filter_map(|block| block.split("```").next());
    let joined = blocks.collect::<String>().replace("\\\n", " ");
    joined.lines().filter(|line| line.starts_with("roughwater ")).map(str::to_owned).collect()
}

/// Runs each command line of a guide by a shell, in a folder with the demo and its result.
fn guide_runs(section: &str) {
    let folder = demo();
    let shell = |line: &str| {
        let program = program();
        let mut path = Path::new(program.get_program()).parent().unwrap().as_os_str().to_owned();
        path.push(":");
        path.push(std::env::var_os("PATH").unwrap_or_default());
        let cache = folder.path().join("cache");
        let mut command = Command::new("sh");
        command
            .args(["-c", line])
            .current_dir(folder.path())
            .env("PATH", path)
            .env("ROUGHWATER_CACHE", cache);
        let output = command.output().unwrap();
        assert!(output.status.success(), "{line}\n{}", String::from_utf8_lossy(&output.stderr));
    };
    let lines = command_lines(section);
    assert!(!lines.is_empty(), "no command line in {section}");
    if !lines.iter().any(|line| line.trim_end() == "roughwater derate examples/south-pacific/job.toml") {
        shell("roughwater derate examples/south-pacific/job.toml --quiet");
    }
    lines.iter().for_each(|line| shell(line));
}

#[cfg(unix)]
#[test]
fn the_navigators_guide_runs() {
    guide_runs("For the navigator");
}

#[cfg(unix)]
#[test]
fn the_routers_guide_runs() {
    guide_runs("For the router");
}

#[cfg(unix)]
#[test]
fn the_analysts_guide_runs() {
    guide_runs("For the analyst");
}

/// The block that follows a marker such as `<!-- layout: matrix -->`.
fn layout(name: &str) -> String {
    let readme = text("README.md");
    let marker = format!("<!-- layout: {name} -->\n```csv\n");
    let start = readme.find(&marker).unwrap_or_else(|| panic!("README has no {marker}"));
    let rest = &readme[start + marker.len()..];
    rest[..rest.find("```").unwrap()].to_owned()
}

/// Each layout in README is what the program writes for the same small table, but for the ends of lines, and reads back.
#[test]
fn the_layouts_are_what_is_written() {
    let mean =
        Polar::new(vec![6.0, 8.0, 10.0], vec![60.0, 90.0], vec![5.1, 6.72, 7.66, 6.02, 7.51, 8.4]).unwrap();
    let speeds = vec![5.0, 6.6, 7.55, 5.2, 6.84, 7.77];
    let signed = Polar::new(vec![6.0, 8.0, 10.0], vec![-60.0, 60.0], speeds).unwrap();
    let long = CsvOptions { layout: Layout::Long, ..CsvOptions::default() };
    let semicolon =
        CsvOptions { delimiter: Delimiter::Semicolon, decimal: Decimal::Comma, ..CsvOptions::default() };
    for (name, polar, options) in [
        ("matrix", &mean, CsvOptions::default()),
        ("signed", &signed, CsvOptions::default()),
        ("long", &mean, long),
        ("semicolon", &mean, semicolon),
    ] {
        let written = String::from_utf8(csv_write::to_bytes(polar, &options).unwrap()).unwrap();
        let shown = layout(name);
        assert_eq!(shown, written.replace("\r\n", "\n"), "{name}");
        assert_eq!(&Polar::parse(&shown).unwrap(), polar, "{name}");
    }
}

/// The tables of a passage that README shows, but for blanks at their ends.
#[test]
fn the_passage_shown_is_the_demos() {
    let folder = demo();
    copy(&file("polars"), &folder.path().join("polars"));
    let told = |arguments: &[&str]| {
        let output = program().args(arguments).current_dir(folder.path()).output().unwrap();
        // 3: departures that the forecast is too short for are declared gaps
        assert!(matches!(output.status.code(), Some(0 | 3)), "{}", String::from_utf8_lossy(&output.stderr));
        let lines = String::from_utf8(output.stdout).unwrap();
        lines.lines().map(|line| line.trim_end().to_owned()).collect::<Vec<_>>()
    };
    told(&["derate", "examples/south-pacific/job.toml", "--quiet"]);
    let sail = [
        "passage",
        "examples/south-pacific/job.toml",
        "--track",
        "examples/south-pacific/track.gpx",
        "--start",
    ];
    let one = told(&[&sail[..], &["2024-01-15T03:00"]].concat());
    let many = told(&[&sail[..], &["2024-01-15T00:00", "--start-every", "3h"]].concat());
    let readme = text("README.md");
    let section = readme.split("### What the sea costs along a track").nth(1).unwrap();
    let shown: Vec<Vec<&str>> = section
        .split("```text\n")
        .skip(1)
        .take(2)
        .map(|block| block.split("```").next().unwrap().lines().collect())
        .collect();
    for (shown, told) in shown.iter().zip([one, many]) {
        assert!(shown.len() >= 4);
        assert_eq!(*shown, told[..shown.len()], "README shows what the demo no longer says");
    }
}
