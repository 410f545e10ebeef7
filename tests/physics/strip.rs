//! Limits, scaling and continuity that heave, pitch and added resistance must keep on any hull.

use crate::common::files::file;
use num_complex::Complex64;
use roughwater::base::Flag;
use roughwater::base::units::G;
use roughwater::hull::{Dimensions, Hull, Point, Station};
use roughwater::hydro::added_resistance::radiated_energy::{
    added_resistance, from_motions, held_from_motions, held_speed_m_s,
};
use roughwater::hydro::strip::{Lift, StripHull};
use std::f64::consts::{FRAC_PI_2, PI};

const RHO: f64 = 1025.0;

fn offsets(name: &str) -> Hull {
    Hull::read_offsets(&file("examples/hulls").join(name)).unwrap()
}

fn prepared(hull: &Hull) -> StripHull {
    StripHull::new(hull, 0.25 * hull.lwl_m(), RHO).unwrap()
}

fn drawn(bow_fullness: f64) -> Hull {
    Hull::from_dimensions(&Dimensions {
        lwl_m: 18.0,
        bwl_m: 4.0,
        draught_m: 0.3,
        displacement_kg: 7500.0,
        lcb_fraction: 0.45,
        cp: None,
        cwp: None,
        bow_fullness,
        transom_beam: 0.75,
    })
    .unwrap()
}

fn hulls() -> Vec<Hull> {
    vec![offsets("wigley-iii.csv"), offsets("round-transom.csv"), drawn(0.0), drawn(1.0)]
}

fn omega(wave_length_m: f64) -> f64 {
    (2.0 * PI * G / wave_length_m).sqrt()
}

/// In long waves a hull goes with the surface: heave 1, pitch the wave's slope (bow down: + i k cos mu).
#[test]
fn long_waves_carry_the_hull_along() {
    for hull in hulls() {
        let strip = prepared(&hull);
        for (froude, mu) in [(0.0, PI), (0.0, 0.6), (0.0, 2.3), (0.3, PI), (0.5, 0.0)] {
            let speed = froude * (G * hull.lwl_m()).sqrt();
            let motions = strip.motions(speed, omega(300.0 * hull.lwl_m()), mu);
            let slope = Complex64::i() * motions.wave_number() * mu.cos();
            assert!((motions.heave - 1.0).norm() < 0.03, "heave {} at {mu}", motions.heave);
            assert!((motions.pitch / slope - 1.0).norm() < 0.08, "pitch {} at {mu}", motions.pitch / slope);
        }
    }
}

#[test]
fn short_waves_leave_the_hull_at_rest() {
    for hull in hulls() {
        let motions = prepared(&hull).motions(0.0, omega(0.1 * hull.lwl_m()), 0.9 * PI);
        assert!(motions.heave.norm() < 0.02, "{}", motions.heave);
        assert!(motions.pitch.norm() < 0.005 * motions.wave_number(), "{}", motions.pitch);
    }
}

/// Froude scaling: at equal Fn and lambda/L a hull of n times the size heaves alike, pitches 1/n per metre and
/// has n times the added resistance per amplitude squared.
#[test]
fn geometrically_similar_hulls_move_alike() {
    let small = offsets("round-transom.csv");
    let scale = 2.5;
    let enlarge = |s: &Station| Station {
        x_m: s.x_m * scale,
        points: s.points.iter().map(|p| Point { z_m: p.z_m * scale, y_m: p.y_m * scale }).collect(),
    };
    let large = Hull::new(small.stations().iter().map(enlarge).collect()).unwrap();
    let (small, large) = (prepared(&small), prepared(&large));
    for mu in [2.0, 2.6, PI] {
        let (speed, w) = (3.0, omega(15.0));
        let (a, b) = (small.motions(speed, w, mu), large.motions(speed * scale.sqrt(), w / scale.sqrt(), mu));
        assert!((a.heave - b.heave).norm() < 1e-9);
        assert!((a.pitch - scale * b.pitch).norm() < 1e-9);
        let resistance = |hull, speed, w| added_resistance(hull, speed, w, mu).per_amplitude_squared;
        let (r, big) =
            (resistance(&small, speed, w), resistance(&large, speed * scale.sqrt(), w / scale.sqrt()));
        assert!((big / r / scale - 1.0).abs() < 1e-9);
    }
}

/// Where the boat keeps pace with the waves the encounter frequency passes zero: nothing jumps or diverges, and
/// the hull floats on the profile, pitching no more than the wave's slope.
#[test]
fn motions_are_continuous_through_zero_encounter_frequency() {
    for hull in hulls() {
        let strip = prepared(&hull);
        for froude in [0.3, 0.5, 0.8, 1.0] {
            let speed = froude * (G * hull.lwl_m()).sqrt();
            let pace = G / speed;
            let at = strip.motions(speed, pace, 0.0);
            assert!(at.omega_e.abs() < 1e-12);
            assert!(at.heave.norm() < 1.05 && at.pitch.norm() < 1.05 * at.wave_number());
            for side in [1.0 - 1e-5, 1.0 + 1e-5] {
                let near = strip.motions(speed, pace * side, 0.0);
                assert!((near.heave - at.heave).norm() < 1e-3);
                assert!((near.pitch - at.pitch).norm() < 1e-3 * at.wave_number().max(1e-3));
            }
            assert!(strip.motions(speed, 1.3 * pace, 0.0).omega_e < 0.0);
        }
    }
}

#[test]
fn waves_from_either_side_and_either_end_act_alike() {
    let strip = prepared(&offsets("wigley-iii.csv"));
    for mu in [0.3, 1.2] {
        let w = omega(4.0);
        let (fore, aft) = (strip.motions(0.0, w, mu), strip.motions(0.0, w, PI - mu));
        assert!((fore.heave - aft.heave).norm() < 1e-9 && (fore.pitch + aft.pitch).norm() < 1e-9);
        let mirrored = strip.motions(2.0, w, -mu);
        let own = strip.motions(2.0, w, mu);
        assert!((mirrored.heave - own.heave).norm() < 1e-12);
    }
}

/// For a hull that closes at both ends A35 + A53 and B35 + B53 are free of speed terms (Timman & Newman 1962, from memory).
#[test]
fn coupling_is_antisymmetric_in_speed_for_pointed_ends() {
    let strip = prepared(&offsets("wigley-iii.csv"));
    let c = strip.motions(2.0, omega(4.0), FRAC_PI_2).coefficients().unwrap();
    let still = strip.motions(0.0, omega(4.0), FRAC_PI_2).coefficients().unwrap();
    assert!(((c.a35 + c.a53) - (still.a35 + still.a53)).abs() < 1e-6 * c.a35.abs());
    assert!(((c.b35 + c.b53) - (still.b35 + still.b53)).abs() < 1e-6 * c.b35.abs());
    assert!(c.a35.abs() > 1.0 && c.b35.abs() > 1.0);
}

/// By hand: a surface that lifts without bound moves as the water around it does, i w (heave - x pitch) + U pitch =
/// i w0 exp(-k d) times the wave there; one that does not lift changes nothing.
#[test]
fn a_lifting_surface_goes_with_the_water_that_it_holds() {
    let strip = prepared(&drawn(0.3));
    for (mu, speed) in [(PI, 5.0), (2.2, 8.0), (0.4, 9.0)] {
        let w = omega(25.0);
        let (x_m, depth_m) = (8.5, 1.1);
        let lifting = |size: f64| {
            let force = Complex64::new(size, 0.0);
            strip.motions_with(Some(&Lift { x_m, depth_m, own: force, gust: force }), speed, w, mu)
        };
        let held = lifting(1e12);
        let own = held.velocity(x_m) + speed * held.pitch;
        let water = Complex64::i() * w * (-held.wave_number() * depth_m).exp() * held.wave_elevation(x_m);
        assert!((own - water).norm() < 1e-5 * w);
        let free = strip.motions(speed, w, mu);
        assert!((lifting(0.0).heave - free.heave).norm() < 1e-12);
        assert_eq!(held.coefficients(), free.coefficients());
    }
}

#[test]
fn relative_motion_is_hull_less_wave() {
    let strip = prepared(&drawn(0.3));
    let motions = strip.motions(4.0, omega(25.0), 2.5);
    let x = 16.0;
    let lever = x - strip.cg_m();
    let wave = Complex64::cis(-motions.wave_number() * 2.5_f64.cos() * lever);
    let own = motions.heave - lever * motions.pitch;
    assert!((motions.relative_displacement(x) - (own - wave)).norm() < 1e-12);
    assert!((motions.acceleration(x) + own * motions.omega_e.powi(2)).norm() < 1e-12);
}

#[test]
fn added_resistance_says_what_it_leaves_out() {
    let strip = prepared(&offsets("round-transom.csv"));
    let w = omega(14.0);
    let following = added_resistance(&strip, 3.0, w, 1.0);
    assert_eq!(following.per_amplitude_squared, 0.0);
    assert!(following.flags.contains(Flag::FollowingSeaNotModelled));
    assert!(added_resistance(&strip, 9.0, w, 1.0).flags.is_empty());
    assert!(added_resistance(&strip, 3.0, w, PI).flags.is_empty());
    let limit = 0.45 * (G * 12.0).sqrt();
    let held_at = |speed: f64| {
        held_from_motions(&strip, &strip.motions(speed, w, PI), PI, |held| strip.motions(held, w, PI))
    };
    let held = held_at(2.0 * limit);
    assert!(held.flags.contains(Flag::HeldAboveFn045));
    let at_limit = added_resistance(&strip, limit, w, PI).per_amplitude_squared;
    assert!((held.per_amplitude_squared / at_limit - 1.0).abs() < 1e-9);
    assert!(held_at(limit * 0.9).flags.is_empty());
}

/// By hand: a hull that is held still and symmetric fore and aft meets a wave at encounter frequency -W as it meets a head
/// wave of that length at +W, at the speeds (W + w)/k and (W - w)/k: the same velocities of the water along it, the same
/// damping, and what convects added mass cancels. Deep waves that leave a hull 2.5 times as long as they are: all but a few
/// per cent of the energy leaves.
#[test]
fn a_held_hull_meets_an_overtaken_wave_as_a_head_wave() {
    let strip = prepared(&offsets("wigley-iii.csv"));
    let w = omega(strip.length_m() / 2.5);
    let k = w * w / G;
    let (omega_e, following, head) = (4.0 * w, 0.0, PI);
    let held_still = |speed: f64, mu: f64| {
        let mut motions = strip.motions(speed, w, mu);
        assert!((motions.omega_e.abs() - omega_e).abs() < 1e-9);
        (motions.heave, motions.pitch) = (Complex64::ZERO, Complex64::ZERO);
        from_motions(&strip, &motions, mu).per_amplitude_squared
    };
    let overtaken = held_still((omega_e + w) / k, following);
    let ahead = held_still((omega_e - w) / k, head);
    assert!(ahead > 0.0 && (overtaken / ahead - 1.0).abs() < 0.05, "{overtaken} {ahead}");
}

/// Overtaken waves resist at every speed past them, and the force comes in without a jump where she keeps pace.
#[test]
fn overtaken_waves_resist_from_nothing() {
    for hull in hulls() {
        let strip = prepared(&hull);
        for ratio in [0.7, 1.0, 1.5, 2.5] {
            let w = omega(ratio * strip.length_m());
            for mu in [0.0f64, 0.6, 1.2] {
                let pace = G / (w * mu.cos());
                let at = |speed: f64| added_resistance(&strip, speed, w, mu).per_amplitude_squared;
                let curve: Vec<f64> = (0..=60).map(|i| at(pace * (0.9 + 0.01 * f64::from(i)))).collect();
                assert!(curve.iter().all(|force| *force >= 0.0));
                assert_eq!(at(pace * 0.999), 0.0);
                let most = curve.iter().fold(0.0_f64, |a, force| a.max(*force));
                assert!(most > 0.0 && at(pace * 1.001) < 1e-3 * most);
            }
        }
    }
}

/// The speed past an overtaken wave is held where speed is in head waves, and the sign of encounter stays its own.
#[test]
fn overtaken_waves_are_held_by_the_speed_past_them() {
    let strip = prepared(&offsets("round-transom.csv"));
    let limit = 0.45 * (G * strip.length_m()).sqrt();
    for (length, mu) in [(14.0, 0.0f64), (40.0, 0.5)] {
        let w = omega(length);
        let held = held_speed_m_s(strip.length_m(), w, mu);
        assert!((held - limit - G / (w * mu.cos())).abs() < 1e-9);
        let at = |speed: f64| {
            held_from_motions(&strip, &strip.motions(speed, w, mu), mu, |held| strip.motions(held, w, mu))
        };
        let beyond = at(held + 3.0);
        assert!(beyond.flags.contains(Flag::HeldAboveFn045));
        assert!(strip.motions(held, w, mu).omega_e < 0.0 && beyond.per_amplitude_squared > 0.0);
        assert!((at(held - 1e-9).per_amplitude_squared / beyond.per_amplitude_squared - 1.0).abs() < 1e-6);
        assert!(at(held - 0.1).flags.is_empty());
    }
}

/// Any hull, drawn or given, has a positive, bounded added resistance in head waves that vanishes in long waves.
#[test]
fn added_resistance_is_bounded_and_vanishes_in_long_waves() {
    for hull in hulls() {
        let strip = prepared(&hull);
        let form = hull.hydrostatics();
        let unit = RHO * G * form.bwl_m.powi(2) / form.lwl_m;
        for froude in [0.2, 0.35, 0.45] {
            let speed = froude * (G * form.lwl_m).sqrt();
            let coefficient = |ratio: f64| {
                added_resistance(&strip, speed, omega(ratio * form.lwl_m), PI).per_amplitude_squared / unit
            };
            let curve: Vec<f64> = (2..=40).map(|i| coefficient(f64::from(i) / 10.0)).collect();
            let peak = curve.iter().fold(0.0_f64, |a, c| a.max(*c));
            assert!(curve.iter().all(|c| *c > 0.0) && peak < 100.0);
            assert!(coefficient(4.0) < 0.15 * peak && coefficient(15.0) < 2e-3 * peak);
        }
    }
}

#[test]
fn the_radius_of_gyration_must_make_sense() {
    let hull = offsets("wigley-iii.csv");
    for radius in [0.0, -1.0, 3.5, f64::NAN] {
        assert!(StripHull::new(&hull, radius, RHO).unwrap_err().problem().contains("pitch_radius_m"));
    }
}

/// Sections of 0.5 B T at B/T = 12 lie below the range of Lewis forms, 3 pi/32 (2 - 2T/B) = 0.54 (von Kerczek & Tuck
/// 1969), and a bulb under water has no waterline.
#[test]
fn sections_without_a_lewis_form_are_flagged() {
    assert!(prepared(&offsets("wigley-iii.csv")).flags().is_empty());
    let hull = |section: &[(f64, f64)]| {
        let points: Vec<Point> = section.iter().map(|&(z_m, y_m)| Point { z_m, y_m }).collect();
        let end = |x_m| Station { x_m, points: vec![Point { z_m: 0.0, y_m: 0.0 }] };
        let wedge =
            |x_m| Station { x_m, points: vec![Point { z_m: -1.0, y_m: 1.0 }, Point { z_m: 0.0, y_m: 2.0 }] };
        Hull::new(vec![end(0.0), wedge(4.0), Station { x_m: 6.0, points }, end(10.0)]).unwrap()
    };
    assert!(prepared(&hull(&[(-1.0, 1.0), (0.0, 2.0)])).flags().is_empty());
    assert!(prepared(&hull(&[(-0.5, 0.0), (0.0, 3.0)])).flags().contains(Flag::LewisAdjusted));
    assert!(
        prepared(&hull(&[(-1.0, 0.5), (-0.5, 0.5), (-0.5, 0.0), (0.0, 0.0)]))
            .flags()
            .contains(Flag::LewisAdjusted)
    );
}
