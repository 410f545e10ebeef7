//! The job that a result was made by, from its manifest.

use crate::base::{Alignment, Window, WindowLength};
use crate::base::{Error, Result};
use crate::boat::ModelChoices;
use crate::derate::SeaChoice;
use crate::files::OneOrMore;
use crate::forecast::MemberChoice;
use crate::job::{CellAudit, ForecastSeas, Job, Seas};
use crate::polar::{CsvOptions, TackChoice};
use crate::region::Regions;
use crate::result::folder::MANIFEST;
use crate::split::Group;
use crate::tally::TallySet;
use jiff::Timestamp;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// What a manifest says of the inputs and options of its result.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(super) struct Record {
    /// The input files.
    pub inputs: Vec<RecordedInput>,
    /// What was joined, if anything.
    #[serde(default)]
    pub joined: Vec<RecordedGroup>,
    options: Value,
}

/// Regions that were joined in a window.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(super) struct RecordedGroup {
    regions: Vec<String>,
    window_start: Timestamp,
    window_end: Timestamp,
}

impl RecordedGroup {
    /// The same regions and window of a set; none where it has no sea there.
    pub(super) fn of(&self, set: &TallySet) -> Option<Group> {
        Group::within(set, &self.regions, Window { start: self.window_start, end: self.window_end })
    }
}

/// An input as it was.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub(super) struct RecordedInput {
    /// What it served as.
    pub role: String,
    /// Its path.
    pub file: PathBuf,
    /// SHA-256 of its bytes.
    pub sha256: String,
}

impl Record {
    /// Reads the manifest of a result folder.
    ///
    /// # Errors
    /// No manifest there, or not one of this program.
    pub(super) fn read(result: &Path) -> Result<Self> {
        let path = result.join(MANIFEST);
        let bytes = std::fs::read(&path).map_err(|error| Error::io("read the manifest", &path, &error))?;
        serde_json::from_slice(&bytes).map_err(|error| {
            Error::new("the manifest does not say what the result was made from")
                .file(&path)
                .found(error)
                .remedy("name a result of derate, or make it again")
        })
    }

    /// The job with the options that were in force.
    ///
    /// # Errors
    /// An option that is missing or not understood.
    pub(super) fn job(&self, result: &Path) -> Result<Job> {
        let told = |error: Error| error.file(&result.join(MANIFEST));
        let seas = match self.files("tally").pop() {
            Some(tally) => Seas::Tally(tally),
            None => Seas::Forecast(ForecastSeas {
                files: self.files("forecast"),
                regions: self.option::<Regions>("regions").map_err(told)?,
                window: self.option::<WindowLength>("window").map_err(told)?,
                window_alignment: self.option::<Alignment>("window_alignment").map_err(told)?,
                members: MemberChoice::Together,
            }),
        };
        let file = |role: &str| {
            self.files(role).pop().ok_or_else(|| told(Error::new(format!("the manifest names no {role}"))))
        };
        Ok(Job {
            boat: file("boat")?,
            polar: file("polar")?,
            seas,
            match_wind: Some(self.option::<SeaChoice>("seas_of_a_wind_column").map_err(told)?),
            split_error_kn: self.split_error_kn().map_err(told)?,
            cell_audit: CellAudit::Formats(Vec::new()),
            audit_format: OneOrMore::default(),
            output: result.to_owned(),
            tacks: TackChoice::default(),
            polar_csv: CsvOptions::default(),
            model: self.option::<ModelChoices>("model").map_err(told)?,
        })
    }

    /// The error that regions were joined within, if they were, kn.
    ///
    /// # Errors
    /// As [`Record::job`].
    pub(super) fn split_error_kn(&self) -> Result<Option<f64>> {
        self.option("split_error_kn")
    }

    fn files(&self, role: &str) -> Vec<PathBuf> {
        self.inputs.iter().filter(|input| input.role == role).map(|input| input.file.clone()).collect()
    }

    fn option<T: DeserializeOwned>(&self, name: &str) -> Result<T> {
        let value = self.options.get(name).cloned().unwrap_or(Value::Null);
        serde_json::from_value(value.clone()).map_err(|_| {
            Error::new(format!("the manifest's option \"{name}\" is missing or not understood"))
                .found(value)
                .remedy("name the job file instead of the result, or make the result again with this version")
        })
    }
}
