//! NetCDF against xarray, value for value: `tests/reference/make_netcdf.py` and `netcdf_values.py` made the tables.

use std::collections::BTreeMap;

use crate::common::files::{file, forecast};
use crate::common::places::point;
use roughwater::base::bearing::wrap180;
use roughwater::forecast::Field;
use roughwater::forecast::index;
use roughwater::forecast::{FileIndex, Message};

fn rows(table: &str) -> Vec<csv::StringRecord> {
    let path = file("tests/reference").join(table);
    csv::Reader::from_path(path).unwrap().records().map(Result::unwrap).collect()
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("no number: {text}"))
}

/// Opened files and decoded fields by file, variable, time and member.
#[derive(Default)]
struct Fields {
    files: BTreeMap<String, Option<FileIndex>>,
    decoded: BTreeMap<String, (Message, Field)>,
}

impl Fields {
    fn get(&mut self, file: &str, variable: &str, time: &str, member: &str) -> Option<&(Message, Field)> {
        let index =
            self.files.entry(file.to_owned()).or_insert_with(|| forecast(file).map(|p| index(&p).unwrap()));
        let messages = &index.as_ref()?.messages;
        let key = [file, variable, time, member].join(" ");
        let is_wanted = |m: &&Message| {
            m.code.split(' ').next() == Some(variable)
                && m.valid.to_string() == time
                && m.member.map_or(String::new(), |n| n.to_string()) == member
        };
        Some(self.decoded.entry(key.clone()).or_insert_with(|| {
            let message = messages.iter().find(is_wanted).unwrap_or_else(|| panic!("no {key}")).clone();
            let field = message.decode().unwrap();
            (message, field)
        }))
    }
}

#[test]
fn every_unit_sense_packing_and_order_equals_xarray() {
    let mut fields = Fields::default();
    let mut worst = 0.0f64;
    let rows = rows("small_netcdf.csv");
    for row in &rows {
        let (message, field) = fields.get(&row[0], &row[1], &row[2], &row[3]).expect("a file of tests/data");
        let found = field.get(point(message.grid.as_ref().unwrap(), number(&row[4]), number(&row[5])));
        match (&row[6], found) {
            ("", found) => assert_eq!(found, None, "{row:?}"),
            (expected, Some(found)) => {
                let off = f64::from(found) - number(expected);
                let is_direction = message.quantity.unwrap().is_direction();
                let off = if is_direction { wrap180(off) } else { off };
                worst = worst.max(off.abs() / number(expected).abs().max(1.0));
            }
            (_, None) => panic!("missing: {row:?}"),
        }
    }
    assert!(rows.len() > 300);
    // values pass through f32: 24 bits, a few roundings, radians by an f32 factor
    assert!(worst < 5e-7, "worst relative deviation {worst:e}");
}

#[test]
fn real_files_equal_xarray() {
    let mut fields = Fields::default();
    for row in rows("real_netcdf.csv") {
        if &row[1] == "msletmsl" {
            continue;
        }
        let Some((message, field)) = fields.get(&row[0], &row[1], &row[2], "") else { continue };
        let near = |found: f64, expected: f64| (found - expected).abs() <= 3e-7 * expected.abs().max(1.0);
        let summary = field.summary();
        assert_eq!(
            (summary.points as f64, summary.missing as f64),
            (number(&row[3]), number(&row[4])),
            "{row:?}"
        );
        let (least, greatest) = summary.range.unwrap();
        assert!(near(least.into(), number(&row[5])) && near(greatest.into(), number(&row[6])), "{row:?}");
        assert!(near(field.iter().flatten().map(f64::from).sum(), number(&row[7])), "{row:?}");
        for place in row.iter().skip(8) {
            let parts: Vec<&str> = place.split(':').collect();
            let found = field.get(point(message.grid.as_ref().unwrap(), number(parts[0]), number(parts[1])));
            match parts[2] {
                "-" => assert_eq!(found, None, "{row:?}"),
                value => assert!(near(found.unwrap().into(), number(value)), "{row:?}"),
            }
        }
    }
}
