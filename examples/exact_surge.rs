//! What the swing of her speed is worth with all of her hull, beside what the polars' surge says of it (`DEVELOPERS.md`).
//!
//! `cargo run --release --example exact_surge` prints the table. Surge with all of her hull: the mean speed in time over the speed at
//! which the mean force on the same hull in the same waves, held at a speed, balances her thrust.

use rayon::prelude::*;
use roughwater::balance::{Added, SeaCurve};
use roughwater::base::units::{G, kn_to_m_s, m_s_to_kn};
use roughwater::base::{Error, Flags, Result};
use roughwater::boat::{
    Boat, BoatModel, LONGEST_STEP_S, ModelChoices, TopsidesSpec, WholeBody, shortest_felt_rad_s,
};
use roughwater::derate::{Performance, derate_point};
use roughwater::hydro::body::{Body, BodyState, Outside, Passing, Scratch, Wave};
use roughwater::hydro::surge::RandomWaves;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::maths::root::bracketed_root;
use roughwater::polar::{Lookup, Polar};
use roughwater::run::performance_of;
use roughwater::sea::PartitionKind;
use roughwater::simulate::{Setting, SimulatedSea, drawings};
use std::path::Path;

/// TWS, kn, TWA, degrees, Hs, m, and Tp, s: seas of the wind's own, from where it blows.
const BOTH: [[f64; 4]; 5] = [
    [20.0, 50.0, 2.62, 8.5],
    [20.0, 90.0, 2.62, 8.5],
    [20.0, 120.0, 2.62, 8.5],
    [20.0, 150.0, 2.62, 8.5],
    [20.0, 180.0, 2.62, 8.5],
];
/// Of the cruiser besides, behind the others.
const CRUISED: [[f64; 4]; 3] = [[30.0, 60.0, 4.3, 10.6], [30.0, 120.0, 4.3, 10.6], [30.0, 180.0, 4.3, 10.6]];
/// Of the foiler besides, before them.
const FLOWN: [[f64; 4]; 1] = [[12.0, 50.0, 0.94, 5.1]];
const SEEDS: u64 = 10;
/// Held speeds over the mean one.
const HELD: [f64; 3] = [0.8, 0.95, 1.1];

fn main() -> Result<()> {
    println!("| boat | TWS kn, TWA, Hs m, Tp s | all of her hull, % | linear, % |\n|---|---|---|---|");
    let (cruised, flown) = ([&BOTH[..], &CRUISED].concat(), [&FLOWN[..], &BOTH].concat());
    for (boat, cases) in [("oat-plover-10", cruised), ("sleet-heron-15", flown)] {
        let performance = performance(boat)?;
        for case in cases {
            let [exact, error, linear] = surges(&performance, case)?.map(|part| 100.0 * part);
            let [tws_kn, twa_deg, hs_m, tp_s] = case;
            println!(
                "| {boat} | {tws_kn}, {twa_deg}, {hs_m}, {tp_s} | {exact:+.1} +- {error:.1} | {linear:+.1} |"
            );
        }
    }
    Ok(())
}

/// A boat with her polar; one whose file ends at the waterline gets invented topsides.
fn performance(name: &str) -> Result<Performance> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut boat = Boat::read(&root.join(format!("examples/boats/{name}.toml")))?;
    boat.topsides.get_or_insert(TopsidesSpec {
        mid_freeboard_m: 1.0,
        stern_freeboard_m: 0.95,
        deck_beam_m: 3.3,
        deck_transom_fraction: 0.8,
        deck_bow_fullness: Some(0.4),
        bow_flare_deg: None,
        stem_rake_deg: 10.0,
    });
    let polar = Polar::read(&root.join(format!("polars/{name}.csv")))?;
    performance_of(boat, polar, &ModelChoices::default())
}

/// What surge adds to the mean speed with all of her hull, its standard error, and what the polars' surge adds.
fn surges(performance: &Performance, [tws_kn, twa_deg, hs_m, tp_s]: [f64; 4]) -> Result<[f64; 3]> {
    let system = WaveSystem { kind: PartitionKind::WindSea, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: 0.0 };
    let still = WindFrameSea {
        tws_m_s: kn_to_m_s(tws_kn),
        systems: [].into_iter().collect(),
        spectrum: None,
        flags: Flags::empty(),
    };
    let sea = WindFrameSea { systems: [system].into_iter().collect(), ..still.clone() };
    let Lookup::Inside(flat_kn) = performance.flat.speed_kn(tws_kn, twa_deg) else {
        return Err(Error::new("the wind lies outside the flat polar").found(tws_kn));
    };
    let derated = derate_point(performance, tws_kn, twa_deg, flat_kn, &sea)?;
    let setting = Setting {
        tws_kn,
        twa_deg,
        sea: SimulatedSea::Random(sea.clone()),
        duration_s: 600.0,
        step_s: 0.1,
        seed: 1,
        seeds: SEEDS,
    };
    let sailed = drawings(performance, &setting)?.all.simulated;
    let cell = performance.cell(tws_kn, twa_deg, flat_kn)?;
    let mut curve = SeaCurve::new(&performance.tables);
    curve.set(&still, twa_deg);
    let no_way = || Error::new("the boat makes no way there");
    let balance = cell.in_time(&curve, &cell.solve(&curve, Added::Used(1.0))).ok_or_else(no_way)?;
    let mean_m_s = kn_to_m_s(sailed.mean_kn);
    let speeds = HELD.map(|part| part * mean_m_s);
    let model = &performance.tables.model;
    let forces: Vec<f64> = speeds
        .iter()
        .map(|speed_m_s| {
            let each = (0..SEEDS).into_par_iter();
            let sum: Result<f64> =
                each.map(|seed| held_n(model, &met(&sea, model, twa_deg, seed + 1), *speed_m_s)).sum();
            Ok(sum? / SEEDS as f64)
        })
        .collect::<Result<_>>()?;
    let surplus_n =
        |speed: f64| balance.curves.surplus(speed, 0.0, false).0 - parabola(speeds, &forces, speed);
    let held = bracketed_root(surplus_n, 0.6 * mean_m_s, 1.4 * mean_m_s, 1e-4).ok_or_else(no_way)?;
    let linear = derated.stages.and_then(|stages| stages.last().copied()).unwrap_or(1.0);
    Ok([sailed.mean_kn / m_s_to_kn(held) - 1.0, sailed.mean_se_kn / sailed.mean_kn, linear - 1.0])
}

/// The parabola through three points.
fn parabola([a, b, c]: [f64; 3], values: &[f64], at: f64) -> f64 {
    values[0] * (at - b) * (at - c) / ((a - b) * (a - c))
        + values[1] * (at - a) * (at - c) / ((b - a) * (b - c))
        + values[2] * (at - a) * (at - b) / ((c - a) * (c - b))
}

fn met(sea: &WindFrameSea, model: &BoatModel, twa_deg: f64, seed: u64) -> Vec<Wave> {
    let drawn = RandomWaves::draw_up_to(sea, 60, shortest_felt_rad_s(model.hydrostatics.lwl_m), seed);
    let wave = |(wave, mu_rad): (roughwater::hydro::surge::RandomWave, f64)| Wave {
        amplitude_m: wave.amplitude_m,
        omega_rad_s: wave.omega,
        mu_rad,
        phase_rad: wave.phase,
    };
    drawn.met_at(twa_deg).map(wave).collect()
}

/// Mean force that waves take of her held at a speed, N, with the water that comes aboard; crests met as troughs too.
fn held_n(model: &BoatModel, waves: &[Wave], speed_m_s: f64) -> Result<f64> {
    let share = model.foil_share(speed_m_s);
    let mut whole = WholeBody::new(model, waves, speed_m_s, (share > 0.0).then_some(speed_m_s))?;
    whole.body.held = true;
    let lift_n = share * whole.body.mass_kg() * G;
    let outside = |passing: &Passing| Outside {
        pitch_nm: whole.drive_nm(passing.speed_m_s),
        foil_lift_n: lift_n,
        ..Outside::default()
    };
    let start = whole.settled(speed_m_s, &outside);
    let mut body = whole.body.clone();
    body.set_foil_trim(start.trim_rad);
    let raised = whole.raised_m(speed_m_s);
    let mean_n = |body: &Body, counted_s: f64| {
        let (mut state, mut scratch): (BodyState, Scratch) = (start.clone(), Scratch::default());
        let [settle, counted] = [30.0, counted_s].map(|time| (time / LONGEST_STEP_S) as usize);
        let mut sum = 0.0;
        for step in 0..settle + counted {
            let (now, _) = body.step(&mut state, LONGEST_STEP_S, &outside, &raised, &mut scratch);
            sum -= if step >= settle { now.surge_means_n[1] } else { 0.0 };
        }
        sum / counted as f64
    };
    let in_waves = 0.5 * (mean_n(&body, 100.0) + mean_n(&body.higher(-1.0), 100.0));
    Ok(in_waves - mean_n(&body.without_waves(), 30.0))
}
