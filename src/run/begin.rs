//! A working job from a few figures of a boat: boat file, polar and job file in one folder.

use crate::balance::{BoatTables, own_speeds};
use crate::base::units::{G, kn_to_m_s, m_s_to_kn};
use crate::base::{Error, Result};
use crate::boat::outline::{Figure, Outline};
use crate::boat::{Boat, BoatModel, cache};
use crate::files::{relative, whole_file};
use crate::forecast::Forecast;
use crate::hydro::response::Method;
use crate::job::JobFile;
use crate::polar::{CsvOptions, Polar, csv_write};
use crate::region::BoxDeg;
use std::path::PathBuf;

/// Winds and angles of the polar, as crews tabulate them (common practice, no source).
const TWS_KN: [f64; 10] = [4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 20.0, 25.0, 30.0];
const TWA_DEG: [f64; 14] =
    [40.0, 45.0, 52.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 135.0, 150.0, 165.0, 180.0];

/// Share of the sails' best thrust that a crew gets (common practice, no source).
const CREW_SHARE: f64 = 0.95;

/// A forecast that spans no more is one region; a larger one is cut into tiles, degrees (common practice, no source).
const ONE_REGION_DEG: (f64, f64) = (15.0, 30.0);

/// What a new job is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Beginning {
    /// The boat.
    pub outline: Outline,
    /// The folder of the job.
    pub folder: PathBuf,
    /// Forecast files, folders or patterns; empty for whatever forecasts lie in the folder.
    pub forecast: Vec<PathBuf>,
    /// Boxes that polars are made for; empty for the forecast's extent.
    pub boxes: Vec<BoxDeg>,
}

/// What was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Begun {
    /// The files.
    pub files: Vec<PathBuf>,
    /// The boat's figures, given and estimated.
    pub figures: Vec<Figure>,
    /// Where the regions come from, in words.
    pub regions: String,
}

impl Beginning {
    /// Writes boat file, polar and job file.
    ///
    /// # Errors
    /// Files of these names that are there already; figures that make no boat; a forecast that cannot be read.
    pub fn write(&self) -> Result<Begun> {
        let files = ["boat.toml", "polar.csv", "job.toml"].map(|name| self.folder.join(name));
        if let Some(there) = files.iter().find(|file| file.exists()) {
            return Err(Error::new("a file of the new job is there already")
                .file(there)
                .expected("a folder without boat.toml, polar.csv and job.toml")
                .remedy("name another folder, or move the file away"));
        }
        let [boat, polar, job] = &files;
        let figures = self.outline.figures()?;
        let boat_text = self.outline.boat_toml(boat)?;
        let regions = self.regions()?;
        let polar_text = polar_csv(&Boat::parse(&boat_text, boat)?)?;
        let job_text = self.job_toml(&regions);
        std::fs::create_dir_all(&self.folder)
            .map_err(|error| Error::io("create the folder", &self.folder, &error))?;
        whole_file::write("the boat file", boat, boat_text.as_bytes())?;
        whole_file::write("the polar", polar, polar_text.as_bytes())?;
        whole_file::write("the job", job, job_text.as_bytes())?;
        Ok(Begun { files: files.into(), figures, regions: regions.told })
    }

    fn regions(&self) -> Result<JobRegions> {
        if !self.boxes.is_empty() {
            let told =
                format!("{} box{} as given", self.boxes.len(), if self.boxes.len() == 1 { "" } else { "es" });
            return Ok(JobRegions { line: box_line(&self.boxes), told });
        }
        let Some(extent) = self.extent()? else {
            let line = "tiles = { lat_deg = 5, lon_deg = 10 }".to_owned();
            return Ok(JobRegions {
                line,
                told: "tiles of 5 x 10 degrees over the forecast, as none is there yet".to_owned(),
            });
        };
        let [south, west, north, east] = extent.into();
        if north - south <= ONE_REGION_DEG.0 && east - west <= ONE_REGION_DEG.1 {
            return Ok(JobRegions {
                line: box_line(&[extent]),
                told: "the forecast's extent, as one box".to_owned(),
            });
        }
        let line = "tiles = { lat_deg = 10, lon_deg = 20 }".to_owned();
        Ok(JobRegions { line, told: "tiles of 10 x 20 degrees, since the forecast is wide".to_owned() })
    }

    /// What the forecast spans, where there is one.
    fn extent(&self) -> Result<Option<BoxDeg>> {
        let forecast =
            if self.forecast.is_empty() { vec![self.folder.clone()] } else { self.forecast.clone() };
        let files = JobFile::forecast_named(forecast);
        if files.is_err() && self.forecast.is_empty() {
            return Ok(None);
        }
        let forecast = Forecast::open(&files?)?;
        Ok(forecast.steps().first().map(|step| {
            let grid = step.grid.summary();
            BoxDeg { south: grid.south_deg, west: grid.west_deg, north: grid.north_deg, east: grid.east_deg }
        }))
    }

    fn job_toml(&self, regions: &JobRegions) -> String {
        let quoted = |path: &PathBuf| format!("{:?}", relative(path, &self.folder).display().to_string());
        let forecast = match self.forecast.as_slice() {
            [] => "\".\"".to_owned(),
            [one] => quoted(one),
            several => format!("[{}]", several.iter().map(quoted).collect::<Vec<_>>().join(", ")),
        };
        format!(
            "# A job: run it with `roughwater derate job.toml`. Paths are relative to this file; every key can be given as an\n\
             # option too. `roughwater explain-key job` tells all keys.\n\
             boat = \"boat.toml\"\n\
             polar = \"polar.csv\"\n\n\
             # files, folders or patterns such as \"*.grib2\"\n\
             forecast = {forecast}\n\n\
             # where polars are made for; in its place: regions = \"regions.geojson\" (polygons of your own),\n\
             # box = [40, -20, 50, -5] (south, west, north, east), tiles, a corridor along a track\n\
             {}\n\n\
             window = \"6h\"      # length of the time windows; \"1d\", or \"all\" for one\n\
             tacks = \"mean\"     # or \"signed\" for both tacks apart\n\
             output = \"out\"     # the result's folder\n",
            regions.line
        )
    }
}

struct JobRegions {
    line: String,
    told: String,
}

fn box_line(boxes: &[BoxDeg]) -> String {
    let one = |sides: &BoxDeg| {
        let BoxDeg { south, west, north, east } = sides;
        format!("[{south}, {west}, {north}, {east}]")
    };
    match boxes {
        [sides] => format!("box = {}", one(sides)),
        several => format!("box = [{}]", several.iter().map(one).collect::<Vec<_>>().join(", ")),
    }
}

/// A polar in which the boat's own sails balance her own resistance, marked as the estimate that it is.
fn polar_csv(boat: &Boat) -> Result<String> {
    let polar = own_polar(boat)?;
    let table = csv_write::to_bytes(&polar, &CsvOptions::default())?;
    Ok(format!(
        "# An estimate, not her polar: {CREW_SHARE} of the sails' best thrust against the flat-water resistance of {},\n\
         # averaged with its neighbours.\n\
         # Put her own in its place: TWS in knots in the first row, TWA in degrees in the first column, speeds in knots.\n{}",
        boat.name.replace('\n', " "),
        String::from_utf8_lossy(&table)
    ))
}

fn own_polar(boat: &Boat) -> Result<Polar> {
    let model = BoatModel::new(boat.clone(), Method::default(), None)?;
    // beyond what any such boat makes: Froude number 1.2, or 1.8 on foils
    let froude = if model.foils.is_some() { 1.8 } else { 1.2 };
    let top_m_s = kn_to_m_s(m_s_to_kn(froude * (G * model.hydrostatics.lwl_m).sqrt()).ceil());
    let responses = cache::response_table(&model, top_m_s);
    let tables = BoatTables::with_responses(model, responses, top_m_s);
    let mut speeds = Vec::with_capacity(TWS_KN.len() * TWA_DEG.len());
    for twa_deg in TWA_DEG {
        for tws_kn in TWS_KN {
            let held = own_speeds(&tables, kn_to_m_s(tws_kn), twa_deg, CREW_SHARE, false)?;
            speeds.push(held.last().copied().map_or(0.0, m_s_to_kn));
        }
    }
    let speeds = smoothed(&speeds, TWS_KN.len(), 1);
    let speeds = smoothed(&speeds, TWS_KN.len(), TWS_KN.len());
    Polar::new(
        TWS_KN.into(),
        TWA_DEG.into(),
        speeds.iter().map(|speed| (speed * 100.0).round() / 100.0).collect(),
    )
}

/// Each speed of a table averaged with its neighbours `step` places before and behind it, weights 1 2 1; the rim keeps its own.
fn smoothed(speeds: &[f64], width: usize, step: usize) -> Vec<f64> {
    let along_row = step == 1;
    let mean = |i: usize| {
        let rim = if along_row {
            i % width == 0 || i % width == width - 1
        } else {
            i < width || i + width >= speeds.len()
        };
        if rim { speeds[i] } else { 0.25 * speeds[i - step] + 0.5 * speeds[i] + 0.25 * speeds[i + step] }
    };
    (0..speeds.len()).map(mean).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: (1 + 2 x 3 + 8)/4 = 3.75 along the row; (2 + 2 x 3 + 5)/4 = 3.25 down the column.
    #[test]
    fn smoothing_keeps_the_rim() {
        let table = [1.0, 2.0, 4.0, 1.0, 3.0, 8.0, 0.0, 5.0, 9.0];
        assert_eq!(smoothed(&table, 3, 1)[3..6], [1.0, 3.75, 8.0]);
        let down = smoothed(&table, 3, 3);
        assert_eq!((down[1], down[4], down[7]), (2.0, 3.25, 5.0));
    }
}
