//! Wind in NetCDF is that of 10 m: files by the small writer, and two that once went wrong.

use crate::common::classic::{Classic, Values};
use crate::common::files::data;
use crate::common::places::state;
use roughwater::forecast::Forecast;

const EAST: &str = "eastward_wind";
const NORTH: &str = "northward_wind";

/// Waves at one time with wind of a name: the eastward component alone blows.
fn waves_with(names: [&str; 2], before: &[&str], speeds: &[f32]) -> Classic {
    let attributes = |standard: &str| [("standard_name", standard.into()), ("units", "m s-1".into())];
    let dims = [before, &["lat", "lon"]].concat();
    let east: Vec<f32> = speeds.iter().flat_map(|speed| [*speed; 4]).collect();
    let calm = vec![0.0; east.len()];
    Classic::waves(&["time"], 1).time_now().variable(names[0], &dims, &attributes(EAST), east).variable(
        names[1],
        &dims,
        &attributes(NORTH),
        calm,
    )
}

fn open(file: &Classic) -> Result<f64, String> {
    let (_dir, path) = file.write();
    let forecast = Forecast::open(&[path]).map_err(|error| error.to_string())?;
    Ok(state(&forecast.read_step(0).unwrap(), 0).wind.tws_m_s)
}

#[test]
fn wind_of_100_m_alone_is_refused_and_named() {
    let text = Forecast::open(&[data("wind-100m-only.nc")]).unwrap_err().to_string();
    assert!(text.contains("no wind") && text.contains("wind at 100 (by its name) is not used"), "{text}");
}

/// The first cell's wind of 10 m as netCDF4 reads it.
#[test]
fn of_two_heights_that_of_10_m_is_taken() {
    let forecast = Forecast::open(&[data("wind-10m-and-100m.nc")]).unwrap();
    let found = state(&forecast.read_step(0).unwrap(), 0).wind.tws_m_s;
    assert!((found - U10.hypot(V10)).abs() < 1e-5, "{found}");
}

const U10: f64 = 5.0;
const V10: f64 = 5.0;

#[test]
fn a_height_is_told_by_a_scalar_by_a_name_or_by_words() {
    let plain = waves_with(["u", "v"], &["time"], &[9.0]);
    assert_eq!(open(&plain), Ok(9.0), "no height stated is that of 10 m");
    let scalar = |name: &str, unit: &str, value: f64, standard: &str| {
        let attributes = [("units", unit.into()), ("standard_name", standard.into())];
        open(&plain.clone().variable(name, &[], &attributes, value))
    };
    assert_eq!(scalar("height", "m", 10.0, "height"), Ok(9.0));
    assert_eq!(scalar("heightAboveGround", "m", 10.0, "height"), Ok(9.0));
    assert_eq!(scalar("surface", "1", 0.0, ""), Ok(9.0));
    for (name, unit, value, standard) in [
        ("height", "m", 100.0, "height"),
        ("height", "m", 2.0, "height"),
        ("heightAboveGround", "m", 100.0, "height"),
        ("isobaricInhPa", "hPa", 850.0, "air_pressure"),
        ("level", "1", 3.0, ""),
    ] {
        let text = scalar(name, unit, value, standard).unwrap_err();
        assert!(text.contains("no wind") && text.contains(&format!("wind at {name} {value}")), "{text}");
    }
    // a scalar that belongs to another variable says nothing of the wind
    let other = plain.clone().variable("height", &[], &[("units", "m".into())], 2.0);
    let other = other.with("u", "coordinates", "lat lon").with("v", "coordinates", "lat lon");
    assert_eq!(open(&other), Ok(9.0));
    for (names, long) in [
        (["u", "v"], "100 metre wind component"),
        (["u", "v"], "wind at 850 hPa"),
        (["u850", "v850"], "wind"),
        (["UGRD_80maboveground", "VGRD_80maboveground"], "wind"),
    ] {
        let words = waves_with(names, &["time"], &[9.0]);
        let words = names.iter().fold(words, |file, name| file.with(name, "long_name", long));
        assert!(open(&words).unwrap_err().contains("is not used"), "{names:?} {long}");
    }
    for long in ["10 metre wind component", "surface wind, run 3"] {
        let words = plain.clone().with("u", "long_name", long).with("v", "long_name", long);
        assert_eq!(open(&words), Ok(9.0), "{long}");
    }
}

#[test]
fn of_a_vertical_dimension_the_place_of_10_m_is_read() {
    let levels = |name: &str, unit: &str, values: [f64; 2]| {
        let file = waves_with(["u", "v"], &["time", name], &[20.0, 9.0]).dim(name, 2);
        open(&file.variable(name, &[name], &[("units", Values::from(unit))], values))
    };
    assert_eq!(levels("height", "m", [100.0, 10.0]), Ok(9.0));
    assert_eq!(levels("heightAboveGround", "m", [10.0, 100.0]), Ok(20.0));
    assert!(levels("height", "m", [80.0, 100.0]).unwrap_err().contains("wind at height 80, 100 m"));
    assert!(levels("plev", "Pa", [85_000.0, 10.0]).unwrap_err().contains("wind at plev"));
}
