//! Options that say which seas: forecast, regions, windows. `derate` and `tally write` share them.

use crate::cli::named::any;
use clap::Args;
use roughwater::base::{Alignment, WindowLength};
use roughwater::files::OneOrMore;
use roughwater::job::JobFile;
use roughwater::region::{CorridorChoice, TileSize};
use std::path::PathBuf;

/// Which seas.
#[derive(Debug, Args)]
pub(super) struct SeaOptions {
    /// Forecast file or pattern; may be given several times
    #[arg(long)]
    pub(super) forecast: Vec<PathBuf>,
    /// Regions (GeoJSON)
    #[arg(long)]
    regions: Option<PathBuf>,
    /// Tiles of this size over the forecast's extent instead of regions: latitude x longitude in degrees, such as 5x10
    #[arg(long, value_parser = tile_size, value_name = "LATxLON", conflicts_with = "regions")]
    tiles: Option<TileSize>,
    /// Legs of a corridor along this track instead of regions: GPX, or a GeoJSON LineString
    #[arg(long, value_name = "TRACK", conflicts_with_all = ["regions", "tiles"])]
    corridor: Option<PathBuf>,
    /// Half the corridor's width, nautical miles
    #[arg(long, default_value_t = 60.0, requires = "corridor", allow_negative_numbers = true)]
    half_width_nm: f64,
    /// Longest leg of the corridor, nautical miles
    #[arg(long, default_value_t = 300.0, requires = "corridor", allow_negative_numbers = true)]
    leg_nm: f64,
    /// Length of the time windows: 6h, 90m, 1d, or all
    #[arg(long, value_parser = window)]
    window: Option<WindowLength>,
    /// Where windows begin
    #[arg(long, value_parser = any::<Alignment>())]
    window_alignment: Option<Alignment>,
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
        if self.regions.is_some() || self.tiles.is_some() || self.corridor.is_some() {
            job.regions.clone_from(&self.regions);
            job.tiles = self.tiles;
            job.corridor = self.corridor.clone().map(|track| CorridorChoice {
                track,
                half_width_nm: self.half_width_nm,
                leg_nm: self.leg_nm,
            });
        }
        job.window = self.window.or(job.window);
        job.window_alignment = self.window_alignment.or(job.window_alignment);
    }
}

fn window(text: &str) -> Result<WindowLength, String> {
    WindowLength::try_from(text.to_owned())
}

fn tile_size(text: &str) -> Result<TileSize, String> {
    let size = text.split_once(['x', 'X']).and_then(|(lat, lon)| {
        let (lat_deg, lon_deg) = (lat.trim().parse().ok()?, lon.trim().parse().ok()?);
        Some(TileSize { lat_deg, lon_deg })
    });
    size.ok_or_else(|| format!("`{text}` is not a size such as 5x10 (latitude x longitude, degrees)"))
}
