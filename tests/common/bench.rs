//! A small job in a folder of its own, and the program run in it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::files::{INVENTED, file, text};
use super::tables::{Row, rows};

/// A few cells of the Oat Plover's polar, with speeds of the same size.
pub const POLAR: &str = "twa_deg,8,14,20\n50,4.6,5.9,6.3\n90,5.4,6.7,7.2\n150,4.2,6.2,7.0\n";

/// A sea of some 20 cells of the invented forecast.
pub const REGION: &str = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Small sea"},
"geometry":{"type":"Polygon","coordinates":[[[176,-54],[180,-54],[180,-50],[176,-50],[176,-54]]]}}]}"#;

/// A box of sea across the date line.
pub const ACROSS: &str = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Across"},
"geometry":{"type":"Polygon","coordinates":[[[178,-52],[-178,-52],[-178,-49],[178,-49],[178,-52]]]}}]}"#;

/// A folder with a small job: `job.toml`, `boat.toml`, `polar.csv`, `regions.geojson`, and its result in `out`.
pub struct Bench {
    folder: tempfile::TempDir,
    // beside the folder, so that nothing lies in that but the job and what it makes
    pub cache: tempfile::TempDir,
}

impl Bench {
    /// The Oat Plover, in windows of a day.
    pub fn new() -> Self {
        let bench = Self { folder: tempfile::tempdir().unwrap(), cache: tempfile::tempdir().unwrap() };
        bench.put("boat.toml", text("examples/boats/oat-plover-10.toml"));
        bench.put("polar.csv", POLAR);
        bench.put("regions.geojson", REGION);
        bench.put("job.toml", bench.job(INVENTED));
        bench
    }

    /// The same for the Sleet Heron, on three rows and columns of her polar.
    pub fn foiler() -> Self {
        let bench = Self::new();
        let foils_up = file("polars/sleet-heron-15-foils-up.csv").display().to_string();
        let boat = text("examples/boats/sleet-heron-15.toml");
        bench.put("boat.toml", boat.replace("../../polars/sleet-heron-15-foils-up.csv", &foils_up));
        bench.put(
            "polar.csv",
            "twa_deg,8,16,25\n48,7.56,10.48,11.64\n90,10.58,19.98,25.58\n145,7.62,15.74,23.52\n",
        );
        bench
    }

    /// The Sleet Heron across the date line, on fewer cells still and in one window.
    pub fn across() -> Self {
        let bench = Self::foiler();
        bench.put("polar.csv", "twa_deg,10,20\n60,10.0,14.0\n110,13.0,25.0\n150,8.5,17.0\n");
        bench.put("regions.geojson", ACROSS);
        bench.set("window", "\"all\"");
        bench
    }

    /// The job over one forecast file of the repository.
    pub fn job(&self, forecast: &str) -> String {
        format!(
            "boat = \"boat.toml\"\npolar = \"polar.csv\"\nforecast = '{}'\nregions = \"regions.geojson\"\n\
             window = \"1d\"\noutput = \"out\"\n",
            file(forecast).display()
        )
    }

    /// Gives a key of the job another value, written as TOML.
    pub fn set(&self, key: &str, value: &str) {
        let begins = format!("{key} = ");
        let job = self.read("job.toml");
        assert!(job.lines().any(|line| line.starts_with(&begins)), "no {key} in {job}");
        let line =
            |line: &str| if line.starts_with(&begins) { begins.clone() + value } else { line.to_owned() };
        self.put("job.toml", job.lines().map(|own| line(own) + "\n").collect::<String>());
    }

    /// Something that looks like an earlier result, for runs that must not touch it.
    pub fn with_earlier_result(self) -> Self {
        self.put("out/manifest.json", r#"{"program": "roughwater"}"#);
        self.put("out/polars/Small sea/earlier.csv", "twa_deg,8\n50,4.6\n");
        self
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The folder of the program's cache.
    pub fn cache(&self) -> &Path {
        self.cache.path()
    }

    pub fn put(&self, name: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    pub fn rows(&self, name: &str) -> Vec<Row> {
        rows(&self.read(name))
    }

    pub fn json(&self, name: &str) -> serde_json::Value {
        serde_json::from_str(&self.read(name)).unwrap()
    }

    /// Runs the program in the folder.
    pub fn run(&self, arguments: &[&str]) -> Ran {
        self.run_on("2", arguments)
    }

    /// Runs the program in the folder on so many threads.
    pub fn run_on(&self, threads: &str, arguments: &[&str]) -> Ran {
        Ran::of(self.command().env("RAYON_NUM_THREADS", threads).args(arguments))
    }

    /// The program, ready to run in the folder.
    pub fn command(&self) -> Command {
        self.ready(program())
    }

    /// Another program, as ready.
    pub fn command_of(&self, program: &str) -> Command {
        self.ready(Command::new(program))
    }

    fn ready(&self, mut command: Command) -> Command {
        command.current_dir(self.folder.path()).env("ROUGHWATER_CACHE", self.cache.path());
        command
    }

    /// `derate` on the job, with more arguments.
    pub fn derate(&self, more: &[&str]) -> Ran {
        self.run(&[&["derate", "job.toml"], more].concat())
    }

    /// Every file and folder below the bench with its bytes.
    pub fn snapshot(&self) -> BTreeMap<String, Option<Vec<u8>>> {
        snapshot(self.folder.path())
    }

    /// Every file and folder of the result with its bytes.
    pub fn result(&self) -> BTreeMap<String, Option<Vec<u8>>> {
        snapshot(&self.path("out"))
    }
}

/// The program as it was built for this test.
pub fn program() -> Command {
    Command::new(assert_cmd::cargo::cargo_bin("roughwater"))
}

/// Every file and folder below a folder with its bytes, by its relative path with `/`.
fn snapshot(root: &Path) -> BTreeMap<String, Option<Vec<u8>>> {
    let mut found = BTreeMap::new();
    walk(root, root, &mut found);
    found
}

fn walk(root: &Path, folder: &Path, found: &mut BTreeMap<String, Option<Vec<u8>>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let parts: Vec<_> =
            path.strip_prefix(root).unwrap().iter().map(|part| part.to_str().unwrap()).collect();
        let is_folder = path.is_dir();
        found.insert(parts.join("/"), (!is_folder).then(|| fs::read(&path).unwrap()));
        if is_folder {
            walk(root, &path, found);
        }
    }
}

/// How a run of the program ended.
#[derive(Debug)]
pub struct Ran {
    pub code: i32,
    pub stdout: String,
    pub stderr: String,
}

impl Ran {
    /// Runs a command to its end.
    pub fn of(command: &mut Command) -> Self {
        let output = command.output().unwrap();
        Self {
            code: output.status.code().expect("the program ends by itself"),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// The same run, which ended with one of these codes.
    #[track_caller]
    pub fn ended(self, codes: &[i32]) -> Self {
        assert!(codes.contains(&self.code), "{self:?}");
        self
    }

    /// The same run, which worked.
    #[track_caller]
    pub fn worked(self) -> Self {
        self.ended(&[0])
    }

    /// Standard output as JSON, of a run that worked.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        assert_eq!(self.code, 0, "{}", self.stderr);
        serde_json::from_str(&self.stdout).unwrap()
    }
}
