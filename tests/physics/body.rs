//! The boat in time with all of her hull, against what is known of her otherwise.

use crate::common::boats::{CRUISER, FOILER, boat};
use crate::common::files::file;
use roughwater::base::units::{G, RHO_WATER};
use roughwater::boat::{BoatModel, TopsidesSpec};
use roughwater::hull::{Decked, DeckedSection, Hull, Point};
use roughwater::hydro::body::{Body, BodyFoil, BodyState, Outside, Passing, Scratch, Wave};
use roughwater::hydro::response::Method;
use roughwater::hydro::spectrum::{Spectrum, SpectrumShape};
use roughwater::hydro::strip::{Lift, Motions, StripHull};
use roughwater::hydro::unsteady_lift::theodorsen;
use std::f64::consts::{PI, TAU};

/// The boats with topsides: the fine bow, the full one, and the cruiser with invented ones.
fn decked(name: &str) -> BoatModel {
    let mut boat = boat(name);
    boat.topsides.get_or_insert(TopsidesSpec {
        mid_freeboard_m: 1.0,
        stern_freeboard_m: 0.95,
        deck_beam_m: 3.3,
        deck_transom_fraction: 0.8,
        deck_bow_fullness: Some(0.4),
        bow_flare_deg: None,
        stem_rake_deg: 10.0,
    });
    BoatModel::new(boat, Method::RadiatedEnergy, None).unwrap()
}

fn body(model: &BoatModel, waves: &[Wave], speed_m_s: f64) -> Body {
    let decked = model.hull.decked().unwrap();
    let radius = model.boat.hull.pitch_radius_m;
    Body::new(decked, &model.waves.strip, waves, speed_m_s, radius, None, RHO_WATER)
}

fn untouched(_: &Passing) -> Outside {
    Outside::default()
}

/// Steps a body and hands each state on.
fn run(body: &Body, state: &mut BodyState, seconds: f64, step_s: f64, mut see: impl FnMut(&BodyState)) {
    let mut scratch = Scratch::default();
    for _ in 0..(seconds / step_s).round() as usize {
        body.step(state, step_s, &untouched, &|_| 0.0, &mut scratch);
        see(state);
    }
}

/// Amplitude of a motion at the encounter frequency by projection over whole periods, as sine and cosine about a wave of phase 0.
struct Projection {
    omega: f64,
    sums: [[f64; 2]; 2],
    count: f64,
}

impl Projection {
    fn add(&mut self, state: &BodyState) {
        let (sin, cos) = (self.omega * state.time_s).sin_cos();
        for (sum, value) in self.sums.iter_mut().zip([state.heave_m, state.trim_rad]) {
            sum[0] += value * cos;
            sum[1] -= value * sin;
        }
        self.count += 1.0;
    }

    fn amplitudes(&self) -> [num_complex::Complex64; 2] {
        self.sums.map(|[re, im]| num_complex::Complex64::new(re, im) * (2.0 / self.count))
    }
}

/// Waves a thousandth of their length's hundredth high: heave and pitch equal the strip theory's in amplitude and phase.
fn small_waves(name: &str) -> Vec<(String, f64, f64)> {
    let model = decked(name);
    let strip = &model.waves.strip;
    let length = strip.length_m();
    let mut misses = Vec::new();
    for froude in [0.0, 0.3, 0.6] {
        let speed = froude * (G * length).sqrt();
        for mu_deg in [0.0_f64, 45.0, 90.0, 135.0, 180.0] {
            for ratio in [1.0, 1.5, 2.5] {
                let omega = (TAU * G / (ratio * length)).sqrt();
                let wave = Wave {
                    amplitude_m: 1e-5 * length,
                    omega_rad_s: omega,
                    mu_rad: mu_deg.to_radians(),
                    phase_rad: 0.0,
                };
                let encounter = wave.encounter_rad_s(speed);
                if encounter.abs() < 0.2 {
                    continue;
                }
                let mut body = body(&model, &[wave], speed);
                body.held = true;
                let expected = strip.motions(speed, omega, wave.mu_rad);
                let period = TAU / encounter.abs();
                let mut state = body.at_rest(speed);
                let step = period / (period / 0.04).ceil();
                let settle = (40.0 / period).ceil() * period;
                run(&body, &mut state, settle, step, |_| {});
                let mut projection = Projection { omega: encounter, sums: [[0.0; 2]; 2], count: 0.0 };
                run(&body, &mut state, 3.0 * period, step, |state| projection.add(state));
                let [heave, pitch] = projection.amplitudes().map(|a| a / wave.amplitude_m);
                let k = wave.wave_number();
                misses.push((
                    format!(
                        "{name} Fn {froude} mu {mu_deg} lambda/L {ratio} we {encounter:.2}: heave {:.3} {:.3}, pitch/k {:.3} {:.3}",
                        heave.norm(), expected.heave.norm(), pitch.norm() / k, expected.pitch.norm() / k
                    ),
                    (heave - expected.heave).norm(),
                    (pitch - expected.pitch).norm() / k,
                ));
            }
        }
    }
    misses
}

/// All headings and three speeds: motions within 1 % of the wave's height and slope. Where she is met so seldom that strip
/// theory fades its speed terms (k_e L below 0.76) the memory, which knows no such limit, differs by more.
#[test]
fn small_waves_equal_the_frequency_domain() {
    for name in [FOILER, CRUISER] {
        for (what, heave, pitch) in small_waves(name) {
            println!("{what}: misses {heave:.4} {pitch:.4}");
            assert!(heave < 0.01 && pitch < 0.01, "{what}: misses {heave:.4} {pitch:.4}");
        }
    }
}

/// A sea of waves of equal energy, phases by the golden section.
fn sea(hs_m: f64, tp_s: f64, mu_deg: f64, count: usize) -> Vec<Wave> {
    let spectrum = Spectrum::new(SpectrumShape::Jonswap { gamma: 3.3 }, hs_m, tp_s);
    let (low, high) = (0.6 * TAU / tp_s, 3.0 * TAU / tp_s);
    let steps = 20_000;
    let width = (high - low) / f64::from(steps);
    let densities: Vec<(f64, f64)> = (0..steps)
        .map(|i| low + width * (f64::from(i) + 0.5))
        .map(|omega| (omega, spectrum.density(omega) * width))
        .collect();
    let whole: f64 = densities.iter().map(|(_, energy)| energy).sum();
    let mut waves = Vec::new();
    let (mut energy, mut moment) = (0.0, 0.0);
    for (omega, more) in densities {
        energy += more;
        moment += omega * more;
        if energy >= whole / count as f64 {
            waves.push(Wave {
                amplitude_m: (2.0 * energy).sqrt(),
                omega_rad_s: moment / energy,
                mu_rad: mu_deg.to_radians(),
                phase_rad: TAU * (0.618_034 * waves.len() as f64).fract(),
            });
            (energy, moment) = (0.0, 0.0);
        }
    }
    waves
}

/// Sums of squares of what was computed, of what strip theory says at the same moments, and of their difference.
#[derive(Default)]
struct Difference {
    computed: f64,
    expected: f64,
    off: f64,
}

impl Difference {
    fn add(&mut self, computed: f64, expected: f64) {
        self.computed += computed * computed;
        self.expected += expected * expected;
        self.off += (computed - expected).powi(2);
    }
}

/// Heave and pitch of a body sailed through waves for so long, s, against the sum of what strip theory says of each wave.
fn differences(
    body: &Body,
    speed_m_s: f64,
    waves: &[Wave],
    motions: &[Motions],
    counted_s: f64,
) -> [Difference; 2] {
    let mut state = body.at_rest(speed_m_s);
    run(body, &mut state, 60.0, 0.05, |_| {});
    let [mut heave, mut pitch] = [Difference::default(), Difference::default()];
    run(body, &mut state, counted_s, 0.05, |state| {
        let mut expected = [0.0; 2];
        for (wave, motions) in waves.iter().zip(motions) {
            let phase = wave.phase_at(state.time_s, state.run_m);
            let turn = num_complex::Complex64::from_polar(wave.amplitude_m, phase);
            expected[0] += (motions.heave * turn).re;
            expected[1] += (motions.pitch * turn).re;
        }
        heave.add(state.heave_m, expected[0]);
        pitch.add(state.trim_rad, expected[1]);
    });
    [heave, pitch]
}

/// A whole sea, small enough to be linear, moment by moment against strip theory's sum over the same waves: deviations of heave and
/// pitch within 2 %, and the root mean square difference within 5 % of them, from rest to speeds at which no memory alone holds
/// strip theory's speed terms.
#[test]
fn a_sea_of_small_waves_keeps_its_deviations() {
    for name in [FOILER, CRUISER] {
        let model = decked(name);
        let strip = &model.waves.strip;
        for (froude, mu_deg) in
            [(0.3, 180.0), (0.6, 180.0), (1.0, 180.0), (0.6, 135.0), (0.6, 90.0), (0.6, 45.0)]
        {
            let speed = froude * (G * strip.length_m()).sqrt();
            let waves = sea(1e-3, 6.0, mu_deg, 40);
            let mut body = body(&model, &waves, speed);
            body.held = true;
            let motions: Vec<_> =
                waves.iter().map(|w| strip.motions(speed, w.omega_rad_s, w.mu_rad)).collect();
            let [heave, pitch] = differences(&body, speed, &waves, &motions, 300.0);
            for (motion, d) in [("heave", &heave), ("pitch", &pitch)] {
                // pitch in waves from abeam is nothing to compare with
                if mu_deg == 90.0 && motion == "pitch" {
                    continue;
                }
                let (ratio, off) = ((d.computed / d.expected).sqrt(), (d.off / d.expected).sqrt());
                println!(
                    "{name} Fn {froude} mu {mu_deg} {motion}: deviation {ratio:.4}, difference {off:.4}"
                );
                assert!((ratio - 1.0).abs() < 0.02 && off < 0.05, "{motion} {ratio} {off}");
            }
        }
    }
}

/// The same with a foil before the centre of gravity: strip theory with a lifting surface whose lift lags by Theodorsen, for which
/// the body's lag stands within 3 %.
#[test]
fn a_foil_in_a_sea_of_small_waves() {
    let model = decked(FOILER);
    let strip = &model.waves.strip;
    for (froude, mu_deg) in [(0.5, 180.0), (1.0, 135.0)] {
        let speed = froude * (G * strip.length_m()).sqrt();
        let waves = sea(1e-3, 6.0, mu_deg, 40);
        let mut body = body(&model, &waves, speed);
        let foil = BodyFoil {
            x_m: 1.5,
            depth_m: 1.2,
            area_m2: 1.4,
            chord_m: 0.5,
            lift_slope_per_rad: 4.0,
            stall_rad: 0.3,
            lift_after_stall: 0.8,
            trim_rad: 0.0,
            rho_kg_m3: RHO_WATER,
        };
        body.set_foil(foil, strip);
        body.held = true;
        let motions: Vec<_> = waves
            .iter()
            .map(|wave| {
                let steady = 0.5 * RHO_WATER * speed * foil.area_m2 * foil.lift_slope_per_rad;
                let own = steady * theodorsen(0.5 * wave.encounter_rad_s(speed) * foil.chord_m / speed);
                let lift = Lift { x_m: foil.x_m + strip.cg_m(), depth_m: foil.depth_m, own, gust: own };
                strip.motions_with(Some(&lift), speed, wave.omega_rad_s, wave.mu_rad)
            })
            .collect();
        let [heave, pitch] = differences(&body, speed, &waves, &motions, 200.0);
        for (motion, d) in [("heave", &heave), ("pitch", &pitch)] {
            let (ratio, off) = ((d.computed / d.expected).sqrt(), (d.off / d.expected).sqrt());
            println!("foil Fn {froude} mu {mu_deg} {motion}: deviation {ratio:.4}, difference {off:.4}");
            assert!((ratio - 1.0).abs() < 0.02 && off < 0.05, "{motion} {ratio} {off}");
        }
    }
}

/// A push in heave or pitch and what follows, against the same by Fourier from strip theory's coefficients at rest: the decay
/// has the same period and damping because it is the same curve.
#[test]
fn free_decay_equals_the_frequency_domain() {
    for name in [FOILER, CRUISER] {
        let model = decked(name);
        let strip = &model.waves.strip;
        let form = &model.hydrostatics;
        let mass = form.volume_m3 * RHO_WATER;
        let inertia = mass * model.boat.hull.pitch_radius_m.powi(2);
        let lever = form.lcf_m - form.lcb_m;
        let second = form.waterplane_inertia_m4 + form.waterplane_area_m2 * lever * lever;
        let stiffness =
            [form.waterplane_area_m2, -form.waterplane_area_m2 * lever, second].map(|v| v * RHO_WATER * G);
        let width = 0.15;
        let pulse = move |time: f64| (-0.5 * ((time - 1.0) / width).powi(2)).exp();
        for (what, push) in [("heave", [1e-2 * mass, 0.0]), ("pitch", [0.0, 1e-2 * inertia])] {
            let body = body(&model, &[], 0.0);
            let mut held = body.clone();
            held.held = true;
            let mut state = held.at_rest(0.0);
            let mut scratch = Scratch::default();
            let (mut worst, mut greatest) = (0.0_f64, 0.0_f64);
            for step in 1..=300 {
                let outside = |passing: &Passing| Outside {
                    heave_n: push[0] * pulse(passing.time_s),
                    pitch_nm: push[1] * pulse(passing.time_s),
                    ..Outside::default()
                };
                held.step(&mut state, 0.02, &outside, &|_| 0.0, &mut scratch);
                if step % 10 != 0 {
                    continue;
                }
                // the integral over frequencies of the response times the pulse's transform
                let (low, high, count) = (0.01, 25.0, 2500);
                let width_rad = (high - low) / f64::from(count);
                let mut expected = [0.0; 2];
                for i in 0..count {
                    let omega = low + width_rad * (f64::from(i) + 0.5);
                    let sums = strip.radiation_sums(omega);
                    let square = omega * omega;
                    let h33 = stiffness[0] - square * (mass + sums.force);
                    let h35 = stiffness[1] + square * sums.moment;
                    let h55 = stiffness[2] - square * (inertia + sums.inertia);
                    let determinant = h33 * h55 - h35 * h35;
                    let transform = width * TAU.sqrt() * (-0.5 * (omega * width).powi(2)).exp();
                    let turn = num_complex::Complex64::cis(omega * (state.time_s - 1.0)) * transform;
                    let heave = (h55 * push[0] - h35 * push[1]) / determinant * turn;
                    let pitch = (h33 * push[1] - h35 * push[0]) / determinant * turn;
                    expected[0] += heave.re * width_rad / PI;
                    expected[1] += pitch.re * width_rad / PI;
                }
                let (got, wanted) = if what == "heave" {
                    (state.heave_m, expected[0])
                } else {
                    (state.trim_rad, expected[1])
                };
                worst = worst.max((got - wanted).abs());
                greatest = greatest.max(wanted.abs());
            }
            println!("{name} {what}: worst {:.4} of the greatest", worst / greatest);
            assert!(worst < 0.03 * greatest, "{name} {what}: {}", worst / greatest);
        }
    }
}

/// Steep head seas over the deck with impact: half the step changes the mean force, the motions and the water shipped by less than
/// 0.2 %; shipped water is what drained and what lies on deck.
#[test]
fn half_the_step_changes_little() {
    let model = decked(FOILER);
    let waves = sea(4.0, 7.5, 180.0, 40);
    let means = |step_s: f64| {
        let mut body = body(&model, &waves, 6.0);
        body.held = true;
        body.drain_s = Some(2.0);
        let mut state = body.at_rest(6.0);
        let mut scratch = Scratch::default();
        let mut sums = [0.0; 4];
        let steps = (400.0 / step_s).round();
        for _ in 0..steps as usize {
            let (now, _) = body.step(&mut state, step_s, &untouched, &|_| 0.6, &mut scratch);
            sums[0] += now.surge_n / steps;
            sums[1] += state.heave_m.powi(2) / steps;
            sums[2] += state.trim_rad.powi(2) / steps;
        }
        let lying = state.deck.on_deck_m3(&scratch.met);
        let balance = state.deck.shipped_m3 - state.deck.drained_m3 - lying;
        assert!(state.deck.shipped_m3 > 1.0 && balance.abs() < 1e-9 * state.deck.shipped_m3, "{balance}");
        sums[3] = state.deck.shipped_m3;
        sums
    };
    let [coarse, fine] = [means(0.05), means(0.025)];
    println!("{coarse:?} {fine:?}");
    for (what, (coarse, fine)) in ["surge", "heave", "trim", "shipped"].iter().zip(coarse.iter().zip(fine)) {
        let change = coarse / fine - 1.0;
        assert!(change.abs() < 2e-3, "{what}: {change}");
    }
}

/// Wigley III with upright sides in regular head waves a hundredth of her length high: mean force along the course over
/// rho g a² B²/L at the wave lengths about the peak, beside the peaks of Journée's model tests (1992, report 0909, Table 8):
/// 22.2, 20.2 and 27.7 at Fn 0.2, 0.3 and 0.4. Within a factor of two, as no method is nearer.
#[test]
fn added_resistance_meets_model_tests() {
    let below = Hull::read_offsets(&file("examples/hulls/wigley-iii.csv")).unwrap();
    let upright = |station: &roughwater::hull::Station| {
        let mut points = station.points.clone();
        points.push(Point { z_m: 0.2, y_m: station.beam_m() / 2.0 });
        DeckedSection { x_m: station.x_m, points }
    };
    let decked = Decked::new(below.stations().iter().map(upright).collect()).unwrap();
    let hull = Hull::of_decked(decked).unwrap();
    let (length, rho) = (3.0, 1000.0);
    let strip = StripHull::new(&hull, 0.75, rho).unwrap();
    for (froude, measured) in [(0.2, 22.2), (0.3, 20.2), (0.4, 27.7)] {
        let speed = froude * (G * length).sqrt();
        let coefficient = |ratio: f64| {
            let wave = Wave {
                amplitude_m: 0.03,
                omega_rad_s: (TAU * G / (ratio * length)).sqrt(),
                mu_rad: PI,
                phase_rad: 0.0,
            };
            let mut body = Body::new(hull.decked().unwrap(), &strip, &[wave], speed, 0.75, None, rho);
            body.held = true;
            let period = TAU / wave.encounter_rad_s(speed);
            let step = period / 60.0;
            let mut state = body.at_rest(speed);
            run(&body, &mut state, 30.0 * period, step, |_| {});
            let (mut scratch, mut sum) = (Scratch::default(), 0.0);
            for _ in 0..240 {
                let (now, _) = body.step(&mut state, step, &untouched, &|_| 0.0, &mut scratch);
                sum -= now.surge_n / 240.0;
            }
            sum / (rho * G * wave.amplitude_m.powi(2) * 0.09 / length)
        };
        let peak = [0.9, 1.0, 1.1, 1.2, 1.3].map(coefficient).into_iter().fold(0.0, f64::max);
        println!("Fn {froude}: {peak:.1}, measured {measured}");
        assert!(peak > measured / 2.0 && peak < measured * 2.0, "Fn {froude}: {peak} {measured}");
    }
}
