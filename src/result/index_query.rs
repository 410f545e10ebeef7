//! Which polar file of a result serves a place and a time, by the result's index.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::polar::{Lookup, Polar, TackChoice};
use crate::result::index::Entry;
use geo::{Intersects, MultiPolygon, Point};
use geojson::{Feature, FeatureCollection, GeoJson};
use jiff::Timestamp;
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// The index of a result.
#[derive(Debug, Clone, PartialEq)]
pub struct Index {
    folder: PathBuf,
    regions: Vec<IndexedRegion>,
}

/// A region of an index.
#[derive(Debug, Clone, PartialEq)]
pub struct IndexedRegion {
    /// The name.
    pub name: String,
    /// The area, degrees.
    pub area: MultiPolygon,
    /// Windows and files, those of single ensemble members left out.
    pub polars: Vec<Entry>,
}

/// A file that serves a place and a time.
#[derive(Debug, Clone, PartialEq)]
pub struct Serving {
    /// The region.
    pub region: String,
    /// The window, half-open.
    pub window: Window,
    /// The tacks in the file.
    pub tacks: TackChoice,
    /// The file, with the folder of the result before it.
    pub file: PathBuf,
}

/// What serves a place and a time.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// One file, or several where regions overlap or meet.
    Served(Vec<Serving>),
    /// Nothing, and why.
    None(String),
}

/// The properties of an indexed region, as the index names them.
#[derive(Deserialize)]
struct Properties {
    name: String,
    polars: Vec<Polars>,
}

#[derive(Deserialize)]
struct Polars {
    start: Timestamp,
    end: Timestamp,
    tacks: TackChoice,
    member: Option<u32>,
    file: String,
}

impl Index {
    /// Reads `index.geojson` of a result folder.
    ///
    /// # Errors
    /// No index there, or one that is not of the form derate writes.
    pub fn read(folder: &Path) -> Result<Self> {
        let path = folder.join("index.geojson");
        if !path.is_file() {
            return Err(Error::new("the folder holds no index")
                .file(folder)
                .expected("a result of derate, with index.geojson in it")
                .remedy("name the folder that the job's key \"output\" names"));
        }
        let text = crate::files::text_file::read(&path)?;
        let regions = parse(&text).map_err(|error| error.file(&path))?;
        Ok(Self { folder: folder.to_owned(), regions })
    }

    /// The regions, in the order of the index.
    pub fn regions(&self) -> &[IndexedRegion] {
        &self.regions
    }

    /// The path of a file that the index names.
    pub fn path(&self, entry: &Entry) -> PathBuf {
        self.folder.join(&entry.file)
    }

    /// What serves a place and a time. Longitudes may run from -180 to 180 or from 0 to 360; a border belongs to both
    /// sides, a window's start to the window and its end to the next.
    pub fn lookup(&self, lat_deg: f64, lon_deg: f64, time: Timestamp) -> Answer {
        let here: Vec<&IndexedRegion> =
            self.regions.iter().filter(|region| region.holds(lat_deg, lon_deg)).collect();
        let served: Vec<Serving> = here.iter().flat_map(|region| self.serving(region, time)).collect();
        if !served.is_empty() {
            return Answer::Served(served);
        }
        let names = |regions: &[&IndexedRegion]| {
            regions.iter().map(|region| region.name.as_str()).collect::<Vec<_>>().join(", ")
        };
        Answer::None(if here.is_empty() {
            let all: Vec<&IndexedRegion> = self.regions.iter().take(12).collect();
            format!("the place lies in none of the {} regions ({})", self.regions.len(), names(&all))
        } else {
            format!(
                "the place lies in {}, but no window there holds the time: {}",
                names(&here),
                spans(&here)
            )
        })
    }

    fn serving(&self, region: &IndexedRegion, time: Timestamp) -> Vec<Serving> {
        let now = region.polars.iter().filter(|entry| entry.window.start <= time && time < entry.window.end);
        now.map(|entry| Serving {
            region: region.name.clone(),
            window: entry.window,
            tacks: entry.tacks,
            file: self.folder.join(&entry.file),
        })
        .collect()
    }
}

/// From when to when the windows of regions run.
fn spans(regions: &[&IndexedRegion]) -> String {
    let windows = || regions.iter().flat_map(|region| region.polars.iter().map(|entry| entry.window));
    match (windows().map(|window| window.start).min(), windows().map(|window| window.end).max()) {
        (Some(start), Some(end)) => {
            format!("{} windows from {start} up to, not including, {end}", windows().count())
        }
        _ => "there are none".to_owned(),
    }
}

impl IndexedRegion {
    /// Whether a place lies within, or on the border; longitudes may run on by a turn.
    pub fn holds(&self, lat_deg: f64, lon_deg: f64) -> bool {
        [-360.0, 0.0, 360.0].iter().any(|turn| self.area.intersects(&Point::new(lon_deg + turn, lat_deg)))
    }
}

impl Serving {
    /// The file's speed in one wind, kn; `twa_deg` positive on starboard tack.
    ///
    /// # Errors
    /// A file that cannot be read, a tack that it does not hold, a wind outside its table.
    pub fn speed_kn(&self, tws_kn: f64, twa_deg: f64) -> Result<f64> {
        let other_tack = match self.tacks {
            TackChoice::Starboard => twa_deg < 0.0,
            TackChoice::Port => twa_deg > 0.0 && twa_deg < 180.0,
            TackChoice::Mean | TackChoice::Slower | TackChoice::Signed => false,
        };
        if other_tack {
            return Err(Error::new("the polar does not hold this tack")
                .file(&self.file)
                .found(format!("TWA {twa_deg}, positive on starboard tack"))
                .expected(format!("{} tack", if twa_deg < 0.0 { "starboard" } else { "port" }))
                .remedy("change the sign, or make the result with --tacks signed"));
        }
        let polar = Polar::read(&self.file)?;
        match polar.speed_kn(tws_kn, twa_deg) {
            Lookup::Inside(speed_kn) => Ok(speed_kn),
            Lookup::Outside(_) => Err(outside(&polar, tws_kn, twa_deg).file(&self.file)),
        }
    }
}

fn outside(polar: &Polar, tws_kn: f64, twa_deg: f64) -> Error {
    let ends = |axis: &[f64]| match axis {
        [first, .., last] => format!("{first} to {last}"),
        _ => String::new(),
    };
    Error::new("the wind lies outside the polar")
        .found(format!("TWS {tws_kn} kn, TWA {twa_deg}"))
        .expected(format!("TWS {} kn, TWA {}", ends(polar.tws_kn()), ends(polar.twa_deg())))
        .remedy("give a wind within; nothing is extrapolated")
}

fn parse(text: &str) -> Result<Vec<IndexedRegion>> {
    let wrong = |found: String| {
        Error::new("the index cannot be read")
            .found(found)
            .expected("a FeatureCollection of regions with \"name\" and \"polars\", as derate writes it")
            .remedy("make the result again with derate")
    };
    let collection = match text.parse::<GeoJson>() {
        Ok(GeoJson::FeatureCollection(FeatureCollection { features, .. })) => features,
        Ok(_) => return Err(wrong("GeoJSON that is no FeatureCollection".to_owned())),
        Err(error) => return Err(wrong(error.to_string())),
    };
    let regions = collection.into_iter().enumerate();
    regions
        .map(|(i, feature)| region(feature).map_err(|found| wrong(found).at(format!("feature {}", i + 1))))
        .collect()
}

fn region(feature: Feature) -> std::result::Result<IndexedRegion, String> {
    let properties = serde_json::Value::Object(feature.properties.unwrap_or_default());
    let Properties { name, polars } =
        serde_json::from_value(properties).map_err(|error| error.to_string())?;
    let geometry = feature.geometry.ok_or("no geometry")?;
    let geometry: geo::Geometry =
        geometry.value.try_into().map_err(|error: geojson::Error| error.to_string())?;
    let area = match geometry {
        geo::Geometry::MultiPolygon(area) => area,
        geo::Geometry::Polygon(polygon) => MultiPolygon(vec![polygon]),
        _ => return Err("a geometry that is no polygon".to_owned()),
    };
    let entry = |polar: Polars| Entry {
        window: Window { start: polar.start, end: polar.end },
        tacks: polar.tacks,
        member: polar.member,
        file: polar.file,
    };
    // what serves a place is the forecast as a whole, not one member's
    let polars = polars.into_iter().map(entry).filter(|entry| entry.member.is_none());
    Ok(IndexedRegion { name, area, polars: polars.collect() })
}
