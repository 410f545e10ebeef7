//! Means and rates of the closed forms against a random sea in the time domain.
//!
//! A sea is a sum of waves of the JONSWAP spectrum with random phases and amplitudes, met at their encounter frequencies; the boat's
//! regular-wave responses, with their phases, turn it into the foil's angle of attack, the foil's immersion, the
//! relative motion at the bow and the water's velocity there. Nothing but those responses is shared with the closed forms.

use crate::common::boats::{FOILER, model};
use crate::common::random::SplitMix;
use num_complex::Complex64;
use rayon::prelude::*;
use roughwater::balance::FoilState;
use roughwater::base::units::RHO_WATER;
use roughwater::base::units::{G, kn_to_m_s};
use roughwater::boat::BoatModel;
use roughwater::hydro::deck_water::Overtopping;
use roughwater::hydro::foil::availability;
use roughwater::hydro::response::Response;
use roughwater::hydro::spectrum::{Spectrum, SpectrumShape};
use roughwater::hydro::unsteady_lift::{reduced_frequency, sears, theodorsen};
use std::f64::consts::TAU;

/// Waves of one sea. Their frequencies are drawn at random within equal steps, so that the sea does not repeat.
const WAVES: usize = 160;
/// Seas of independent phases and frequencies, whose scatter gives the standard error of each mean.
const SEAS: u64 = 160;
const SECONDS: f64 = 120.0;
const STEP_S: f64 = 0.025;
const FOIL_DEPTH_M: f64 = 0.7;

#[derive(Clone, Copy)]
struct Case {
    speed_m_s: f64,
    hs_m: f64,
    tp_s: f64,
    mu_deg: f64,
}

/// Rough enough for hundreds of events.
const CASES: [Case; 4] = [
    Case { speed_m_s: 7.0, hs_m: 3.0, tp_s: 6.0, mu_deg: 180.0 },
    Case { speed_m_s: 7.5, hs_m: 3.5, tp_s: 6.5, mu_deg: 145.0 },
    Case { speed_m_s: 8.0, hs_m: 4.0, tp_s: 6.5, mu_deg: 160.0 },
    Case { speed_m_s: 10.0, hs_m: 4.5, tp_s: 8.0, mu_deg: 160.0 },
];

/// One wave as the boat feels it: amplitudes of angle of attack, foil immersion, bow motion (the hull less the water) and
/// the water's velocity along the course at the bow; and how fast it turns.
struct Felt {
    omega_e: f64,
    amplitudes: [Complex64; 4],
}

/// What one wave does per metre: the velocity across the foil with the lift that follows it, over boat speed; the
/// relative displacements at foil and bow and the water's velocity there, averaged as waves shorter than the part are.
fn per_metre(model: &BoatModel, case: Case, omega: f64) -> (f64, [Complex64; 4]) {
    let foil = model.waves.foil.unwrap();
    let motions = model.waves.motions(case.speed_m_s, omega, case.mu_deg.to_radians());
    let k = omega * omega / G;
    let orbital = Complex64::i() * omega * (-k * foil.depth_m).exp() * motions.wave_elevation(foil.x_m);
    let hull = motions.velocity(foil.x_m) + case.speed_m_s * motions.pitch;
    let reduced = reduced_frequency(motions.omega_e, foil.chord_m, case.speed_m_s);
    assert!(motions.omega_e > 0.0 || case.mu_deg < 90.0);
    let turned = |value: Complex64| if motions.omega_e < 0.0 { value.conj() } else { value };
    let answered = orbital * turned(sears(reduced)) - hull * turned(theodorsen(reduced));
    let averaged = |length: f64| (-(k * length).powi(2) / 24.0).exp();
    let immersion = motions.relative_displacement(foil.x_m) * averaged(foil.span_m);
    let bow = motions.relative_displacement(model.waves.bow_x_m) * averaged(model.waves.bow_width_m);
    // under a crest water runs with the wave, w times the elevation fast
    let along = omega * case.mu_deg.to_radians().cos() * motions.wave_elevation(model.waves.bow_x_m);
    let along = along * averaged(model.waves.bow_width_m);
    (motions.omega_e, [answered / case.speed_m_s, immersion, bow, along])
}

/// The grid of frequencies: 0.5 to 6 times the peak in equal ratios.
fn frequency(case: Case, step: f64) -> f64 {
    TAU / case.tp_s * 0.5 * 12f64.powf(step / WAVES as f64)
}

fn spectrum(case: Case) -> Spectrum {
    Spectrum::new(SpectrumShape::Jonswap { gamma: 2.0 }, case.hs_m, case.tp_s)
}

/// The variances of the closed forms, from the same spectrum by a midpoint sum of its own.
fn variances(model: &BoatModel, case: Case) -> Response {
    let mut sums = [0.0; 8];
    let mut covariance = 0.0;
    for i in 0..WAVES {
        let omega = frequency(case, i as f64 + 0.5);
        let energy =
            spectrum(case).density(omega) * (frequency(case, i as f64 + 1.0) - frequency(case, i as f64));
        let (omega_e, amplitudes) = per_metre(model, case, omega);
        for (j, amplitude) in amplitudes.iter().enumerate() {
            sums[2 * j] += energy * amplitude.norm_sqr();
            sums[2 * j + 1] += energy * amplitude.norm_sqr() * omega_e * omega_e;
        }
        covariance += energy * (amplitudes[3] * -amplitudes[2].conj()).re;
    }
    let speed2 = case.speed_m_s * case.speed_m_s;
    Response {
        foil_velocity: sums[0] * speed2,
        foil_velocity_rate: sums[1] * speed2,
        foil_immersion: sums[2],
        foil_immersion_rate: sums[3],
        bow_motion: sums[4],
        bow_velocity: sums[5],
        bow_water_covariance: covariance,
        ..Response::default()
    }
}

fn random_sea(model: &BoatModel, case: Case, seed: u64) -> Vec<Felt> {
    let mut random = SplitMix(seed);
    (0..WAVES)
        .map(|i| {
            let omega = frequency(case, i as f64 + random.uniform());
            let width = frequency(case, i as f64 + 1.0) - frequency(case, i as f64);
            // random amplitudes too: only then is the sum Gaussian in its tails
            let amplitude = (2.0 * spectrum(case).density(omega) * width * random.exponential(1.0)).sqrt();
            let (omega_e, per_metre) = per_metre(model, case, omega);
            let wave = Complex64::from_polar(amplitude, TAU * random.uniform());
            Felt { omega_e, amplitudes: per_metre.map(|a| a * wave) }
        })
        .collect()
}

/// Means over one sea: lift over unstalled lift, stalls a second, broaches a second, overtopping in m²/s, force of what
/// comes aboard in N/m.
fn simulated(model: &BoatModel, case: Case, state: &FoilState, freeboard_m: f64, seed: u64) -> [f64; 5] {
    let foils = model.foils.as_ref().unwrap();
    let mut waves = random_sea(model, case, seed);
    let turns: Vec<Complex64> = waves.iter().map(|w| Complex64::cis(w.omega_e * STEP_S)).collect();
    let weir = (2.0f64 / 3.0).powf(1.5) * G.sqrt();
    let steps = (SECONDS / STEP_S) as usize;
    let mut sums = [0.0; 5];
    let mut before: Option<(bool, bool)> = None;
    for _ in 0..steps {
        let mut now = [0.0; 4];
        for (wave, turn) in waves.iter_mut().zip(&turns) {
            for (value, amplitude) in now.iter_mut().zip(&mut wave.amplitudes) {
                *value += amplitude.re;
                *amplitude *= turn;
            }
        }
        let angle = state.mean_rad + now[0];
        let stalled = angle > foils.stall.positive_rad || angle < -foils.stall.negative_rad;
        let lift = match (stalled, angle > 0.0) {
            (false, _) => angle,
            (true, true) => foils.stall.lift_left * foils.stall.positive_rad,
            (true, false) => -foils.stall.lift_left * foils.stall.negative_rad,
        };
        let bare = now[1] > foils.foil.depth_m();
        sums[0] += lift / state.mean_rad;
        if let Some((was_stalled, was_bare)) = before {
            sums[1] += f64::from(u8::from(stalled && !was_stalled)) / STEP_S;
            sums[2] += f64::from(u8::from(bare && !was_bare)) / STEP_S;
        }
        // the water stands above the bow where the hull is below it
        let flow = weir * (-now[2] - freeboard_m).max(0.0).powf(1.5);
        sums[3] += flow;
        sums[4] += RHO_WATER * flow * (case.speed_m_s - now[3]);
        before = Some((stalled, bare));
    }
    sums.map(|sum| sum / steps as f64)
}

/// The means of 160 independent seas lie within 3 of their own standard errors of the closed forms: a wrong form
/// fails, chance fails once in 370 numbers, and the seed is fixed. A step of
/// 0.025 s misses an excursion shorter than itself: 2 % of the rate is allowed for that.
#[test]
fn closed_forms_equal_random_seas() {
    let mut model = model(FOILER);
    // shallow enough that broaches, and laden enough that stalls are not rare
    let foils = model.foils.as_mut().unwrap();
    (foils.share.cap, foils.share.full_m_s) = (0.6, kn_to_m_s(27.0));
    foils.foil = foils.foil.at_depth(FOIL_DEPTH_M);
    model.waves.foil.as_mut().unwrap().depth_m = FOIL_DEPTH_M;
    for (number, case) in CASES.into_iter().enumerate() {
        let response = variances(&model, case);
        let foils = model.foils.as_ref().unwrap();
        let state = FoilState::new(foils, &response, case.speed_m_s, model.displacement_kg);
        let freeboard_m = model.effective_freeboard_m(case.speed_m_s, true).unwrap();
        let seas: Vec<[f64; 5]> = (0..SEAS)
            .into_par_iter()
            .map(|sea| simulated(&model, case, &state, freeboard_m, 1000 * (number as u64 + 1) + sea))
            .collect();
        let overtopping = Overtopping::of(response.bow_motion.sqrt(), freeboard_m);
        let force = overtopping.shipping_force_n_per_m(case.speed_m_s, response.bow_water_covariance);
        let expected =
            [state.lift_ratio, state.stall_rate_hz, state.broach_rate_hz, overtopping.mean_m2_s, force];
        let events = SEAS as f64 * SECONDS * state.stall_rate_hz.min(state.broach_rate_hz);
        assert!(events > 100.0, "case {number} has {events} events, too few to tell anything");
        let grid = [0.0, 0.02, 0.02, 0.0, 0.0];
        for q in 0..5 {
            let n = SEAS as f64;
            let mean = seas.iter().map(|s| s[q]).sum::<f64>() / n;
            let error = (seas.iter().map(|s| (s[q] - mean).powi(2)).sum::<f64>() / (n - 1.0) / n).sqrt();
            println!("{number} {q}: closed {:.5} simulated {mean:.5} +- {error:.5}", expected[q]);
            assert!(
                (mean - expected[q]).abs() <= 3.0 * error + grid[q] * expected[q],
                "case {number}, quantity {q}: {mean} +- {error} against {}",
                expected[q]
            );
        }
    }
}

/// Flights of exponential length end in a crash, each followed by a recovery: with 40 000 cycles the share of time in
/// flight scatters by A (1 - A)/sqrt(40 000), here below 0.13 %; three of that are allowed.
#[test]
fn availability_equals_an_alternating_renewal_process() {
    let mut random = SplitMix(7);
    let cycles = 40_000;
    for (rate_hz, recovery_s) in [(0.002, 4.0), (0.05, 4.0), (0.3, 3.0)] {
        let flown: f64 = (0..cycles).map(|_| random.exponential(1.0 / rate_hz)).sum();
        let simulated = flown / (flown + f64::from(cycles) * recovery_s);
        let closed = availability(rate_hz, recovery_s);
        let scatter = closed * (1.0 - closed) / f64::from(cycles).sqrt();
        assert!((simulated - closed).abs() < 3.0 * scatter, "{simulated} against {closed} +- {scatter}");
    }
}
