//! What quantising a forecast into bins costs, against every sea cell on its own.
//!
//! A bin yields the mean of what fell into it, so the error is of second order in the widths. Bounds: routers take
//! polars of two decimals and steer by tenths of a knot, so 0.05 kn at worst, and a tenth of that on the mean over the
//! cells of a polar, cannot move a decision. Where the boat stops or drops off her foils, speed jumps with the sea and
//! a mean sea lies on one side of the jump; such cells are counted apart.

use crate::common::boats::{CRUISER, FOILER, performance};
use crate::common::files::{INVENTED, NOAA, file};
use roughwater::base::{Flag, Flags};
use roughwater::derate::SeaChoice;
use roughwater::derate::{Performance, PolarCell, derate, derate_seas};
use roughwater::forecast::{CellSea, Forecast};
use roughwater::hydro::wind_frame::WindFrameSea;
use roughwater::tally::{Bins, Tally};
use std::path::Path;
use std::sync::LazyLock;

type Seas = Vec<(WindFrameSea, f64)>;

const MAX_KN: f64 = 0.05;
const MEAN_KN: f64 = 0.005;

static CRUISING: LazyLock<Performance> = LazyLock::new(|| {
    performance(
        CRUISER,
        "twa_deg,8,14,25\n45,4.6,5.94,6.3\n70,5.86,6.95,7.32\n110,5.7,6.98,7.9\n150,4.5,6.2,7.3\n",
    )
});
static FOILING: LazyLock<Performance> = LazyLock::new(|| {
    performance(
        FOILER,
        "twa_deg,10,16,25\n48,8.59,10.48,11.64\n75,11.5,16.93,20.57\n120,12.9,21.38,29.19\n155,7.8,12.79,19\n",
    )
});

/// The sea states of a box in the first steps of a forecast, weighted by the cells' areas.
fn seas(forecast: &Path, steps: usize, lat: [f64; 2], lon: [f64; 2]) -> Seas {
    let forecast = Forecast::open(&[forecast.to_owned()]).unwrap();
    (0..steps.min(forecast.steps().len()))
        .flat_map(|step| {
            let sea = forecast.read_step(step).unwrap();
            let state = |index: usize| {
                let (y, x) = sea.grid.centre(index)?;
                let inside =
                    (lat[0]..=lat[1]).contains(&y) && (lon[0]..=lon[1]).contains(&x.rem_euclid(360.0));
                match sea.cell(index) {
                    CellSea::Sea(state) if inside => Some((WindFrameSea::of(&state), y.to_radians().cos())),
                    _ => None,
                }
            };
            (0..sea.grid.points()).filter_map(state).collect::<Vec<_>>()
        })
        .collect()
}

/// The first steps of the invented forecast, in a quarter of its area.
fn invented(steps: usize) -> Seas {
    seas(&file(INVENTED), steps, [-55.0, -45.0], [176.0, 196.0])
}

/// One step of a real one at 1/6 degree.
fn real() -> Option<Seas> {
    let path = file(NOAA);
    path.exists().then(|| seas(&path, 1, [30.0, 36.0], [280.0, 288.0]))
}

fn tally(seas: &Seas, bins: Bins) -> Tally {
    let mut tally = Tally::new(bins);
    seas.iter().for_each(|(sea, weight)| tally.add(sea, *weight));
    tally
}

/// Differences of corrected speed, kn.
#[derive(Debug)]
struct Differences {
    max_kn: f64,
    mean_kn: f64,
    jumps: usize,
    jumps_max_kn: f64,
}

/// Whether speed jumps within the seas of a cell: she stops in some, or falls off her foils.
fn jumps(performance: &Performance, cell: &PolarCell) -> bool {
    let take_off = performance.tables.model.boat.foils.as_ref().map(|foils| foils.take_off_speed_kn);
    let falls = |kn: f64| cell.flat_kn > kn && cell.percentiles_kn[0] < kn;
    cell.flags.contains(Flag::NoWay) || take_off.is_some_and(falls)
}

fn differences(performance: &Performance, exact: &[PolarCell], binned: &[PolarCell]) -> Differences {
    let (apart, smooth): (Vec<_>, Vec<_>) =
        exact.iter().zip(binned).partition(|(a, b)| jumps(performance, a) || jumps(performance, b));
    let of = |(a, b): &(&PolarCell, &PolarCell)| (a.corrected_kn - b.corrected_kn).abs();
    let largest = |cells: &[(&PolarCell, &PolarCell)]| cells.iter().map(of).fold(0.0, f64::max);
    Differences {
        max_kn: largest(&smooth),
        mean_kn: smooth.iter().map(of).sum::<f64>() / smooth.len() as f64,
        jumps: apart.len(),
        jumps_max_kn: largest(&apart),
    }
}

/// One line a set of bins; returns the differences in the same order.
fn measure(name: &str, performance: &Performance, seas: &Seas, bins: &[(&str, Bins)]) -> Vec<Differences> {
    let exact = derate_seas(performance, seas, Flags::empty()).unwrap();
    let told = |(label, bins): &(&str, Bins)| {
        let tally = tally(seas, *bins);
        let found = differences(
            performance,
            &exact,
            &derate(&performance.balances().unwrap(), &tally, SeaChoice::All),
        );
        println!(
            "{name} | {label:<24} | {:>5} seas in {:>4} bins | max {:.4} kn, mean {:.5} kn | {} of {} cells jump, max {:.4} kn",
            seas.len(),
            tally.bin_count(),
            found.max_kn,
            found.mean_kn,
            found.jumps,
            exact.len(),
            found.jumps_max_kn
        );
        found
    };
    bins.iter().map(told).collect()
}

fn check(name: &str, performance: &Performance, seas: &Seas) {
    for found in measure(name, performance, seas, &[("default", Bins::default())]) {
        assert!(found.max_kn < MAX_KN && found.mean_kn < MEAN_KN, "{name}: {found:?}");
    }
}

#[test]
fn a_cruiser_in_the_invented_forecast() {
    check("cruiser, invented", &CRUISING, &invented(8));
}

#[test]
fn a_foiler_in_the_invented_forecast() {
    check("foiler, invented", &FOILING, &invented(8));
}

#[test]
fn both_in_a_real_forecast() {
    let Some(seas) = real() else {
        println!("skipped: the real forecast is not in grids/");
        return;
    };
    check("cruiser, real", &CRUISING, &seas);
    check("foiler, real", &FOILING, &seas);
}

/// The other end: bins so narrow that each sea has its own give each cell's own answer, to the balance's tolerance of
/// 1e-4 m/s.
#[test]
fn bins_of_one_sea_each_cost_nothing() {
    let seas = invented(2);
    let narrow =
        Bins { tws_m_s: 1e-3, hs_ratio: 1.0005, tp_ratio: 1.0005, off_wind_deg: 0.25, minor_energy: 0.0 };
    let found = measure("cruiser, invented", &CRUISING, &seas, &[("one sea each", narrow)]);
    assert!(found[0].max_kn < 2e-4, "{found:?}");
}

/// Prints how error and number of bins go with the widths: the ground on which the defaults stand.
#[test]
#[ignore = "a measurement; run with --ignored --nocapture"]
fn widths() {
    let bins = |tws_m_s, hs_ratio, tp_ratio, off_wind_deg, minor_energy| Bins {
        tws_m_s,
        hs_ratio,
        tp_ratio,
        off_wind_deg,
        minor_energy,
    };
    let one = 1000.0;
    let sets = [
        ("2/1.1/1.06/7.5/0.01", bins(2.0, 1.1, 1.06, 7.5, 0.01)),
        ("2/1.2/1.12/15/0.02", bins(2.0, 1.2, 1.12, 15.0, 0.02)),
        ("one/1.2/1.12/15/0.02", bins(one, 1.2, 1.12, 15.0, 0.02)),
        ("one/1.2/1.12/15/0.10", bins(one, 1.2, 1.12, 15.0, 0.10)),
        ("one/1.2/1.12/30/0.02", bins(one, 1.2, 1.12, 30.0, 0.02)),
        ("one/1.2/1.4/15/0.02", bins(one, 1.2, 1.4, 15.0, 0.02)),
        ("one/2/1.12/15/0.02", bins(one, 2.0, 1.12, 15.0, 0.02)),
        ("2/1.35/1.2/30/0.05", bins(2.0, 1.35, 1.2, 30.0, 0.05)),
        ("4/1.3/1.2/20/0.05", bins(4.0, 1.3, 1.2, 20.0, 0.05)),
        ("4/1.3/1.2/30/0.05", bins(4.0, 1.3, 1.2, 30.0, 0.05)),
        ("4/1.5/1.25/30/0.10", bins(4.0, 1.5, 1.25, 30.0, 0.10)),
        ("one/1.5/1.25/30/0.05", bins(one, 1.5, 1.25, 30.0, 0.05)),
        ("one/2/1.4/45/0.10", bins(one, 2.0, 1.4, 45.0, 0.10)),
    ];
    measure("cruiser, invented", &CRUISING, &invented(2), &sets);
    measure("foiler, invented", &FOILING, &invented(2), &sets);
    if let Some(seas) = real() {
        measure("cruiser, real", &CRUISING, &seas, &sets);
        measure("foiler, real", &FOILING, &seas, &sets);
    }
}
