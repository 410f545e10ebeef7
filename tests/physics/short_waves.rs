//! Added resistance in waves shorter than the hull, on the invented boats: limits, trends, and where it hands over.

use crate::common::boats::{CRUISER, FOILER, model};
use roughwater::base::units::{G, RHO_WATER, kn_to_m_s};
use roughwater::boat::BoatModel;
use roughwater::hydro::added_resistance::radiated_energy;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

fn omega(model: &BoatModel, relative_length: f64) -> f64 {
    (TAU * G / (relative_length * model.hydrostatics.lwl_m)).sqrt()
}

/// Over rho g a² B²/L.
fn coefficient(model: &BoatModel, speed_kn: f64, relative_length: f64, mu: f64) -> f64 {
    let motions = model.waves.motions(kn_to_m_s(speed_kn), omega(model, relative_length), mu);
    let form = &model.hydrostatics;
    let unit = RHO_WATER * G * form.bwl_m * form.bwl_m / form.lwl_m;
    model.waves.added_resistance(&motions, mu).per_amplitude_squared / unit
}

fn steps(from: f64, to: f64, count: usize) -> impl Iterator<Item = f64> {
    (0..=count).map(move |i| from + (to - from) * i as f64 / count as f64)
}

/// `tests/reference/bluntness.py`: NumPy, smooth waterlines, the published angles; here straight from station to station.
#[test]
fn bluntness_is_that_of_the_waterlines() {
    for (name, expected) in
        [(FOILER, [0.0986, 0.2373, 0.3638, 0.3025]), (CRUISER, [0.2106, 0.3136, 0.3472, 0.1823])]
    {
        let line = model(name).waves.waterline;
        for (off_deg, expected) in [0.0f64, 30.0, 60.0, 90.0].into_iter().zip(expected) {
            let found = line.bluntness(PI - off_deg.to_radians());
            assert!((found / expected - 1.0).abs() < 0.03, "{name} at {off_deg}: {found}");
        }
    }
}

/// A wall throws back 1/2 rho g a² a metre at rest (Maruo 1960): a coefficient of L/(2B).
#[test]
fn at_rest_nothing_exceeds_a_wall() {
    for name in [FOILER, CRUISER] {
        let model = model(name);
        let wall = model.hydrostatics.lwl_m / (2.0 * model.hydrostatics.bwl_m);
        for relative in steps(0.1, 0.899, 40) {
            for mu in steps(0.0, PI, 36) {
                let found = coefficient(&model, 0.0, relative, mu);
                assert!(found <= wall * (1.0 + 1e-9), "{name}: {found} at {relative}, {mu}");
            }
        }
    }
}

/// Head on with speed: 1/2 rho g a² B (1 + 2 w U/g), Faltinsen et al. 1980's wall across the course.
#[test]
fn at_speed_nothing_exceeds_a_wall() {
    for name in [FOILER, CRUISER] {
        let model = model(name);
        let form = &model.hydrostatics;
        for relative in steps(0.1, 0.899, 40) {
            for speed_kn in [2.0, 5.0, 8.0] {
                let speed = 2.0 * omega(&model, relative) * kn_to_m_s(speed_kn) / G;
                let wall = form.lwl_m / (2.0 * form.bwl_m) * (1.0 + speed);
                let found = coefficient(&model, speed_kn, relative, PI);
                assert!(found <= wall * (1.0 + 1e-9), "{name}: {found} at {relative}, {speed_kn} kn");
            }
        }
    }
}

/// What reflects grows with the speed into the waves, and so falls as she slows.
#[test]
fn in_short_waves_she_meets_less_as_she_slows() {
    for name in [FOILER, CRUISER] {
        let model = model(name);
        for relative in steps(0.2, 0.5, 12) {
            for mu in steps(FRAC_PI_2, PI, 18) {
                let forces: Vec<f64> =
                    steps(0.0, 16.0, 64).map(|kn| coefficient(&model, kn, relative, mu)).collect();
                assert!(forces.windows(2).all(|pair| pair[1] >= pair[0]), "{name} at {relative}, {mu}");
            }
        }
    }
}

/// Waves from aft that she overtakes meet her bow in her own frame: short ones give what head waves of their length would at
/// the speed with which she passes them, if their encounter were as frequent; waves that overtake her give nothing.
#[test]
fn overtaken_short_waves_meet_her_bow() {
    for name in [FOILER, CRUISER] {
        let model = model(name);
        for relative in [0.1, 0.2] {
            let w = omega(&model, relative);
            let pace_kn = G / w / kn_to_m_s(1.0);
            // w_e = k U/c here is w + k U there less w: the deeper the wave, the less it tells
            let (overtaken, head) =
                (coefficient(&model, pace_kn + 8.0, relative, 0.0), coefficient(&model, 8.0, relative, PI));
            assert!(overtaken > 0.0 && overtaken <= head * (1.0 + 1e-9), "{name}: {overtaken} {head}");
            assert!(overtaken > 0.5 * head, "{name}: {overtaken} {head}");
            assert_eq!(coefficient(&model, pace_kn - 0.1, relative, 0.0), 0.0);
            assert!(coefficient(&model, pace_kn + 0.1, relative, 0.0) < 1e-3 * head);
        }
    }
}

#[test]
fn from_nine_tenths_of_her_length_radiated_energy_is_all() {
    for name in [FOILER, CRUISER] {
        let waves = model(name).waves;
        for (relative, mu, speed) in [(0.901, PI, 2.0), (1.2, 2.5, 4.0), (2.0, 1.7, 0.0), (0.95, 3.0, 6.0)] {
            let motions = waves.motions(speed, omega(&model(name), relative), mu);
            let radiated = radiated_energy::from_motions(&waves.strip, &motions, mu);
            assert_eq!(waves.added_resistance(&motions, mu), radiated);
        }
    }
}

/// Steps shrink with the distance of the points: a jump would not. Below about 3 kn there is one at 0.9 lengths, where the
/// wall's limit ends and radiated energy exceeds it.
#[test]
fn nothing_jumps_in_length_angle_or_speed() {
    let largest_step = |values: Vec<f64>| {
        let largest = values.iter().fold(0.0, |a: f64, b| a.max(*b));
        values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max) / largest
    };
    for name in [FOILER, CRUISER] {
        let model = model(name);
        for speed_kn in [3.5, 5.0, 8.0] {
            for mu in [1.7, 2.0, 2.5, PI] {
                let over = steps(0.3, 1.1, 1600).map(|relative| coefficient(&model, speed_kn, relative, mu));
                assert!(largest_step(over.collect()) < 0.01, "{name}, length, {speed_kn} kn, {mu}");
            }
            for relative in [0.3, 0.6, 0.8] {
                let over = steps(0.0, PI, 1600).map(|mu| coefficient(&model, speed_kn, relative, mu));
                assert!(largest_step(over.collect()) < 0.01, "{name}, angle, {speed_kn} kn, {relative}");
            }
        }
        for relative in [0.3, 0.6, 0.8] {
            let over = steps(0.0, 14.0, 1600).map(|kn| coefficient(&model, kn, relative, 2.6));
            assert!(largest_step(over.collect()) < 0.01, "{name}, speed, {relative}");
        }
    }
}

/// Where she comes to overtake waves the force rises steeply, but on a grid four times as fine the largest step falls to a
/// quarter or so; it would stay where anything jumps.
#[test]
fn nothing_jumps_where_she_comes_to_overtake() {
    let largest_step =
        |values: Vec<f64>| values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max);
    for name in [FOILER, CRUISER] {
        let model = model(name);
        for relative in [0.3, 0.6, 0.8, 1.0, 1.5, 2.5] {
            for speed_kn in [8.0, 14.0, 22.0] {
                let step = |count| {
                    let over = steps(0.0, PI, count).map(|mu| coefficient(&model, speed_kn, relative, mu));
                    largest_step(over.collect())
                };
                assert!(step(6400) < 0.5 * step(1600), "{name}, angle, {speed_kn} kn, {relative}");
            }
            for mu in [0.0, 0.4, 1.0] {
                let step = |count| {
                    let over = steps(0.0, 30.0, count).map(|kn| coefficient(&model, kn, relative, mu));
                    largest_step(over.collect())
                };
                assert!(step(6400) < 0.5 * step(1600), "{name}, speed, {mu}, {relative}");
            }
        }
    }
}
