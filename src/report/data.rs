//! The report: one page that shows a result offline. The result folder's files go in, the bytes of the page come out.

use crate::base::{Error, Result};
use crate::report::audit;
use crate::report::audit::Audit;
use crate::report::cells;
use crate::report::folder;
use crate::report::page;
use crate::result::{TimedPoint, TimedTrack};
use serde::Serialize;
use serde_json::{Value, json};
use std::path::Path;

/// The page's name in a result folder.
pub const REPORT: &str = "report.html";

/// Tracks sailed, to be drawn on the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Sailed {
    /// The file they come from.
    pub file: String,
    /// A name, and places with times, of each.
    pub tracks: Vec<TimedTrack>,
}

/// The page of a result folder, from its `audit.csv`, `index.geojson`, `manifest.json` and, where it is there,
/// `cells.csv`. Equal files give equal bytes.
///
/// # Errors
/// A folder that is no result; a file in it that cannot be read.
pub fn to_bytes(result: &Path, sailed: Option<&Sailed>) -> Result<Vec<u8>> {
    let manifest = folder::json(result, "manifest.json")?;
    let index = folder::json(result, "index.geojson")?;
    let audit = audit::read(&folder::file(result, "audit.csv")?)?;
    let cells = match folder::optional_file(result, "cells.csv") {
        Some(path) => cells::read(&path, &audit)?,
        None => Value::Null,
    };
    let data = Data { manifest, regions: regions(&index), audit, cells, sailed: sailed.map(sailed_json) };
    let data = serde_json::to_string(&data)
        .map_err(|error| Error::new(format!("cannot write the report's data: {error}")))?;
    Ok(page::with_data(&data).into_bytes())
}

/// What the page shows.
#[derive(Serialize)]
pub(super) struct Data {
    manifest: Value,
    regions: Value,
    audit: Audit,
    cells: Value,
    sailed: Option<Value>,
}

pub(super) fn sailed_json(sailed: &Sailed) -> Value {
    let point = |point: &TimedPoint| json!([point.place.x(), point.place.y(), point.time.as_millisecond()]);
    let track = |track: &TimedTrack| json!({"name": track.name, "points": track.points.iter().map(point).collect::<Vec<_>>()});
    json!({"file": sailed.file, "tracks": sailed.tracks.iter().map(track).collect::<Vec<_>>()})
}

/// Names and outlines of the index.
pub(super) fn regions(index: &Value) -> Value {
    let features = index["features"].as_array().map(Vec::as_slice).unwrap_or_default();
    let region =
        |feature: &Value| json!({"name": feature["properties"]["name"], "outline": feature["geometry"]});
    features.iter().map(region).collect()
}
