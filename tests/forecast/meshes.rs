//! Curvilinear grids and meshes: each point counts with its cell's area, as on regular grids.

use crate::common::classic::{Classic, Values};
use crate::common::files::data;
use roughwater::base::units::EARTH_RADIUS_M;
use roughwater::base::{Alignment, WindowLength};
use roughwater::forecast::{Forecast, GridLayout};
use roughwater::region;
use roughwater::survey::survey;
use std::path::Path;

/// Area with a sea and outside, square degrees at the equator, and the mean square height, of a region's one step.
struct Seen {
    sea: f64,
    outside: f64,
    hs2_m2: f64,
}

fn seen(path: &Path, outline: &str) -> Seen {
    let text = format!(
        r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","properties":{{"name":"R"}},
        "geometry":{{"type":"Polygon","coordinates":[{outline}]}}}}]}}"#
    );
    let regions = region::parse(&text).unwrap();
    let forecast = Forecast::open(&[path]).unwrap();
    let (length, alignment) = (WindowLength::All, Alignment::Midnight);
    let mut set = survey(&forecast, &regions, length, alignment, &[], &|_, _| Ok(())).unwrap().set;
    set.settle().unwrap();
    let part = set.regions[0].windows.values().next().unwrap();
    let seas: Vec<_> = part.tally.seas().collect();
    let weight: f64 = seas.iter().map(|(_, weight)| weight).sum();
    let hs2 = |(sea, weight): &(roughwater::hydro::wind_frame::WindFrameSea, f64)| {
        weight * sea.systems.iter().map(|system| system.hs2_m2).sum::<f64>()
    };
    // one step by itself serves for 3 h
    let square_degree = 10_800.0 * (EARTH_RADIUS_M * 1f64.to_radians()).powi(2);
    let sum: f64 = seas.iter().map(hs2).sum();
    Seen {
        sea: weight / square_degree,
        outside: part.tally.coverage.outside / square_degree,
        hs2_m2: sum / weight,
    }
}

fn field(sea: Classic, name: &str, standard: &str, unit: &str, dims: &[&str], values: Vec<f32>) -> Classic {
    sea.variable(name, dims, &[("standard_name", standard.into()), ("units", unit.into())], values)
}

/// Heights as given, all else alike, on dimensions.
fn sea(file: Classic, dims: &[&str], hs: &[f32]) -> Classic {
    let like = |value: f32| vec![value; hs.len()];
    let p = "sea_surface_wave_";
    let file = field(file, "hs", &format!("{p}significant_height"), "m", dims, hs.to_vec());
    let period = format!("{p}period_at_variance_spectral_density_maximum");
    let file = field(file, "tp", &period, "s", dims, like(8.0));
    let file = field(file, "dir", &format!("{p}from_direction"), "degree", dims, like(250.0));
    let file = field(file, "ws", "wind_speed", "m s-1", dims, like(9.0));
    field(file, "wd", "wind_from_direction", "degree", dims, like(240.0))
}

fn place(file: Classic, name: &str, unit: &str, dims: &[&str], values: Vec<f64>) -> Classic {
    file.variable(name, dims, &[("units", unit.into())], Values::Doubles(values))
}

/// A regular grid, and the same turned by a right angle and written with latitude and longitude of two dimensions, see
/// the same sea: within 1e-9.
#[test]
fn a_regular_grid_written_as_a_curved_one_sees_the_same() {
    let (rows, columns) = (6_usize, 8_usize);
    let (lat, lon) = (|r: usize| 45.0 + r as f64, |c: usize| -34.0 + c as f64);
    let hs = |r: usize, c: usize| 1.0 + 0.1 * (r * columns + c) as f32;
    let regular = Classic::default().dim("lat", rows).dim("lon", columns).time_now();
    let regular = place(regular, "lat", "degrees_north", &["lat"], (0..rows).map(lat).collect());
    let regular = place(regular, "lon", "degrees_east", &["lon"], (0..columns).map(lon).collect());
    let heights: Vec<f32> = (0..rows * columns).map(|k| hs(k / columns, k % columns)).collect();
    let (_one, regular) = sea(regular, &["time", "lat", "lon"], &heights).write();
    // rows of the turned grid run along meridians, from the east
    let turned: Vec<(usize, usize)> =
        (0..rows * columns).map(|k| (k % rows, columns - 1 - k / rows)).collect();
    let curved = Classic::default().dim("y", columns).dim("x", rows).time_now();
    let lats = turned.iter().map(|(r, _)| lat(*r)).collect();
    let curved = place(curved, "nav_lat", "degrees_north", &["y", "x"], lats);
    let lons = turned.iter().map(|(_, c)| lon(*c)).collect();
    let curved = place(curved, "nav_lon", "degrees_east", &["y", "x"], lons);
    let heights: Vec<f32> = turned.iter().map(|(r, c)| hs(*r, *c)).collect();
    let (_two, curved) = sea(curved, &["time", "y", "x"], &heights).write();
    let outline = "[[-35.0,46.3],[-30.2,44.9],[-26.1,48.8],[-29.4,50.9],[-31.0,47.5],[-35.0,46.3]]";
    let (one, other) = (seen(&regular, outline), seen(&curved, outline));
    assert!(one.outside > 0.01, "a corner lies beyond the grid");
    assert!((one.sea / other.sea - 1.0).abs() < 1e-9, "{} {}", one.sea, other.sea);
    assert!((one.outside / other.outside - 1.0).abs() < 1e-8);
    assert!((one.hs2_m2 / other.hs2_m2 - 1.0).abs() < 1e-6, "{} {}", one.hs2_m2, other.hs2_m2);
}

/// By hand: 30 points half a degree apart have cells of 7.5 square degrees together, less one without a place, times
/// the cosine of their latitudes (45 to 48.3, 0.707 to 0.665).
#[test]
fn a_grid_turned_by_thirty_degrees_has_the_area_of_its_cells() {
    let around = "[[-35.0,43.0],[-25.0,43.0],[-25.0,50.0],[-35.0,50.0],[-35.0,43.0]]";
    let seen = seen(&data("curvilinear.nc"), around);
    let cells = 7.25;
    assert!(seen.sea > 0.665 * cells && seen.sea < 0.707 * cells, "{}", seen.sea);
    let forecast = Forecast::open(&[data("curvilinear.nc")]).unwrap();
    assert_eq!(forecast.steps()[0].grid.layout(), GridLayout::Curvilinear);
    assert_eq!(forecast.steps()[0].grid.centre(0), None);
}

/// By hand: a square degree in two triangles along a diagonal; the nodes on it have a third of it, the others a sixth.
/// Heights of 1, 2, 3 and 4 m then mean 1/3 + 4/6 + 9/3 + 16/6 = 6.667 m2.
#[test]
fn nodes_of_a_mesh_have_their_shares() {
    let square = "[[-30.5,-0.5],[-28.5,-0.5],[-28.5,1.5],[-30.5,1.5],[-30.5,-0.5]]";
    let whole = seen(&data("mesh-ww3.nc"), square);
    assert!(
        (whole.sea - 1.0).abs() < 1e-3 && (whole.outside - 3.0).abs() < 1e-2,
        "{} {}",
        whole.sea,
        whole.outside
    );
    let bare = Classic::default().dim("node", 4).dim("element", 2).dim("noel", 3).time_now();
    let mesh = place(bare, "latitude", "degrees_north", &["node"], vec![0.0, 0.0, 1.0, 1.0]);
    let mesh = place(mesh, "longitude", "degrees_east", &["node"], vec![-30.0, -29.0, -29.0, -30.0]);
    let mesh = mesh.variable("tri", &["element", "noel"], &[], [1_i16, 2, 3, 1, 3, 4]);
    let (_dir, path) = sea(mesh, &["time", "node"], &[1.0, 2.0, 3.0, 4.0]).write();
    let seen = seen(&path, square);
    assert!((seen.hs2_m2 - 20.0 / 3.0).abs() < 2e-3, "{}", seen.hs2_m2);
}

/// By hand: a square degree and a triangle of half of one.
#[test]
fn faces_of_a_ugrid_mesh_have_their_own_areas() {
    let square = "[[-30.5,-0.5],[-27.5,-0.5],[-27.5,1.5],[-30.5,1.5],[-30.5,-0.5]]";
    let seen = seen(&data("mesh-ugrid.nc"), square);
    assert!((seen.sea - 1.5).abs() < 2e-3, "{}", seen.sea);
    assert!((seen.hs2_m2 - 4.0).abs() < 1e-5);
}

#[test]
fn a_list_of_triangles_that_does_not_fit_is_refused() {
    let bare = Classic::default().dim("node", 3).dim("element", 1).dim("noel", 3).time_now();
    let mesh = place(bare, "latitude", "degrees_north", &["node"], vec![0.0, 0.0, 1.0]);
    let mesh = place(mesh, "longitude", "degrees_east", &["node"], vec![-30.0, -29.0, -29.0]);
    let mesh = mesh.variable("tri", &["element", "noel"], &[], [1_i16, 2, 4]);
    let (_dir, path) = sea(mesh, &["time", "node"], &[1.0; 3]).write();
    let error = Forecast::open(&[path]).unwrap_err().to_string();
    assert!(error.contains("node 4 of 3"), "{error}");
}
