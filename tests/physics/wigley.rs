//! Measured and computed responses of the Wigley hulls side by side, for `journee.rs` and
//! `examples/journee_table.rs`.

use roughwater::base::units::G;
use roughwater::hull::{Hull, Point, Station};
use roughwater::hydro::added_resistance::radiated_energy::added_resistance;
use roughwater::hydro::strip::StripHull;
use std::f64::consts::PI;

pub const LENGTH_M: f64 = 3.0;
const BEAM_M: f64 = 0.3;
const DRAUGHT_M: f64 = 0.1875;
const PITCH_RADIUS_M: f64 = 0.75;
const RHO: f64 = 1000.0;

/// One measured value and what strip theory makes of it.
#[derive(serde::Deserialize)]
pub struct Comparison {
    pub table: String,
    pub hull: String,
    pub froude: f64,
    pub at: Option<f64>,
    pub quantity: String,
    pub measured: f64,
    #[serde(skip)]
    pub computed: f64,
}

/// The hull y = (B/2)[(1-Z²)(1-X²)(1+0.2X²) + a Z²(1-Z⁸)(1-X²)⁴]: a = 1 is hull I, a = 0 hull III.
pub fn wigley(a: f64) -> StripHull {
    wigley_of_beam(BEAM_M, a)
}

/// The same with another beam: 0.6 m makes hulls II and IV.
pub fn wigley_of_beam(beam_m: f64, a: f64) -> StripHull {
    let half_breadth = |x: f64, z: f64| {
        let s = 1.0 - x * x;
        beam_m / 2.0 * ((1.0 - z * z) * s * (1.0 + 0.2 * x * x) + a * z * z * (1.0 - z.powi(8)) * s.powi(4))
    };
    let station = |i: i32| {
        let x = -(PI * f64::from(i) / 60.0).cos();
        let point = |j: i32| {
            let z = -(1.0 - f64::from(j) / 40.0);
            Point { z_m: z * DRAUGHT_M, y_m: half_breadth(x, z).max(0.0) }
        };
        Station { x_m: LENGTH_M / 2.0 * (1.0 + x), points: (0..=40).map(point).collect() }
    };
    let hull = Hull::new((0..=60).map(station).collect()).unwrap();
    StripHull::new(&hull, PITCH_RADIUS_M, RHO).unwrap()
}

/// Wave frequency at a ratio of wave length to hull length.
pub fn omega(ratio: f64) -> f64 {
    (2.0 * PI * G / (ratio * LENGTH_M)).sqrt()
}

/// R_AW L/(rho g zeta² B²) in head waves.
pub fn added_resistance_coefficient(hull: &StripHull, froude: f64, ratio: f64) -> f64 {
    let resistance = added_resistance(hull, froude * (G * LENGTH_M).sqrt(), omega(ratio), PI);
    resistance.per_amplitude_squared * LENGTH_M / (RHO * G * BEAM_M * BEAM_M)
}

/// All comparisons, in the order of `journee_1992.csv`.
pub fn comparisons() -> Vec<Comparison> {
    let hulls = [("I", wigley(1.0)), ("III", wigley(0.0))];
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_str!("../reference/journee_1992.csv").as_bytes())
        .deserialize()
        .map(|row| {
            let mut row: Comparison = row.unwrap();
            let (_, hull) = hulls.iter().find(|(name, _)| *name == row.hull).unwrap();
            row.computed = compute(hull, &row);
            row
        })
        .collect()
}

/// The comparisons as a page of Markdown, misses included.
pub fn document() -> String {
    let mut page = String::from(
        "# Comparison with published measurements\n\n\
         Journée 1992, Delft report 0909, Wigley hulls I and III: strip theory and radiated energy as built, misses included.\n\
         Forces over their hydrostatic part, coefficients over mass. Made by\n\
         `cargo run --release --example journee_table > tests/physics/journee.md`; a test holds it to the code.\n\n\
         | table | hull | Fn | quantity | lambda/L or w sqrt(L/g) | measured | computed | computed/measured |\n\
         |---|---|---|---|---|---|---|---|\n",
    );
    for row in comparisons() {
        let at = row.at.map_or("peak".to_owned(), |at| at.to_string());
        let ratio = row.computed / row.measured;
        page += &format!(
            "| {} | {} | {} | {} | {at} | {} | {:.3} | {ratio:.2} |\n",
            row.table, row.hull, row.froude, row.quantity, row.measured, row.computed
        );
    }
    page
}

fn compute(hull: &StripHull, row: &Comparison) -> f64 {
    let speed = row.froude * (G * LENGTH_M).sqrt();
    let wave = |ratio: f64| hull.motions(speed, omega(ratio), PI);
    // closed forms of hull III: C33/(rho g) = L B (2/3 + 0.2 2/15), C55/(rho g) = L³B/4 (2/15 + 0.2 2/35)
    let c33 = RHO * G * LENGTH_M * BEAM_M * (2.0 / 3.0 + 0.2 * 2.0 / 15.0);
    let c55 = RHO * G * LENGTH_M.powi(3) * BEAM_M / 4.0 * (2.0 / 15.0 + 0.2 * 2.0 / 35.0);
    let mass = RHO * LENGTH_M * BEAM_M * DRAUGHT_M * (2.0 / 3.0) * (2.0 / 3.0 + 0.2 * 2.0 / 15.0);
    match (row.quantity.as_str(), row.at) {
        ("heave", Some(ratio)) => wave(ratio).heave.norm(),
        ("pitch", Some(ratio)) => wave(ratio).pitch.norm() * LENGTH_M / (2.0 * PI),
        ("X3", Some(ratio)) => wave(ratio).excitation[0].norm() / c33,
        ("X5", Some(ratio)) => wave(ratio).excitation[1].norm() / (2.0 * PI / (ratio * LENGTH_M) * c55),
        ("a33", Some(w)) => forced_heave(hull, speed, w).0 / mass,
        ("b33", Some(w)) => forced_heave(hull, speed, w).1 / mass * (LENGTH_M / G).sqrt(),
        ("caw_peak", None) => (0..=180)
            .map(|i| added_resistance_coefficient(hull, row.froude, 0.7 + 0.01 * f64::from(i)))
            .fold(0.0, f64::max),
        other => panic!("unknown comparison {other:?}"),
    }
}

/// Added mass and damping at an encounter frequency w sqrt(L/g): in beam waves the two frequencies are one.
fn forced_heave(hull: &StripHull, speed: f64, w: f64) -> (f64, f64) {
    let motions = hull.motions(speed, w * (G / LENGTH_M).sqrt(), PI / 2.0);
    let coefficients = motions.coefficients().unwrap();
    (coefficients.a33, coefficients.b33)
}
