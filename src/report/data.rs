//! The report: one page that shows a result offline. The result folder's files go in, the bytes of the page come out.

use crate::base::neutral::shown;
use crate::base::{Error, Flag, Flags, Result};
use crate::derate::point_of_sailing::POINTS_OF_SAILING_DEG;
use crate::explain::flag_words;
use crate::polar::Polar;
use crate::report::atlas_of_page::AtlasOfPage;
use crate::report::audit;
use crate::report::audit::Audit;
use crate::report::cells;
use crate::report::numbers::Short;
use crate::report::page;
use crate::result::{Index, IndexEntry, IndexedRegion, TimedPoint, TimedTrack};
use crate::result::{found, manifest, names};
use geojson::Geometry;
use serde::Serialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::Path;

/// Tracks sailed, to be drawn on the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Sailed {
    /// The file they come from.
    pub file: String,
    /// A name, and places with times, of each.
    pub tracks: Vec<TimedTrack>,
}

/// What a page holds besides a result.
#[derive(Debug, Clone, Copy)]
pub struct Around<'a> {
    /// The way from the page's folder to the result's, for links.
    pub way: &'a Path,
    /// A passage to be drawn on the map.
    pub sailed: Option<&'a Sailed>,
    /// The boat's atlas, from which the page computes any sea.
    pub atlas: Option<&'a AtlasOfPage>,
    /// Where the atlas would make the page too large, the name of a page beside it that holds it.
    pub what_if: Option<&'a str>,
}

impl Around<'_> {
    /// Nothing besides a result that the page lies in.
    pub fn nothing() -> Self {
        Self { way: Path::new("."), sailed: None, atlas: None, what_if: None }
    }
}

/// The page of a result folder, from its `audit.csv`, `index.geojson` with the polars that it names, `manifest.json` and, where
/// it is there, `cells.csv`. Equal files give equal bytes.
///
/// # Errors
/// A folder that is no result; a file in it that cannot be read.
pub fn to_bytes(result: &Path, around: &Around) -> Result<Vec<u8>> {
    let manifest = manifest::as_it_stands(result)?;
    let index = Index::read(result)?;
    let audit = audit::read(&found::needed(result, names::AUDIT)?)?;
    let cells = match found::optional(result, names::CELLS) {
        Some(path) => cells::read(&path, &audit)?,
        None => Value::Null,
    };
    let data = Data {
        folder: linked(around.way),
        manifest,
        regions: index.regions().iter().map(|region| outlined(&index, region)).collect::<Result<_>>()?,
        audit,
        cells,
        sailed: around.sailed.map(sailed_json),
        what_if: around.what_if,
        points_of_sailing_deg: POINTS_OF_SAILING_DEG,
        flags: Flags::all().iter().map(in_words).collect(),
    };
    let data = serde_json::to_value(&data).and_then(|data| serde_json::to_string(&neutral(data)));
    let data = data.map_err(|error| Error::new(format!("cannot write the report's data: {error}")))?;
    Ok(page::with_data(&data, around.atlas).into_bytes())
}

/// A path with `/` between folders, whatever the system.
fn linked(way: &Path) -> String {
    way.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/")
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
struct Data<'a> {
    /// The way from the page to the result.
    folder: String,
    manifest: Value,
    regions: Vec<OutlinedRegion>,
    audit: Audit,
    cells: Value,
    sailed: Option<Value>,
    /// The page beside this one that holds the atlas.
    what_if: Option<&'a str>,
    points_of_sailing_deg: [f64; 2],
    flags: BTreeMap<&'static str, FlagInWords>,
}

/// A region as it is drawn.
#[derive(Serialize)]
struct OutlinedRegion {
    name: String,
    outline: Geometry,
    polars: Vec<ServedPolar>,
}

/// A polar file of a region, with what stands in it.
#[derive(Serialize)]
struct ServedPolar {
    #[serde(flatten)]
    entry: IndexEntry,
    tws_kn: Vec<Short>,
    twa_deg: Vec<Short>,
    /// Row by row.
    speeds_kn: Vec<Short>,
}

/// A reservation for readers.
#[derive(Serialize)]
struct FlagInWords {
    meaning: &'static str,
    to_do: &'static str,
}

fn outlined(index: &Index, region: &IndexedRegion) -> Result<OutlinedRegion> {
    let polars = region.polars.iter().map(|entry| served(index, entry)).collect::<Result<_>>()?;
    Ok(OutlinedRegion { name: region.name.clone(), outline: region.outline(), polars })
}

fn served(index: &Index, entry: &IndexEntry) -> Result<ServedPolar> {
    let polar = Polar::read(&index.path(entry))?;
    let short = |values: &[f64]| values.iter().copied().map(Short).collect();
    Ok(ServedPolar {
        entry: entry.clone(),
        tws_kn: short(polar.tws_kn()),
        twa_deg: short(polar.twa_deg()),
        speeds_kn: short(polar.speeds_kn()),
    })
}

fn in_words(flag: Flag) -> (&'static str, FlagInWords) {
    (flag.name(), FlagInWords { meaning: flag_words::meaning(flag), to_do: flag_words::what_to_do(flag) })
}

fn sailed_json(sailed: &Sailed) -> Value {
    let point = |point: &TimedPoint| json!([point.place.x(), point.place.y(), point.time.as_millisecond()]);
    let track = |track: &TimedTrack| json!({"name": track.name, "points": track.points.iter().map(point).collect::<Vec<_>>()});
    json!({"file": sailed.file, "tracks": sailed.tracks.iter().map(track).collect::<Vec<_>>()})
}
