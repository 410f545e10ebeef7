//! The benchmark's side of the peer in NumPy:
//! `cargo run --release --example numpy_peer BOAT POLAR FORECAST WEST SOUTH EAST NORTH STEPS FOLDER`.
//!
//! Takes the sea cells of a box of degrees in the first STEPS of a forecast, weighted by the cosine of latitude; writes them to `seas.csv` and the
//! polar that the tally of them gives to `corrected.csv`; prints what tally and polar took. The boat's tables go there
//! too, for benches/peers/cell_by_cell.py:
//!
//! `tables.json` names the axes; `responses.f32` holds, in C order, [shape, log period, wave angle, speed, quantity] per
//! Hs²: the shapes are swells of rising exponent, then wind seas of rising peak enhancement; the quantities are added resistance by the
//! method in use and by the second one (N/m²) and the variance of pitch rate (1/s²). `balance.f32` holds, for [tack,
//! angle, wind, speed], thrust less flat-water resistance (N) and the change of mean thrust per variance of pitch rate.
//! For boats without foils and without `[deck]`.

use geo::{Contains, Coord, Rect};
use roughwater::balance::{CellBalance, SeaCurve};
use roughwater::base::Flags;
use roughwater::base::units::{kn_to_m_s, m_s_to_kn};
use roughwater::boat::Boat;
use roughwater::boat::ModelChoices;
use roughwater::derate::SeaChoice;
use roughwater::derate::{Performance, Tack, derate};
use roughwater::forecast::{CellSea, Forecast};
use roughwater::hydro::dispersion::wave_length_m;
use roughwater::hydro::spectrum::SWELL_EXPONENTS;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::polar::{Lookup, Polar};
use roughwater::run::performance_of;
use roughwater::sea::PartitionKind;
use roughwater::tally::{Bins, Tally};
use serde_json::json;
use std::error::Error;
use std::f64::consts::TAU;
use std::path::Path;
use std::time::Instant;

const EXPONENTS: usize = 9;
const LOG_GAMMAS: usize = 6;
const PERIODS: usize = 131;
const ANGLES: usize = 121;
const SPEED_STEP_M_S: f64 = 0.05;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [boat, polar, forecast, numbers @ .., folder] = &arguments[..] else {
        return Err("give boat, polar, forecast, west, south, east, north, steps and a folder".into());
    };
    let numbers: Vec<f64> = numbers.iter().map(|number| number.parse()).collect::<Result<_, _>>()?;
    let [west, south, east, north, steps] = numbers[..] else {
        return Err("give west, south, east, north and steps as numbers".into());
    };
    let box_deg = Rect::new((west, south), (east, north));
    let folder = Path::new(folder);
    let performance =
        performance_of(Boat::read(boat.as_ref())?, Polar::read(polar.as_ref())?, &ModelChoices::default())?;
    std::fs::create_dir_all(folder)?;
    let seas = seas(forecast.as_ref(), box_deg, steps as usize)?;
    write_seas(&folder.join("seas.csv"), &seas)?;
    tallied(&performance, &seas, &folder.join("corrected.csv"))?;
    write_tables(&performance, folder)
}

/// The seas of a box with their weights, step by step.
fn seas(forecast: &Path, box_deg: Rect, steps: usize) -> Result<Vec<(WindFrameSea, f64)>, Box<dyn Error>> {
    let forecast = Forecast::open(&[forecast.to_owned()])?;
    let mut seas = Vec::new();
    for step in 0..forecast.steps().len().min(steps) {
        let grid = forecast.read_step(step)?;
        for cell in 0..grid.grid.rows() * grid.grid.columns() {
            let Some((lat_deg, lon_deg)) = grid.grid.centre(cell) else { continue };
            if let (true, CellSea::Sea(state)) =
                (box_deg.contains(&Coord { x: lon_deg, y: lat_deg }), grid.cell(cell))
            {
                seas.push((WindFrameSea::of(&state), lat_deg.to_radians().cos()));
            }
        }
    }
    Ok(seas)
}

fn write_seas(path: &Path, seas: &[(WindFrameSea, f64)]) -> Result<(), Box<dyn Error>> {
    let mut writer = csv::WriterBuilder::new().flexible(true).from_path(path)?;
    writer.write_record(["tws_kn", "systems", "weight"])?;
    for (sea, weight) in seas {
        let mut row = vec![m_s_to_kn(sea.tws_m_s).to_string()];
        for system in &sea.systems {
            let kind = if system.kind == PartitionKind::Swell { "swell" } else { "wind-sea" };
            row.extend([kind.to_owned(), system.hs2_m2.sqrt().to_string(), system.tp_s.to_string()]);
            row.push(system.off_wind_deg.to_string());
        }
        row.push(weight.to_string());
        writer.write_record(row)?;
    }
    Ok(writer.flush()?)
}

fn tallied(
    performance: &Performance,
    seas: &[(WindFrameSea, f64)],
    path: &Path,
) -> Result<(), Box<dyn Error>> {
    let begin = Instant::now();
    let mut tally = Tally::new(Bins::default());
    for (sea, weight) in seas {
        tally.add(sea, *weight);
    }
    let tallying = begin.elapsed().as_secs_f64();
    let cells = derate(&performance.balances()?, &tally, SeaChoice::All);
    let seconds = begin.elapsed().as_secs_f64();
    let mut writer = csv::Writer::from_path(path)?;
    writer.write_record(["tack", "tws_kn", "twa_deg", "corrected_kn"])?;
    for cell in &cells {
        let numbers = [cell.tws_kn, cell.twa_deg, cell.corrected_kn].map(|number| number.to_string());
        writer.write_record([cell.tack.name().to_owned()].into_iter().chain(numbers))?;
    }
    writer.flush()?;
    let told = json!({
        "seconds": seconds, "tallying_seconds": tallying, "sea_states": seas.len(), "bins": tally.bin_count(),
        "polar_cells": cells.len(),
    });
    println!("{told}");
    Ok(())
}

fn write_tables(performance: &Performance, folder: &Path) -> Result<(), Box<dyn Error>> {
    let top_kn = performance.flat.speeds_kn().iter().copied().fold(0.0, f64::max);
    let speeds: Vec<f64> = (0..=(kn_to_m_s(top_kn) / SPEED_STEP_M_S).ceil() as usize)
        .map(|i| SPEED_STEP_M_S * i as f64)
        .collect();
    let axis = |first: f64, last: f64, count: usize| -> Vec<f64> {
        (0..count).map(|i| first + (last - first) * i as f64 / (count - 1) as f64).collect()
    };
    let log_periods = axis(0.0, 26f64.ln(), PERIODS);
    let angles_deg = axis(0.0, 180.0, ANGLES);
    let exponents = axis(SWELL_EXPONENTS.0, SWELL_EXPONENTS.1, EXPONENTS);
    let log_gammas = axis(0.0, 5f64.ln(), LOG_GAMMAS);
    std::fs::create_dir_all(folder)?;
    write(
        &folder.join("responses.f32"),
        &responses(performance, &exponents, &log_gammas, &log_periods, &angles_deg, &speeds),
    )?;
    write(&folder.join("balance.f32"), &balance(performance, &speeds)?)?;
    let flat = &performance.flat;
    let axes = json!({
        "speeds_m_s": speeds, "log_periods": log_periods, "angles_deg": angles_deg, "exponents": exponents,
        "log_gammas": log_gammas,
        "tws_kn": flat.tws_kn(), "twa_deg": flat.twa_deg(),
        "flat_kn": flat.speeds_kn(),
    });
    Ok(std::fs::write(folder.join("tables.json"), axes.to_string())?)
}

fn responses(
    performance: &Performance,
    exponents: &[f64],
    log_gammas: &[f64],
    log_periods: &[f64],
    angles_deg: &[f64],
    speeds: &[f64],
) -> Vec<f32> {
    let mut curve = SeaCurve::new(&performance.tables);
    let mut values = Vec::new();
    let swells = exponents.iter().map(|l| (PartitionKind::Swell, *l));
    let wind_seas = log_gammas.iter().map(|log_gamma| (PartitionKind::WindSea, *log_gamma));
    for (kind, shape) in swells.chain(wind_seas) {
        for log_period in log_periods {
            let tp_s = log_period.exp();
            let hs_m = height_of_shape(kind, shape, tp_s);
            for angle_deg in angles_deg {
                let system = WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: 180.0 - angle_deg };
                let sea = WindFrameSea {
                    tws_m_s: 0.0,
                    systems: [system].into_iter().collect(),
                    spectrum: None,
                    flags: Flags::empty(),
                };
                curve.set(&sea, 0.0);
                for speed in speeds {
                    let response = curve.at(*speed);
                    let found =
                        [response.added_resistance, response.second_added_resistance, response.pitch_rate];
                    values.extend(found.map(|value| (value / (hs_m * hs_m)) as f32));
                }
            }
        }
    }
    values
}

/// The height that has this spectral shape at this peak period.
fn height_of_shape(kind: PartitionKind, shape: f64, tp_s: f64) -> f64 {
    match kind {
        // the Wallop spectrum's slope N = 4 L + 1 (Huang et al. 1981), 2^-N = 2 pi² (Hs/4)² / length², solved for Hs
        PartitionKind::Swell => {
            4.0 * wave_length_m(tp_s) * (2f64.powf(-(4.0 * shape + 1.0)) / (0.5 * TAU * TAU)).sqrt()
        }
        // DNV's gamma = exp(5.75 - 1.15 Tp / sqrt(Hs))
        _ => (1.15 * tp_s / (5.75 - shape)).powi(2),
    }
}

fn balance(performance: &Performance, speeds: &[f64]) -> Result<Vec<f32>, Box<dyn Error>> {
    let flat = &performance.flat;
    let mut values = Vec::new();
    for tack in Tack::ALL {
        for twa_deg in flat.twa_deg() {
            for tws_kn in flat.tws_kn() {
                let signed = tack.signed(*twa_deg);
                let Lookup::Inside(flat_kn) = flat.speed_kn(*tws_kn, signed) else {
                    return Err("no speed".into());
                };
                let top = kn_to_m_s(flat_kn);
                let cell = CellBalance::new(&performance.tables, kn_to_m_s(*tws_kn), signed, top, None)?;
                values.extend(
                    speeds.iter().flat_map(|speed| cell.without_sea(speed.min(top)).map(|v| v as f32)),
                );
            }
        }
    }
    Ok(values)
}

fn write(path: &Path, values: &[f32]) -> std::io::Result<()> {
    std::fs::write(path, values.iter().flat_map(|value| value.to_le_bytes()).collect::<Vec<u8>>())
}
