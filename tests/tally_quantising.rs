//! What quantising a forecast into bins costs, against every cell on its own.
//!
//! A bin yields the mean of what fell into it, so the error is of second order in the width of the bins. The bound below
//! follows: heights within a bin spread by about 5 % rms, so squared heights by 10 %, and a speed that loses a tenth to
//! the sea with a curvature of order one is off by a tenth of 0.1²/2 = 0.05 % of its flat speed, some 0.01 kn. Where the
//! boat stops or drops off her foils speed jumps with the sea, and any average does; those cells are counted apart.

use roughwater::balance::Tables;
use roughwater::boat::Boat;
use roughwater::derate::{Performance, PolarCell, derate_seas};
use roughwater::flags::{Flag, Flags};
use roughwater::forecast::{CellSea, Forecast};
use roughwater::hydro::response::Method;
use roughwater::model::Model;
use roughwater::polar::Polar;
use roughwater::tally::{Bins, Tally};
use roughwater::units::kn_to_m_s;
use roughwater::wind_frame::WindFrameSea;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

static CRUISER: LazyLock<Performance> = LazyLock::new(|| {
    let boat = Boat::read(&file("examples/boats/oat-plover-10.toml")).unwrap();
    let model = Model::new(boat, Method::RadiatedEnergy, None).unwrap();
    let flat = Polar::parse("twa_deg,8,14,25\n45,4.6,5.94,6.3\n70,5.86,6.95,7.32\n110,5.7,6.98,7.9\n150,4.5,6.2,7.3\n");
    Performance { tables: Tables::new(model, kn_to_m_s(8.0)), flat: flat.unwrap(), foils_up: None }
});

/// Sea states of a box of the forecast's first step, all of one weight.
fn seas(forecast: &str, lat: (f64, f64), lon: (f64, f64)) -> Vec<(WindFrameSea, f64)> {
    let sea = Forecast::open(&[file(forecast)]).unwrap().read_step(0).unwrap();
    (0..sea.grid.points())
        .filter(|index| {
            let (y, x) = sea.grid.centre(*index).unwrap();
            (lat.0..=lat.1).contains(&y) && (lon.0..=lon.1).contains(&x.rem_euclid(360.0))
        })
        .filter_map(|index| match sea.cell(index) {
            CellSea::Sea(state) => Some((WindFrameSea::of(&state), 1.0)),
            _ => None,
        })
        .collect()
}

/// Largest and mean difference of the corrected speeds, kn, in cells without jumps, and the number of others.
fn differences(exact: &[PolarCell], binned: &[PolarCell]) -> (f64, f64, usize) {
    let jumps = |cell: &PolarCell| cell.flags.contains(Flag::NoWay);
    let smooth: Vec<f64> = exact
        .iter()
        .zip(binned)
        .filter(|(a, b)| !jumps(a) && !jumps(b))
        .map(|(a, b)| (a.corrected_kn - b.corrected_kn).abs())
        .collect();
    let mean = smooth.iter().sum::<f64>() / smooth.len() as f64;
    (smooth.iter().copied().fold(0.0, f64::max), mean, exact.len() - smooth.len())
}

fn check(name: &str, seas: &[(WindFrameSea, f64)], bound_kn: f64) {
    let exact = derate_seas(&CRUISER, seas, Flags::empty()).unwrap();
    let coarse =
        Bins { hs_ratio: 1.7, tp_ratio: 1.4, off_wind_deg: 60.0, minor_energy: 0.1, ..Bins::default() };
    for (label, bins, bound_kn) in [("default bins", Bins::default(), bound_kn), ("coarse bins", coarse, 4.0 * bound_kn)] {
        let mut tally = Tally::new(bins);
        seas.iter().for_each(|(sea, weight)| tally.add(sea, *weight));
        let binned: Vec<_> = tally.seas().collect();
        let (max, mean, jumps) = differences(&exact, &derate_seas(&CRUISER, &binned, Flags::empty()).unwrap());
        println!(
            "{name}, {label}: {} sea states in {} bins, largest difference {max:.4} kn, mean {mean:.5} kn, {jumps} of {} \
             cells with jumps left out",
            seas.len(),
            binned.len(),
            exact.len()
        );
        assert!(max < bound_kn, "{name}, {label}: {max}");
    }
}

#[test]
fn the_invented_forecast() {
    check("invented forecast", &seas("grids/south-pacific.grib2", (-52.0, -45.0), (176.0, 196.0)), 0.02);
}

#[test]
fn the_real_forecast() {
    let seas = seas("grids/gfswave.20210826.t12z.atlocn.0p16.f000.grib2", (39.0, 41.0), (290.0, 294.0));
    check("real forecast", &seas, 0.02);
}
