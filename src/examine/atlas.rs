//! An atlas.

use crate::atlas::axes::SystemAxes;
use crate::atlas::{Atlas, ErrorRow, file};
use crate::base::{Error, Result};
use serde::Serialize;
use std::path::Path;

/// An atlas.
#[derive(Debug, Clone, Serialize)]
pub struct AtlasReport {
    /// The boat's name.
    pub boat: String,
    /// SHA-256 of all that it was made from, hexadecimal.
    pub digest: String,
    /// How fine it is, by name.
    pub fineness: String,
    /// How long each cell was sailed through each swell, s; three times as long through each wind sea.
    pub sailed_s: f64,
    /// Whether both tacks were computed, as she differs by tack.
    pub both_sides: bool,
    /// True wind speeds of her polar, kn.
    pub tws_kn: Vec<f64>,
    /// True wind angles of her polar, degrees.
    pub twa_deg: Vec<f64>,
    /// Wind seas.
    pub wind_seas: AxesReport,
    /// Swells.
    pub swells: AxesReport,
    /// Seas that it was computed in.
    pub seas: usize,
    /// Numbers that it holds.
    pub numbers: usize,
    /// Size of the file.
    pub bytes: u64,
    /// How far it is from the direct way at random seas: by what these are made of, all together last.
    pub errors: Vec<ErrorRow>,
}

/// The systems of a kind.
#[derive(Debug, Clone, Serialize)]
pub struct AxesReport {
    /// Peak periods, s.
    pub tp_s: Vec<f64>,
    /// Greatest significant height at each, m.
    pub greatest_hs_m: Vec<f64>,
    /// Heights as parts of the greatest.
    pub height_parts: Vec<f64>,
    /// Angles between course and where the waves go, degrees.
    pub wave_angle_deg: Vec<f64>,
}

/// # Errors
/// A file that is no atlas, or not whole.
pub(super) fn atlas(path: &Path) -> Result<AtlasReport> {
    let bytes = std::fs::metadata(path).map_err(|error| Error::io("read the atlas", path, &error))?.len();
    let atlas = file::read(path)?;
    let numbers = atlas.numbers();
    let Atlas { boat, digest, fineness, sailed_s, both_sides, flat, tables, errors, .. } = atlas;
    Ok(AtlasReport {
        boat,
        digest,
        fineness,
        sailed_s,
        both_sides,
        tws_kn: flat.tws_kn().to_vec(),
        twa_deg: flat.twa_deg().to_vec(),
        seas: tables.iter().map(|table| table.axes.seas()).sum(),
        wind_seas: axes(&tables[0].axes),
        swells: axes(&tables[1].axes),
        numbers,
        bytes,
        errors,
    })
}

fn axes(axes: &SystemAxes) -> AxesReport {
    let SystemAxes { tp_s, greatest_hs_m, height_parts, wave_angle_deg, .. } = axes.clone();
    AxesReport { tp_s, greatest_hs_m, height_parts, wave_angle_deg }
}
