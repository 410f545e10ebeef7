//! Slams at the forefoot: hand calculation, and what must hold of any boat.

use crate::common::boats::{CRUISER, FOILER, model};
use approx::assert_relative_eq;
use roughwater::base::units::{G, kn_to_m_s};
use roughwater::boat::advisory::forefoot_slam_probability;
use roughwater::boat::{Advisory, BoatModel};
use roughwater::hull::{Hull, Point, Station};
use roughwater::hydro::response::Response;
use std::f64::consts::{PI, TAU};

/// By hand after Ochi (1964): variances 0.25 m² at the forefoot and 0.4 m², 3.6 m²/s² at the bow, so 9 rad²/s² of squared
/// frequency and 2.25 m²/s² at the forefoot; draught 0.2 m: exp(-0.08 - v²/4.5) a cycle, 3/(2 pi) cycles a second.
#[test]
fn a_slam_by_hand() {
    let model = model(FOILER);
    let response =
        Response { bow_motion: 0.4, bow_velocity: 3.6, forefoot_motion: 0.25, ..Response::default() };
    let velocity2 = 0.093f64.powi(2) * G * model.hydrostatics.lwl_m;
    let by_hand = (-0.08 - velocity2 / 4.5f64).exp();
    assert_relative_eq!(forefoot_slam_probability(&model, &response, 0.2), by_hand, max_relative = 1e-9);
    let rate = Advisory::of(&model, &response, None, 0.2).slam_rate_per_h;
    assert_relative_eq!(rate, 3600.0 * 3.0 / TAU * by_hand, max_relative = 1e-9);
    // a forefoot out of the water in flat water comes down with every cycle that is fast enough
    let bare = forefoot_slam_probability(&model, &response, -0.1);
    assert_relative_eq!(bare, (-velocity2 / 4.5f64).exp(), max_relative = 1e-9);
    assert_eq!(Advisory::of(&model, &Response::default(), None, 0.2).slam_rate_per_h, 0.0);
}

/// By hand: a keel that rises straight from 0.8 m at 4 m to the waterline at 10 m.
#[test]
fn the_draught_between_stations() {
    let station = |x_m: f64, depth: f64| Station {
        x_m,
        points: vec![Point { z_m: -depth, y_m: 0.0 }, Point { z_m: 0.0, y_m: 1.0 }],
    };
    let hull = Hull::new(vec![station(0.0, 0.5), station(4.0, 0.8), station(10.0, 0.0)]).unwrap();
    for (x_m, expected) in [(0.0, 0.5), (2.0, 0.65), (4.0, 0.8), (9.0, 0.8 / 6.0), (10.0, 0.0)] {
        assert_relative_eq!(hull.draught_at_m(x_m), expected, epsilon = 1e-12);
    }
}

/// At rest the section's own; a sailing boat is pressed down there by her sails, and foils lift her again.
#[test]
fn the_forefoot_lies_shallower_than_the_midship() {
    for name in [FOILER, CRUISER] {
        let model = model(name);
        let draught = |kn: f64, flies| model.forefoot_draught_m(kn_to_m_s(kn), flies);
        let section = model.hull.draught_at_m(0.9 * model.hydrostatics.lwl_m);
        assert!(section > 0.0 && section < 0.5 * model.hydrostatics.draught_m);
        assert_relative_eq!(draught(0.0, false), section, epsilon = 1e-9);
        assert!(draught(8.0, false) > section);
        assert!(draught(20.0, true) <= draught(20.0, false));
    }
}

/// In waves too short to move her, as high at the forefoot as at the bow; in those of a length or two she follows better there.
#[test]
fn the_forefoot_moves_less_than_the_bow() {
    let of = |model: &BoatModel, relative: f64| {
        let omega = (TAU * G / (relative * model.hydrostatics.lwl_m)).sqrt();
        model.waves.regular(3.0, omega, PI)
    };
    for name in [FOILER, CRUISER] {
        let model = model(name);
        let short = of(&model, 0.15);
        assert_relative_eq!(short.forefoot_motion, short.bow_motion, max_relative = 0.05);
        for relative in [1.0, 1.5, 2.0] {
            let response = of(&model, relative);
            assert!(response.forefoot_motion < 0.9 * response.bow_motion);
        }
    }
}
