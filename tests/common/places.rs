//! Places: boxes of sea as regions, points of a grid and the seas there.

use roughwater::base::bearing::wrap180;
use roughwater::forecast::{CellSea, Grid, SeaGrid};
use roughwater::sea::SeaState;

/// A file of regions with one box of sea: west, east, south, north.
pub fn region(name: &str, [west, east, south, north]: [f64; 4]) -> String {
    format!(
        r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","properties":{{"name":"{name}"}},"geometry":
{{"type":"Polygon","coordinates":[[[{west},{south}],[{east},{south}],[{east},{north}],[{west},{north}],[{west},{south}]]]}}}}]}}"#
    )
}

/// The index of a grid's point. ecCodes steps by the written increment, which drifts by up to 1e-4 degree over a grid.
pub fn point(grid: &Grid, lat_deg: f64, lon_deg: f64) -> usize {
    let near = |axis: &[f64], deg: f64| axis.iter().position(|own| wrap180(own - deg).abs() < 2e-4);
    let row = near(grid.lat_deg(), lat_deg).expect("a row at that latitude");
    row * grid.columns() + near(grid.lon_deg(), lon_deg).expect("a column at that longitude")
}

/// The sea state of a cell that is sea.
pub fn state(sea: &SeaGrid, index: usize) -> SeaState {
    match sea.cell(index) {
        CellSea::Sea(state) => state,
        other => panic!("no sea but {other:?}"),
    }
}
