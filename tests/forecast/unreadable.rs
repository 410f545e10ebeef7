//! A message that cannot be read spoils no other: it is a gap by name. A field without a value is one that can be read.

use std::fs;

use crate::common::files::data;
use crate::common::grib::{octet, open, passage};
use roughwater::forecast::inspect::inspect;
use roughwater::forecast::{Forecast, Lack, SystemLabel, index};

/// ecCodes counts 16 missing values in each.
#[test]
fn fields_without_a_value_are_read_in_every_packing() {
    for (name, count) in [("all-missing-packings.grib2", 7), ("all-missing.grib1", 1)] {
        let messages = index(&data(name)).unwrap().messages;
        assert_eq!(messages.len(), count);
        for message in messages {
            let field = message.decode().unwrap_or_else(|error| panic!("{}: {error}", message.packing));
            assert_eq!((field.len(), field.summary().missing), (16, 16), "{}", message.packing);
        }
    }
    assert_eq!(
        index(&data("all-missing.grib2")).unwrap().messages[0].decode().unwrap().summary().missing,
        2091
    );
}

/// A second swell that is nowhere: the sea is that of the first.
#[test]
fn a_swell_that_is_missing_everywhere_is_absent() {
    let forecast = Forecast::open(&[data("all-missing-swell2-jpeg.grib2")]).unwrap();
    let sea = forecast.read_step(0).unwrap();
    assert!(sea.unreadable().is_empty(), "{:?}", sea.unreadable());
    assert_eq!((sea.coverage().sea, sea.coverage().total_sea), (36, 0));
}

#[test]
fn a_grib1_message_in_second_order_packing_is_named_alone() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("mixed.grib1");
    let good = fs::read(data("ecmwf-twin.grib1")).unwrap();
    fs::write(&path, [fs::read(data("grib1-second-order.grib")).unwrap(), good].concat()).unwrap();
    let forecast = Forecast::open(&[&path]).unwrap();
    assert_eq!(forecast.steps().len(), 1);
    assert!(forecast.read_step(0).unwrap().coverage().sea > 0);
    assert_eq!(forecast.unreadable().len(), 5);
    let first = &forecast.unreadable()[0];
    for word in ["message 1 (wind speed)", "mixed.grib1", "second-order packing"] {
        assert!(first.contains(word), "{word}: {first}");
    }
    let report = inspect(&path).unwrap();
    assert_eq!(report.lacks.len(), 5, "{:?}", report.lacks);
    let alone = Forecast::open(&[data("grib1-second-order.grib")]).unwrap_err().to_string();
    assert!(alone.contains("no waves") && alone.contains("second-order packing"), "{alone}");
}

/// A step of the invented passage with the data of one message cut to nothing: bits a value is octet 20 of section 5.
fn with_damaged(category: (u8, u8), number: u8) -> (tempfile::TempDir, Forecast) {
    let mut step = passage()[..19].to_vec();
    let is_it =
        |m: &&mut Vec<u8>| (m[6], m[octet(m, 4, 10)], m[octet(m, 4, 11)]) == (category.0, category.1, number);
    let message = step.iter_mut().find(is_it).unwrap();
    let template = octet(message, 5, 11);
    message[template] = 61;
    let (dir, forecast) = open(&step);
    (dir, forecast.unwrap())
}

#[test]
fn of_a_damaged_system_the_total_sea_stands_in_and_is_told() {
    let (_dir, forecast) = with_damaged((10, 0), 5);
    let sea = forecast.read_step(0).unwrap();
    let [told] = sea.unreadable() else { panic!("{:?}", sea.unreadable()) };
    assert!(told.contains("wind sea Hs") && told.contains("cannot be unpacked"), "{told}");
    let coverage = sea.coverage();
    assert_eq!((coverage.gaps.len(), coverage.total_sea), (0, coverage.sea - coverage.flat));
}

/// The passage has speed and direction and components as well: without the speed the components serve.
#[test]
fn of_a_damaged_wind_speed_the_components_serve() {
    let (_whole_dir, whole) = open(&passage()[..19]);
    let (_dir, forecast) = with_damaged((0, 2), 1);
    let sea = forecast.read_step(0).unwrap();
    assert_eq!(sea.unreadable().len(), 1);
    assert_eq!(sea.coverage(), whole.unwrap().read_step(0).unwrap().coverage());
}

/// The height of the only sea cannot be read: every cell is a gap, none is land.
#[test]
fn of_a_damaged_height_that_is_the_only_one_the_cells_are_gaps() {
    let total_or_wind = |m: &Vec<u8>| match (m[6], m[octet(m, 4, 10)], m[octet(m, 4, 11)]) {
        (0, 2, _) => true,
        (10, 0, number) => matches!(number, 3 | 10 | 11),
        _ => false,
    };
    let mut step: Vec<_> = passage()[..19].iter().filter(|m| total_or_wind(m)).cloned().collect();
    let height = step.iter_mut().find(|m| m[6] == 10 && m[octet(m, 4, 11)] == 3).unwrap();
    let template = octet(height, 5, 11);
    height[template] = 61;
    let (_dir, forecast) = open(&step);
    let sea = forecast.unwrap().read_step(0).unwrap();
    let coverage = sea.coverage();
    assert_eq!((coverage.land, coverage.sea), (0, 0));
    assert_eq!(coverage.gaps.keys().collect::<Vec<_>>(), [&Lack::Height(SystemLabel::Total)]);
}

/// A file that is cut short while it is read is no gap but an error.
#[test]
fn a_file_that_loses_its_end_is_an_error() {
    let (dir, forecast) = open(&passage()[..19]);
    let path = dir.path().join("made.grib2");
    let bytes = fs::read(&path).unwrap();
    fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
    let text = forecast.unwrap().read_step(0).unwrap_err().to_string();
    assert!(text.contains("cannot read") && text.contains("made.grib2"), "{text}");
}
