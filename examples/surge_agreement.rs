//! Holds the polars' mean speed and swing against the full simulation: two boats, seven wind angles, three winds, four seas.
//!
//! `cargo run --release --example surge_agreement > tests/physics/surge_agreement.md` remakes the table.

use rayon::prelude::*;
use roughwater::base::Flags;
use roughwater::boat::{Boat, ModelChoices};
use roughwater::derate::{Performance, PolarCell, Tack, derate_seas};
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::job::JobFile;
use roughwater::polar::Polar;
use roughwater::run::{job_seas, performance_of};
use roughwater::sea::PartitionKind;
use roughwater::simulate::{Setting, Simulated, SimulatedSea, simulate};

const BOATS: [(&str, &str); 2] = [("sleet-heron-15", "foiler"), ("oat-plover-10", "cruiser")];
const TWA_DEG: [f64; 7] = [40.0, 60.0, 90.0, 110.0, 130.0, 150.0, 180.0];
const TWS_KN: [f64; 3] = [10.0, 16.0, 25.0];
/// Kind, significant height, m, peak period, s, and angle off the wind, degrees.
const SEAS: [(PartitionKind, f64, f64, f64); 4] = [
    (PartitionKind::WindSea, 1.0, 4.8, 0.0),
    (PartitionKind::WindSea, 2.0, 6.8, 0.0),
    (PartitionKind::WindSea, 3.0, 8.5, 0.0),
    (PartitionKind::Swell, 2.5, 11.0, -60.0),
];
const SEEDS: u64 = 20;
const REGION: &str = "Date line";

/// One comparison: the means' difference and its standard error in per cent, the deviations' ratio, and who it is.
struct Row {
    boat: &'static str,
    sea: usize,
    tws_kn: f64,
    twa_deg: f64,
    answer: Simulated,
}

impl Row {
    fn difference(&self) -> f64 {
        100.0 * (self.answer.derate_kn / self.answer.mean_kn - 1.0)
    }

    fn error(&self) -> f64 {
        let simulated = self.answer.mean_se_kn / self.answer.mean_kn;
        100.0 * simulated.hypot(self.answer.derate_se_kn.unwrap_or(0.0) / self.answer.mean_kn)
    }

    fn deviations(&self) -> f64 {
        self.answer.derate_sd_kn.unwrap_or(0.0) / self.answer.sd_kn
    }

    /// Said of the cell that its number hangs on little.
    fn flagged(&self) -> bool {
        self.answer
            .flags
            .iter()
            .any(|flag| ["two-balances", "surge-uncertain", "no-way", "pinching"].contains(flag))
    }
}

fn main() -> roughwater::base::Result<()> {
    let mut rows = Vec::new();
    for (file, boat) in BOATS {
        rows.extend(boat_rows(file, boat)?);
    }
    println!("# The polars' mean speed and swing against the simulation in time\n");
    println!(
        "Made by `cargo run --release --example surge_agreement`: {SEEDS} drawings of half an hour each."
    );
    println!(
        "Differences are the polar's mean less the simulated one, in per cent; +- is the standard error of both.\n"
    );
    println!(
        "| boat | sea | TWS kn | TWA | flat kn | simulated kn | polar kn | difference % | +- | sd kn | polar sd kn | flags |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|---|");
    for row in &rows {
        let a = &row.answer;
        let (kind, hs, tp, off) = SEAS[row.sea];
        let sea = format!("{} {hs} m {tp} s {off}", kind.name());
        let flags = if row.flagged() { "yes" } else { "" };
        println!(
            "| {} | {sea} | {} | {} | {:.2} | {:.2} | {:.2} | {:+.2} | {:.2} | {:.2} | {:.2} | {flags} |",
            row.boat,
            row.tws_kn,
            row.twa_deg,
            a.flat_kn,
            a.mean_kn,
            a.derate_kn,
            row.difference(),
            row.error(),
            a.sd_kn,
            a.derate_sd_kn.unwrap_or(0.0)
        );
    }
    summary(&rows);
    BOATS.iter().try_for_each(|(file, boat)| region(file, boat))
}

fn summary(rows: &[Row]) {
    let rms = |of: &dyn Fn(&Row) -> f64| {
        (rows.iter().map(|row| of(row).powi(2)).sum::<f64>() / rows.len() as f64).sqrt()
    };
    let beyond = |row: &&Row| row.difference().abs() > 4.0 + 2.0 * row.error() && !row.flagged();
    println!(
        "\n{} comparisons: rms difference {:.2} %, of it sampling {:.2} %; over 4 % beyond twice the sampling error and \
        without a flag: {}.",
        rows.len(),
        rms(&Row::difference),
        rms(&Row::error),
        rows.iter().filter(beyond).count()
    );
    let noticed: Vec<&Row> = rows.iter().filter(|row| row.answer.sd_kn > 0.1).collect();
    let off = |row: &&Row| (row.deviations() - 1.0).abs();
    let worst = noticed.iter().map(off).fold(0.0, f64::max);
    let mean = noticed.iter().map(off).sum::<f64>() / noticed.len().max(1) as f64;
    println!(
        "Standard deviations above 0.1 kn: off by {:.1} % in the mean, {:.1} % at the most.",
        100.0 * mean,
        100.0 * worst
    );
}

/// All seas of the demo's first region, met in the wind of one column: the polar's mean against that of the simulations.
fn region(file: &str, boat: &str) -> roughwater::base::Result<()> {
    let job = JobFile::read("examples/south-pacific/job.toml".as_ref())?.complete()?;
    let seas = job_seas(&job, Some(REGION))?;
    let performance = performance(file)?;
    let cells = derate_seas(&performance, &seas, Flags::empty())?;
    println!("\n{boat}, the {} seas of \"{REGION}\" in 16 kn of wind:\n", seas.len());
    println!("| TWA | simulated kn | polar kn | difference % | +- |\n|---|---|---|---|---|");
    for twa_deg in [40.0, 90.0, 130.0, 180.0] {
        let met = |(sea, weight): &(WindFrameSea, f64)| {
            let setting = setting(sea.clone(), 16.0, twa_deg, 600.0, 2);
            let (answer, _) = simulate(&performance, &setting).ok()?;
            Some((answer.mean_kn, answer.mean_se_kn, *weight))
        };
        let met: Vec<(f64, f64, f64)> = seas.par_iter().filter_map(met).collect();
        let weight: f64 = met.iter().map(|met| met.2).sum();
        let time: f64 = met.iter().map(|(mean, _, weight)| weight / mean).sum();
        let error: f64 = met.iter().map(|(mean, error, weight)| (weight * error / mean).powi(2)).sum();
        let (simulated, error) = (weight / time, error.sqrt() / weight);
        let of_cell = |cell: &&PolarCell| {
            cell.tack == Tack::Starboard && cell.tws_kn == 16.0 && cell.twa_deg == twa_deg
        };
        let Some(cell) = cells.iter().find(of_cell) else { continue };
        let own = cell.swing.map_or(0.0, |swing| swing.standard_error);
        println!(
            "| {twa_deg} | {simulated:.2} | {:.2} | {:+.2} | {:.2} |",
            cell.corrected_kn,
            100.0 * (cell.corrected_kn / simulated - 1.0),
            100.0 * error.hypot(own)
        );
    }
    Ok(())
}

fn performance(file: &str) -> roughwater::base::Result<Performance> {
    let boat = Boat::read(format!("examples/boats/{file}.toml").as_ref())?;
    let polar = Polar::read(format!("polars/{file}.csv").as_ref())?;
    performance_of(boat, polar, &ModelChoices::default())
}

fn boat_rows(file: &str, boat: &'static str) -> roughwater::base::Result<Vec<Row>> {
    let performance = performance(file)?;
    let mut cases = Vec::new();
    for sea in 0..SEAS.len() {
        for tws_kn in TWS_KN {
            cases.extend(TWA_DEG.map(|twa_deg| (sea, tws_kn, twa_deg)));
        }
    }
    let row = |(sea, tws_kn, twa_deg): (usize, f64, f64)| {
        // a boat that such a sea stops has no mean speed to compare
        let answer = simulated(&performance, sea, tws_kn, twa_deg).ok()?;
        Some(Row { boat, sea, tws_kn, twa_deg, answer })
    };
    Ok(cases.into_par_iter().filter_map(row).collect())
}

fn simulated(
    performance: &Performance,
    sea: usize,
    tws_kn: f64,
    twa_deg: f64,
) -> roughwater::base::Result<Simulated> {
    let (kind, hs_m, tp_s, off_wind_deg) = SEAS[sea];
    let system = WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg };
    let sea = WindFrameSea {
        tws_m_s: 0.0,
        systems: [system].into_iter().collect(),
        spectrum: None,
        flags: Flags::empty(),
    };
    simulate(performance, &setting(sea, tws_kn, twa_deg, 1800.0, SEEDS)).map(|(answer, _)| answer)
}

fn setting(sea: WindFrameSea, tws_kn: f64, twa_deg: f64, duration_s: f64, seeds: u64) -> Setting {
    Setting { tws_kn, twa_deg, sea: SimulatedSea::Random(sea), duration_s, step_s: 0.1, seed: 1000, seeds }
}
