//! Makes the demo boats' flat polars from their own boat files: `cargo run --release --example make_polars`.
//!
//! A speed is the largest at which a stated part of the sails' thrust, trimmed as `roughwater::hydro::sail` does, balances
//! flat-water resistance; then each speed is averaged with its neighbours in the table. Nothing is set by hand.

use roughwater::balance::{BoatTables, own_speeds};
use roughwater::base::units::{kn_to_m_s, m_s_to_kn};
use roughwater::base::{Error, Result};
use roughwater::boat::{Boat, BoatModel};
use roughwater::hydro::response::Method;
use std::path::Path;

/// Speeds up to which balances are looked for, kn.
const FASTEST_KN: f64 = 40.0;
const TWS_KN: [f64; 12] = [4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 25.0, 30.0, 35.0];
const TWA_DEG: [f64; 17] = [
    40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0, 142.0, 150.0, 165.0,
    180.0,
];

/// A polar to make: boat file, polar file, the part of the sails' best thrust that her crew gets, foils up or in use, and how
/// many of the lightest winds are left out of it once it is smoothed.
const POLARS: [(&str, &str, f64, bool, usize); 4] = [
    ("sleet-heron-15", "sleet-heron-15", 1.0, false, 1),
    ("sleet-heron-15", "sleet-heron-15-foils-up", 1.0, true, 1),
    ("oat-plover-10", "oat-plover-10", 0.95, false, 0),
    ("slate-curlew-18", "slate-curlew-18", 1.0, false, 1),
];

fn main() -> Result<()> {
    for (boat, polar, part, foils_up, left_out) in POLARS {
        let text = polar_csv(
            &Path::new("examples/boats").join(boat).with_extension("toml"),
            part,
            foils_up,
            left_out,
        )?;
        let path = Path::new("polars").join(polar).with_extension("csv");
        std::fs::write(&path, text).map_err(|error| Error::io("write the polar", &path, &error))?;
    }
    Ok(())
}

fn polar_csv(boat: &Path, part: f64, foils_up: bool, left_out: usize) -> Result<String> {
    let model = BoatModel::new(Boat::read(boat)?, Method::default(), None)?;
    let mut text = format!(
        "# Invented boat: {}{}. Made from her boat file by the example make_polars: {} of the sails' best thrust.\n\
         # TWS and speeds in knots, TWA in degrees.\n",
        model.boat.name.trim_end_matches(" (invented)"),
        if foils_up { ", foils up" } else { "" },
        part
    );
    let tables = BoatTables::new(model, kn_to_m_s(FASTEST_KN));
    let row = |twa_deg: f64| -> Result<Vec<f64>> {
        let speed = |tws_kn: f64| {
            let speeds = own_speeds(&tables, kn_to_m_s(tws_kn), twa_deg, part, foils_up)?;
            Ok(speeds.last().copied().map_or(0.0, m_s_to_kn))
        };
        TWS_KN.into_iter().map(speed).collect()
    };
    let rows: Vec<Vec<f64>> = TWA_DEG.into_iter().map(row).collect::<Result<_>>()?;
    text += &TWS_KN[left_out..].iter().fold("twa_deg".to_owned(), |row, tws| format!("{row},{tws}"));
    for (twa_deg, row) in TWA_DEG.iter().zip(smoothed(&rows)) {
        text += &row[left_out..]
            .iter()
            .fold(format!("\n{twa_deg}"), |text, speed_kn| format!("{text},{speed_kn:.2}"));
    }
    Ok(text + "\n")
}

/// Each speed averaged with its neighbours, weights 1 2 1, in wind and then in angle; the rim of the table keeps its own.
fn smoothed(rows: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let along = |values: Vec<f64>| -> Vec<f64> {
        let last = values.len() - 1;
        let mean = |i: usize| 0.25 * values[i - 1] + 0.5 * values[i] + 0.25 * values[i + 1];
        (0..values.len()).map(|i| if i == 0 || i == last { values[i] } else { mean(i) }).collect()
    };
    let by_wind: Vec<Vec<f64>> = rows.iter().cloned().map(along).collect();
    let columns = (0..TWS_KN.len()).map(|column| along(by_wind.iter().map(|row| row[column]).collect()));
    let columns: Vec<Vec<f64>> = columns.collect();
    (0..rows.len()).map(|row| columns.iter().map(|column| column[row]).collect()).collect()
}
