//! Files of the repository, and real ones that lie beside it where they lie at all.

use std::path::PathBuf;

/// A file of the repository.
pub fn file(name: &str) -> PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// The text of a file of the repository.
pub fn text(name: &str) -> String {
    std::fs::read_to_string(file(name)).unwrap()
}

/// A small file made for the tests.
pub fn data(name: &str) -> PathBuf {
    file("tests/data").join(name)
}

/// The demo's forecast and the real one that comes with the repository.
pub const INVENTED: &str = "grids/south-pacific.grib2";
pub const NOAA: &str = "grids/gfswave.20210826.t12z.atlocn.0p16.f000.grib2";

/// A real file that went wrong once and may not be shipped: beside the checkout, or the test skips and says so.
pub fn went_wrong(name: &str) -> Option<PathBuf> {
    let path = file("../shared/data/repro").join(name);
    if !path.exists() {
        println!("skipped {name}: it is not beside this checkout");
        return None;
    }
    Some(path)
}

/// A forecast by its name alone; real ones that may not be shipped lie beside the checkout, or the test skips and says so.
pub fn forecast(name: &str) -> Option<PathBuf> {
    let places = ["grids", "tests/data", "../shared/data/real"];
    let found = places.iter().map(|place| file(place).join(name)).find(|path| path.exists());
    if found.is_none() {
        println!("skipped {name}: it is not beside this checkout");
    }
    found
}
