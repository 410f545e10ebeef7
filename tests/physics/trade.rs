//! What the trade knows, against what the code says. Every figure without a source is common practice, no source.
//!
//! One thing the trade says and linear strip theory does not: that a fine bow pitches less and a full one slams more.
//! With displacement, length, beam and centre of buoyancy held, a fuller bow has the larger waterplane forward and so
//! the larger pitch damping and restoring moment: she pitches a little less at nearly every wave length and, her
//! relative motion being smaller, bares her forefoot less often. What a bow's form above the waterline does
//! (buoyancy that a wave-piercing bow lacks, flare that slams) is outside the theory, and the slam's threshold velocity
//! knows only the length. Nothing here tests that.

use crate::common::boats::{FOILER, boat, model};
use approx::assert_relative_eq;
use roughwater::base::units::{G, RHO_WATER, kn_to_m_s, m_s_to_kn};
use roughwater::boat::BoatModel;
use roughwater::hydro::deck_water::Overtopping;
use roughwater::hydro::dispersion::{encounter_frequency, phase_speed_m_s, wave_length_m};
use roughwater::hydro::response::{DirectIntegral, Method, Response};
use roughwater::hydro::wave_shape::WaveShape;
use roughwater::sea::PartitionKind;
use std::f64::consts::{PI, TAU};

/// Time between crests of a wave of this length, met head on.
fn between_crests_s(length_m: f64, speed_m_s: f64) -> f64 {
    TAU / encounter_frequency((TAU * G / length_m).sqrt(), speed_m_s, PI)
}

/// Common practice, no source: a cubic metre weighs about a tonne, and 10 m/s is 19.4 kn.
#[test]
fn water_and_knots() {
    assert_relative_eq!(RHO_WATER, 1000.0, max_relative = 0.03);
    assert_relative_eq!(m_s_to_kn(10.0), 19.4, epsilon = 0.05);
}

/// Common practice, no source: a wave of 40 m has a period of 5.06 s and runs at 7.9 m/s; into it at 10 m/s a crest
/// comes every 2.2 s, at a closing speed of 12 m/s every 3.3 s.
#[test]
fn crests_of_a_forty_metre_wave() {
    let period_s = (TAU * 40.0 / G).sqrt();
    assert_relative_eq!(wave_length_m(period_s), 40.0, max_relative = 1e-12);
    assert_relative_eq!(period_s, 5.06, epsilon = 0.005);
    assert_relative_eq!(phase_speed_m_s(period_s), 7.9, epsilon = 0.05);
    assert_relative_eq!(between_crests_s(40.0, 10.0), 2.2, epsilon = 0.05);
    assert_relative_eq!(between_crests_s(40.0, 12.0 - phase_speed_m_s(period_s)), 3.3, epsilon = 0.05);
}

/// Common practice, no source: who gives 60 m to waves of 15 s is out by a factor of about six.
#[test]
fn fifteen_seconds_are_no_sixty_metres() {
    assert_relative_eq!(wave_length_m(15.0) / 60.0, 6.0, max_relative = 0.05);
}

/// Common practice, no source: 3 to 5 s to regain speed, about 2 s to drain a foredeck, 7 to 8 t of boat.
#[test]
fn the_foiling_boat_is_of_the_usual_kind() {
    let model = model(FOILER);
    assert!((3.0..=5.0).contains(&model.foils.unwrap().recovery_s));
    assert_eq!(model.boat.deck.unwrap().drain_time_s, 2.0);
    assert!((7000.0..=8000.0).contains(&model.displacement_kg));
}

fn with_bow(fullness: f64) -> BoatModel {
    let mut boat = boat(FOILER);
    boat.hull.bow_fullness = Some(fullness);
    BoatModel::new(boat, Method::RadiatedEnergy, None).unwrap()
}

/// The boat in a steep wind sea at 19 kn.
fn driven(model: &BoatModel, hs_m: f64, tp_s: f64, mu_deg: f64) -> Response {
    let integral = DirectIntegral { frequencies: 151, directions: 61, regression_steps: 1 };
    let shape = WaveShape::of(PartitionKind::WindSea, hs_m, tp_s);
    integral.response(&model.waves, kn_to_m_s(19.0), mu_deg.to_radians(), hs_m, tp_s, shape)
}

/// Water that the highest crest of an hour ships, m³: the weir's flow over the time its relative motion, a cosine at the
/// mean up-crossing rate of height s sqrt(2 ln n) (Rayleigh, n crests), stands above the freeboard.
fn shipped_by_the_highest_crest_m3(model: &BoatModel, response: &Response) -> f64 {
    let freeboard_m = model.effective_freeboard_m(kn_to_m_s(19.0), true).unwrap();
    let rate = (response.bow_velocity / response.bow_motion).sqrt();
    let crest_m = (2.0 * (3600.0 * rate / TAU).ln() * response.bow_motion).sqrt();
    let half_s = (freeboard_m / crest_m).acos() / rate;
    let steps = 2000;
    let step_s = 2.0 * half_s / f64::from(steps);
    let head = |i: i32| crest_m * (rate * (step_s * (f64::from(i) + 0.5) - half_s)).cos() - freeboard_m;
    let per_metre: f64 = (0..steps).map(|i| head(i).max(0.0).powf(1.5) * step_s).sum();
    (2.0f64 / 3.0).powf(1.5) * G.sqrt() * per_metre * model.boat.deck.as_ref().unwrap().wetted_edge_m
}

/// Common practice, no source: a fine bow driven into a steep sea may ship 3 m³ at once, two fifths of what such a
/// boat weighs. "Some cubic metres" is taken as 2 to 5.
#[test]
fn a_fine_bow_ships_some_cubic_metres_at_once() {
    let fine = with_bow(0.05);
    for (hs_m, tp_s, mu_deg) in [(2.5, 6.5, 180.0), (3.0, 7.0, 180.0), (3.0, 7.0, 150.0)] {
        let shipped_m3 = shipped_by_the_highest_crest_m3(&fine, &driven(&fine, hs_m, tp_s, mu_deg));
        assert!((2.0..=5.0).contains(&shipped_m3), "Hs {hs_m}, Tp {tp_s}, {mu_deg} deg: {shipped_m3} m3");
    }
}

/// Common practice, no source: of two bows on one hull the fine one ships more water, the full one is stopped more by
/// each wave.
#[test]
fn a_fine_bow_ships_more_and_a_full_bow_resists_more() {
    let (fine, full) = (with_bow(0.05), with_bow(0.9));
    for (hs_m, tp_s, mu_deg) in [(2.5, 6.5, 180.0), (3.0, 7.0, 150.0)] {
        let [a, b] = [&fine, &full].map(|model| driven(model, hs_m, tp_s, mu_deg));
        let mean = |model: &BoatModel, response: &Response| {
            let freeboard_m = model.effective_freeboard_m(kn_to_m_s(19.0), true).unwrap();
            Overtopping::of(response.bow_motion.sqrt(), freeboard_m).mean_m2_s
        };
        assert!(mean(&fine, &a) > 1.1 * mean(&full, &b));
        assert!(
            shipped_by_the_highest_crest_m3(&fine, &a) > 1.1 * shipped_by_the_highest_crest_m3(&full, &b)
        );
        assert!(b.added_resistance > 1.1 * a.added_resistance);
    }
}
