//! Thrust near the polar's point: the demo boats hang together, and what the sea takes has no jumps of its own.

use crate::common::boats::{CRUISER, FOILER, performance};
use crate::common::files::{file, text};
use roughwater::balance::{Added, SeaCurve};
use roughwater::base::units::kn_to_m_s;
use roughwater::base::{Flag, Flags};
use roughwater::derate::{Performance, derate_seas};
use roughwater::explain::polar_match::matched_cells;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::polar::Polar;
use roughwater::sea::PartitionKind;
use std::sync::LazyLock;

static FOILER_SAILS: LazyLock<Performance> = LazyLock::new(|| Performance {
    foils_up: Some(Polar::read(&file("polars/sleet-heron-15-foils-up.csv")).unwrap()),
    ..sailed(FOILER)
});
static CRUISER_SAILS: LazyLock<Performance> = LazyLock::new(|| sailed(CRUISER));

fn sailed(boat: &str) -> Performance {
    performance(boat, &text(&format!("polars/{boat}.csv")))
}

fn boats() -> [&'static Performance; 2] {
    [&FOILER_SAILS, &CRUISER_SAILS]
}

/// Every cell of a polar: wind, signed angle, flat speed, kn.
fn cells(performance: &Performance) -> impl Iterator<Item = (f64, f64, f64)> + '_ {
    let flat = &performance.flat;
    let winds = flat.tws_kn().len();
    flat.speeds_kn()
        .iter()
        .enumerate()
        .map(move |(i, kn)| (flat.tws_kn()[i % winds], flat.twa_deg()[i / winds], *kn))
}

/// The polars are made from the boat files, so that one speed of each cell balances, by the sails' own curve.
#[test]
fn the_demo_boats_hang_together() {
    for performance in boats() {
        let all = matched_cells(performance).unwrap();
        assert_eq!(all.len(), performance.flat.speeds_kn().len());
        for cell in all {
            assert!(cell.agrees() && cell.balances_kn.len() == 1, "{cell:?}");
        }
    }
}

/// In flat water the surplus of thrust over resistance is zero at the polar's speed, rises as she is slowed, and stays above
/// zero down to six tenths of it. Slower still, hard on the wind in a gale, a keel has too little speed for the side force:
/// she would bear away to gather way.
#[test]
fn surplus_rises_as_she_slows() {
    for performance in boats() {
        for (tws_kn, twa_deg, flat_kn) in cells(performance) {
            let cell = performance.cell(tws_kn, twa_deg, flat_kn).unwrap();
            let surplus = |part: f64| cell.without_sea(part * kn_to_m_s(flat_kn))[0];
            assert!(surplus(1.0).abs() < 1e-6 * cell.matched().unwrap().resistance_n);
            for part in (12..20).map(|i| f64::from(i) / 20.0) {
                assert!(surplus(part) > 0.0, "TWS {tws_kn} TWA {twa_deg} at {part} of {flat_kn} kn");
            }
            assert!(surplus(0.95) > 0.0 && surplus(0.9) > surplus(0.95), "TWS {tws_kn} TWA {twa_deg}");
        }
    }
}

fn wind_sea(tws_kn: f64, hs_m: f64, tp_s: f64) -> WindFrameSea {
    let system = WaveSystem { kind: PartitionKind::WindSea, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: 0.0 };
    WindFrameSea {
        tws_m_s: kn_to_m_s(tws_kn),
        systems: [system].into_iter().collect(),
        spectrum: None,
        flags: Flags::empty(),
    }
}

/// Fetch of 200 km, growth by JONSWAP (Hasselmann et al. 1973/76): Hs 1.6e-3 sqrt(X~) U²/g, Tp U/(3.5 g) X~^0.33, by hand;
/// up to 16 kn the sea of fully developed wind (0.24 U²/g, fp U/g 0.13).
const OWN_SEAS: [(f64, f64, f64); 5] =
    [(8.0, 0.41, 3.2), (12.0, 0.91, 4.8), (16.0, 1.62, 6.5), (20.0, 2.35, 7.7), (25.0, 2.94, 8.3)];

/// Nobody is stopped, or slowed to three quarters, by her own wind's sea at 40 degrees off it or wider; reaching takes less
/// than beating. Common practice, no source.
#[test]
fn her_own_winds_sea_slows_her_as_sailors_know_it() {
    for performance in boats() {
        for (tws_kn, hs_m, tp_s) in OWN_SEAS {
            let found =
                derate_seas(performance, &[(wind_sea(tws_kn, hs_m, tp_s), 1.0)], Flags::empty()).unwrap();
            let factor = |twa_deg: f64| {
                let here =
                    |cell: &&roughwater::derate::PolarCell| cell.twa_deg == twa_deg && cell.tws_kn == tws_kn;
                found.iter().find(here).and_then(|cell| cell.factor()).unwrap()
            };
            for twa_deg in [40.0, 45.0, 50.0, 60.0, 90.0, 130.0, 180.0] {
                assert!(
                    (0.75..=1.0).contains(&factor(twa_deg)),
                    "TWS {tws_kn} TWA {twa_deg}: {}",
                    factor(twa_deg)
                );
            }
            assert!(factor(40.0) < factor(60.0) && factor(45.0) < factor(90.0), "TWS {tws_kn}");
        }
    }
}

/// A short steep chop takes more than a sea three times as high after a full fetch: 25 kn over 20 km, by the same growth
/// law 0.93 m and 3.9 s. Common practice, no source.
#[test]
fn a_short_chop_is_worse_than_a_long_sea() {
    for performance in boats() {
        let factor = |hs_m: f64, tp_s: f64| {
            let found =
                derate_seas(performance, &[(wind_sea(25.0, hs_m, tp_s), 1.0)], Flags::empty()).unwrap();
            let cell = found.iter().find(|cell| cell.twa_deg == 40.0 && cell.tws_kn == 25.0);
            cell.and_then(|cell| cell.factor()).unwrap()
        };
        let (chop, long) = (1.0 - factor(0.93, 3.9), 1.0 - factor(2.94, 8.3));
        let per_metre = (chop / 0.93, long / 2.94);
        assert!(per_metre.0 > 1.5 * per_metre.1, "{per_metre:?}");
    }
}

/// As the sea rises by a hundredth at a time, no cell's speed drops by more than a tenth of her flat speed without a flag
/// that names the two balances, or that she makes no way.
#[test]
fn a_rising_sea_has_no_unnamed_jumps() {
    for performance in boats() {
        for (tws_kn, twa_deg, flat_kn) in cells(performance).filter(|(_, twa_deg, _)| *twa_deg <= 60.0) {
            let cell = performance.cell(tws_kn, twa_deg, flat_kn).unwrap();
            let mut before = kn_to_m_s(flat_kn);
            let mut curve = SeaCurve::new(&performance.tables);
            for step in 1..=150 {
                curve.set(&wind_sea(tws_kn, 0.02 * f64::from(step), 4.5), twa_deg);
                let found = cell.solve(&curve, Added::Used(1.0));
                let speed = found.speeds[found.speeds.len() - 1];
                let named = found.flags.contains(Flag::TwoBalances) || found.flags.contains(Flag::NoWay);
                assert!(
                    before - speed < 0.1 * kn_to_m_s(flat_kn) || named,
                    "TWS {tws_kn} TWA {twa_deg}, step {step}: {before} to {speed} m/s"
                );
                before = speed;
            }
        }
    }
}
