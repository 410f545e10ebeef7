//! Every GRIB field against ecCodes: `tests/reference/grib_values.py` made the expected values (ecCodes 2.50.0).

use std::collections::BTreeMap;

use crate::common::files::{file, forecast};
use crate::common::places::point;
use roughwater::forecast::Field;
use roughwater::forecast::Message;
use roughwater::forecast::index;

fn check(row: &csv::StringRecord, message: &Message, field: &Field) {
    let place = format!("{} message {}", &row[0], &row[1]);
    let number = |i: usize| row[i].parse::<f64>().unwrap_or_else(|_| panic!("{place}: column {i}"));
    let civil = jiff::tz::TimeZone::UTC.to_datetime(message.valid);
    assert_eq!(civil.strftime("%Y%m%d").to_string(), row[2], "{place}");
    assert_eq!(f64::from(civil.hour()), number(3), "{place}");
    let summary = field.summary();
    assert_eq!((summary.points as f64, summary.missing as f64), (number(4), number(5)), "{place}");
    // values are f32 here and f64 there: 24 bits of mantissa, three roundings
    let near = |found: f64, expected: f64| (found - expected).abs() <= 3e-7 * expected.abs().max(1.0);
    match summary.range {
        None => assert_eq!(&row[6], "-", "{place}"),
        Some((least, greatest)) => {
            assert!(near(least.into(), number(6)), "{place}: least {least}");
            assert!(near(greatest.into(), number(7)), "{place}: greatest {greatest}");
        }
    }
    let sum: f64 = field.iter().flatten().map(f64::from).sum();
    assert!((sum - number(8)).abs() <= 1e-7 * number(8).abs().max(1.0), "{place}: sum {sum}");
    let grid = message.grid.as_ref().expect("a usable grid");
    for written in row.iter().skip(9) {
        let parts: Vec<&str> = written.split(':').collect();
        let (lat, lon) = (parts[0].parse().unwrap(), parts[1].parse().unwrap());
        let found = field.get(point(grid, lat, lon));
        match parts[2].parse::<f64>() {
            Err(_) => assert_eq!(found, None, "{place} at {written}"),
            Ok(expected) => {
                let found = found.unwrap_or_else(|| panic!("{place} at {written}: missing"));
                assert!(near(found.into(), expected), "{place} at {written}: {found}");
            }
        }
    }
}

/// Checks every row of a table; returns how many rows, and which files were not there.
fn check_table(name: &str) -> (usize, Vec<String>) {
    let mut table = csv::Reader::from_path(file("tests/reference").join(name)).unwrap();
    let mut messages: BTreeMap<String, Option<Vec<Message>>> = BTreeMap::new();
    let mut checked = 0;
    for row in table.records() {
        let row = row.unwrap();
        let file = messages
            .entry(row[0].to_owned())
            .or_insert_with(|| forecast(&row[0]).map(|path| index(&path).unwrap().messages));
        let Some(messages) = file else { continue };
        let message = &messages[row[1].parse::<usize>().unwrap() - 1];
        check(&row, message, &message.decode().unwrap());
        checked += 1;
    }
    (checked, messages.into_iter().filter(|(_, found)| found.is_none()).map(|(name, _)| name).collect())
}

#[test]
fn noaa_shaped_files_equal_eccodes() {
    let (checked, _) = check_table("noaa_wave.csv");
    assert!(checked >= 38, "the files in grids/ are always there");
}

#[test]
fn every_packing_longitude_convention_and_scanning_mode_equals_eccodes() {
    let (checked, absent) = check_table("small_grib.csv");
    assert_eq!((checked, absent), (25, vec![]));
}

#[test]
fn grib1_and_ensembles_equal_eccodes() {
    assert_eq!(check_table("small_grib1.csv"), (61, vec![]));
}

#[test]
fn real_files_beside_the_checkout_equal_eccodes() {
    let (checked, absent) = check_table("real_grib.csv");
    assert!(checked == 23 || !absent.is_empty(), "{checked}");
}

/// ecCodes places alternating rows as if they did not alternate, so the expected field is the same field written
/// without: the writer turns every second row as flag table 3.4 says.
#[test]
fn alternating_rows_hold_the_same_field() {
    let read = |name: &str| {
        let message = index(&forecast(name).unwrap()).unwrap().messages.remove(0);
        (message.grid.clone().unwrap(), message.decode().unwrap())
    };
    let plain = read("scan-00.grib2");
    for name in ["scan-10.grib2", "scan-50.grib2", "scan-90.grib2"] {
        assert_eq!(read(name), plain, "{name}");
    }
}
