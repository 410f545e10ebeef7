//! Buoyancy and its moment of the body in time in still water at large heave and trim, against closed forms.

use roughwater::base::units::G;
use roughwater::hull::{Decked, DeckedSection, Hull, Point};
use roughwater::hydro::body::{Body, Outside, Scratch};
use roughwater::hydro::strip::StripHull;

const RHO: f64 = 1000.0;
/// Height of the centre of gravity, m.
const GRAVITY_Z_M: f64 = -0.2;
const LENGTH_M: f64 = 10.0;
const DRAUGHT_M: f64 = 1.0;

/// Integrals over the length of a section's area, of x times it and of its first moment about the waterline.
#[derive(Debug, Clone, Copy)]
struct Integrals {
    area: f64,
    moved: f64,
    height: f64,
}

fn hull(points: impl Fn(f64) -> Vec<Point>) -> Hull {
    let section = |i: i32| {
        let x_m = LENGTH_M * f64::from(i) / 60.0;
        DeckedSection { x_m, points: points(2.0 * x_m / LENGTH_M - 1.0) }
    };
    Hull::of_decked(Decked::new((0..=60).map(section).collect()).unwrap()).unwrap()
}

/// Lift and moment of a hull sunk and trimmed, against rho g times the integrals: up, and bow down about the centre of gravity.
fn agrees(what: &str, hull: &Hull, sunk_m: f64, trim_rad: f64, expected: Integrals, tolerance: f64) {
    let strip = StripHull::new(hull, 0.25 * LENGTH_M, RHO).unwrap();
    let radius = 0.25 * LENGTH_M;
    let mut body = Body::new(hull.decked().unwrap(), &strip, &[], 0.0, radius, Some(GRAVITY_Z_M), RHO);
    body.held = true;
    let mut state = body.at_rest(0.0);
    (state.heave_m, state.trim_rad) = (-sunk_m, trim_rad);
    let (now, _) = body.step(&mut state, 1e-3, &|_| Outside::default(), &|_| 0.0, &mut Scratch::default());
    let lift = RHO * G * expected.area;
    let lever =
        trim_rad.cos() * expected.moved + trim_rad.sin() * (expected.height - GRAVITY_Z_M * expected.area);
    let moment = -RHO * G * lever;
    let pressed = now.pressed;
    println!("{what}: {:.0} N of {lift:.0}, {:.0} N m of {moment:.0}", pressed.heave_n, pressed.pitch_nm);
    assert!((pressed.heave_n - lift).abs() < tolerance * lift, "{what}");
    assert!((pressed.pitch_nm - moment).abs() < tolerance * lift * LENGTH_M, "{what}");
}

/// Where the waterplane cuts the sections: a + t x above the waterline at rest.
fn cut(sunk_m: f64, trim_rad: f64) -> [f64; 2] {
    let a = GRAVITY_Z_M + (sunk_m - GRAVITY_Z_M) / trim_rad.cos();
    [a, trim_rad.tan()]
}

/// Integral of x² over the length, m³: L³/12.
fn second() -> f64 {
    LENGTH_M.powi(3) / 12.0
}

/// A box 3 m wide: area B (T + l), its moment B (l² - T²)/2.
#[test]
fn a_box_heaved_and_trimmed() {
    let point = |z_m, y_m| Point { z_m, y_m };
    let hull = hull(|_| vec![point(-DRAUGHT_M, 0.0), point(-DRAUGHT_M, 1.5), point(2.0, 1.5)]);
    for (sunk_m, trim_rad) in [(0.0, 0.0), (0.8, 0.0), (-0.6, 0.0), (0.3, 0.2), (0.4, -0.15)] {
        let [a, t] = cut(sunk_m, trim_rad);
        let expected = Integrals {
            area: 3.0 * LENGTH_M * (DRAUGHT_M + a),
            moved: 3.0 * t * second(),
            height: 1.5 * (LENGTH_M * (a * a - DRAUGHT_M * DRAUGHT_M) + t * t * second()),
        };
        agrees(&format!("box {sunk_m} {trim_rad}"), &hull, sunk_m, trim_rad, expected, 2e-4);
    }
}

/// A wedge of 45 degrees: with h = T + l, area h², moment about its keel 2 h³/3.
#[test]
fn a_wedge_heaved_and_trimmed() {
    let point = |z_m: f64, y_m: f64| Point { z_m, y_m };
    let hull = hull(|_| vec![point(-DRAUGHT_M, 0.0), point(0.0, 1.0), point(2.0, 3.0)]);
    for (sunk_m, trim_rad) in [(0.0, 0.0), (0.8, 0.0), (-0.6, 0.0), (0.3, 0.2), (0.4, -0.15)] {
        let [a, t] = cut(sunk_m, trim_rad);
        let h = DRAUGHT_M + a;
        let area = LENGTH_M * h * h + t * t * second();
        let cubes = LENGTH_M * h.powi(3) + 3.0 * h * t * t * second();
        let expected =
            Integrals { area, moved: 2.0 * h * t * second(), height: 2.0 / 3.0 * cubes - DRAUGHT_M * area };
        agrees(&format!("wedge {sunk_m} {trim_rad}"), &hull, sunk_m, trim_rad, expected, 2e-4);
    }
}

/// Wigley's hull, half-breadth (B/2)(1 - xi²)(1 - (z/T)²) under water and upright above, B 2 m: at rest 4/9 of its box; sunk by so
/// much that no waterline falls below that at rest, trimmed or not, a prism on its waterplane more; risen by e on an even keel
/// (2/3) L B (2T/3 - e + e³/3T²), with moment -(2/3) L B (T²/4 - e²/2 + e⁴/4T²).
#[test]
fn wigley_heaved_and_trimmed() {
    const BEAM_M: f64 = 2.0;
    let hull = hull(|xi| {
        let fine = 0.5 * BEAM_M * (1.0 - xi * xi);
        let under = (0..=40).map(|i| {
            let z_m = DRAUGHT_M * (f64::from(i) / 40.0 - 1.0);
            Point { z_m, y_m: fine * (1.0 - (z_m / DRAUGHT_M).powi(2)) }
        });
        under.chain([Point { z_m: 2.0, y_m: fine }]).collect()
    });
    let plane = 2.0 / 3.0 * LENGTH_M * BEAM_M;
    for risen_m in [0.0, 0.3, 0.7_f64] {
        let expected = Integrals {
            area: plane * (2.0 / 3.0 * DRAUGHT_M - risen_m + risen_m.powi(3) / 3.0),
            moved: 0.0,
            height: -plane * (0.25 - risen_m.powi(2) / 2.0 + risen_m.powi(4) / 4.0),
        };
        agrees(&format!("Wigley risen {risen_m}"), &hull, -risen_m, 0.0, expected, 1e-3);
    }
    for (sunk_m, trim_rad) in [(0.8, 0.0), (0.8, 0.12), (1.0, -0.15)] {
        let [a, t] = cut(sunk_m, trim_rad);
        // the integral of x² (1 - xi²) is L³/30
        let inertia = BEAM_M * LENGTH_M.powi(3) / 30.0;
        let expected = Integrals {
            area: plane * (2.0 / 3.0 * DRAUGHT_M + a),
            moved: t * inertia,
            height: -plane / 4.0 + 0.5 * (plane * a * a + t * t * inertia),
        };
        agrees(&format!("Wigley sunk {sunk_m} {trim_rad}"), &hull, sunk_m, trim_rad, expected, 1e-3);
    }
}
