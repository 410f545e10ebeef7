//! From a job file to a job: defaults, checks, patterns expanded.

use crate::base::WindowLength;
use crate::base::{Error, Result};
use crate::derate::SeaChoice;
use crate::files::OneOrMore;
use crate::job::checks;
use crate::job::choices::Split;
use crate::job::contents::{ForecastSeas, Job, Seas};
use crate::job::file::JobFile;
use crate::job::keys::JOB_KEYS;
use crate::job::patterns::expand;
use crate::region::{Regions, TileSize};
use std::path::PathBuf;

/// Common practice, no source: short enough for a front, long enough to average.
const DEFAULT_WINDOW: WindowLength = WindowLength::Every(jiff::SignedDuration::from_hours(6));

/// Tiles to be joined where a job names no regions. Common practice, no source: about half a front's width.
const DEFAULT_TILES: TileSize = TileSize { lat_deg: 2.5, lon_deg: 2.5 };

/// All ways to say where polars are made for.
const WAYS_TO_REGIONS: &str = "regions: one of\n  \
    regions = \"regions.geojson\" or --regions FILE: polygons of your own\n  \
    box = [40, -20, 50, -5] or --box 40N,20W,50N,5W: south, west, north, east\n  \
    tiles = { lat_deg = 5, lon_deg = 10 } or --tiles 5x10: over the forecast's extent\n  \
    corridor = { track = \"track.gpx\", half_width_nmi = 60, leg_nmi = 300 } or --corridor TRACK: along a track\n  \
    split = \"auto\" or --split auto: few regions where one polar serves";

impl JobFile {
    /// The job, with its forecast patterns expanded.
    ///
    /// Errors: as [`JobFile::seas`]; all missing keys at once; choices that contradict each other.
    pub fn complete(self) -> Result<Job> {
        let keys = [("boat", &self.boat), ("polar", &self.polar), ("output", &self.output)];
        self.check_there(keys.into_iter().filter(|(_, value)| value.is_none()).map(|(key, _)| key))?;
        self.polar_csv.check().map_err(|error| self.placed(error))?;
        let seas = self.seas()?;
        let placed = |error| self.placed(error);
        let needed = |place: &Option<PathBuf>| place.clone().unwrap_or_default();
        Ok(Job {
            seas,
            boat: needed(&self.boat),
            polar: needed(&self.polar),
            match_wind: if self.match_wind.unwrap_or(true) { SeaChoice::WindMatched } else { SeaChoice::All },
            split_error_kn: checks::split_error_kn(&self).map_err(placed)?,
            cell_audit: checks::cell_audit(&self).map_err(placed)?,
            output: needed(&self.output),
            tacks: self.tacks.unwrap_or_default(),
            atlas: self.atlas,
            audit_format: self.audit_format,
            polar_csv: self.polar_csv,
            model: self.model,
        })
    }

    /// Where the seas come from, with forecast patterns expanded; a tally stands in for forecast, regions and window.
    ///
    /// Errors: missing keys; regions of two kinds; members of a tally; a pattern that matches nothing.
    pub fn seas(&self) -> Result<Seas> {
        let placed = |error| self.placed(error);
        if let Some(tally) = &self.tally {
            checks::members_of_a_tally(self, tally).map_err(placed)?;
            return Ok(Seas::Tally(tally.clone()));
        }
        checks::regions_of_one_kind(self).map_err(placed)?;
        self.check_there(std::iter::empty())?;
        let files = self.forecast_files()?;
        let regions = self.chosen_regions().ok_or_else(|| self.missing(&["regions"]))?;
        Ok(Seas::Forecast(ForecastSeas {
            files,
            regions,
            window: self.window.unwrap_or(DEFAULT_WINDOW),
            window_alignment: self.window_alignment.unwrap_or_default(),
            members: self.members.unwrap_or_default(),
            step_cache: self.step_cache,
        }))
    }

    /// The files that paths, folders and patterns of forecasts name, each once.
    ///
    /// # Errors
    /// A pattern that matches nothing, a folder without a forecast.
    pub fn forecast_named(patterns: Vec<PathBuf>) -> Result<Vec<PathBuf>> {
        Self { forecast: OneOrMore::More(patterns), ..Self::default() }.forecast_files()
    }

    /// Where polars are made for; none where the job does not say.
    fn chosen_regions(&self) -> Option<Regions> {
        let boxes = self.boxes.as_slice();
        match (&self.regions, self.tiles, &self.corridor) {
            (_, Some(size), _) => Some(Regions::Tiles(size)),
            (_, None, Some(corridor)) => Some(Regions::Corridor(corridor.clone())),
            (Some(file), None, None) => Some(Regions::File(file.clone())),
            (None, None, None) if !boxes.is_empty() => Some(Regions::Boxes(boxes.to_vec())),
            (None, None, None) => (self.split == Split::Auto).then_some(Regions::Tiles(DEFAULT_TILES)),
        }
    }

    /// Checks that nothing of what every job needs is missing besides some keys: all of it is told at once.
    fn check_there(&self, missing: impl Iterator<Item = &'static str>) -> Result<()> {
        let mut missing: Vec<&str> = missing.collect();
        if self.tally.is_none() {
            missing.extend(self.forecast.as_slice().is_empty().then_some("forecast"));
            missing.extend(self.chosen_regions().is_none().then_some("regions"));
        }
        if missing.is_empty() { Ok(()) } else { Err(self.missing(&missing)) }
    }

    fn forecast_files(&self) -> Result<Vec<PathBuf>> {
        let mut files: Vec<PathBuf> = Vec::new();
        for pattern in self.forecast.as_slice() {
            let matched = expand(pattern).map_err(|error| self.placed(error))?;
            files.extend(matched.into_iter().filter(|file| !files.contains(file)).collect::<Vec<_>>());
        }
        Ok(files)
    }

    fn missing(&self, keys: &[&str]) -> Error {
        let quoted = |key: &&str| format!("no \"{key}\"");
        let told = |key: &&str| match JOB_KEYS.key("", key) {
            Some(known) if *key != "regions" => {
                format!("{key} = {}, or the option {}: {}", known.usual, known.option, known.meaning)
            }
            _ => WAYS_TO_REGIONS.to_owned(),
        };
        self.placed(
            Error::new("the job is not complete")
                .found(keys.iter().map(quoted).collect::<Vec<_>>().join(", "))
                .expected(keys.iter().map(told).collect::<Vec<_>>().join("\n"))
                .remedy("add what is missing; paths are relative to the job file. `roughwater new` writes a whole job"),
        )
    }

    fn placed(&self, error: Error) -> Error {
        match &self.path {
            Some(path) => error.file(path),
            None => error,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::ModelChoices;
    use crate::files::TableFormat;
    use crate::job::choices::CellAudit;
    use crate::polar::{CsvOptions, TackChoice};

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
match_wind = false
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
        assert_eq!(job.match_wind, SeaChoice::All);
        assert_eq!(job.audit_format.as_slice(), [TableFormat::Parquet]);
        assert_eq!(job.cell_audit, CellAudit::Formats(vec![TableFormat::Csv, TableFormat::Parquet]));
        assert_eq!(job.tacks, TackChoice::Signed);
        assert_eq!(job.polar_csv.decimal, crate::polar::Decimal::Comma);
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
        assert_eq!((job.match_wind, job.cell_audit), (SeaChoice::WindMatched, CellAudit::IfSmall));
        assert_eq!(seas.regions, Regions::Tiles(TileSize { lat_deg: 5.0, lon_deg: 10.0 }));
        assert_eq!((job.polar_csv, job.model), (CsvOptions::default(), ModelChoices::default()));
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
