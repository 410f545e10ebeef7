//! What a forecast's reader is told: oddities with count and example, gaps in time, grids that differ.

use std::fs;

use crate::common::files::data;
use crate::common::grib::{OF_A_STEP, octet, open, passage};
use roughwater::base::{Alignment, WindowLength};
use roughwater::forecast::Forecast;
use roughwater::forecast::inspect::inspect;
use roughwater::region::Region;
use roughwater::survey::survey;

/// Counts and places as `tests/reference/make_netcdf.py`, `odd`, writes them by hand: rows from 50 N southwards, columns
/// from 10 W eastwards, a degree each. Grids are read from the south, so the first cell is the southernmost.
#[test]
fn every_oddity_is_counted_and_shown_at_its_first_cell() {
    let report = inspect(&data("odd.nc")).unwrap();
    // frequencies where periods should be: no job takes that file
    let [refused] = &report.lacks[..] else { panic!("{:?}", report.lacks) };
    assert!(refused.contains("total sea peak period Tp") && refused.contains("30 of 30 values"), "{refused}");
    let expected = [
        ("wave height beyond 30 m: another unit?", 1, 47.0, -6.0, "total sea Hs 40"),
        ("direction outside -180 to 360", 1, 50.0, -5.0, "total sea mean direction (from) 365"),
        ("every period below 1 s: is it a frequency in Hz?", 30, 46.0, -10.0, "total sea peak period Tp 0.1"),
        ("negative wave height", 1, 46.0, -6.0, "swell 1 Hs -0.5"),
        (
            "every direction within 0 to 6.29: radians, not degrees?",
            30,
            46.0,
            -10.0,
            "swell 1 mean direction (from) 4.2",
        ),
        ("negative wind speed", 1, 46.0, -10.0, "wind speed -1"),
        ("steeper than 1/15", 2, 49.0, -9.0, "Hs 1.50 m with Tp 3.00 s, 1/9.4"),
        (
            "wind sea more than 90 degrees off the wind",
            1,
            48.0,
            -8.0,
            "wind sea from 60, wind 9.0 m/s from 235",
        ),
        ("wave systems and total sea disagree", 1, 49.0, -8.0, "systems together 2.50 m, total 1.20 m"),
        (
            "mean periods in an impossible order",
            3,
            46.0,
            -5.0,
            "total sea mean period Tm02 9.50 s, energy period Tm-10 9.00 s",
        ),
        ("water depth not above 0: taken as deep", 1, 47.0, -7.0, "water depth -5 m"),
    ];
    for (name, count, lat_deg, lon_deg, found) in expected {
        let check = report.checks.iter().find(|check| check.name == name);
        let check = check.unwrap_or_else(|| panic!("no check \"{name}\" in {:#?}", report.checks));
        assert_eq!((check.count, check.example.found.as_str()), (count, found), "{name}");
        assert_eq!((check.example.lat_deg, check.example.lon_deg), (lat_deg, lon_deg), "{name}");
        assert_eq!(check.example.valid.to_string(), "2024-01-15T00:00:00Z");
    }
    assert_eq!(report.checks.len(), expected.len(), "{:#?}", report.checks);
}

/// The forecast without some of its steps, and the folder it is in.
fn without(left_out: &[usize]) -> (tempfile::TempDir, Forecast) {
    let all = passage();
    let kept = all.chunks(OF_A_STEP).enumerate().filter(|(step, _)| !left_out.contains(step));
    let (dir, forecast) = open(&kept.map(|(_, messages)| messages).collect::<Vec<_>>().concat());
    (dir, forecast.unwrap())
}

fn times(forecast: &Forecast) -> Vec<String> {
    forecast.steps().iter().map(|step| step.valid.to_string()).collect()
}

/// The passage has a step every 6 h.
#[test]
fn a_step_that_is_missing_is_a_hole_with_its_times() {
    let (_, whole) = without(&[]);
    assert!(whole.holes().is_empty() && whole.notes().iter().all(|note| !note.contains("apart")));
    let all = times(&whole);
    let (_, holed) = without(&[3]);
    let hole = [&all[2], &all[4]].map(|time| time.parse().unwrap());
    assert_eq!(holed.holes(), [hole]);
    let told = format!("steps are 6 h apart, but 12 h between {} and {}", all[2], all[4]);
    assert!(holed.notes().contains(&told), "{told}: {:?}", holed.notes());

    let (_, twice) = without(&[2, 5]);
    assert_eq!(twice.holes().len(), 2);
    assert!(
        twice.notes().iter().any(|note| note.ends_with("and wider than that 1 more times")),
        "{:?}",
        twice.notes()
    );
}

/// 6 h to the fourth step and 12 h from there on: the forecast's own, told and no hole.
#[test]
fn a_spacing_that_widens_for_good_is_no_hole() {
    let (_, widening) = without(&[4, 6]);
    let all = times(&widening);
    assert_eq!(all.len(), 6);
    assert!(widening.holes().is_empty(), "{:?}", widening.holes());
    let told = format!("steps are 6 h apart, but 12 h between {} and {}", all[3], all[4]);
    assert!(widening.notes().iter().any(|note| note.starts_with(&told)), "{:?}", widening.notes());
}

/// Windows of 6 h on steps every 6 h: the window of the step that is missing stands empty.
#[test]
fn a_window_without_a_step_is_told() {
    let (_dir, forecast) = without(&[3]);
    let ring = vec![(178.0, -52.0), (182.0, -52.0), (182.0, -50.0), (178.0, -50.0), (178.0, -52.0)];
    let polygon = geo::Polygon::new(geo::LineString::from(ring), Vec::new());
    let region =
        Region { name: "Box".to_owned(), polygons: geo::MultiPolygon(vec![polygon]), notes: Vec::new() };
    let six = WindowLength::Every(jiff::SignedDuration::from_hours(6));
    let set = survey(&forecast, &[region], six, Alignment::Midnight, &[], &|_, _| Ok(())).unwrap();
    let mut set = set.set;
    set.settle().unwrap();
    let empty = set.empty_windows();
    assert_eq!(empty.len(), 1);
    let missing = forecast.steps()[2].valid + jiff::SignedDuration::from_hours(6);
    assert!(empty[0].start <= missing && missing < empty[0].end);
}

/// The height of the total sea on one grid, that of the wind sea (octet 11 of section 4: parameter 5) on another.
#[test]
fn waves_of_one_time_on_two_grids_are_an_error_that_names_both() {
    let total = fs::read(data("mixed-grids.grib2")).unwrap();
    let mut wind_sea = fs::read(data("lon-signed.grib2")).unwrap();
    let parameter = octet(&wind_sea, 4, 11);
    assert_eq!(wind_sea[parameter], 3);
    wind_sea[parameter] = 5;
    let (_dir, forecast) = open(&[total, wind_sea]);
    let text = forecast.unwrap_err().to_string();
    for word in ["different grids", "wind sea Hs", "message 4", "as in message 1 (total sea Hs)", "one grid"]
    {
        assert!(text.contains(word), "{word}: {text}");
    }
}

/// Grids may differ from time to time: each step has its own.
#[test]
fn waves_of_two_times_on_two_grids_are_two_steps() {
    let first = fs::read(data("mixed-grids.grib2")).unwrap();
    let mut second = fs::read(data("lon-signed.grib2")).unwrap();
    let hours = octet(&second, 4, 22);
    assert_eq!(second[hours], 6);
    second[hours] = 9;
    let forecast = open(&[first, second]).1.unwrap();
    let grids: Vec<_> = forecast.steps().iter().map(|step| step.grid.summary()).collect();
    assert_eq!(grids.len(), 2);
    assert_ne!(grids[0], grids[1]);
}
