//! Why a file cannot serve: an error names the true reason and not what is missing in its consequence.

use std::fs;

use crate::common::classic::Classic;
use crate::common::files::data;
use crate::common::grib::{octet, open as open_grib, passage};
use roughwater::forecast::Forecast;

fn refused(file: &Classic) -> String {
    let (_dir, path) = file.write();
    Forecast::open(&[path]).and_then(|forecast| forecast.read_step(0)).unwrap_err().to_string()
}

fn assert_says(text: &str, words: &[&str]) {
    for word in words {
        assert!(text.contains(word), "{word}: {text}");
    }
}

#[test]
fn a_maximum_is_not_the_sea_at_a_time() {
    let maximum = Classic::sea_now().with("hs", "cell_methods", "time: maximum (interval: 1 hour)");
    assert_says(&refused(&maximum), &["no waves", "a maximum is not used", "hs"]);
    let mean = Classic::sea_now().with("hs", "cell_methods", "area: mean time: point");
    let (_dir, path) = mean.write();
    assert!(Forecast::open(&[path]).unwrap().read_step(0).is_ok());
}

#[test]
fn rotated_and_projected_axes_are_never_degrees() {
    let axes = |standard: [&str; 2], unit: &str| {
        let sea = Classic::sea_now().with("lat", "standard_name", standard[0]).with(
            "lon",
            "standard_name",
            standard[1],
        );
        refused(&sea.with("lat", "units", unit).with("lon", "units", unit))
    };
    let not_a_grid = "not on a grid of latitude and longitude";
    assert_says(&axes(["grid_latitude", "grid_longitude"], "degrees"), &[not_a_grid, "rotated pole"]);
    assert_says(
        &axes(["projection_y_coordinate", "projection_x_coordinate"], "m"),
        &[not_a_grid, "projected grid"],
    );
    let metres = Classic::sea_now().with("lat", "units", "m").with("lon", "units", "km");
    assert_says(&refused(&metres), &[not_a_grid]);
    let mapped = |name: &str| {
        let names = ["hs", "tp", "dir", "ws", "wd"];
        let sea = names.iter().fold(Classic::sea_now(), |sea, field| sea.with(field, "grid_mapping", "crs"));
        sea.variable("crs", &[], &[("grid_mapping_name", name.into())], 0i16)
    };
    assert_says(
        &refused(&mapped("rotated_latitude_longitude")),
        &["projected or rotated", "rotated_latitude_longitude"],
    );
    let (_dir, path) = mapped("latitude_longitude").write();
    assert!(Forecast::open(&[path]).unwrap().read_step(0).is_ok());
}

/// Latitude and longitude along one dimension of nodes without triangles; UGRID's attribute without its topology; values
/// at edges.
#[test]
fn meshes_without_cells_are_named_as_what_they_are() {
    let place = |sea: Classic, name: &str, unit: &str, values: [f64; 4]| {
        sea.variable(name, &["node"], &[("units", unit.into())], values)
    };
    let field = |sea: Classic, name: &str, standard: &str, unit: &str| {
        let attributes = [("standard_name", standard.into()), ("units", unit.into())];
        sea.variable(name, &["time", "node"], &attributes, vec![2.0f32; 4])
    };
    let mesh = Classic::default().dim("node", 4).time_now();
    let mesh = place(mesh, "latitude", "degrees_north", [50.0, 50.1, 51.0, 51.1]);
    let mesh = place(mesh, "longitude", "degrees_east", [-10.0, -9.0, -10.1, -9.1]);
    let mesh = field(mesh, "hs", "sea_surface_wave_significant_height", "m");
    let mesh = field(field(mesh, "ws", "wind_speed", "m s-1"), "wd", "wind_from_direction", "degree");
    assert_says(
        &refused(&mesh),
        &["a mesh without its triangles", "latitude and longitude over node", "mesh_topology"],
    );
    let named = |attribute: &str, value: &str| {
        refused(&mesh.clone().with("ws", attribute, value).with("wd", attribute, value))
    };
    assert_says(&named("mesh", "Mesh2"), &["unstructured mesh (UGRID) without its topology", "variable w"]);
    assert_says(&named("location", "edge"), &["edges of a mesh"]);
}

#[test]
fn a_wind_that_is_there_but_cannot_serve_is_named_with_its_reason() {
    let mph = Classic::sea_now().with("ws", "units", "furlong/fortnight");
    assert_says(&refused(&mph), &["no wind", "wind speed in \"furlong/fortnight\" is not used"]);
    let rotated =
        ["ws", "wd"].iter().fold(Classic::sea_now(), |sea, field| sea.with(field, "grid_mapping", "crs"));
    let rotated =
        rotated.variable("crs", &[], &[("grid_mapping_name", "rotated_latitude_longitude".into())], 0i16);
    assert_says(&refused(&rotated), &["projected or rotated", "variable w"]);
    let expver = Classic::waves(&["time"], 1)
        .time_now()
        .field("ws", &["time", "expver"], "wind_speed", "m s-1", 10.0, 2)
        .field("wd", &["time", "expver"], "wind_from_direction", "degree", 270.0, 2)
        .dim("expver", 2);
    assert_says(&refused(&expver), &["dimension that is not known", "expver of 2", "variable w"]);
}

/// Wind of the invented passage lifted to 100 m: type and value of the first surface are octets 23 to 28 of section 4.
#[test]
fn a_wind_of_another_level_is_named_in_grib_too() {
    let mut step = passage()[..19].to_vec();
    let is_wind = |m: &&mut Vec<u8>| m[6] == 0 && m[octet(m, 4, 10)] == 2;
    for message in step.iter_mut().filter(is_wind) {
        let at = octet(message, 4, 23);
        message[at..at + 6].copy_from_slice(&[103, 0, 0, 0, 0, 100]);
    }
    let text = open_grib(&step).1.unwrap_err().to_string();
    assert_says(&text, &["no wind", "surface 103=100", "wind of another level than 10 m: not used"]);
}

#[test]
fn missing_messages_list_what_is_there() {
    assert!(fs::exists(data("no-wind.grib2")).unwrap());
    let text = Forecast::open(&[data("no-wind.grib2")]).unwrap_err().to_string();
    assert_says(&text, &["no wind", "10/0/3"]);
}
