//! Tables of what large waves change, made small, against simulations of their own.

use crate::common::boats::{FOILER, boat};
use approx::assert_relative_eq;
use roughwater::boat::{
    Beyond, BoatModel, LONGEST_STEP_S, LargeWaves, LargeWavesGrid, Met, WholeBody, large_waves_on,
    shortest_felt_rad_s,
};
use roughwater::hydro::body::{Body, Outside, Passing, Scratch, Wave};
use roughwater::hydro::response::{Method, ResponseTable, SeaResponses};
use roughwater::hydro::surge::{RandomWave, RandomWaves};
use roughwater::hydro::wave_shape::WaveShape;
use roughwater::hydro::wind_frame::WaveSystem;
use roughwater::sea::PartitionKind;
use std::f64::consts::PI;

const TOP_M_S: f64 = 4.0;
const GRID: LargeWavesGrid =
    LargeWavesGrid { periods_s: [5.0, 7.0], periods: 2, angles: 2, speeds: 2, heights: 1, seeds: 3 };
/// Of the highest sea, the one that counts as small, and the one whose spectrum's shape all have.
const SMALL: f64 = 0.25;
const SHAPED_AT: f64 = 0.7;

/// Wind-sea waves from ahead.
fn head_sea(hs_m: f64, tp_s: f64, shortest_rad_s: f64, seed: u64) -> Vec<Wave> {
    let system = WaveSystem { kind: PartitionKind::WindSea, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: 0.0 };
    let shape = WaveShape::of(system.kind, hs_m, tp_s);
    let drawn = RandomWaves::draw_shape_up_to(&system, shape, 40, shortest_rad_s, seed);
    let wave = |(wave, mu_rad): (RandomWave, f64)| Wave {
        amplitude_m: wave.amplitude_m,
        omega_rad_s: wave.omega,
        mu_rad,
        phase_rad: wave.phase,
    };
    drawn.met_at(0.0).map(wave).collect()
}

/// Mean force on the hull and of the water that comes aboard, N, positive astern, and mean water on deck, kg, after half a minute.
fn means(whole: &WholeBody, body: &Body, speed_m_s: f64, counted_s: f64) -> [f64; 3] {
    let outside =
        |passing: &Passing| Outside { pitch_nm: whole.drive_nm(passing.speed_m_s), ..Outside::default() };
    let mut state = whole.settled(speed_m_s, &outside);
    let mut scratch = Scratch::default();
    let raised = whole.raised_m(speed_m_s);
    let [settle, counted] = [30.0, counted_s].map(|time| (time / LONGEST_STEP_S) as usize);
    let mut sums = [0.0; 3];
    for step in 0..settle + counted {
        let aboard_n = state.deck_force_n;
        let (now, _) = body.step(&mut state, LONGEST_STEP_S, &outside, &raised, &mut scratch);
        if step >= settle {
            sums[0] += aboard_n - now.surge_means_n[1];
            sums[1] -= aboard_n;
            sums[2] += now.deck_kg;
        }
    }
    sums.map(|sum| sum / counted as f64)
}

/// What a drawn head sea of the highest height has beyond the same waves a quarter as high, per squared height, N/m², and its water's
/// force, N, and mass, kg.
fn direct(model: &BoatModel, highest_m: f64, tp_s: f64, seed: u64) -> [f64; 3] {
    let shortest_rad_s = shortest_felt_rad_s(model.hydrostatics.lwl_m);
    let waves = head_sea(SHAPED_AT * highest_m, tp_s, shortest_rad_s, seed);
    let mut whole = WholeBody::new(model, &waves, TOP_M_S, None).unwrap();
    whole.body.held = true;
    let still_n = means(&whole, &whole.body.without_waves(), TOP_M_S, 30.0)[0];
    let taken = |part: f64| {
        let [crests, troughs] = [1.0, -1.0]
            .map(|sign| means(&whole, &whole.body.higher(sign * part / SHAPED_AT), TOP_M_S, 100.0));
        let [hull_n, deck_n, deck_kg] = std::array::from_fn(|i| 0.5 * (crests[i] + troughs[i]));
        [(hull_n - still_n) / (part * highest_m).powi(2), deck_n, deck_kg]
    };
    let [high, low] = [1.0, SMALL].map(taken);
    [high[0] - low[0], high[1], high[2]]
}

fn mean_and_error(values: &[f64]) -> [f64; 2] {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let square: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    [mean, (square / (count - 1.0) / count).sqrt()]
}

/// A small table of the foiler, made whole: told of every node once; read at its nodes it says what they hold, halfway between what
/// lies halfway; one of them is, by the same drawings, what this file's own simulation finds, and by others that within chance
/// (Student's t of 4 degrees of freedom, 1 %: 4.60).
#[test]
fn a_small_table_is_what_simulations_say() {
    let model = BoatModel::new(boat(FOILER), Method::default(), None).unwrap();
    assert_eq!(model.foil_share(TOP_M_S), 0.0);
    let responses = ResponseTable::build(&model.waves, TOP_M_S);
    let told = std::sync::Mutex::new(Vec::new());
    let tell = |done: usize, all: usize| {
        told.lock().unwrap().push(done);
        assert_eq!(all, 8);
        Ok(())
    };
    let table = large_waves_on(GRID, &model, &responses, TOP_M_S, &tell).unwrap();
    let mut told = told.into_inner().unwrap();
    told.sort_unstable();
    assert_eq!(told, (1..=8).collect::<Vec<_>>());
    let nodes: Vec<Beyond> = table.nodes().collect();
    assert_eq!((nodes.len(), table.lost()), (GRID.nodes(), [0, 8]));
    read_back(&table, &nodes);

    let tp_s = GRID.periods_s[0];
    let highest_m = table.height_m(1, tp_s);
    // the first period, head seas, the top speed
    let node = nodes[3];
    let mut sea = SeaResponses::new(&responses);
    sea.add_system(PartitionKind::WindSea, highest_m * highest_m, tp_s, PI);
    let freeboard_m = model.effective_freeboard_m(TOP_M_S, true);
    let weir = model.shipped_water(&sea.at(TOP_M_S), TOP_M_S, freeboard_m);
    let held = [node.hull_n, node.deck_n + weir.force_n, node.deck_kg + weir.carried_kg];
    let errors = [node.hull_error_n, node.deck_error_n, node.deck_error_kg];
    let drawings = |first: u64| -> [Vec<f64>; 3] {
        let drawn: Vec<[f64; 3]> =
            (first..first + 3).map(|seed| direct(&model, highest_m, tp_s, seed)).collect();
        std::array::from_fn(|i| drawn.iter().map(|drawn| drawn[i]).collect())
    };
    let (same, others) = (drawings(0), drawings(100));
    for (index, what) in ["hull, N/m2", "deck, N", "deck, kg"].iter().enumerate() {
        let [mean, error] = mean_and_error(&same[index]);
        let [other, other_error] = mean_and_error(&others[index]);
        println!(
            "{what}: {:.3} +- {:.3}, directly {mean:.3} +- {error:.3}, other drawings {other:.3} +- {other_error:.3}",
            held[index], errors[index]
        );
        assert_relative_eq!(held[index], mean, max_relative = 1e-9, epsilon = 1e-9);
        assert_relative_eq!(errors[index], error, max_relative = 1e-9, epsilon = 1e-9);
        assert!((held[index] - other).abs() <= 4.60 * error.hypot(other_error), "{what}");
    }
    assert!(node.hull_n.abs() > 2.0 * node.hull_error_n, "{node:?}");
}

/// Nodes by period, angle, speed and height: at each what it holds, in the middle of each axis the mean of its two.
fn read_back(table: &LargeWaves, nodes: &[Beyond]) {
    let [first_s, last_s] = GRID.periods_s;
    let read = |part: f64, tp_s: f64, mu_rad: f64, speed_m_s: f64| {
        let hs2_m2 = (part * table.height_m(1, tp_s)).powi(2);
        let beyond = table.at([Met { hs2_m2, tp_s, mu_rad }].into_iter(), speed_m_s);
        [beyond.hull_n / hs2_m2, beyond.hull_error_n / hs2_m2, beyond.deck_n, beyond.deck_kg]
    };
    let held = |index: usize| {
        let node = nodes[index];
        [node.hull_n, node.hull_error_n, node.deck_n, node.deck_kg]
    };
    let same = |read: [f64; 4], held: [f64; 4]| {
        for (read, held) in read.into_iter().zip(held) {
            assert_relative_eq!(read, held, max_relative = 1e-9, epsilon = 1e-12);
        }
    };
    let mean = |a: usize, b: usize| std::array::from_fn(|i| 0.5 * (held(a)[i] + held(b)[i]));
    for (p, tp_s) in [first_s, last_s].into_iter().enumerate() {
        for (a, mu_rad) in [0.0, PI].into_iter().enumerate() {
            for (s, speed_m_s) in [0.0, TOP_M_S].into_iter().enumerate() {
                same(read(1.0, tp_s, mu_rad, speed_m_s), held(4 * p + 2 * a + s));
            }
        }
    }
    same(read(1.0, (first_s * last_s).sqrt(), PI, TOP_M_S), mean(3, 7));
    same(read(1.0, first_s, PI / 2.0, TOP_M_S), mean(1, 3));
    same(read(1.0, first_s, PI, TOP_M_S / 2.0), mean(2, 3));
    // halfway down to the small sea, which has nothing
    same(read(0.5 * (1.0 + SMALL), first_s, PI, TOP_M_S), held(3).map(|value| 0.5 * value));
}
