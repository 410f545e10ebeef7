//! What is combined: GRIB1 swells by message order, wind of another grid and time, members, depth, spectra, bands.

use std::fs;

use crate::common::files::{data, file, forecast as real};
use crate::common::places::{point, state};
use roughwater::base::bearing::wrap180;
use roughwater::forecast::inspect::inspect;
use roughwater::forecast::{CellSea, Forecast, Lack, SeaGrid, index};
use roughwater::forecast::{DirectionKind, Quantity, SystemLabel};
use roughwater::sea::{PartitionKind, Period, PeriodKind};

fn cell(sea: &SeaGrid, lat_deg: f64, lon_deg: f64) -> usize {
    point(&sea.grid, lat_deg, lon_deg)
}

/// The same 19 fields of one run, written in both editions, are the same seas. GRIB1 and GRIB2 round to 0.01 alike; their
/// unpacking ends in different last bits of 32.
#[test]
fn the_grib1_twin_has_the_sea_states_of_the_grib2_file() {
    let twins = ["grib1", "grib2"].map(|edition| real(&format!("gdaswave.t00z.wcoast.0p16.f000.{edition}")));
    let [Some(first), Some(second)] = twins else { return };
    let read = |path| Forecast::open(&[path]).unwrap().read_step(0).unwrap();
    let (one, two) = (read(first), read(second));
    assert_eq!(one.valid, two.valid);
    assert_eq!(one.coverage(), two.coverage());
    let axes = one
        .grid
        .lat_deg()
        .iter()
        .chain(one.grid.lon_deg())
        .zip(two.grid.lat_deg().iter().chain(two.grid.lon_deg()));
    assert!(axes.clone().count() == 392 && axes.clone().all(|(a, b)| (a - b).abs() < 1e-9));
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-6 * b.abs().max(1.0);
    let mut seas = 0;
    for (a, b) in one.cells().zip(two.cells()) {
        let (CellSea::Sea(a), CellSea::Sea(b)) = (&a, &b) else {
            assert_eq!(a, b);
            continue;
        };
        assert!(
            near(a.wind.tws_m_s, b.wind.tws_m_s) && wrap180(a.wind.from.off_deg(b.wind.from)).abs() < 1e-3
        );
        assert_eq!(a.partitions.len(), b.partitions.len());
        for (p, q) in a.partitions.iter().zip(&b.partitions) {
            assert_eq!((p.kind, p.period.kind), (q.kind, q.period.kind));
            assert!(near(p.hs_m, q.hs_m) && near(p.period.seconds, q.period.seconds), "{p:?} {q:?}");
            assert!(p.from.off_deg(q.from).abs() < 1e-3, "{p:?} {q:?}");
        }
        seas += 1;
    }
    assert_eq!(seas, 11_041);
}

#[test]
fn swells_are_told_by_message_order_unless_the_order_is_broken() {
    let quantities = |name: &str, step: &str| -> Vec<Option<Quantity>> {
        let messages = index(&data(name)).unwrap().messages;
        messages.into_iter().filter(|m| m.valid.to_string().contains(step)).map(|m| m.quantity).collect()
    };
    let whole = quantities("noaa-order.grib1", "T09");
    for rank in 1..=3 {
        let swell = SystemLabel::Swell(rank);
        let at = usize::from(rank) - 1;
        assert_eq!(whole[6 + at], Some(Quantity::Hs(swell)));
        assert_eq!(whole[10 + at], Some(Quantity::Period(swell, PeriodKind::Peak)));
        assert_eq!(whole[14 + at], Some(Quantity::From(swell, DirectionKind::Mean)));
    }
    // without the third height of the second step, its swells cannot be told apart: the total sea stands in
    assert_eq!(quantities("noaa-order-broken.grib1", "T09").iter().filter(|q| q.is_none()).count(), 8);
    let forecast = Forecast::open(&[data("noaa-order-broken.grib1")]).unwrap();
    assert!(
        forecast.notes().iter().any(|note| note.contains("order does not tell")),
        "{:?}",
        forecast.notes()
    );
    let systems = |step: usize| forecast.read_step(step).unwrap().coverage().total_sea;
    assert_eq!((systems(0), systems(1)), (0, 37));
}

/// Expected by SciPy's RegularGridInterpolator (tests/reference/make_netcdf.py, `wind_table`).
#[test]
fn wind_of_another_grid_and_time_is_interpolated_and_said_so() {
    let forecast = Forecast::open(&[data("ensemble.nc"), data("wind.nc")]).unwrap();
    assert_eq!(forecast.members(), [0, 1, 7]);
    let table = file("tests/reference/small_wind.csv");
    let (mut inside, mut outside) = (0, 0);
    for row in csv::Reader::from_path(table).unwrap().records().map(Result::unwrap) {
        let number = |k: usize| row[k].parse::<f64>().unwrap();
        for (i, step) in forecast.steps().iter().enumerate().filter(|(_, s)| s.valid.to_string() == row[0]) {
            assert!(step.has_foreign_wind() && step.missing.is_empty());
            let sea = forecast.read_step(i).unwrap();
            let at = cell(&sea, number(1), number(2));
            match (&row[3], sea.cell(at)) {
                (_, CellSea::Land) => {}
                ("", found) => {
                    assert_eq!(found, CellSea::Gap(Lack::Wind), "{row:?}");
                    outside += 1;
                }
                (_, found) => {
                    let CellSea::Sea(state) = found else { panic!("{row:?}: {found:?}") };
                    let (sin, cos) = state.wind.from.deg().to_radians().sin_cos();
                    let (u, v) = (-state.wind.tws_m_s * sin, -state.wind.tws_m_s * cos);
                    assert!((u - number(3)).abs() < 1e-5 && (v - number(4)).abs() < 1e-5, "{row:?}: {u} {v}");
                    inside += 1;
                }
            }
        }
    }
    assert!(inside > 60 && outside > 20, "{inside} inside, {outside} outside");
    let notes = forecast.notes().join("\n");
    assert!(notes.contains("wind of 6 steps is interpolated") && notes.contains("at most 1 h"), "{notes}");
    assert!(notes.contains("3 times have wind alone"), "{notes}");
}

#[test]
fn wind_too_far_in_time_is_a_gap_and_said_so() {
    let forecast = Forecast::open(&[data("ww3.nc"), data("cf-classic.nc")]).unwrap();
    assert_eq!(forecast.steps().len(), 4);
    let forecast = Forecast::open(&[data("ensemble.nc"), data("cf-classic.nc")]);
    let forecast = forecast.unwrap();
    let bare = forecast.steps().iter().position(|step| step.member == Some(7)).unwrap();
    assert!(
        forecast.steps()[bare].wind.is_none()
            && forecast.steps()[bare].missing.contains(&Quantity::WindSpeed)
    );
    let coverage = forecast.read_step(bare).unwrap().coverage();
    assert_eq!((coverage.sea, coverage.gaps.keys().collect::<Vec<_>>()), (0, vec![&Lack::Wind]));
    assert!(forecast.notes().iter().any(|note| note.contains("6 steps have no wind within 3 h")));
}

/// Depths are `make_netcdf.py`'s own formula: 20 + 280 (0.5 + 0.5 sin((1.3 i + 2.3 j) 9.7 x 0.31)) at row i from the
/// north, column j.
#[test]
fn depth_without_a_time_serves_every_step() {
    let forecast = Forecast::open(&[data("ensemble.nc"), data("wind.nc")]).unwrap();
    for step in 0..forecast.steps().len() {
        let sea = forecast.read_step(step).unwrap();
        let expected = 20.0 + 280.0 * (0.5 + 0.5 * ((1.3 * 2.0 + 2.3 * 3.0) * 9.7 * 0.31f64).sin());
        let found = sea.depth_m(cell(&sea, 50.0, 1.0)).unwrap();
        assert!((found - expected).abs() < 1e-4, "{found} {expected}");
        assert_eq!(sea.depth_m(cell(&sea, 52.0, -2.0)), None);
    }
}

#[test]
fn currents_are_named_as_not_used() {
    let forecast = Forecast::open(&[data("ww3.nc")]).unwrap();
    assert!(
        forecast.notes().iter().any(|note| note.contains("ucur") && note.contains("current")),
        "{:?}",
        forecast.notes()
    );
    let sea = forecast.read_step(0).unwrap();
    let kinds: Vec<_> = state(&sea, cell(&sea, 50.0, 1.0)).partitions.iter().map(|p| p.kind).collect();
    assert_eq!(kinds, [PartitionKind::WindSea, PartitionKind::Swell, PartitionKind::Swell]);
}

#[test]
fn members_are_steps_of_their_own_in_both_editions() {
    let first = Forecast::open(&[data("ecmwf-ensemble.grib1")]).unwrap();
    assert_eq!((first.members(), first.steps().len()), (vec![0, 1, 2], 3));
    let second = Forecast::open(&[data("ecmwf-ensemble.grib2")]).unwrap();
    assert_eq!((second.members(), second.steps().len()), (vec![1, 2], 2));
    let heights = [0, 1].map(|step| second.read_step(step).unwrap().total_hs_m(20));
    assert_ne!(heights[0], heights[1]);
}

/// Wind speeds as ecCodes prints them: 7.7 to 9.25 m/s, the same for both members; heights differ by 0.1 m.
#[test]
fn members_without_a_wind_of_their_own_sail_in_the_one_there_is() {
    let forecast = Forecast::open(&[data("ens-waves-det-wind.grib2")]).unwrap();
    assert_eq!(forecast.members(), [1, 2]);
    let seas = [0, 1].map(|step| forecast.read_step(step).unwrap());
    for sea in &seas {
        assert_eq!((sea.coverage().sea, sea.coverage().gaps.len()), (36, 0));
    }
    let [one, two] = seas.map(|sea| state(&sea, 0));
    assert_eq!(one.wind, two.wind);
    assert!((7.69..9.26).contains(&one.wind.tws_m_s), "{:?}", one.wind);
    assert!((two.partitions[0].hs_m - one.partitions[0].hs_m - 0.1).abs() < 1e-3);
}

/// Four quarters of an hour.
#[test]
fn a_quarter_of_an_hour_is_a_unit_of_grib1() {
    let forecast = Forecast::open(&[data("grib1-unit13.grib")]).unwrap();
    assert_eq!(forecast.steps()[0].valid.to_string(), "2024-01-15T01:00:00Z");
}

/// No period of the total sea in the file but by its bands: the middle of the highest band, unless more energy lies
/// outside both. Each cell is worked out from the decoded fields, which are held to ecCodes elsewhere.
#[test]
fn bands_give_a_peak_period_only_where_there_is_nothing_better() {
    let forecast = Forecast::open(&[data("ecmwf-ensemble.grib2")]).unwrap();
    assert!(
        forecast.notes().iter().any(|note| note.contains("middle of the highest band")),
        "{:?}",
        forecast.notes()
    );
    let (mut used, mut lacking) = (0, 0);
    let fields = forecast.steps()[0].decode().unwrap();
    let sea = forecast.read_step(0).unwrap();
    let get = |quantity, at| fields[&quantity].get(at);
    for at in 0..sea.grid.points() {
        let band = |low_s, high_s| get(Quantity::BandHs { low_s, high_s }, at);
        let (Some(hs), Some(a), Some(b)) =
            (get(Quantity::Hs(SystemLabel::Total), at), band(10, 12), band(12, 14))
        else {
            assert_eq!(sea.cell(at), CellSea::Land);
            continue;
        };
        if a.max(b).powi(2) >= hs * hs - a * a - b * b {
            let seconds = if a > b { 11.0 } else { 13.0 };
            assert_eq!(state(&sea, at).partitions[0].period, Period { seconds, kind: PeriodKind::Peak });
            used += 1;
        } else {
            assert_eq!(sea.cell(at), CellSea::Gap(Lack::Period(SystemLabel::Total)));
            lacking += 1;
        }
    }
    assert!(used > 0 && lacking > 0, "{used} used, {lacking} lacking");
}

#[test]
fn a_spectrum_is_given_as_it_is_and_split_only_for_want_of_systems() {
    let forecast = Forecast::open(&[data("spectra.nc")]).unwrap();
    let sea = forecast.read_step(0).unwrap();
    let coverage = sea.coverage();
    assert_eq!((coverage.land, coverage.sea, coverage.split_spectrum), (1, 5, 5));
    let at = cell(&sea, 52.0, 359.0);
    let spectrum = sea.spectrum(at).unwrap();
    let systems = state(&sea, at).partitions;
    // no energy is lost in the split beyond systems below 5 cm
    let together = systems.iter().map(|p| p.hs_m * p.hs_m).sum::<f64>().sqrt();
    assert!((together - spectrum.hs_m()).abs() < 1e-3, "{together} {}", spectrum.hs_m());
}

#[test]
fn inspect_names_what_is_found_under_which_name_and_unit() {
    let report = inspect(&data("cf-classic.nc")).unwrap();
    let json = serde_json::to_value(&report).unwrap();
    let of = |code: &str| {
        let messages = json["messages"].as_array().unwrap();
        messages.iter().find(|m| m["code"].as_str().unwrap().starts_with(code)).unwrap().clone()
    };
    assert_eq!(of("peak")["quantity"], "total sea peak period Tp");
    assert_eq!(of("peak")["unit_in_file"], "s-1");
    assert!(of("dw ")["note"].as_str().unwrap().contains("radians towards"));
    assert!(of("tw ")["note"].as_str().unwrap().contains("taken as Tm01"));
    assert!(of("current")["note"].as_str().unwrap().contains("not used"));
    assert_eq!(json["steps"].as_array().unwrap().len(), 2);
    let report = inspect(&data("spectra.nc")).unwrap();
    assert!(report.steps[0].spectra && report.quantities.iter().any(|q| q.quantity == Quantity::Spectrum));
}

/// A field of radians whose unit is not stated: every direction within 0 to 6.28.
#[test]
fn directions_in_radians_and_wrong_senses_are_noticed() {
    let bytes = fs::read(data("cf-classic.nc")).unwrap();
    let with = |from: &[u8], to: &[u8]| {
        let mut bytes = bytes.clone();
        let mut at = 0;
        while let Some(found) = bytes[at..].windows(from.len()).position(|w| w == from) {
            at += found;
            bytes[at..at + to.len()].copy_from_slice(to);
            at += to.len();
        }
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("odd.nc");
        fs::write(&path, bytes).unwrap();
        inspect(&path).unwrap().checks.into_iter().map(|check| check.name).collect::<Vec<_>>()
    };
    let odd = with(b"rad\0", b"deg\0");
    assert!(odd.iter().any(|name| name.contains("radians, not degrees")), "{odd:?}");
    assert!(!with(b"rad\0", b"rad\0").iter().any(|name| name.contains("radians")));
    assert!(odd.iter().any(|name| name.contains("off the wind")), "{odd:?}");
}

/// Copernicus waves with the wind of a file elsewhere on the globe: nothing is extrapolated.
#[test]
fn real_waves_and_wind_far_apart_make_gaps() {
    let (Some(waves), Some(wind)) = (real("ERA5_DutchCoast.nc"), real("gfs_wind.nc")) else { return };
    let forecast = Forecast::open(&[waves, wind]).unwrap();
    assert_eq!(forecast.steps().len(), 67);
    let coverage = forecast.read_step(0).unwrap().coverage();
    // one cell has no pp1d, but an mwp
    assert_eq!((coverage.land, coverage.sea), (107, 0));
    assert_eq!(coverage.gaps, [(Lack::Wind, 113)].into());
}
