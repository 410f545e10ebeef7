//! What a sea is called must not move a polar: a swell told as two halves of its energy, bins laid otherwise, a sea mirrored
//! about the wind.

use crate::common::boats::{CRUISER, FOILER, boat};
use crate::common::files::{NOAA, file};
use geo::{Contains, Point};
use roughwater::base::{Alignment, WindowLength, Windows};
use roughwater::boat::{ModelChoices, OnOff};
use roughwater::derate::{Performance, PolarCell, SeaChoice, derate};
use roughwater::forecast::{CellSea, Forecast};
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::polar::Polar;
use roughwater::region;
use roughwater::sea::{MAX_PARTITIONS, PartitionKind};
use roughwater::tally::{Bins, Tally};
use std::sync::LazyLock;

type Seas = Vec<(WindFrameSea, f64)>;

/// A boat of the examples on her whole polar, by mean forces: the drawings of a sea, which other bins change, are chance.
fn whole(name: &str) -> Performance {
    let choices = ModelChoices { surge: OnOff::Off, ..ModelChoices::default() };
    sailing(name, &choices)
}

fn sailing(name: &str, choices: &ModelChoices) -> Performance {
    let polar = Polar::read(&file(&format!("polars/{name}.csv"))).unwrap();
    roughwater::run::performance_of(boat(name), polar, choices).unwrap()
}

static FOILING: LazyLock<Performance> = LazyLock::new(|| whole(FOILER));
static CRUISING: LazyLock<Performance> = LazyLock::new(|| whole(CRUISER));
static SURGING: LazyLock<Performance> = LazyLock::new(|| sailing(FOILER, &ModelChoices::default()));

/// The seas of each region and window of an example, weighted by the cells' areas: as its job has them, but that a cell lies
/// within where its centre does.
fn example(forecast: &str, regions: &str, length: WindowLength) -> Vec<(String, Seas)> {
    let forecast = Forecast::open(&[file(forecast)]).unwrap();
    let regions = region::read(&file(regions)).unwrap();
    let mut times: Vec<_> = forecast.steps().iter().map(|step| step.valid).collect();
    times.dedup();
    let windows = Windows::assign(length, Alignment::Midnight, &times).unwrap();
    let mut parts: Vec<(String, Seas)> = Vec::new();
    for region in &regions {
        let within = |lat: f64, lon: f64| {
            [-360.0, 0.0, 360.0].iter().any(|turn| region.polygons.contains(&Point::new(lon + turn, lat)))
        };
        let mut of_windows = vec![Seas::new(); windows.windows.len()];
        for step in 0..forecast.steps().len() {
            let sea = forecast.read_step(step).unwrap();
            let state = |index: usize| {
                let (lat, _) = sea.grid.centre(index).filter(|(lat, lon)| within(*lat, *lon))?;
                let CellSea::Sea(state) = sea.cell(index) else { return None };
                Some((WindFrameSea::of(&state), lat.to_radians().cos()))
            };
            let time = times.partition_point(|time| *time < sea.valid);
            of_windows[windows.window_of_step[time]].extend((0..sea.grid.points()).filter_map(state));
        }
        for (window, seas) in windows.windows.iter().zip(of_windows) {
            parts.push((format!("{} {}", region.name, window.start), seas));
        }
    }
    parts
}

static PACIFIC: LazyLock<Vec<(String, Seas)>> = LazyLock::new(|| {
    example("grids/south-pacific.grib2", "examples/south-pacific/regions.geojson", "12h".parse().unwrap())
});
static ATLANTIC: LazyLock<Vec<(String, Seas)>> = LazyLock::new(|| {
    if !file(NOAA).exists() {
        println!("skipped: the real forecast is not in grids/");
        return Vec::new();
    }
    example(NOAA, "examples/north-atlantic/regions.geojson", WindowLength::All)
});

/// Every swell as two of half its energy, the highest first, as far as a sea has room.
fn halved(seas: &Seas) -> Seas {
    let halves = |(sea, weight): &(WindFrameSea, f64)| {
        let mut sea = sea.clone();
        let room = MAX_PARTITIONS - sea.systems.len();
        let mut swells: Vec<&mut WaveSystem> =
            sea.systems.iter_mut().filter(|system| system.kind == PartitionKind::Swell).collect();
        swells.sort_by(|a, b| b.hs2_m2.total_cmp(&a.hs2_m2));
        let halve = |system: &mut WaveSystem| {
            system.hs2_m2 /= 2.0;
            *system
        };
        let extra: Vec<WaveSystem> = swells.into_iter().take(room).map(halve).collect();
        sea.systems.extend(extra);
        (sea, *weight)
    };
    seas.iter().map(halves).collect()
}

fn mirrored(seas: &Seas) -> Seas {
    let mirror = |(sea, weight): &(WindFrameSea, f64)| {
        let mut sea = sea.clone();
        sea.systems.iter_mut().for_each(|system| system.off_wind_deg = -system.off_wind_deg);
        (sea, *weight)
    };
    seas.iter().map(mirror).collect()
}

fn cells(performance: &Performance, seas: &Seas, bins: Bins) -> Vec<PolarCell> {
    let mut tally = Tally::new(bins);
    seas.iter().for_each(|(sea, weight)| tally.add(sea, *weight));
    derate(&performance.balances().unwrap(), &tally, SeaChoice::WindMatched)
}

/// Cells that moved, the furthest first: by what of their flat speed, and a line that names them.
fn moved(name: &str, one: &[PolarCell], other: &[PolarCell]) -> Vec<(f64, String)> {
    let of = |(a, b): (&PolarCell, &PolarCell)| {
        let told = format!(
            "{name} {} TWS {} TWA {}: flat {:.3}, {:.3} and {:.3} kn, stopped {:.3} and {:.3}, {:?}",
            a.tack.name(),
            a.tws_kn,
            a.twa_deg,
            a.flat_kn,
            a.corrected_kn,
            b.corrected_kn,
            a.stopped_share,
            b.stopped_share,
            a.flags
        );
        ((a.corrected_kn - b.corrected_kn).abs() / a.flat_kn.max(1e-9), told)
    };
    one.iter().zip(other).filter(|(a, _)| a.flat_kn > 0.0).map(of).collect()
}

/// Bins a tenth narrower and a tenth wider in everything.
fn other_bins() -> [(&'static str, Bins); 2] {
    let bins = |part: f64, off_wind_deg: f64| {
        let Bins { tws_m_s, hs_ratio, tp_ratio, minor_energy, .. } = Bins::default();
        Bins {
            tws_m_s: part * tws_m_s,
            hs_ratio: hs_ratio.powf(part),
            tp_ratio: tp_ratio.powf(part),
            off_wind_deg,
            minor_energy,
        }
    };
    // the nearest widths that divide a turn
    [("narrow 0.9", bins(0.9, 24.0)), ("wide 1.1", bins(1.1, 36.0))]
}

/// The bound: no cell of either example moves by more than this part of its flat speed.
const MOST_MOVED: f64 = 0.01;

#[test]
fn halved_swells_and_other_bins_move_no_cell_of_the_examples_far() {
    for (boat, performance) in [("foiler", &*FOILING), ("cruiser", &*CRUISING)] {
        for (part, seas) in PACIFIC.iter().chain(&*ATLANTIC) {
            let as_is = cells(performance, seas, Bins::default());
            let halves = cells(performance, &halved(seas), Bins::default());
            let other = other_bins().map(|(label, bins)| (label, cells(performance, seas, bins)));
            for (label, other) in [("halved", halves)].into_iter().chain(other) {
                for (moved, told) in moved(part, &as_is, &other) {
                    assert!(moved <= MOST_MOVED, "{boat}, {label}: {:.2} %, {told}", 100.0 * moved);
                }
            }
        }
    }
}

/// Prints what halving and rebinning move on both examples and boats.
#[test]
#[ignore = "a measurement; run with --ignored --nocapture"]
fn how_far_cells_move() {
    let (base, other) = (Bins::default(), other_bins());
    for (boat, performance) in [("foiler", &*FOILING), ("cruiser", &*CRUISING)] {
        for (name, example) in [("pacific", &*PACIFIC), ("atlantic", &*ATLANTIC)] {
            let (mut all, mut ways) = (0, vec![Vec::new(); 1 + other.len()]);
            for (part, seas) in example {
                let as_is = cells(performance, seas, base);
                all += as_is.len();
                ways[0].extend(moved(part, &as_is, &cells(performance, &halved(seas), base)));
                for (way, (_, bins)) in ways[1..].iter_mut().zip(&other) {
                    way.extend(moved(part, &as_is, &cells(performance, seas, *bins)));
                }
            }
            let labels = std::iter::once("halved").chain(other.iter().map(|(label, _)| *label));
            for (label, mut way) in labels.zip(ways) {
                way.sort_by(|a, b| b.0.total_cmp(&a.0));
                let over = |part: f64| way.iter().filter(|(moved, _)| *moved > part).count();
                println!(
                    "{boat}, {name}, {label}: {all} cells, over 0.1 % {}, over 1 % {}, over 5 % {}, over 20 % {}",
                    over(0.001),
                    over(0.01),
                    over(0.05),
                    over(0.2)
                );
                for (moved, told) in way.iter().take(6) {
                    println!("    {:.2} % {told}", 100.0 * moved);
                }
            }
        }
    }
}

/// Bound: routers take two decimals.
#[test]
fn mirrored_seas_give_mirrored_polars() {
    let parts = PACIFIC.iter().step_by(5).chain(&*ATLANTIC);
    for (part, seas) in parts {
        // whole degrees, as many files have them, stand on the edges of bins
        let whole = |(sea, weight): &(WindFrameSea, f64)| {
            let mut sea = sea.clone();
            sea.systems.iter_mut().for_each(|system| system.off_wind_deg = system.off_wind_deg.round());
            (sea, *weight)
        };
        let seas: Seas = seas.iter().map(whole).collect();
        for performance in [&*CRUISING, &*FOILING, &*SURGING] {
            let [as_is, other] =
                [seas.clone(), mirrored(&seas)].map(|seas| cells(performance, &seas, Bins::default()));
            for cell in &as_is {
                let twin = |other: &&PolarCell| {
                    other.tack != cell.tack && other.tws_kn == cell.tws_kn && other.twa_deg == cell.twa_deg
                };
                let twin = other.iter().find(twin).unwrap();
                let apart = (twin.corrected_kn - cell.corrected_kn).abs();
                assert!(apart < 0.001, "{part}: TWS {} TWA {}: {apart} kn", cell.tws_kn, cell.twa_deg);
            }
        }
    }
}
