//! The job file: what to compute from which inputs, with every choice that is not left at its default.

mod choices;
mod patterns;
pub mod polar_csv;

pub use choices::{CellAudit, CellAuditWord, TableFormat};
pub use choices::{CorridorChoice, MemberChoice, Model, OneOrMore, Split, TackChoice, TileSize};

use crate::error::{Error, Result};
use crate::strict_toml;
use crate::wind_match::SeaChoice;
use crate::window::{Alignment, WindowLength};
use patterns::{anchored, expand};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// A job file as read: every key may be missing, so that command-line options can stand in.
///
/// Paths are relative to the job file and already joined to its folder; patterns are not yet expanded.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobFile {
    /// The boat file.
    pub boat: Option<PathBuf>,
    /// The flat polar.
    pub polar: Option<PathBuf>,
    /// Forecast files; `*`, `?` and `[ ]` match names.
    #[serde(default)]
    pub forecast: OneOrMore<PathBuf>,
    /// The regions' GeoJSON file.
    pub regions: Option<PathBuf>,
    /// Regions by size instead.
    pub tiles: Option<TileSize>,
    /// Regions along a track instead.
    pub corridor: Option<CorridorChoice>,
    /// Whether regions and windows that are alike are joined.
    #[serde(default)]
    pub split: Split,
    /// How far from its polar a region and window may lie that is joined to others, kn.
    pub split_error_kn: Option<f64>,
    /// A tally, in place of forecast, regions and window.
    pub tally: Option<PathBuf>,
    /// The length of time windows.
    pub window: Option<WindowText>,
    /// Where windows begin.
    pub window_alignment: Option<Alignment>,
    /// Whether the members of an ensemble get polars of their own.
    pub members: Option<MemberChoice>,
    /// Whether a column of the polar sees only seas that come with winds like its own.
    pub match_wind: Option<bool>,
    /// How the audit is written; CSV, which questions are asked to, is always there.
    #[serde(default)]
    pub audit_format: OneOrMore<TableFormat>,
    /// How each forecast cell is accounted for.
    pub cell_audit: Option<OneOrMore<CellAuditWord>>,
    /// The folder of the result.
    pub output: Option<PathBuf>,
    /// Which tacks the polars hold.
    pub tacks: Option<TackChoice>,
    /// How polars are written.
    #[serde(default)]
    pub polar_csv: polar_csv::Options,
    /// Choices of the model.
    #[serde(default)]
    pub model: Model,
    /// Where the file stands, for errors.
    #[serde(skip)]
    pub path: Option<PathBuf>,
}

/// A job with all it needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The boat file.
    pub boat: PathBuf,
    /// The flat polar.
    pub polar: PathBuf,
    /// The seas she will meet.
    pub seas: Seas,
    /// Which seas a column of the polar sees; where nothing is said, windows of over 24 h are matched.
    pub match_wind: Option<SeaChoice>,
    /// How far from its polar a region and window may lie that is joined to others, kn; none joins nothing.
    pub split_error_kn: Option<f64>,
    /// How the audit is written, besides CSV.
    pub audit_format: OneOrMore<TableFormat>,
    /// Whether each forecast cell is accounted for.
    pub cell_audit: CellAudit,
    /// The folder of the result.
    pub output: PathBuf,
    /// Which tacks the polars hold.
    pub tacks: TackChoice,
    /// How polars are written.
    pub polar_csv: polar_csv::Options,
    /// Choices of the model.
    pub model: Model,
}

/// Where a job's seas come from.
#[derive(Debug, Clone, PartialEq)]
pub enum Seas {
    /// A forecast, tallied by region and window.
    Forecast(ForecastSeas),
    /// A tally made before.
    Tally(PathBuf),
}

/// What to tally.
#[derive(Debug, Clone, PartialEq)]
pub struct ForecastSeas {
    /// Forecast files: in the order given, those of one pattern by name, each once.
    pub files: Vec<PathBuf>,
    /// Where polars are made for.
    pub regions: Regions,
    /// The length of time windows; 6 h where nothing is said.
    pub window: WindowLength,
    /// Where windows begin.
    pub window_alignment: Alignment,
    /// Whether the members of an ensemble get polars of their own.
    pub members: MemberChoice,
}

/// Where polars are made for.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Regions {
    /// The regions of a GeoJSON file.
    File(PathBuf),
    /// Tiles over the forecast's extent.
    Tiles(TileSize),
    /// The legs of a corridor along a track.
    Corridor(CorridorChoice),
}

/// A window's length as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct WindowText(pub WindowLength);

impl TryFrom<String> for WindowText {
    type Error = String;

    fn try_from(text: String) -> std::result::Result<Self, String> {
        let invalid =
            |_| format!("invalid window: \"{text}\", expected \"all\" or a length such as \"6h\" or \"1d\"");
        text.parse().map(Self).map_err(invalid)
    }
}

impl JobFile {
    /// Reads a job file. Errors: unknown keys, wrong kinds of value, with their line.
    pub fn read(path: &Path) -> Result<Self> {
        let mut job: Self = strict_toml::read(path)?;
        job.polar_csv.check().map_err(|error| error.file(path))?;
        let folder = path.parent().unwrap_or(Path::new(""));
        let own = &mut job.model.own_responses;
        let track = job.corridor.as_mut().map(|corridor| &mut corridor.track);
        let places = [&mut job.boat, &mut job.polar, &mut job.regions, &mut job.output, &mut job.tally, own];
        for place in places.into_iter().flatten() {
            *place = folder.join(&place);
        }
        if let Some(track) = track {
            *track = folder.join(&track);
        }
        let patterns = job.forecast.as_slice().iter().map(|pattern| anchored(folder, pattern));
        job.forecast = OneOrMore::More(patterns.collect());
        job.path = Some(path.to_owned());
        Ok(job)
    }

    /// The job, with its forecast patterns expanded.
    ///
    /// Errors: as [`JobFile::seas`]; a missing key.
    pub fn complete(self) -> Result<Job> {
        Ok(Job {
            seas: self.seas()?,
            boat: self.needed(&self.boat, "boat")?,
            polar: self.needed(&self.polar, "polar")?,
            match_wind: self.match_wind.map(
                |matched| {
                    if matched { SeaChoice::WindMatched } else { SeaChoice::All }
                },
            ),
            split_error_kn: self.split_error_kn()?,
            cell_audit: self.cell_audit()?,
            output: self.needed(&self.output, "output")?,
            tacks: self.tacks.unwrap_or_default(),
            audit_format: self.audit_format,
            polar_csv: self.polar_csv,
            model: self.model,
        })
    }

    /// Where the seas come from, with forecast patterns expanded; a tally stands in for forecast, regions and window.
    ///
    /// Errors: a missing key; regions of two kinds; a pattern that matches nothing.
    pub fn seas(&self) -> Result<Seas> {
        if let Some(tally) = &self.tally {
            if self.members == Some(MemberChoice::Each) {
                return Err(self.placed(members_of_a_tally(tally)));
            }
            return Ok(Seas::Tally(tally.clone()));
        }
        self.check_regions()?;
        let files = self.forecast_files()?;
        let regions = match (&self.regions, self.tiles, &self.corridor) {
            (_, Some(size), _) => Regions::Tiles(size),
            (_, None, Some(corridor)) => Regions::Corridor(corridor.clone()),
            (None, None, None) if self.split == Split::Auto => Regions::Tiles(DEFAULT_TILES),
            (file, None, None) => Regions::File(self.needed(file, "regions")?),
        };
        Ok(Seas::Forecast(ForecastSeas {
            files,
            regions,
            window: self.window.map_or(DEFAULT_WINDOW, |text| text.0),
            window_alignment: self.window_alignment.unwrap_or_default(),
            members: self.members.unwrap_or_default(),
        }))
    }

    fn split_error_kn(&self) -> Result<Option<f64>> {
        match (self.split, self.split_error_kn) {
            (Split::Given, None) => Ok(None),
            (Split::Auto, None) => Ok(Some(DEFAULT_SPLIT_ERROR_KN)),
            (Split::Auto, Some(error_kn)) if error_kn > 0.0 && error_kn.is_finite() => Ok(Some(error_kn)),
            (Split::Auto, Some(error_kn)) => Err(self.placed(
                Error::new("the error that regions may be joined within is out of range")
                    .at("split_error_kn")
                    .found(error_kn)
                    .expected("a speed above 0, kn")
                    .remedy("take a value such as 0.2"),
            )),
            (Split::Given, Some(_)) => Err(self.placed(
                Error::new("the job says within which error to join regions, but not to join them")
                    .found("\"split_error_kn\" without \"split\"")
                    .expected("both, or neither")
                    .remedy("add split = \"auto\", or take split_error_kn out"),
            )),
        }
    }

    fn cell_audit(&self) -> Result<CellAudit> {
        let Some(words) = &self.cell_audit else { return Ok(CellAudit::IfSmall) };
        let choice = CellAudit::of(words.as_slice()).ok_or_else(|| {
            self.placed(
                Error::new("the cell audit is both wanted and not wanted")
                    .at("cell_audit")
                    .found("\"none\" beside a format")
                    .expected("csv, parquet, both, or none")
                    .remedy("take \"none\" out, or leave it alone"),
            )
        })?;
        if choice.is_asked_for() && self.tally.is_some() {
            return Err(self.placed(
                Error::new("a tally holds no single cells to audit")
                    .found("\"cell_audit\" and \"tally\" in one job")
                    .expected("a forecast")
                    .remedy("derate from the forecast itself, or leave the cell audit out"),
            ));
        }
        Ok(choice)
    }

    fn check_regions(&self) -> Result<()> {
        let given = [
            ("regions", self.regions.is_some()),
            ("tiles", self.tiles.is_some()),
            ("corridor", self.corridor.is_some()),
        ];
        let keys: Vec<&str> = given.iter().filter(|(_, given)| *given).map(|(key, _)| *key).collect();
        if let [first, second, ..] = keys.as_slice() {
            return Err(self.placed(
                Error::new(format!("the job has both {first} and {second}"))
                    .found(format!("keys \"{first}\" and \"{second}\""))
                    .expected("one of them")
                    .remedy("take one out"),
            ));
        }
        Ok(())
    }

    fn needed(&self, place: &Option<PathBuf>, key: &str) -> Result<PathBuf> {
        place.clone().ok_or_else(|| self.missing(key))
    }

    fn missing(&self, key: &str) -> Error {
        self.placed(
            Error::new("the job is not complete")
                .found(format!("no \"{key}\""))
                .expected(format!("a key \"{key}\" in the job file, or the option --{key}"))
                .remedy(format!("add {key} = \"...\"; paths are relative to the job file")),
        )
    }

    fn placed(&self, error: Error) -> Error {
        match &self.path {
            Some(path) => error.file(path),
            None => error,
        }
    }

    fn forecast_files(&self) -> Result<Vec<PathBuf>> {
        let mut files: Vec<PathBuf> = Vec::new();
        for pattern in self.forecast.as_slice() {
            let matched = expand(pattern).map_err(|error| self.placed(error))?;
            files.extend(matched.into_iter().filter(|file| !files.contains(file)).collect::<Vec<_>>());
        }
        if files.is_empty() { Err(self.missing("forecast")) } else { Ok(files) }
    }
}

fn members_of_a_tally(tally: &Path) -> Error {
    Error::new("a tally holds the members of an ensemble together, so there are no polars of each")
        .input(tally.display())
        .found("members \"each\" beside a tally")
        .expected("a forecast, or members \"together\"")
        .remedy("name the forecast files instead of the tally, or leave members out")
}

/// Common practice, no source: short enough for a front, long enough to average.
const DEFAULT_WINDOW: WindowLength = WindowLength::Every(jiff::SignedDuration::from_hours(6));

/// Common practice, no source: what a helmsman loses in a few minutes out of trim.
const DEFAULT_SPLIT_ERROR_KN: f64 = 0.2;

/// Tiles to be joined where a job names no regions. Common practice, no source: about half a front's width.
const DEFAULT_TILES: TileSize = TileSize { lat_deg: 2.5, lon_deg: 2.5 };

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (tempfile::TempDir, Result<JobFile>) {
        let folder = tempfile::Builder::new().prefix("job[1]-").tempdir().unwrap();
        let path = folder.path().join("job.toml");
        std::fs::write(&path, text).unwrap();
        for name in ["b.grib2", "a.grib2", "c.nc"] {
            std::fs::write(folder.path().join(name), "").unwrap();
        }
        let job = JobFile::read(&path);
        (folder, job)
    }

    const WHOLE: &str = r#"
boat = "boat.toml"
polar = "polar.csv"
forecast = ["*.grib2", "a.grib2", "c.nc"]
regions = "sea.geojson"
window = "1d"
match_wind = true
audit_format = "parquet"
cell_audit = ["parquet", "csv", "csv"]
output = "out"
tacks = "signed"
[polar_csv]
delimiter = "semicolon"
decimal = "comma"
corner = "TWA"
layout = "long"
[model]
added_resistance = "snnm"
without_foil = "port"
"#;

    #[test]
    fn a_whole_job_stands_beside_its_file() {
        let (folder, job) = read(WHOLE);
        let job = job.unwrap().complete().unwrap();
        let at = |name: &str| folder.path().join(name);
        assert_eq!(job.boat, at("boat.toml"));
        let Seas::Forecast(seas) = job.seas else { panic!("{:?}", job.seas) };
        assert_eq!(seas.files, [at("a.grib2"), at("b.grib2"), at("c.nc")]);
        assert_eq!(seas.regions, Regions::File(at("sea.geojson")));
        assert_eq!(seas.window, "1d".parse().unwrap());
        assert_eq!(job.match_wind, Some(SeaChoice::WindMatched));
        assert_eq!(job.audit_format.as_slice(), [TableFormat::Parquet]);
        assert_eq!(job.cell_audit, CellAudit::Formats(vec![TableFormat::Csv, TableFormat::Parquet]));
        assert_eq!(job.tacks, TackChoice::Signed);
        assert_eq!(job.polar_csv.decimal, polar_csv::Decimal::Comma);
        assert_eq!(job.model.added_resistance, crate::hydro::response::Method::Snnm);
        assert_eq!(job.model.without_foil.as_slice(), [crate::boat::Side::Port]);
    }

    #[test]
    fn what_is_not_said_has_its_default() {
        let text = "boat='b'\npolar='p'\nforecast='c.nc'\noutput='o'\ntiles={lat_deg=5,lon_deg=10.0}\n";
        let job = read(text).1.unwrap().complete().unwrap();
        let Seas::Forecast(seas) = job.seas else { panic!("{:?}", job.seas) };
        assert_eq!(seas.window, "6h".parse().unwrap());
        assert_eq!(job.tacks, TackChoice::Mean);
        assert_eq!((job.match_wind, job.cell_audit), (None, CellAudit::IfSmall));
        assert_eq!(seas.regions, Regions::Tiles(TileSize { lat_deg: 5.0, lon_deg: 10.0 }));
        assert_eq!((job.polar_csv, job.model), (polar_csv::Options::default(), Model::default()));
    }

    #[test]
    fn a_tally_stands_in_for_forecast_and_regions() {
        let text = "boat='b'\npolar='p'\noutput='o'\ntally='t.parquet'\n";
        let (folder, job) = read(text);
        let job = job.unwrap().complete().unwrap();
        assert_eq!(job.seas, Seas::Tally(folder.path().join("t.parquet")));
    }

    #[test]
    fn a_corridor_stands_beside_the_job() {
        let text = "forecast='c.nc'\ncorridor={track='t.gpx',half_width_nm=60,leg_nm=300}\n";
        let (folder, job) = read(text);
        let Seas::Forecast(seas) = job.unwrap().seas().unwrap() else { panic!() };
        let Regions::Corridor(corridor) = seas.regions else { panic!() };
        assert_eq!(corridor.track, folder.path().join("t.gpx"));
    }

    #[test]
    fn broken_jobs_are_named_with_line_and_remedy() {
        for (text, words) in [
            ("boat = 'b'\nforcast = 'x'", ["line 2", "did you mean \"forecast\"?"]),
            ("[model]\nadded_resistanse = 'snnm'", ["line 2", "did you mean \"added_resistance\"?"]),
            ("[model]\nadded_resistance = 'snmn'", ["line 2", "did you mean \"snnm\"?"]),
            ("[polar_csv]\ndelimiter = 'pipe'", ["line 2", "comma, semicolon, tab"]),
            ("[polar_csv]\ndecimal = 'comma'", ["between commas", "semicolon"]),
            ("tacks = 'both'", ["line 1", "mean, slower, starboard, port, signed"]),
            ("boat = 3", ["line 1", "integer `3`"]),
            ("window = '6 hrz'", ["line 1, column 10", "\"6 hrz\""]),
            ("forecast = 3", ["line 1", "one value or a list"]),
        ] {
            let error = read(text).1.expect_err(text).to_string();
            for word in words.iter().chain(&["job.toml", "found", "expected", "remedy"]) {
                assert!(error.contains(word), "{text:?} should say {word:?}:\n{error}");
            }
        }
    }

    #[test]
    fn incomplete_jobs_name_the_key() {
        for (old, new, words) in [
            ("boat =", "# ", ["no \"boat\"", "job.toml"]),
            ("regions =", "# ", ["no \"regions\"", "--regions"]),
            ("forecast =", "# ", ["no \"forecast\"", "job.toml"]),
            (
                "window =",
                "tiles = {lat_deg=5, lon_deg=5}\nwindow =",
                ["both regions and tiles", "take one out"],
            ),
            ("*.grib2", "*.grb", ["matches nothing", "*.grb"]),
            ("*.grib2", "[", ["cannot be read", "forecast"]),
        ] {
            let (_folder, job) = read(&WHOLE.replace(old, new));
            let error = job.unwrap().complete().expect_err(new).to_string();
            for word in words {
                assert!(error.contains(word), "{new:?} should say {word:?}:\n{error}");
            }
        }
    }
}
