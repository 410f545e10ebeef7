//! Which polar file of a result serves a place and a time, by its index.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::polar::{Lookup, Polar, TackChoice};
use crate::result::index::entry::IndexedRegion;
use crate::result::index::read::Index;
use jiff::Timestamp;
use std::path::PathBuf;

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

impl Index {
    /// What serves a place and a time. Longitudes may run from -180 to 180 or from 0 to 360; a border belongs to both
    /// sides, a window's start to the window and its end to the next.
    pub fn lookup(&self, lat_deg: f64, lon_deg: f64, time: Timestamp) -> Answer {
        let here: Vec<&IndexedRegion> =
            self.regions().iter().filter(|region| region.holds(lat_deg, lon_deg)).collect();
        let served: Vec<Serving> = here.iter().flat_map(|region| self.serving(region, time)).collect();
        if !served.is_empty() {
            return Answer::Served(served);
        }
        let names = |regions: &[&IndexedRegion]| {
            regions.iter().map(|region| region.name.as_str()).collect::<Vec<_>>().join(", ")
        };
        Answer::None(if here.is_empty() {
            let all: Vec<&IndexedRegion> = self.regions().iter().take(12).collect();
            format!("the place lies in none of the {} regions ({})", self.regions().len(), names(&all))
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
            file: self.path(entry),
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
