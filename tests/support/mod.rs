//! What the tests of the program share: a small job in a folder of its own, and the program run in it.

// each test file uses the part it needs
#![allow(dead_code)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Output;

/// A few cells of the Oat Plover's polar, with speeds of the same size.
pub const POLAR: &str = "twa_deg,8,14,20\n50,4.6,5.9,6.3\n90,5.4,6.7,7.2\n150,4.2,6.2,7.0\n";

/// A sea of some 20 cells of the invented forecast.
pub const REGION: &str = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Small sea"},
"geometry":{"type":"Polygon","coordinates":[[[176,-54],[180,-54],[180,-50],[176,-50],[176,-54]]]}}]}"#;

/// A file of the repository.
pub fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// The text of a file of the repository.
pub fn text(name: &str) -> String {
    fs::read_to_string(file(name)).unwrap()
}

/// A folder with a small job: `job.toml`, `boat.toml`, `polar.csv`, `regions.geojson`, and its result in `out`.
pub struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    pub fn new() -> Self {
        let bench = Self { folder: tempfile::tempdir().unwrap() };
        bench.put("boat.toml", text("examples/boats/oat-plover-10.toml"));
        bench.put("polar.csv", POLAR);
        bench.put("regions.geojson", REGION);
        bench.put("job.toml", bench.job("grids/south-pacific.grib2"));
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

    /// The job over one forecast file of the repository.
    pub fn job(&self, forecast: &str) -> String {
        format!(
            "boat = \"boat.toml\"\npolar = \"polar.csv\"\nforecast = '{}'\nregions = \"regions.geojson\"\n\
             window = \"1d\"\noutput = \"out\"\n",
            file(forecast).display()
        )
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

    pub fn put(&self, name: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// Runs the program in the folder.
    pub fn run(&self, arguments: &[&str]) -> Ran {
        self.run_on("2", arguments)
    }

    /// Runs the program in the folder on so many threads.
    pub fn run_on(&self, threads: &str, arguments: &[&str]) -> Ran {
        let output = assert_cmd::Command::cargo_bin("roughwater")
            .unwrap()
            .current_dir(self.folder.path())
            .env("RAYON_NUM_THREADS", threads)
            // tables kept by an earlier version would hide what this one makes
            .env("ROUGHWATER_CACHE", "")
            .args(arguments)
            .output()
            .unwrap();
        Ran::from(output)
    }

    /// Every file and folder below the bench with its bytes.
    pub fn snapshot(&self) -> BTreeMap<String, Option<Vec<u8>>> {
        let mut found = BTreeMap::new();
        walk(self.folder.path(), self.folder.path(), &mut found);
        found
    }
}

/// Every file and folder below a folder with its bytes, by its relative path with `/`.
pub fn snapshot(root: &Path) -> BTreeMap<String, Option<Vec<u8>>> {
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

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code().expect("the program ends by itself"),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Ran {
    /// Standard output as JSON, of a run that worked.
    pub fn json(&self) -> serde_json::Value {
        assert_eq!(self.code, 0, "{}", self.stderr);
        serde_json::from_str(&self.stdout).unwrap()
    }
}

/// A CSV file as rows of columns by name.
pub fn rows(text: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().unwrap().clone();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            header.iter().zip(&record).map(|(name, field)| (name.to_owned(), field.to_owned())).collect()
        })
        .collect()
}
