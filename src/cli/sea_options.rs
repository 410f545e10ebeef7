//! Options that say which seas: forecast, regions, windows. `derate` and `tally write` share them.

use crate::cli::named::any;
use clap::Args;
use roughwater::base::position::{latitude, longitude};
use roughwater::base::{Alignment, WindowLength};
use roughwater::files::OneOrMore;
use roughwater::job::JobFile;
use roughwater::region::{BoxDeg, CorridorChoice, TileSize};
use roughwater::survey::StepCache;
use std::path::PathBuf;

/// Which seas.
#[derive(Debug, Clone, Args)]
pub(super) struct SeaOptions {
    /// Forecast files, folders of them, or patterns, quoted or not: all that follows, and may be given several times
    #[arg(long, num_args = 1.., value_name = "FILE")]
    pub(super) forecast: Vec<PathBuf>,
    /// Regions (GeoJSON)
    #[arg(long)]
    regions: Option<PathBuf>,
    /// Box of sea instead of a regions file: south, west, north, east with commas between, such as 40N,20W,50N,5W; may be
    /// given several times
    #[arg(long = "box", value_parser = box_deg, value_name = "S,W,N,E", allow_hyphen_values = true)]
    #[arg(conflicts_with_all = ["regions", "tiles"])]
    boxes: Vec<BoxDeg>,
    /// Tiles of this size over the forecast's extent instead of regions: latitude x longitude in degrees, such as 5x10
    #[arg(long, value_parser = tile_size, value_name = "LATxLON", conflicts_with = "regions")]
    tiles: Option<TileSize>,
    /// Legs of a corridor along this track instead of regions: GPX, a GeoJSON LineString, CSV with latitudes and longitudes,
    /// or waypoints such as "52S 168E; 53S 175E"
    #[arg(long, value_name = "TRACK", conflicts_with_all = ["regions", "tiles", "boxes"])]
    corridor: Option<PathBuf>,
    /// Half the corridor's width, nautical miles
    #[arg(long, visible_alias = "half-width-nm", default_value_t = 60.0, requires = "corridor")]
    #[arg(allow_negative_numbers = true, value_name = "NAUTICAL_MILES")]
    half_width_nmi: f64,
    /// Longest leg of the corridor, nautical miles
    #[arg(long, visible_alias = "leg-nm", default_value_t = 300.0, requires = "corridor")]
    #[arg(allow_negative_numbers = true, value_name = "NAUTICAL_MILES")]
    leg_nmi: f64,
    /// Length of the time windows: 6h, 90m, 1d, month (the calendar's), or all
    #[arg(long, value_parser = window)]
    window: Option<WindowLength>,
    /// Where windows begin
    #[arg(long, value_parser = any::<Alignment>())]
    window_alignment: Option<Alignment>,
    /// Decode every forecast step, also those tallied before, and keep nothing of them
    #[arg(long)]
    no_cache: bool,
}

impl SeaOptions {
    /// Whether the seas' forecast is given here.
    pub(super) fn has_forecast(&self) -> bool {
        !self.forecast.is_empty()
    }

    /// Lays the options over a job file.
    pub(super) fn lay_over(&self, job: &mut JobFile) {
        if self.has_forecast() {
            job.forecast = OneOrMore::More(self.forecast.clone());
            job.tally = None;
        }
        let drawn = self.tiles.is_some() || self.corridor.is_some() || !self.boxes.is_empty();
        if self.regions.is_some() || drawn {
            job.boxes = OneOrMore::More(self.boxes.clone());
            job.regions.clone_from(&self.regions);
            job.tiles = self.tiles;
            job.corridor = self.corridor.clone().map(|track| CorridorChoice {
                track,
                half_width_nm: self.half_width_nmi,
                leg_nm: self.leg_nmi,
            });
        }
        job.window = self.window.or(job.window);
        job.window_alignment = self.window_alignment.or(job.window_alignment);
        if self.no_cache {
            job.step_cache = StepCache::Off;
        }
    }
}

fn window(text: &str) -> Result<WindowLength, String> {
    WindowLength::try_from(text.to_owned())
}

pub(super) fn box_deg(text: &str) -> Result<BoxDeg, String> {
    let sides: Vec<&str> = text.split(',').collect();
    let [south, west, north, east] = sides.as_slice() else {
        return Err(format!(
            "`{text}` has not four sides; give south, west, north and east such as 40N,20W,50N,5W"
        ));
    };
    Ok(BoxDeg {
        south: latitude(south)?,
        west: longitude(west)?,
        north: latitude(north)?,
        east: longitude(east)?,
    })
}

fn tile_size(text: &str) -> Result<TileSize, String> {
    let size = text.split_once(['x', 'X']).and_then(|(lat, lon)| {
        let (lat_deg, lon_deg) = (lat.trim().parse().ok()?, lon.trim().parse().ok()?);
        Some(TileSize { lat_deg, lon_deg })
    });
    size.ok_or_else(|| format!("`{text}` is not a size such as 5x10 (latitude x longitude, degrees)"))
}
