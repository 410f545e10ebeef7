//! Passages by hand: one polar and wind, edges of windows, beats, the date line, departures, gaps.
//!
//! Distances come from geographiclib 2.1 (PyPI): `Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)["s12"]`.

use approx::assert_relative_eq;
use geo::{Coord, MultiPolygon, polygon};
use jiff::Timestamp;
use roughwater::base::Window;
use roughwater::base::units::KN;
use roughwater::forecast::Field;
use roughwater::forecast::Grid;
use roughwater::forecast::PointWind;
use roughwater::passage::{
    Chart, Gap, Leg, LegKind, Manner, Passage, PolarServing, SailedOn, Setting, StopReason,
};
use roughwater::polar::Polar;
use roughwater::polar::TackChoice;
use roughwater::result::IndexEntry;
use roughwater::result::IndexedRegion;

/// Inverse(-50, 170, -50, 175).
const EAST_M: f64 = 358_412.000_192_660_2;
/// Inverse(-50, 178, -51, -177).
const ACROSS_M: f64 = 371_691.732_196_116_4;
/// Inverse(-52, 170, -50, 170).
const NORTH_M: f64 = 222_496.508_326_268_5;

const START: &str = "2030-03-01T00:00:00Z";

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

/// One wind over 30 to 60 S and 160 E to 160 W, every 6 h for so many hours; components in m/s.
fn wind(eastward: f32, northward: f32, hours: i64) -> PointWind {
    let times = (0..=hours / 6).map(|six| {
        let valid = at(START) + jiff::SignedDuration::from_hours(6 * six);
        let grid = Grid::new(vec![-60.0, -30.0], vec![160.0, 200.0]).unwrap();
        let all = |value| Field::from_options([Some(value); 4]);
        (valid, grid, all(eastward), all(northward))
    });
    PointWind::of_components(times.collect())
}

/// A polar of one speed at every wind and angle from 45 on.
fn steady(speed_kn: f64) -> Polar {
    Polar::new(vec![0.0, 40.0], vec![45.0, 180.0], vec![speed_kn; 4]).unwrap()
}

/// A box of sea between two longitudes with polars for windows given by hours from the start.
fn region(name: &str, west: f64, east: f64, windows: &[(i64, i64, f64)]) -> (IndexedRegion, Vec<Polar>) {
    let hour = |hour: i64| at(START) + jiff::SignedDuration::from_hours(hour);
    let entry = |&(start, end, _): &(i64, i64, f64)| IndexEntry {
        window: Window { start: hour(start), end: hour(end) },
        tacks: TackChoice::Mean,
        member: None,
        file: String::new(),
    };
    let area = polygon![(x: west, y: -60.0), (x: east, y: -60.0), (x: east, y: -40.0), (x: west, y: -40.0)];
    let region = IndexedRegion {
        name: name.to_owned(),
        area: MultiPolygon(vec![area]),
        polars: windows.iter().map(entry).collect(),
    };
    (region, windows.iter().map(|window| steady(window.2)).collect())
}

fn legs(track: &[(f64, f64)], kind: LegKind) -> Vec<Leg> {
    Leg::along(&track.iter().map(|&(x, y)| Coord { x, y }).collect::<Vec<_>>(), kind)
}

fn setting(
    track: &[(f64, f64)],
    regions: Vec<(IndexedRegion, Vec<Polar>)>,
    wind: PointWind,
    flat: Polar,
) -> Setting {
    Setting { flat, chart: Chart::new(regions), wind, legs: legs(track, LegKind::Geodesic) }
}

fn gaps(passage: &Passage, setting: &Setting) -> Vec<Gap> {
    (0..setting.legs.len()).flat_map(|leg| passage.gaps(leg)).collect()
}

/// A reach at 10 kn flat and 8 kn in the sea: distance over speed.
#[test]
fn constant_speed_takes_distance_over_speed() {
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = region("Sea", 165.0, 180.0, &[(0, 48, 8.0)]);
    let setting = setting(&track, vec![here], wind(0.0, 8.0, 48), steady(10.0));
    let passage = setting.passage(at(START)).unwrap();
    assert_relative_eq!(passage.flat.duration_s(), EAST_M / (10.0 * KN), max_relative = 1e-9);
    assert_relative_eq!(passage.corrected.duration_s(), EAST_M / (8.0 * KN), max_relative = 1e-9);
    let later = EAST_M / (8.0 * KN) - EAST_M / (10.0 * KN);
    assert_relative_eq!(passage.cost_s().unwrap(), later, max_relative = 1e-9);
    // one wind everywhere: the clocks differ by what the sea takes
    assert_relative_eq!(passage.sea_s(0).unwrap(), later, max_relative = 1e-9);
    assert!(gaps(&passage, &setting).is_empty());
}

/// 10 kn for 12 h are 120 nm; the rest at 5 kn. The edge is found to a metre, 0.4 s at 5 kn.
#[test]
fn another_window_takes_over_half_way() {
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = region("Sea", 165.0, 180.0, &[(0, 12, 10.0), (12, 48, 5.0)]);
    let setting = setting(&track, vec![here], wind(0.0, 8.0, 48), steady(10.0));
    let passage = setting.passage(at(START)).unwrap();
    let by_hand = 12.0 * 3600.0 + (EAST_M - 120.0 * 1852.0) / (5.0 * KN);
    assert!((passage.corrected.duration_s() - by_hand).abs() < 0.5, "{}", passage.corrected.duration_s());
}

/// Due north into a wind from north, 6 kn at 45 flat and 5 in the sea: v cos 45 to windward.
#[test]
fn a_beat_by_hand() {
    let track = [(170.0, -52.0), (170.0, -50.0)];
    let here = region("Sea", 165.0, 180.0, &[(0, 72, 5.0)]);
    let setting = setting(&track, vec![here], wind(0.0, -8.0, 72), steady(6.0));
    let passage = setting.passage(at(START)).unwrap();
    let made_good = std::f64::consts::FRAC_1_SQRT_2 * KN;
    assert_relative_eq!(passage.flat.duration_s(), NORTH_M / (6.0 * made_good), max_relative = 1e-9);
    assert_relative_eq!(passage.corrected.duration_s(), NORTH_M / (5.0 * made_good), max_relative = 1e-9);
    assert!(passage.corrected.stretches.iter().all(|stretch| stretch.manner == Manner::Beating));
}

/// From 178 E to 177 W in one region that is cut at 180, the second part with longitudes below zero.
#[test]
fn right_across_180() {
    let west = region("Sea", 170.0, 180.0, &[(0, 48, 10.0)]);
    let east = region("Sea east", -180.0, -170.0, &[(0, 48, 10.0)]);
    for track in [[(178.0, -50.0), (-177.0, -51.0)], [(178.0, -50.0), (183.0, -51.0)]] {
        let setting = setting(&track, vec![west.clone(), east.clone()], wind(0.0, 8.0, 48), steady(12.0));
        let passage = setting.passage(at(START)).unwrap();
        assert_relative_eq!(passage.corrected.duration_s(), ACROSS_M / (10.0 * KN), max_relative = 1e-9);
        assert!(gaps(&passage, &setting).is_empty());
        let last = passage.corrected.stretches.last().unwrap();
        assert!(last.from.x() < -177.0 && last.from.x() > -177.1, "{last:?}");
    }
}

/// On the sphere of 6 371 008.8 m: great circle by pyproj 3.7.2 `Geod(a=6371008.8, b=6371008.8).inv(178, -50, -177, -51)`,
/// rhumb line by hand, distance = hypot(dphi, q dlon) with q = dphi / dpsi (Snyder 1987).
#[test]
fn legs_of_each_kind() {
    let track = [(178.0, -50.0), (-177.0, -51.0)];
    for (kind, length_m, course) in [
        (LegKind::Geodesic, ACROSS_M, 109.328_985_528_903_43),
        (LegKind::GreatCircle, 370_626.310_966_008_9, 109.373_557_902_814_41),
        (LegKind::Rhumb, 370_696.365_253_134_75, 107.455_362_430_153_16),
    ] {
        let leg = legs(&track, kind)[0];
        assert_relative_eq!(leg.length_m(), length_m, max_relative = 1e-9);
        assert_relative_eq!(leg.first_course().deg(), course, max_relative = 1e-9);
        let end = leg.at(leg.length_m() - 1e-3);
        assert!((end.x() + 177.0).abs() < 1e-6 && (end.y() + 51.0).abs() < 1e-6, "{kind:?} {end:?}");
    }
    let rhumb = legs(&track, LegKind::Rhumb)[0];
    assert_eq!(rhumb.course_at(200_000.0), rhumb.first_course());
}

/// The first 2 degrees lie in no region, and the windows end after 20 h: flat speed there, told and counted.
#[test]
fn without_a_corrected_polar_the_flat_one_is_sailed_and_told() {
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = region("Sea", 172.0, 180.0, &[(0, 20, 5.0)]);
    let setting = setting(&track, vec![here], wind(0.0, 8.0, 48), steady(10.0));
    let passage = setting.passage(at(START)).unwrap();
    let parts = passage.uncorrected(0);
    assert_eq!(
        parts.iter().map(|part| part.why).collect::<Vec<_>>(),
        [PolarServing::OutsideRegions, PolarServing::OutsideWindows { region: 0 }]
    );
    // the geodesic reaches 172 E after 2/5 of its way, by symmetry within 1e-3
    assert_relative_eq!(parts[0].length_m, 0.4 * EAST_M, max_relative = 1e-3);
    let inside = 20.0 * 3600.0 - parts[0].length_m / (10.0 * KN);
    let rest = EAST_M - parts[0].length_m - inside * 5.0 * KN;
    assert!((parts[1].length_m - rest).abs() < 4.0);
    assert_relative_eq!(passage.flat.duration_s(), EAST_M / (10.0 * KN), max_relative = 1e-9);
    assert_eq!(setting.chart.region_name(parts[1].why), Some("Sea"));
    assert_eq!(gaps(&passage, &setting), parts.into_iter().map(Gap::Uncorrected).collect::<Vec<_>>());
    assert!(passage.cost_s().is_some());
}

/// 10 kn from hour 0: the wind of hour 12 serves up to hour 15, 150 nm on; then nothing is known.
#[test]
fn she_stops_where_the_wind_ends() {
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = region("Sea", 165.0, 180.0, &[(0, 48, 10.0)]);
    let setting = setting(&track, vec![here], wind(0.0, 8.0, 12), steady(10.0));
    let passage = setting.passage(at(START)).unwrap();
    let stopped = passage.corrected.stopped.as_ref().unwrap();
    assert_eq!(stopped.why, StopReason::NoWindThen);
    assert!(
        (stopped.at_s - 15.0 * 3600.0).abs() < 0.5
            && (passage.corrected.length_m() - 150.0 * 1852.0).abs() < 2.0
    );
    assert_eq!((passage.cost_s(), passage.sea_s(0)), (None, None));
    let stop = Gap::Stopped { on: SailedOn::Corrected, stopped: stopped.clone() };
    assert!(gaps(&passage, &setting).contains(&stop));
}

/// A region on the way at 10 kn.
fn here() -> Vec<(IndexedRegion, Vec<Polar>)> {
    vec![region("Sea", 165.0, 180.0, &[(0, 48, 10.0)])]
}

/// 8 m/s are 15.55 kn, more than the polar has.
#[test]
fn she_stops_in_a_wind_that_the_polar_has_not() {
    let light = Polar::new(vec![6.0, 15.0], vec![45.0, 180.0], vec![10.0; 4]).unwrap();
    let too_much = setting(&[(170.0, -50.0), (175.0, -50.0)], here(), wind(0.0, 8.0, 48), light);
    let passage = too_much.passage(at(START)).unwrap();
    assert!(
        matches!(passage.flat.stopped.as_ref().unwrap().why, StopReason::OutsidePolar(tws) if (tws - 15.55).abs() < 0.01)
    );
    let stop = Gap::Stopped { on: SailedOn::Flat, stopped: passage.flat.stopped.clone().unwrap() };
    assert_eq!(gaps(&passage, &too_much), [stop]);
}

#[test]
fn she_stops_at_the_edge_of_the_wind() {
    let beyond = setting(&[(170.0, -50.0), (150.0, -50.0)], here(), wind(0.0, 8.0, 480), steady(10.0));
    let passage = beyond.passage(at(START)).unwrap();
    assert_eq!(passage.flat.stopped.as_ref().unwrap().why, StopReason::NoWindThere);
    assert!((passage.flat.stopped.as_ref().unwrap().place.x() - 160.0).abs() < 0.05);
}

#[test]
fn she_stops_where_her_polar_has_no_speed() {
    let still = setting(&[(170.0, -50.0), (175.0, -50.0)], here(), wind(0.0, 8.0, 48), steady(0.0));
    assert!(matches!(still.passage(at(START)).unwrap().flat.stopped.unwrap().why, StopReason::NoWay(..)));
}
