//! The manifest's file: JSON, marked as this program's.

use crate::base::neutral::shown_json;
use crate::base::{Error, Result};
use crate::files::text_file;
use crate::result::found;
use crate::result::manifest::contents::Manifest;
use crate::result::names::MANIFEST;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::path::Path;

/// The name of the program in the manifest; no folder without it is ever replaced.
pub const PROGRAM: &str = "roughwater";

#[derive(Serialize)]
struct Marked<'a> {
    program: &'a str,
    version: &'a str,
    caution: &'a str,
    #[serde(flatten)]
    manifest: &'a Manifest,
}

#[derive(Deserialize)]
struct Mark {
    program: String,
}

/// Whether a folder holds a manifest of this program.
pub fn is_marked(folder: &Path) -> bool {
    let bytes = std::fs::read(folder.join(MANIFEST)).ok();
    let mark = bytes.and_then(|bytes| serde_json::from_slice::<Mark>(&bytes).ok());
    mark.is_some_and(|mark| mark.program == PROGRAM)
}

/// The manifest of a result folder, whatever it holds, for what shows all of it.
///
/// # Errors
/// None there; text that is not JSON.
pub fn as_it_stands(folder: &Path) -> Result<Value> {
    let path = found::needed(folder, MANIFEST)?;
    let bytes = std::fs::read(&path).map_err(|error| Error::io("read the file", &path, &error))?;
    serde_json::from_slice(&bytes).map_err(|error| {
        Error::new("the file cannot be read as JSON")
            .file(&path)
            .at(format!("line {}, column {}", error.line(), error.column()))
            .found(error)
            .expected("JSON as derate wrote it")
            .remedy("make the result again with derate")
    })
}

impl Manifest {
    /// The manifest as JSON, marked as this program's.
    ///
    /// # Errors
    /// When it cannot be written as JSON, or holds what is no number, which is a fault of the program.
    pub fn to_bytes(&self) -> Result<Vec<u8>> {
        let marked = Marked {
            program: PROGRAM,
            version: env!("CARGO_PKG_VERSION"),
            caution: crate::CAUTION,
            manifest: self,
        };
        let text = serde_json::to_string_pretty(&marked)
            .map_err(|error| Error::new(format!("cannot write the manifest: {error}")))?;
        // JSON has no not-a-number: it would be written as null, which no reader takes for a number
        if let Err(error) = serde_json::from_str::<Self>(&text) {
            return Err(Error::fault("the manifest would not be read again").found(error));
        }
        Ok(format!("{}\n", shown_json(&text)).into_bytes())
    }

    /// Reads the manifest of a result folder.
    ///
    /// # Errors
    /// No manifest there, or not one that this version reads.
    pub fn read(folder: &Path) -> Result<Self> {
        let path = folder.join(MANIFEST);
        let text = text_file::read(&path).map_err(|error| {
            if path.is_file() {
                error
            } else {
                error.remedy("name a folder that derate wrote, or a job file")
            }
        })?;
        serde_json::from_str(&text).map_err(|error| {
            Error::new("the manifest does not say what the result was made from and with")
                .file(&path)
                .found(error)
                .expected(format!("{MANIFEST} as derate writes it"))
                .remedy("make the result again with this version")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::{Alignment, WindowLength};
    use crate::boat::ModelChoices;
    use crate::derate::SeaChoice;
    use crate::files::{OneOrMore, TableFormat};
    use crate::forecast::MemberChoice;
    use crate::polar::{CsvOptions, TackChoice};
    use crate::region::{Regions, TileSize};
    use crate::result::manifest::contents::{AdvisoryLimits, Counts, PartSea};
    use crate::result::manifest::input::{Input, InputRole};
    use crate::result::manifest::options::ManifestOptions;
    use crate::split::ErrorLeft;
    use crate::tally::Bins;

    fn inputs() -> Vec<Input> {
        let input = |role: InputRole| Input { role, file: role.name().into(), bytes: 1, sha256: "00".into() };
        InputRole::ALL.map(input).into()
    }

    fn options() -> ManifestOptions {
        ManifestOptions {
            window: Some(WindowLength::All),
            window_alignment: Some(Alignment::FirstStep),
            members: Some(MemberChoice::Each),
            regions: Some(Regions::Tiles(TileSize { lat_deg: 2.5, lon_deg: 5.0 })),
            tallied_forecasts: None,
            seas_of_a_wind_column: SeaChoice::WindMatched,
            split_error_kn: Some(0.2),
            audit_format: OneOrMore::More(vec![TableFormat::Parquet]),
            cell_audit: vec![TableFormat::Csv],
            tacks: TackChoice::Signed,
            polar_csv: CsvOptions::default(),
            model: ModelChoices::default(),
            tally_bins: Bins::default(),
            atlas: None,
        }
    }

    fn manifest() -> Manifest {
        let start = "2030-03-01T00:00:00Z".parse().unwrap();
        let left = ErrorLeft {
            region: "a".into(),
            window_start: start,
            window_end: "2030-03-01T06:00:00Z".parse().unwrap(),
            regions: vec!["a".into(), "b".into()],
            parts: 2,
            rms_kn: 0.1,
            furthest_part_rms_kn: 0.2,
            largest_kn: 0.3,
            all_columns_rms_kn: 0.4,
            all_columns_largest_kn: 0.5,
        };
        let counts = Counts {
            forecast_steps: 1,
            ensemble_members: 2,
            windows: 3,
            polars: 4,
            sea_states: 5,
            tally_bins: 6,
            cell_audit_rows: 7,
        };
        Manifest {
            inputs: inputs(),
            options: options(),
            boat_flags: vec!["snnm-clamped".to_owned()],
            counts,
            joined: vec![left],
            warnings: vec!["w".into()],
            gaps: Vec::new(),
            model: vec!["m".into()],
            boat_name: "b".into(),
            forecast_runs: vec![start],
            advisory_limits: Some(AdvisoryLimits {
                source: "s".into(),
                bow_acceleration_rms_g: 0.1,
                slam_share: 0.2,
                wetness_share: 0.3,
            }),
            seas: vec![PartSea {
                region: "a".into(),
                window_start: start,
                window_end: start,
                hs_m: 1.5,
                tws_p10_kn: 8.0,
                tws_p90_kn: 12.5,
            }],
        }
    }

    #[test]
    fn what_is_written_is_read() {
        let folder = tempfile::tempdir().unwrap();
        assert!(!is_marked(folder.path()));
        std::fs::write(folder.path().join(MANIFEST), manifest().to_bytes().unwrap()).unwrap();
        assert!(is_marked(folder.path()));
        assert_eq!(Manifest::read(folder.path()).unwrap(), manifest());
    }

    #[test]
    fn what_is_no_number_is_not_written() {
        let mut manifest = manifest();
        manifest.joined[0].rms_kn = f64::NAN;
        let error = manifest.to_bytes().unwrap_err().to_string();
        assert!(error.contains("null") && error.contains("fault of the program"), "{error}");
    }

    #[test]
    fn a_manifest_of_something_else_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let error = Manifest::read(folder.path()).unwrap_err().to_string();
        assert!(error.contains("or a job file"), "{error}");
        std::fs::write(folder.path().join(MANIFEST), "{\"program\": \"roughwater\"}").unwrap();
        let error = Manifest::read(folder.path()).unwrap_err().to_string();
        assert!(error.contains("missing field `inputs`") && error.contains("remedy"), "{error}");
    }
}
