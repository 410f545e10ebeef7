//! Directional spectra of every format against NumPy's integrals: `tests/reference/make_netcdf.py` and
//! `make_spectra_grib.py` made files and tables.

use std::collections::BTreeMap;
use std::path::Path;

use crate::common::files::{data, file, forecast};
use crate::common::places::point;
use roughwater::base::bearing::wrap180;
use roughwater::forecast::{FileIndex, Forecast, index, inspect};
use roughwater::sea::{PeriodKind, Spectrum2d};

fn period(spectrum: &Spectrum2d, kind: PeriodKind) -> f64 {
    spectrum.period(kind).unwrap().seconds
}

/// Holds heights, mean periods, mean direction and spread of each spectrum to a table's; the number of spectra.
fn compared(table: &str, tolerance: f64) -> usize {
    let mut files = BTreeMap::new();
    let mut checked = 0;
    let rows: Vec<csv::StringRecord> = csv::Reader::from_path(file("tests/reference").join(table))
        .unwrap()
        .records()
        .map(Result::unwrap)
        .collect();
    for row in rows {
        let number = |k: usize| row[k].parse::<f64>().unwrap();
        let held = files.entry(row[0].to_owned()).or_insert_with(|| {
            let message = index(&forecast(&row[0])?).unwrap().spectra.remove(0);
            Some((message.grid.clone().unwrap(), message.decode().unwrap()))
        });
        let Some((grid, spectra)) = held else { continue };
        let spectrum = spectra.at(point(grid, number(1), number(2))).expect("a spectrum");
        let found = [
            spectrum.hs_m(),
            period(&spectrum, PeriodKind::Tm01),
            period(&spectrum, PeriodKind::Tm02),
            period(&spectrum, PeriodKind::Tm10),
            spectrum.spread_deg().unwrap(),
        ];
        for (found, expected) in found.iter().zip([3, 4, 5, 6, 8].map(number)) {
            assert!((found - expected).abs() < tolerance * expected, "{row:?}: {found}");
        }
        let from = spectrum.mean_from().unwrap().deg();
        assert!(wrap180(from - number(7)).abs() < 100.0 * tolerance, "{row:?}: {from}");
        checked += 1;
    }
    checked
}

#[test]
fn netcdf_spectra_integrate_to_what_numpy_finds() {
    assert!(compared("small_spectra.csv", 1e-5) >= 5);
}

/// Two files of GRIB2 (templates 4.99 and 4.100) and one of GRIB1 (local definition 13); eleven of twelve points each are sea.
#[test]
fn grib_spectra_integrate_to_what_numpy_makes_of_eccodes_values() {
    assert_eq!(compared("small_spectra_grib.csv", 1e-5), 33);
}

/// Time, member and land are those of `make_spectra_grib.py`; a spectrum counts as one message of the number of its first.
#[test]
fn the_components_of_a_time_are_one_message() {
    for (name, member) in
        [("spectra.grib2", None), ("spectra-member.grib2", Some(3)), ("spectra.grib1", Some(2))]
    {
        let FileIndex { messages, spectra, .. } = index(&data(name)).unwrap();
        let [message] = spectra.as_slice() else { panic!("{name}: {} spectra", spectra.len()) };
        assert_eq!(
            (message.valid.to_string().as_str(), message.member),
            ("2024-01-15T06:00:00Z", member),
            "{name}"
        );
        assert_eq!((messages.len(), message.number), (2, 1), "{name}");
        let land = message.grid.as_ref().map(|grid| point(grid, -49.0, 178.0)).unwrap();
        assert!(message.decode().unwrap().at(land).is_none(), "{name}");
    }
}

#[test]
fn a_forecast_of_spectra_in_grib_serves() {
    for name in ["spectra.grib2", "spectra.grib1"] {
        let forecast = Forecast::open(&[data(name)]).unwrap();
        let sea = forecast.read_step(0).unwrap();
        assert_eq!((sea.coverage().land, sea.coverage().sea), (1, 11), "{name}");
    }
}

/// The bytes of each message of a GRIB2 file.
fn messages(path: &Path) -> Vec<Vec<u8>> {
    let bytes = std::fs::read(path).unwrap();
    let mut rest = bytes.as_slice();
    let mut messages = Vec::new();
    while let Some(length) = rest.get(8..16) {
        let (message, after) = rest.split_at(u64::from_be_bytes(length.try_into().unwrap()) as usize);
        messages.push(message.to_vec());
        rest = after;
    }
    messages
}

/// What a forecast says of its spectra when its messages were changed.
fn told(change: impl Fn(&mut Vec<Vec<u8>>)) -> String {
    let mut all = messages(&data("spectra.grib2"));
    change(&mut all);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("changed.grib2");
    std::fs::write(&path, all.concat()).unwrap();
    let report = inspect::inspect(&path).unwrap();
    let error = index(&path).unwrap().spectra[0].decode().unwrap_err().to_string();
    let spectrum = report.messages.iter().find(|m| m.code.starts_with("10/0/86")).unwrap();
    assert!(spectrum.problem.as_ref().is_some_and(|problem| error.contains(problem.lines().next().unwrap())));
    error
}

#[test]
fn a_spectrum_that_is_not_whole_says_which_component_it_lacks() {
    // two messages of wind come last; 12 directions a frequency: the fifteenth message is the third direction of the second frequency
    let error = told(|all| drop(all.remove(14)));
    assert!(error.contains("1 of 120 components missing, the first direction 3, frequency 2"), "{error}");
    let error = told(|all| all.push(all[14].clone()));
    assert!(error.contains("twice") && error.contains("messages 15 and 123"), "{error}");
    let error = told(|all| {
        let (other, third) = (all[1].len(), &mut all[2]);
        assert_eq!(third.len(), other);
        // octets 12 to 15 of section 5 are the reference value that the packed ones add to
        let at = third.windows(5).position(|w| w[4] == 5 && w[..3] == [0, 0, 0]).unwrap();
        third[at + 11..at + 15].copy_from_slice(&1e9f32.to_be_bytes());
    });
    assert!(error.contains("beyond all bounds") && error.contains("message 3"), "{error}");
}
