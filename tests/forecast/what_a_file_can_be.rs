//! The table `docs/what-a-file-can-be.md`: format, feature, and what the reader does, found by reading a file of each.

use crate::common::files::{data, file, text};
use roughwater::forecast::{Forecast, index};
use std::path::PathBuf;

/// A format, a feature of it, and a file that has it.
const FILES: &[(&str, &str, &str)] = &[
    ("GRIB2", "simple packing", "packing-simple.grib2"),
    ("GRIB2", "complex packing", "packing-complex.grib2"),
    ("GRIB2", "complex packing with spatial differences", "packing-complex_spatial_differencing.grib2"),
    ("GRIB2", "PNG", "packing-png.grib2"),
    ("GRIB2", "JPEG 2000", "packing-jpeg.grib2"),
    ("GRIB2", "CCSDS", "packing-ccsds.grib2"),
    ("GRIB2", "IEEE numbers", "packing-ieee.grib2"),
    ("GRIB2", "a field of one value", "packing-constant.grib2"),
    ("GRIB2", "fields without any value", "all-missing.grib2"),
    ("GRIB2", "fields without any value, in each packing", "all-missing-packings.grib2"),
    ("GRIB2", "several fields in a message", "two-fields.grib2"),
    ("GRIB2", "Mercator grid", "mercator.grib2"),
    ("GRIB2", "rows from south to north", "scan-40.grib2"),
    ("GRIB2", "columns first, rows to and fro", "scan-50.grib2"),
    ("GRIB2", "longitudes across 0", "lon-crosses-0.grib2"),
    ("GRIB2", "longitudes across 180", "lon-crosses-180.grib2"),
    ("GRIB2", "grids that differ from step to step", "mixed-grids.grib2"),
    ("GRIB2", "members of an ensemble", "ecmwf-ensemble.grib2"),
    ("GRIB2", "waves of an ensemble, a single wind", "ens-waves-det-wind.grib2"),
    ("GRIB2", "two-dimensional spectra", "spectra.grib2"),
    ("GRIB2", "two-dimensional spectra of a member", "spectra-member.grib2"),
    ("GRIB1", "simple packing", "noaa-order.grib1"),
    ("GRIB1", "members of an ensemble", "ecmwf-ensemble.grib1"),
    ("GRIB1", "two-dimensional spectra", "spectra.grib1"),
    ("GRIB1", "fields without any value", "all-missing.grib1"),
    ("GRIB1", "second-order packing", "grib1-second-order.grib"),
    ("GRIB1", "time in quarters of an hour", "grib1-unit13.grib"),
    ("NetCDF classic", "packed numbers", "cf-classic.nc"),
    ("NetCDF-4", "deflate", "ww3.nc"),
    ("NetCDF-4", "szip", "compressed-szip.nc"),
    ("NetCDF-4", "Zstandard", "compressed-zstd.nc"),
    ("NetCDF-4", "bzip2", "compressed-bzip2.nc"),
    ("NetCDF-4", "16-bit floats", "half-floats.nc"),
    ("NetCDF-4", "members of an ensemble", "ensemble.nc"),
    ("NetCDF-4", "two-dimensional spectra", "spectra.nc"),
    ("NetCDF-4", "spectra at stations", "stations.nc"),
    ("NetCDF-4", "curvilinear grid", "curvilinear.nc"),
    ("NetCDF-4", "mesh of triangles, values at nodes", "mesh-ww3.nc"),
    ("NetCDF-4", "UGRID mesh, values at faces", "mesh-ugrid.nc"),
    ("NetCDF-4", "a scalar step", "scalar-step-6h.nc"),
    ("NetCDF-4", "units of time with T and Z", "time-unit-Z.nc"),
    ("NetCDF-4", "a height of -999 that is not declared as missing", "hs-minus999-undeclared.nc"),
    ("NetCDF-4", "wind of 10 m and of 100 m", "wind-10m-and-100m.nc"),
    ("NetCDF-4", "wind of 100 m alone", "wind-100m-only.nc"),
];

/// Files that hold no waves or no wind are read with the other beside them.
const BESIDE: &[(&str, &str)] = &[("ww3.nc", "wind.nc")];

fn page() -> String {
    let mut page = "# What a forecast file can be\n\nFormat by format, a file of each kind as the tests have it, and what the reader \
        does with it. This page is made by `cargo test --test forecast what_a_file -- --ignored`, and a test holds it to the \
        reader.\n\n| format | what it has | read |\n|---|---|---|\n"
        .to_owned();
    for (format, feature, name) in FILES {
        page += &format!("| {format} | {feature} | {} |\n", outcome(feature, name));
    }
    page
}

/// What becomes of a file: what is read of it, or why it is not.
fn outcome(feature: &str, name: &str) -> String {
    let beside = BESIDE.iter().filter(|(own, _)| *own == name).map(|(_, other)| data(other));
    let files: Vec<PathBuf> = std::iter::once(data(name)).chain(beside).collect();
    let index = match index(&files[0]) {
        Ok(index) => index,
        Err(error) => return format!("refused: {}", error.problem()),
    };
    let fields: Vec<_> = index.messages.iter().filter(|message| message.quantity.is_some()).collect();
    let unread: Vec<String> =
        fields.iter().filter_map(|message| message.decode().err()).map(|error| error.in_a_line()).collect();
    let decoded = match unread.first() {
        None if fields.is_empty() => "yes".to_owned(),
        None => "yes, every field".to_owned(),
        Some(first) if unread.len() == fields.len() => format!("no field: {first}"),
        Some(first) => format!("{} of {} fields: {first}", fields.len() - unread.len(), fields.len()),
    };
    match Forecast::open(&files) {
        Ok(forecast) if forecast.unreadable().is_empty() => decoded,
        Ok(_) => format!("{decoded}; what cannot be read is a gap by name"),
        // most files here hold what they are named for and no more
        Err(_) if !feature.contains("wind") && unread.is_empty() => decoded,
        Err(error) => format!("{decoded}; no forecast by itself: {}", error.problem()),
    }
}

#[test]
fn what_a_file_can_be_is_as_the_page_has_it() {
    assert!(
        text("docs/what-a-file-can-be.md") == page(),
        "remake the page as it says, and look at what changed:\n{}",
        page()
    );
}

#[test]
#[ignore = "makes the page anew"]
fn what_a_file_can_be_is_written_down() {
    std::fs::create_dir_all(file("docs")).unwrap();
    std::fs::write(file("docs/what-a-file-can-be.md"), page()).unwrap();
}
