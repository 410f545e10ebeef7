//! How NetCDF stores values: valid ranges in packed and in unpacked units, compressions, files that others cut short.

use std::fs;

use crate::common::classic::{Classic, Values};
use crate::common::files::data;
use roughwater::forecast::{Field, Forecast, index};

/// Heights of 2, 3 and 25 m and a missing one as shorts in hundredths of a metre, with more attributes.
fn heights(more: &[(&str, Values)]) -> Field {
    let sea = Classic::sea_now().variable(
        "hs",
        &["time", "lat", "lon"],
        &[
            ("standard_name", "sea_surface_wave_significant_height".into()),
            ("units", "m".into()),
            ("scale_factor", 0.01.into()),
            ("_FillValue", (-32_767i16).into()),
        ],
        [200i16, 300, 2500, -32_767],
    );
    let sea = more.iter().fold(sea, |sea, (name, value)| sea.with("hs", name, value.clone()));
    let (_dir, path) = sea.write();
    let messages = index(&path).unwrap().messages;
    messages.iter().find(|m| m.code.starts_with("hs")).unwrap().decode().unwrap()
}

fn near(field: &Field, expected: [Option<f32>; 4]) {
    let found: Vec<_> = field.iter().collect();
    let alike = |(a, b): (&Option<f32>, &Option<f32>)| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() < 1e-5,
        (a, b) => a == b,
    };
    assert!(found.iter().zip(&expected).all(alike), "{found:?}, expected {expected:?}");
}

/// CF 1.11, 2.5.1: of the packed type the limits are packed, of the scale's type they are not.
#[test]
fn a_valid_range_is_in_the_units_of_its_type() {
    near(&heights(&[]), [Some(2.0), Some(3.0), Some(25.0), None]);
    let kept = [Some(2.0), Some(3.0), None, None];
    near(&heights(&[("valid_range", [0i16, 2000].into())]), kept);
    near(&heights(&[("valid_range", [0.0, 20.0].into())]), kept);
    near(&heights(&[("valid_max", 20.0.into())]), kept);
    near(
        &heights(&[("valid_min", 2.5.into()), ("missing_value", 300i16.into())]),
        [None, None, Some(25.0), None],
    );
}

#[test]
fn a_compression_that_is_not_read_is_named() {
    let whole = |name: &str| Forecast::open(&[data(name)]).unwrap().read_step(0).unwrap();
    let szip = whole("compressed-szip.nc");
    assert_eq!((szip.coverage().sea, szip.unreadable().len()), (16, 0));
    for (name, filter) in [("compressed-zstd.nc", "Zstandard"), ("compressed-bzip2.nc", "bzip2")] {
        let sea = whole(name);
        assert_eq!((sea.coverage().sea, sea.coverage().land), (0, 0), "{name}");
        assert_eq!(sea.unreadable().len(), 5, "{name}");
        let told = &sea.unreadable()[0];
        assert!(told.contains("compressed in a way that is not read") && told.contains(filter), "{told}");
    }
}

/// A mapped file that loses its end would kill the program when it is next read.
#[test]
fn a_file_that_is_cut_short_after_it_was_opened_is_an_error() {
    let (_dir, path) = Classic::sea_now().write();
    for (name, bytes) in
        [("classic", fs::read(&path).unwrap()), ("hdf5", fs::read(data("compressed-szip.nc")).unwrap())]
    {
        fs::write(&path, &bytes).unwrap();
        let forecast = Forecast::open(&[&path]).unwrap();
        fs::write(&path, []).unwrap();
        let text = forecast.read_step(0).unwrap_err().to_string();
        assert!(text.contains("cannot be read") && text.contains("made.nc"), "{name}: {text}");
    }
}
