//! When fields of NetCDF files are valid: reference times, periods and valid times in the combinations that cfgrib and
//! xarray write, and units of time as models and buoys write them. Expected times by hand.

use crate::common::classic::{Classic, Values};
use crate::common::files::{data, went_wrong};
use roughwater::forecast::{Forecast, index};

const TIME: (&str, &str) = ("hours since 2024-01-15", "time");
const REFERENCE: (&str, &str) = ("hours since 2024-01-15", "forecast_reference_time");
const STEP: (&str, &str) = ("hours", "forecast_period");

fn put<V: Into<Values>>(
    file: Classic,
    name: &str,
    dims: &[&str],
    (unit, standard): (&str, &str),
    values: V,
) -> Classic {
    let mut attributes = vec![("units", Values::from(unit))];
    if !standard.is_empty() {
        attributes.push(("standard_name", standard.into()));
    }
    file.variable(name, dims, &attributes, values)
}

/// Valid and reference hours of the steps since 2024-01-15, or the error.
fn hours(file: &Classic) -> Result<Vec<(i64, i64)>, String> {
    let (_dir, path) = file.write();
    let forecast = Forecast::open(&[path]).map_err(|error| error.to_string())?;
    let start: jiff::Timestamp = "2024-01-15T00:00:00Z".parse().unwrap();
    let since = |time: jiff::Timestamp| time.duration_since(start).as_hours();
    let of = |step: &roughwater::forecast::Step| {
        let message = step.messages.values().next().unwrap();
        (since(step.valid), since(message.reference))
    };
    Ok(forecast.steps().iter().map(of).collect())
}

#[test]
fn a_scalar_step_counts() {
    let forecast = Forecast::open(&[data("scalar-step-6h.nc")]).unwrap();
    assert_eq!(forecast.steps().len(), 1);
    assert_eq!(forecast.steps()[0].valid.to_string(), "2024-01-15T06:00:00Z");
}

/// cfgrib's dataset of one field, of one step of many runs, of many steps of one run, and of both; with and without the
/// valid time that it adds.
#[test]
fn cfgribs_combinations_come_out_alike() {
    let valid = ("hours since 2024-01-15", "time");
    for with_valid in [true, false] {
        let add = |file: Classic, dims: &[&str], values: Values| {
            if with_valid { put(file, "valid_time", dims, valid, values) } else { file }
        };
        let one = put(put(Classic::sea(&[], 1), "time", &[], REFERENCE, 12.0), "step", &[], STEP, 6.0);
        assert_eq!(hours(&add(one, &[], 18.0.into())), Ok(vec![(18, 12)]));
        let steps = Classic::sea(&["step"], 2).dim("step", 2);
        let steps = put(put(steps, "time", &[], REFERENCE, 12.0), "step", &["step"], STEP, [3.0, 6.0]);
        assert_eq!(hours(&add(steps, &["step"], [15.0, 18.0].into())), Ok(vec![(15, 12), (18, 12)]));
        let runs = Classic::sea(&["time"], 2).dim("time", 2);
        let runs = put(put(runs, "time", &["time"], REFERENCE, [0.0, 12.0]), "step", &[], STEP, 6.0);
        assert_eq!(hours(&add(runs, &["time"], [6.0, 18.0].into())), Ok(vec![(6, 0), (18, 12)]));
        let both = Classic::sea(&["time", "step"], 4).dim("time", 2).dim("step", 2);
        let both = put(both, "time", &["time"], REFERENCE, [0.0, 12.0]);
        let both = put(both, "step", &["step"], STEP, [3.0, 6.0]);
        let both = add(both, &["time", "step"], [3.0, 6.0, 15.0, 18.0].into());
        assert_eq!(hours(&both), Ok(vec![(3, 0), (6, 0), (15, 12), (18, 12)]));
    }
}

/// After swapping dimensions in xarray, and as CF's own examples have it.
#[test]
fn a_valid_time_with_its_start_or_its_period_beside_it_is_valid_as_it_stands() {
    let times = || put(Classic::sea(&["time"], 2).dim("time", 2), "time", &["time"], TIME, [15.0, 18.0]);
    let swapped = put(
        Classic::sea(&["valid_time"], 2).dim("valid_time", 2),
        "valid_time",
        &["valid_time"],
        TIME,
        [15.0, 18.0],
    );
    let swapped = put(put(swapped, "step", &["valid_time"], STEP, [3.0, 6.0]), "time", &[], REFERENCE, 12.0);
    assert_eq!(hours(&swapped), Ok(vec![(15, 12), (18, 12)]));
    assert_eq!(hours(&times()), Ok(vec![(15, 15), (18, 15)]));
    assert_eq!(
        hours(&put(times(), "forecast_reference_time", &[], REFERENCE, 12.0)),
        Ok(vec![(15, 12), (18, 12)])
    );
    let period = put(times(), "forecast_period", &["time"], STEP, [3.0, 6.0]);
    assert_eq!(hours(&period), Ok(vec![(15, 12), (18, 12)]));
    assert_eq!(
        hours(&put(period, "forecast_reference_time", &[], REFERENCE, 12.0)),
        Ok(vec![(15, 12), (18, 12)])
    );
}

#[test]
fn a_lead_time_is_added_to_the_start() {
    let leads = |time| {
        put(Classic::sea(&["leadtime"], 2).dim("leadtime", 2), "leadtime", &["leadtime"], ("h", ""), time)
    };
    let start = |file, standard| put(file, "time", &[], ("hours since 2024-01-15", standard), 12.0);
    assert_eq!(hours(&start(leads([3.0, 6.0]), "time")), Ok(vec![(15, 12), (18, 12)]));
    let reference = put(leads([3.0, 6.0]), "forecast_reference_time", &[], REFERENCE, 12.0);
    assert_eq!(hours(&reference), Ok(vec![(15, 12), (18, 12)]));
    assert_eq!(
        hours(&start(reference, "time")),
        Ok(vec![(15, 12), (18, 12)]),
        "a time that is the start itself"
    );
}

#[test]
fn times_that_contradict_each_other_are_refused() {
    let file = put(put(Classic::sea(&[], 1), "time", &[], REFERENCE, 12.0), "step", &[], STEP, 6.0);
    let text = hours(&put(file, "valid_time", &[], TIME, 12.0)).unwrap_err();
    for word in ["contradict", "valid_time, time and step", "2024-01-15T12:00:00Z", "2024-01-15T18:00:00Z"] {
        assert!(text.contains(word), "{word}: {text}");
    }
}

#[test]
fn a_depth_without_time_is_there_at_every_one() {
    let steps = Classic::sea(&["step"], 2).dim("step", 2);
    let steps = put(put(steps, "time", &[], REFERENCE, 12.0), "step", &["step"], STEP, [3.0, 6.0]);
    let (_dir, path) = steps.field("depth", &[], "sea_floor_depth_below_sea_surface", "m", 50.0, 1).write();
    let forecast = Forecast::open(&[path]).unwrap();
    assert_eq!(forecast.read_step(1).unwrap().depth_m(0), Some(50.0));
}

#[test]
fn units_and_texts_of_time_are_read() {
    let of = |unit: &str, value: f64| {
        hours(&put(Classic::sea(&["time"], 1), "time", &["time"], (unit, "time"), [value]))
    };
    assert_eq!(of("seconds since 1970-01-01T00:00:00Z", 1_705_298_400.0), Ok(vec![(6, 6)]));
    assert_eq!(of("hours since 2024-01-15 00:00:00 UTC", 6.0), Ok(vec![(6, 6)]));
    assert_eq!(of("hours since 2024-01-15T02:00:00.000+02:00", 6.0), Ok(vec![(6, 6)]));
    let text = of("fortnights since 2024-01-15", 6.0).unwrap_err();
    assert!(text.contains("variable time") && text.contains("fortnights since"), "{text}");
    let written = Classic::sea(&["time"], 1).dim("length", 20);
    let written = written.variable("time", &["time", "length"], &[], Values::from("2024-01-15T06:00:00Z"));
    assert_eq!(hours(&written), Ok(vec![(6, 6)]));
    let text = index(&data("time-unit-Z.nc")).unwrap().messages[0].valid.to_string();
    assert_eq!(text, "2024-01-15T00:00:00Z");
}

/// Times as netCDF4's num2date has them: the wave model's 9 run to 5 December, the buoy's begin on 9 June.
#[test]
fn a_real_wave_models_and_a_real_buoys_times_are_read() {
    if let Some(path) = went_wrong("ww3file.nc") {
        let times: Vec<_> = index(&path).unwrap().spectra.iter().map(|m| m.valid.to_string()).collect();
        assert_eq!((times.len(), &times[0][..]), (9, "2014-12-01T00:00:00Z"));
        assert_eq!(times[8], "2014-12-05T00:00:00Z");
    }
    if let Some(path) = went_wrong("42098w9999.nc") {
        let first = index(&path).unwrap().messages[0].valid.to_string();
        assert_eq!(first, "2015-06-09T11:00:00Z");
    }
}
