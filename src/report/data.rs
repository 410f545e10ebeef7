//! The report: one page that shows a result offline. The result folder's files go in, the bytes of the page come out.

use crate::base::neutral::shown;
use crate::base::{Error, Result};
use crate::report::audit;
use crate::report::audit::Audit;
use crate::report::cells;
use crate::report::page;
use crate::result::{Index, IndexedRegion, TimedPoint, TimedTrack};
use crate::result::{found, manifest, names};
use geojson::Geometry;
use serde::Serialize;
use serde_json::{Value, json};
use std::path::Path;

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
    let manifest = manifest::as_it_stands(result)?;
    let index = Index::read(result)?;
    let audit = audit::read(&found::needed(result, names::AUDIT)?)?;
    let cells = match found::optional(result, names::CELLS) {
        Some(path) => cells::read(&path, &audit)?,
        None => Value::Null,
    };
    let data = Data {
        manifest,
        regions: index.regions().iter().map(outlined).collect(),
        audit,
        cells,
        sailed: sailed.map(sailed_json),
    };
    let data = serde_json::to_value(&data).and_then(|data| serde_json::to_string(&neutral(data)));
    let data = data.map_err(|error| Error::new(format!("cannot write the report's data: {error}")))?;
    Ok(page::with_data(&data).into_bytes())
}

/// Texts from files as a page may show them.
fn neutral(value: Value) -> Value {
    match value {
        Value::String(text) => Value::String(shown(&text).into_owned()),
        Value::Array(items) => items.into_iter().map(neutral).collect(),
        Value::Object(members) => members.into_iter().map(|(key, value)| (key, neutral(value))).collect(),
        other => other,
    }
}

/// What the page shows.
#[derive(Serialize)]
struct Data {
    manifest: Value,
    regions: Vec<OutlinedRegion>,
    audit: Audit,
    cells: Value,
    sailed: Option<Value>,
}

/// A region as it is drawn.
#[derive(Serialize)]
struct OutlinedRegion {
    name: String,
    outline: Geometry,
}

fn outlined(region: &IndexedRegion) -> OutlinedRegion {
    OutlinedRegion { name: region.name.clone(), outline: region.outline() }
}

fn sailed_json(sailed: &Sailed) -> Value {
    let point = |point: &TimedPoint| json!([point.place.x(), point.place.y(), point.time.as_millisecond()]);
    let track = |track: &TimedTrack| json!({"name": track.name, "points": track.points.iter().map(point).collect::<Vec<_>>()});
    json!({"file": sailed.file, "tracks": sailed.tracks.iter().map(track).collect::<Vec<_>>()})
}
