//! A small job in a temporary folder, for tests that run the program.
#![allow(dead_code, reason = "each test file uses a part")]

use assert_cmd::Command;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

pub const BOAT: &str = "examples/boats/sleet-heron-15.toml";
pub const FORECAST: &str = "grids/south-pacific.grib2";
/// A polar of a few cells, so that a job ends soon.
pub const POLAR: &str = "twa_deg,10,20\n60,10.0,14.0\n110,13.0,25.0\n150,8.5,17.0\n";
/// A box of sea across the date line.
pub const REGIONS: &str = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Across"},
"geometry":{"type":"Polygon","coordinates":[[[178,-52],[-178,-52],[-178,-49],[178,-49],[178,-52]]]}}]}"#;

pub struct Job {
    pub folder: TempDir,
}

impl Job {
    pub fn new() -> Self {
        let job = Self { folder: tempfile::tempdir().unwrap() };
        job.file("polar.csv", POLAR);
        job.file("regions.geojson", REGIONS);
        job.file("job.toml", &Self::text());
        job
    }

    pub fn text() -> String {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        format!(
            "boat = {:?}\npolar = \"polar.csv\"\nforecast = {:?}\nregions = \"regions.geojson\"\nwindow = \"all\"\n\
             output = \"out\"\n",
            root.join(BOAT),
            root.join(FORECAST)
        )
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn file(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).unwrap();
    }

    /// The boat file with one piece of text replaced.
    pub fn boat(&self, from: &str, to: &str) {
        let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(BOAT)).unwrap();
        assert!(text.contains(from), "{from}");
        let up = Path::new(env!("CARGO_MANIFEST_DIR")).join("polars/sleet-heron-15-foils-up.csv");
        let text = text.replace("../../polars/sleet-heron-15-foils-up.csv", up.to_str().unwrap());
        self.file("boat.toml", &text.replace(from, to));
        self.file("job.toml", &with(&Self::text(), "boat", "\"boat.toml\""));
    }

    pub fn program(&self) -> Command {
        let mut command = Command::cargo_bin("roughwater").unwrap();
        command.current_dir(self.folder.path()).env("ROUGHWATER_CACHE", self.path("cache"));
        command
    }

    pub fn derate(&self) -> Command {
        let mut command = self.program();
        command.args(["derate", "job.toml"]);
        command
    }

    /// All files below `out` with their bytes.
    pub fn result(&self) -> Vec<(PathBuf, Vec<u8>)> {
        let mut files = Vec::new();
        let mut folders = vec![self.path("out")];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(&folder).into_iter().flatten() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path)
                } else {
                    files.push((path.clone(), std::fs::read(&path).unwrap()))
                }
            }
        }
        files.sort();
        files
    }
}

/// A job's text with the value of one key replaced.
pub fn with(text: &str, key: &str, value: &str) -> String {
    let replaced = |line: &str| {
        if line.starts_with(&format!("{key} =")) { format!("{key} = {value}\n") } else { format!("{line}\n") }
    };
    text.lines().map(replaced).collect()
}
