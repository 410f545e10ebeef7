//! Responses over a directional spectrum, against an integral that knows nothing of Fourier terms or nodes: the tables'
//! own direct integration of the parametric sea the spectrum was drawn from.
//!
//! Errors are over the value itself, or, where that is below a tenth of the largest over the wave angle, over that.

use crate::common::boats::{CRUISER, FOILER, model};
use rayon::prelude::*;
use roughwater::balance::BoatTables;
use roughwater::base::DirectionFrom;
use roughwater::base::bearing::wave_angle_rad;
use roughwater::hydro::response::{
    BoatInWaves, DirectIntegral, DirectionalSpectrum, QUANTITIES, SeaResponses,
};
use roughwater::hydro::spectrum::{Spectrum, SpectrumShape};
use roughwater::hydro::spreading::{Spreading, SpreadingByFrequency};
use roughwater::hydro::wave_shape::WaveShape;
use roughwater::sea::Spectrum2d;
use std::f64::consts::TAU;
use std::sync::LazyLock;

const MAX_SPEED_M_S: f64 = 12.0;
const WIND_FROM_DEG: f64 = 213.0;
const INTEGRAL: DirectIntegral = DirectIntegral { frequencies: 151, directions: 61, regression_steps: 15 };

static TABLES: LazyLock<[(&str, BoatTables); 2]> =
    LazyLock::new(|| [FOILER, CRUISER].map(|name| (name, BoatTables::new(model(name), MAX_SPEED_M_S))));

type Values = [f64; QUANTITIES];

/// The covariance of water and bow, which takes either sign: systems cancel, so that its errors are measured by its largest
/// value over courses.
const SIGNED: usize = 10;

#[derive(Clone, Copy)]
struct System {
    hs_m: f64,
    tp_s: f64,
    off_wind_deg: f64,
    shape: WaveShape,
}

fn system(hs_m: f64, tp_s: f64, off_wind_deg: f64, gamma: f64, spreading: Spreading) -> System {
    let spreading = SpreadingByFrequency::Same(spreading);
    let shape = WaveShape { spectrum: SpectrumShape::Jonswap { gamma }, spreading };
    System { hs_m, tp_s, off_wind_deg, shape }
}

/// Systems drawn on a wave model's axes: frequencies by a ratio, equal sectors; densities at the nodes, scaled to the
/// stated height as a model's are.
fn drawn(systems: &[System], frequencies: usize, ratio: f64, sectors: usize) -> Spectrum2d {
    let frequency_hz: Vec<f64> = (0..frequencies).map(|i| 0.035 * ratio.powi(i as i32)).collect();
    let from: Vec<DirectionFrom> =
        (0..sectors).map(|j| DirectionFrom::from_deg((j as f64 + 0.5) * 360.0 / sectors as f64)).collect();
    let mut sum = vec![0.0; frequencies * sectors];
    for system in systems {
        let spectrum = Spectrum::new(system.shape.spectrum, system.hs_m, system.tp_s);
        let mean = DirectionFrom::from_deg(WIND_FROM_DEG + system.off_wind_deg);
        let mut density = Vec::new();
        for f in &frequency_hz {
            let spreading = system.shape.spreading.at(f * system.tp_s);
            for from in &from {
                let spread = spreading.density(from.off_deg(mean).to_radians()).unwrap();
                density.push(TAU * spectrum.density(TAU * f) * spread);
            }
        }
        let one =
            Spectrum2d { frequency_hz: frequency_hz.clone().into(), from: from.clone().into(), density };
        let scale = system.hs_m * system.hs_m / 16.0 / one.m0();
        sum.iter_mut().zip(&one.density).for_each(|(sum, density)| *sum += scale * density);
    }
    Spectrum2d { frequency_hz: frequency_hz.into(), from: from.into(), density: sum }
}

fn from_spectrum(tables: &BoatTables, spectrum: &Spectrum2d, speed_m_s: f64, twa_deg: f64) -> Values {
    let wind = DirectionFrom::from_deg(WIND_FROM_DEG);
    let (spectrum, beyond) = DirectionalSpectrum::about(spectrum, wind);
    assert!(!beyond);
    let mut sea = SeaResponses::new(&tables.responses);
    sea.add_spectrum(&spectrum, twa_deg);
    sea.at(speed_m_s).to_array()
}

/// Direct integration of the parametric systems, summed.
fn parametric(boat: &BoatInWaves, systems: &[System], speed_m_s: f64, twa_deg: f64) -> Values {
    let mut total = [0.0; QUANTITIES];
    for s in systems {
        let mu = wave_angle_rad(s.off_wind_deg, twa_deg);
        let response = INTEGRAL.response(boat, speed_m_s, mu, s.hs_m, s.tp_s, s.shape).to_array();
        total.iter_mut().zip(response).for_each(|(sum, value)| *sum += value);
    }
    total
}

/// The largest error of each quantity over speeds and courses.
fn worst(tables: &BoatTables, spectrum: &Spectrum2d, truth: impl Fn(f64, f64) -> Values + Sync) -> Values {
    let courses: Vec<(f64, f64)> = [2.0, 9.0]
        .into_iter()
        .flat_map(|speed| [-150.0, -40.0, 70.0, 110.0].map(|twa| (speed, twa)))
        .collect();
    let largest = |speed: f64| -> Values {
        let around: Vec<_> =
            (0..36).map(|i| from_spectrum(tables, spectrum, speed, 10.0 * f64::from(i))).collect();
        std::array::from_fn(|q| around.iter().map(|row| row[q].abs()).fold(0.0, f64::max))
    };
    let errors: Vec<Values> = courses
        .into_par_iter()
        .map(|(speed, twa)| {
            let (found, truth, largest) =
                (from_spectrum(tables, spectrum, speed, twa), truth(speed, twa), largest(speed));
            std::array::from_fn(|q| {
                let scale = if q != SIGNED && truth[q].abs() > 0.1 * largest[q] {
                    truth[q].abs()
                } else {
                    largest[q]
                };
                if scale > 0.0 { (found[q] - truth[q]).abs() / scale } else { 0.0 }
            })
        })
        .collect();
    std::array::from_fn(|q| errors.iter().map(|e| e[q]).fold(0.0, f64::max))
}

fn check(what: &str, systems: &[System], spectrum: &Spectrum2d, tolerance: f64) {
    for (name, tables) in TABLES.iter() {
        let errors =
            worst(tables, spectrum, |speed, twa| parametric(&tables.model.waves, systems, speed, twa));
        println!("{what}, {name}: {}", errors.map(|e| format!("{:.2} %", 100.0 * e)).join(", "));
        for (quantity, error) in errors.into_iter().enumerate() {
            assert!(error < tolerance, "{what}, {name}, quantity {quantity}: {error}");
        }
    }
}

/// On axes fine enough to hold it (steps of 2 %, 72 sectors), a spectrum answers as the sea it was drawn from.
#[test]
fn a_drawn_system_answers_as_its_formula() {
    let wind_sea = system(2.5, 7.0, 15.0, 2.0, Spreading::HalfCosine { s: 1.0 });
    check("wind sea", &[wind_sea], &drawn(&[wind_sea], 200, 1.02, 72), 0.01);
    let swell = system(1.8, 12.0, -70.0, 3.3, Spreading::FullCosine { s: 40.0 });
    check("swell", &[swell], &drawn(&[swell], 200, 1.02, 72), 0.01);
}

/// Two systems at once.
#[test]
fn a_bimodal_spectrum_answers_as_both() {
    let systems = [
        system(2.0, 6.5, 10.0, 1.5, Spreading::FullCosine { s: 6.0 }),
        system(1.6, 13.0, 115.0, 3.3, Spreading::FullCosine { s: 30.0 }),
    ];
    check("bimodal", &systems, &drawn(&systems, 200, 1.02, 72), 0.01);
}
