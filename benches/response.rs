//! What a boat costs once, a sea costs once, and a polar cell costs in each sea.

use divan::{Bencher, black_box};
use roughwater::balance::{Added, BoatTables, CellBalance, SeaCurve};
use roughwater::base::Flags;
use roughwater::base::units::kn_to_m_s;
use roughwater::boat::Boat;
use roughwater::boat::BoatModel;
use roughwater::derate::compared;
use roughwater::hydro::response::{Method, ResponseTable};
use roughwater::hydro::surge::{
    CourseWaves, HullForce, RandomWaves, RideStart, RideTime, Sailed, SurgeCurves, rides,
};
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::sea::PartitionKind;
use std::sync::LazyLock;

static TABLES: LazyLock<BoatTables> = LazyLock::new(|| BoatTables::new(model(), MAX_SPEED_M_S));
const MAX_SPEED_M_S: f64 = 16.0;
const TWA_DEG: [f64; 3] = [40.0, 90.0, 130.0];

fn main() {
    divan::main();
}

fn model() -> BoatModel {
    let boat = Boat::read("examples/boats/sleet-heron-15.toml".as_ref()).expect("the example boat reads");
    BoatModel::new(boat, Method::RadiatedEnergy, None).expect("the example boat is sound")
}

/// A wind sea and two swells.
fn sea() -> WindFrameSea {
    let system =
        |kind, hs_m: f64, tp_s, off_wind_deg| WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg };
    let systems = [
        system(PartitionKind::WindSea, 2.0, 6.5, 10.0),
        system(PartitionKind::Swell, 1.5, 10.0, -50.0),
        system(PartitionKind::Swell, 0.8, 14.0, 120.0),
    ];
    WindFrameSea {
        tws_m_s: 10.0,
        systems: systems.into_iter().collect(),
        spectrum: None,
        flags: Flags::empty(),
    }
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn response_table(bencher: Bencher) {
    let model = model();
    bencher.bench_local(|| ResponseTable::build(black_box(&model.waves), MAX_SPEED_M_S));
}

/// One sea on one heading, at all speeds.
#[divan::bench]
fn sea_curve(bencher: Bencher) {
    let sea = sea();
    let mut curve = SeaCurve::new(&TABLES);
    bencher.bench_local(|| {
        curve.set(black_box(&sea), 50.0);
        (0..=4 * MAX_SPEED_M_S as usize).map(|i| curve.at(0.25 * i as f64).added_resistance).sum::<f64>()
    });
}

/// A sea met on one heading and all that a corrected polar asks of one cell in it.
#[divan::bench(args = TWA_DEG)]
fn cell_in_new_sea(bencher: Bencher, twa_deg: f64) {
    let (mut curve, cell) = cell(twa_deg);
    let sea = sea();
    bencher.bench_local(|| {
        curve.set(black_box(&sea), twa_deg);
        (cell.solve(&curve, Added::Used(1.0)), cell.compared_speeds(&curve, compared()))
    });
}

/// One balance of one polar cell in one sea, cause by cause.
#[divan::bench(args = TWA_DEG)]
fn cell_once(bencher: Bencher, twa_deg: f64) {
    let (mut curve, cell) = cell(twa_deg);
    curve.set(&sea(), twa_deg);
    bencher.bench_local(|| cell.solve(black_box(&curve), Added::Used(1.0)));
}

/// All that a corrected polar asks of one cell in one sea: the second method and both ends of the band too.
#[divan::bench(args = TWA_DEG)]
fn cell_whole(bencher: Bencher, twa_deg: f64) {
    let (mut curve, cell) = cell(twa_deg);
    curve.set(&sea(), twa_deg);
    bencher.bench_local(|| {
        let curve = black_box(&curve);
        (cell.solve(curve, Added::Used(1.0)), cell.compared_speeds(curve, compared()))
    });
}

fn cell(twa_deg: f64) -> (SeaCurve<'static>, CellBalance<'static>) {
    let cell =
        CellBalance::new(&TABLES, 10.0, twa_deg, kn_to_m_s(14.0), None).expect("the example boat has sails");
    (SeaCurve::new(&TABLES), cell)
}

/// A thousand seconds of sea by the surge equation: 40 waves, steps of half a second; rides of as many boats.
#[divan::bench(args = [1, 4])]
fn rides_1000_s(bencher: Bencher, boats: usize) {
    let hull = HullForce::new(&TABLES.model.hull, TABLES.model.hydrostatics.lcb_m);
    let drawn = RandomWaves::draw(&sea(), 40, 1);
    let waves = CourseWaves::new(&hull, drawn.met_at(130.0));
    let speeds: Vec<f64> = (0..80).map(|i| 0.25 * f64::from(i)).collect();
    let drive: Vec<f64> = speeds.iter().map(|_| 8000.0).collect();
    let drag: Vec<f64> = speeds.iter().map(|v| 8000.0 * (v / 9.0) * (v / 9.0)).collect();
    let curves = SurgeCurves::new(0.25, 8300.0, &drive, &drag);
    let start = RideStart { speed_m_s: 9.0, crest_m_s: Some(12.0) };
    let time = RideTime { step_s: 0.5, settle_s: 0.0, counted_s: 1000.0 };
    let sailed = vec![Sailed { curves: &curves, waves: &waves, start, time }; boats];
    bencher.bench_local(|| rides(black_box(&sailed)));
}
