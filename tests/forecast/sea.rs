//! Steps and the sea at each cell, on the real file and on the invented passage.

use crate::common::files::{INVENTED, NOAA, data, file};
use crate::common::grib::{OF_A_STEP, octet, open, passage};
use crate::common::places::point;
use roughwater::forecast::inspect::inspect;
use roughwater::forecast::{CellSea, Forecast, SeaGrid};
use roughwater::forecast::{Quantity, SystemLabel};
use roughwater::sea::{PartitionKind, PeriodKind};

fn at(sea: &SeaGrid, lat_deg: f64, lon_deg: f64) -> CellSea {
    sea.cell(point(&sea.grid, lat_deg, lon_deg))
}

/// Counted with ecCodes and NumPy on the same file: 29419 points have wind and height; two have height 0 and no
/// system, and six more have a height and no system.
#[test]
fn the_real_file_has_no_gaps_and_few_seas_without_systems() {
    let forecast = Forecast::open(&[file(NOAA)]).unwrap();
    assert_eq!((forecast.steps().len(), forecast.unused_messages(), forecast.missing_messages()), (1, 0, 0));
    assert_eq!(forecast.steps()[0].valid.to_string(), "2021-08-26T12:00:00Z");
    let coverage = forecast.read_step(0).unwrap().coverage();
    assert_eq!((coverage.land, coverage.sea), (70_212, 29_419));
    assert_eq!((coverage.flat, coverage.total_sea), (2, 6));
    assert!(coverage.gaps.is_empty(), "{:?}", coverage.gaps);
}

/// The values at 27.5N 285E are ecCodes' (tests/reference/noaa_wave.csv, point 3 of each message).
#[test]
fn a_cell_of_the_real_file_is_what_eccodes_reads_there() {
    let sea = Forecast::open(&[file(NOAA)]).unwrap().read_step(0).unwrap();
    let CellSea::Sea(state) = at(&sea, 27.5, -75.0) else { panic!("no sea") };
    assert!((state.wind.tws_m_s - 6.58).abs() < 1e-5);
    assert!((state.wind.from.deg() - 103.71).abs() < 1e-4);
    let wind_sea = &state.partitions[0];
    assert_eq!((wind_sea.kind, wind_sea.period.kind), (PartitionKind::WindSea, PeriodKind::Peak));
    assert!((wind_sea.hs_m - 1.76).abs() < 1e-6);
    assert_eq!(at(&sea, 55.0, -100.0), CellSea::Land);
}

#[test]
fn the_invented_passage_crosses_180_and_has_three_systems() {
    let forecast = Forecast::open(&[file(INVENTED)]).unwrap();
    assert_eq!((forecast.steps().len(), forecast.missing_messages()), (8, 0));
    let sea = forecast.read_step(4).unwrap();
    assert_eq!(sea.grid.lon_deg()[40], 205.0);
    let CellSea::Sea(state) = at(&sea, -50.0, 180.0) else { panic!("no sea") };
    let kinds: Vec<_> = state.partitions.iter().map(|p| p.kind).collect();
    assert_eq!(kinds, [PartitionKind::WindSea, PartitionKind::Swell, PartitionKind::Swell]);
    assert_eq!(at(&sea, -44.0, 171.0), CellSea::Land);
    assert!(sea.coverage().gaps.is_empty());
}

/// The forecast's notes hold this one.
fn told(forecast: &Forecast, note: &str) {
    assert!(forecast.notes().iter().any(|told| told == note), "{note}: {:?}", forecast.notes());
}

/// Message 13 of a step is the period of swell 1: without it, energy must not vanish.
#[test]
fn where_a_message_is_missing_the_total_sea_stands_in_and_is_counted() {
    let mut all = passage();
    all.remove(12);
    let (_dir, forecast) = open(&all);
    let forecast = forecast.unwrap();
    let missing = [Quantity::Period(SystemLabel::Swell(1), PeriodKind::Peak)];
    assert_eq!((forecast.missing_messages(), &forecast.steps()[0].missing[..]), (1, &missing[..]));
    let first = forecast.steps()[0].valid;
    told(&forecast, &format!("swell 1 peak period Tp is missing from 1 of 8 steps, the first at {first}"));
    let sea = forecast.read_step(0).unwrap();
    let coverage = sea.coverage();
    assert_eq!(coverage.total_sea, coverage.sea);
    assert_eq!(forecast.read_step(1).unwrap().coverage().total_sea, 0);
}

/// Without the total (messages 5 to 7), a height without its period is a gap, and so are waves without wind.
#[test]
fn what_a_sea_lacks_makes_a_gap_with_its_reason() {
    let drop = |unwanted: &[usize]| {
        let all = passage();
        all.into_iter().enumerate().filter(|(i, _)| !unwanted.contains(i)).map(|(_, m)| m).collect::<Vec<_>>()
    };
    let (_dir, forecast) = open(&drop(&[4, 5, 6, 12]));
    let coverage = forecast.unwrap().read_step(0).unwrap().coverage();
    assert_eq!((coverage.sea, coverage.gaps.len()), (0, 1));
    assert_eq!(coverage.gaps.keys().map(|l| format!("{l:?}")).collect::<Vec<_>>(), ["Period(Swell(1))"]);
    let (_dir, forecast) = open(&drop(&[0, 2]));
    let coverage = forecast.unwrap().read_step(0).unwrap().coverage();
    assert_eq!(coverage.gaps.keys().map(|l| format!("{l:?}")).collect::<Vec<_>>(), ["Wind"]);
    assert_eq!(coverage.land, 35);
}

/// Wind from components equals speed and direction within the files' two decimals.
#[test]
fn either_form_of_the_wind_serves() {
    let without = |a: usize, b: usize| {
        let all = passage();
        open(
            &all.into_iter()
                .enumerate()
                .filter(|(i, _)| i % OF_A_STEP != a && i % OF_A_STEP != b)
                .map(|(_, m)| m)
                .collect::<Vec<_>>(),
        )
    };
    let ((_a, polar), (_b, components)) = (without(2, 3), without(0, 1));
    let (polar, components) =
        (polar.unwrap().read_step(2).unwrap(), components.unwrap().read_step(2).unwrap());
    for (a, b) in polar.cells().zip(components.cells()) {
        match (a, b) {
            (CellSea::Sea(a), CellSea::Sea(b)) => {
                assert!((a.wind.tws_m_s - b.wind.tws_m_s).abs() < 0.015);
                let off = a.wind.from.off_deg(b.wind.from).abs().to_radians() * a.wind.tws_m_s;
                assert!(off < 0.015, "{off} m/s sideways");
            }
            (a, b) => assert_eq!(a, b),
        }
    }
}

/// What is told of messages that another stands in for.
const GAVE_WAY: &str =
    "messages gave way to another of the same quantity and time: of a later forecast, or equal to it";

#[test]
fn equal_messages_count_once() {
    let all = passage();
    let (_dir, twice) = open(&[all.clone(), all.clone()].concat());
    let twice = twice.unwrap();
    assert_eq!(twice.steps().len(), 8);
    told(&twice, &format!("{} {GAVE_WAY}", all.len()));
}

/// The second step's fields, called the forecast of 6 hours earlier for 6 hours later: octets 16 and 17 of section 1 are
/// day and hour.
#[test]
fn of_two_forecasts_for_one_time_the_later_wins() {
    let all = passage();
    let (first, second) = (&all[..OF_A_STEP], &all[OF_A_STEP..2 * OF_A_STEP]);
    let mut earlier = second.to_vec();
    for (message, old) in earlier.iter_mut().zip(first) {
        let day = octet(message, 1, 16);
        assert_eq!(&message[day..day + 2], &[15, 0], "day 15, hour 0");
        message[day..day + 2].copy_from_slice(&[14, 18]);
        assert_ne!(message, old);
    }
    let (_dir, mixed) = open(&[first, &earlier].concat());
    let mixed = mixed.unwrap();
    assert_eq!(mixed.steps().len(), 1);
    told(&mixed, &format!("{OF_A_STEP} {GAVE_WAY}"));
    let (_dir, plain) = open(first);
    let (kept, plain) = (mixed.read_step(0).unwrap(), plain.unwrap().read_step(0).unwrap());
    assert!(kept.cells().eq(plain.cells()), "the later forecast's fields are kept");
}

/// The fifth field of the second step, called the first step's: octet 22 of section 4 ends its hours.
#[test]
fn two_fields_of_one_forecast_and_time_are_an_error() {
    let all = passage();
    let mut clash = all[..OF_A_STEP].to_vec();
    let mut twin = all[OF_A_STEP + 4].clone();
    let hour = octet(&twin, 4, 22);
    twin[hour] = 0;
    clash.push(twin);
    let (_dir, clash) = open(&clash);
    let text = clash.unwrap_err().to_string();
    assert!(text.contains("disagree") && text.contains("message 20"), "{text}");
}

#[test]
fn a_report_says_what_is_in_a_file_and_what_is_odd() {
    let report = inspect(&file(NOAA)).unwrap();
    assert_eq!((report.messages.len(), report.grids.len(), report.stray_bytes), (19, 1, 0));
    assert!(report.lacks.is_empty());
    assert_eq!(report.messages[11].note.as_ref().map(|note| note.contains("peak period")), Some(true));
    let json = serde_json::to_value(&report).unwrap();
    assert_eq!(json["messages"][4]["quantity"], "total sea Hs");
    assert_eq!(json["messages"][4]["packing"], "JPEG 2000");
    assert_eq!(json["kind"], "grib2");
    let report = inspect(&file(INVENTED)).unwrap();
    assert_eq!(report.checks, []);
    assert!(inspect(&data("no-wind.grib2")).unwrap().lacks[0].contains("no wind"));
}
