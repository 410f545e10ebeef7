//! Freeboard as she sails, and what the water that comes aboard weighs and pushes.

use crate::common::boats::{CRUISER, FOILER, boat, model};
use crate::common::random::SplitMix;
use approx::assert_relative_eq;
use roughwater::balance::{Added, BoatTables, CellBalance, SeaCurve};
use roughwater::base::Flags;
use roughwater::base::units::{G, RHO_WATER, kn_to_m_s};
use roughwater::boat::BoatModel;
use roughwater::hydro::deck_water::Overtopping;
use roughwater::hydro::response::Method;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::sea::PartitionKind;
use std::f64::consts::TAU;
use std::sync::LazyLock;

static FOILER_TABLES: LazyLock<BoatTables> =
    LazyLock::new(|| BoatTables::new(model(FOILER), kn_to_m_s(40.0)));
static CRUISER_TABLES: LazyLock<BoatTables> =
    LazyLock::new(|| BoatTables::new(model(CRUISER), kn_to_m_s(40.0)));

/// A wind sea met at a wave angle on a true wind angle of 90 degrees on starboard tack.
fn curve(tables: &BoatTables, hs_m: f64, tp_s: f64, mu_deg: f64) -> SeaCurve<'_> {
    let system =
        WaveSystem { kind: PartitionKind::WindSea, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: mu_deg - 270.0 };
    let systems = [system].into_iter().collect();
    let mut curve = SeaCurve::new(tables);
    curve.set(&WindFrameSea { tws_m_s: 9.0, systems, spectrum: None, flags: Flags::empty() }, 90.0);
    curve
}

/// Speeds up to 40 kn, in steps of 0.5 kn.
fn speeds_m_s() -> impl Iterator<Item = f64> {
    (0..=80).map(|i| kn_to_m_s(0.5 * f64::from(i)))
}

/// As the sea lies down the deck falls dry, however fast she sails.
#[test]
fn a_flat_sea_leaves_the_deck_dry() {
    for tables in [&*FOILER_TABLES, &*CRUISER_TABLES] {
        for (hs_m, most) in [(0.1, 1e-3), (0.01, 1e-12)] {
            let curve = curve(tables, hs_m, 3.0, 180.0);
            for speed in speeds_m_s() {
                let (kg, n) = (curve.deck_water_kg(speed), curve.deck_water_n(speed));
                assert!(kg < most && n.abs() < most, "Hs {hs_m}, {speed} m/s: {kg} kg, {n} N");
            }
        }
        for flies in [false, true] {
            assert!(
                speeds_m_s().all(|speed| tables.model.effective_freeboard_m(speed, flies).unwrap() > 0.3)
            );
        }
    }
}

/// Nothing jumps: within a hundredth of a knot the freeboard moves by less than 5 mm.
#[test]
fn freeboard_is_continuous_in_speed() {
    for name in [FOILER, CRUISER] {
        let model = model(name);
        for flies in [false, true] {
            let at = |i: u32| model.effective_freeboard_m(kn_to_m_s(0.01 * f64::from(i)), flies).unwrap();
            let mut before = at(0);
            assert_relative_eq!(before, model.boat.deck.as_ref().unwrap().bow_freeboard_m, epsilon = 1e-6);
            for i in 1..=4000 {
                let now = at(i);
                assert!(
                    (now - before).abs() < 5e-3,
                    "{name} {flies} {} kn: {before} to {now}",
                    0.01 * f64::from(i)
                );
                before = now;
            }
        }
    }
}

/// The foiler's parts on a box of 10 x 2 x 0.5 m, whose centres lie at 5 m.
fn on_a_box(foil_x_m: f64) -> BoatModel {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("box.csv");
    let mut text = "x_m,z_m,y_m\n".to_owned();
    for x_m in 0..=10 {
        text += &format!("{x_m},-0.5,0\n{x_m},-0.5,1\n{x_m},0,1\n");
    }
    std::fs::write(&file, text).unwrap();
    let mut boat = boat(FOILER);
    boat.hull.sections = Some(file);
    (boat.hull.lwl_m, boat.hull.bwl_m, boat.hull.draught_m, boat.hull.displacement_kg) =
        (None, None, None, None);
    boat.topsides = None;
    boat.hull.pitch_radius_m = 2.5;
    boat.foils.as_mut().unwrap().x_m = foil_x_m;
    BoatModel::new(boat, Method::RadiatedEnergy, None).unwrap()
}

/// By hand: with a share s on the foils the box rises by 0.5 s m. A foil over the centre leaves the drive's moment
/// R x 11.5 m against rho g L³B/12; one 2 m before it adds s W x 2 m bow up. The bow is 5 m from the centre. The second
/// moment by sections is 0.2 % off.
#[test]
fn a_box_by_hand() {
    let speed = kn_to_m_s(18.0);
    let stiffness = RHO_WATER * G * 2.0 * 1000.0 / 12.0;
    for (foil_x_m, lever_m) in [(5.0, 0.0), (7.0, 2.0)] {
        let model = on_a_box(foil_x_m);
        let running = model.running(speed, true, 3.0);
        // (18² - 9²)/(34² - 9²) of the 0.38 at full share
        let share = 0.38 * 243.0 / 1075.0;
        assert_relative_eq!(running.rise_m, 0.5 * share, epsilon = 1e-6);
        let weight_n = RHO_WATER * 10.0 * G;
        let moment = 11.5 * model.flat_resistance_n(speed, true) - share * weight_n * lever_m;
        assert_relative_eq!(running.trim_rad, moment / stiffness, max_relative = 3e-3);
        assert_relative_eq!(running.bow_sinkage_m, 5.0 * running.trim_rad, max_relative = 1e-9);
        let hull_borne = model.running(speed, false, 3.0);
        assert_relative_eq!(hull_borne.rise_m, 0.0, epsilon = 1e-6);
    }
}

/// By hand: 10 kN at 11.5 m trim the foiler by 10 kN x 11.5 m / (rho g Iwp); with a waterplane of 555 m⁴ 1.18 degrees.
#[test]
fn drive_trims_by_the_head() {
    let model = model(FOILER);
    let drive_kn = 10.0;
    let speed =
        speeds_m_s().find(|speed| model.flat_resistance_n(*speed, false) > 1000.0 * drive_kn).unwrap();
    let running = model.running(speed, false, 3.0);
    let expected = model.flat_resistance_n(speed, false) / 1e4 * 1.18;
    assert_relative_eq!(running.trim_rad.to_degrees(), expected, max_relative = 0.02);
}

/// By hand: waves of 2 m do not move a hull of 15 m, so that r is the wave and u = w cos(mu) r, averaged over the beam of
/// the waterline: exp(-(k B)²/12) of the square.
#[test]
fn water_and_bow_move_together_in_short_waves() {
    let model = model(FOILER);
    let k: f64 = TAU / 2.0;
    let omega = (G * k).sqrt();
    let averaged = (-(k * 3.3).powi(2) / 12.0).exp();
    for mu_deg in [0.0, 60.0, 90.0, 150.0, 180.0] {
        let mu = f64::to_radians(mu_deg);
        let found = model.waves.regular(0.0, omega, mu).bow_water_covariance;
        assert!((found - omega * mu.cos() * averaged).abs() < 0.05 * omega * averaged, "{mu_deg}: {found}");
    }
}

/// Two normal numbers of unit variance (Box & Muller 1958).
fn normal_pair(random: &mut SplitMix) -> [f64; 2] {
    let (radius, angle) = ((-2.0 * random.uniform().ln()).sqrt(), TAU * random.uniform());
    [radius * angle.cos(), radius * angle.sin()]
}

/// The mean of rho q(r) (V - u) over drawn Gaussian pairs lies within 3 of its standard errors of the closed form; the last
/// case is that of water as fast as waves of one length, where the force turns.
#[test]
fn the_force_equals_drawn_pairs() {
    let mut random = SplitMix(11);
    for (speed, s, sigma_u, correlation, freeboard) in [
        (7.0, 0.5, 0.8, -0.6, 0.9),
        (7.0, 0.5, 0.8, 0.6, 0.9),
        (2.0, 0.8, 1.2, 0.3, 0.4),
        (5.0, 0.6, 1.0, -1.0, -0.2),
        (2.0, 0.6, 1.8, 1.0, 0.8),
    ] {
        let n = 2_000_000;
        let (mut sum, mut squares) = (0.0, 0.0);
        for _ in 0..n {
            let [a, b] = normal_pair(&mut random);
            let r = s * a;
            let u = sigma_u * (correlation * a + f64::sqrt(1.0 - correlation * correlation) * b);
            let flow = (2.0f64 / 3.0).powf(1.5) * G.sqrt() * f64::max(r - freeboard, 0.0).powf(1.5);
            let force = RHO_WATER * flow * (speed - u);
            sum += force;
            squares += force * force;
        }
        let mean = sum / f64::from(n);
        let error = ((squares / f64::from(n) - mean * mean) / f64::from(n)).sqrt();
        let closed = Overtopping::of(s, freeboard).shipping_force_n_per_m(speed, correlation * s * sigma_u);
        assert!((mean - closed).abs() < 3.0 * error, "{mean} +- {error} against {closed}");
        assert_eq!(closed < 0.0, correlation == 1.0, "{closed}");
    }
}

/// The share of the momentum that she takes on scales the force, leaves the weight, and costs speed; without `[deck]` there
/// is neither.
#[test]
fn momentum_is_charged_with_deck_water() {
    let with = |change: &dyn Fn(&mut BoatModel)| {
        let mut model = FOILER_TABLES.model.clone();
        change(&mut model);
        BoatTables::with_responses(model, FOILER_TABLES.responses.clone(), kn_to_m_s(40.0))
    };
    let share = |share: f64| with(&move |m| m.boat.deck.as_mut().unwrap().momentum_share = share);
    let at = |tables: &BoatTables| {
        let curve = curve(tables, 3.0, 7.0, 180.0);
        let cell = CellBalance::new(tables, 9.0, 90.0, kn_to_m_s(15.0), None).unwrap();
        let speed = kn_to_m_s(14.0);
        let outcome = cell.solve(&curve, Added::Used(1.0));
        let forces = cell.balances(&curve)[0].forces;
        (curve.deck_water_kg(speed), curve.deck_water_n(speed), outcome.speeds[2], forces.deck_water_n)
    };
    let [whole, half, none] = [1.0, 0.5, 0.0].map(|part| at(&share(part)));
    assert_eq!((whole.0, none.1, none.3), (half.0, 0.0, 0.0));
    assert_relative_eq!(half.1, 0.5 * whole.1, max_relative = 1e-12);
    assert!(whole.1 > 10.0 && whole.3 > 0.0);
    assert!(whole.2 < half.2 && half.2 < none.2);
    let deckless = at(&with(&|m| m.boat.deck = None));
    assert_eq!((deckless.0, deckless.1, deckless.3), (0.0, 0.0, 0.0));
}

/// A deck near the water, short seas to long ones from all round, and one that pushes a boat at rest: forces are finite, no
/// cause makes her faster than in flat water, and the last speed is the same however it is looked for.
#[test]
fn a_low_deck_is_solved_at_every_angle() {
    let mut model = CRUISER_TABLES.model.clone();
    model.boat.deck.as_mut().unwrap().bow_freeboard_m = 0.3;
    let tables = BoatTables::with_responses(model, CRUISER_TABLES.responses.clone(), kn_to_m_s(40.0));
    assert!(curve(&tables, 0.9, 3.0, 0.0).deck_water_n(0.0) < 0.0);
    for mu_deg in [0.0, 45.0, 90.0, 135.0, 180.0] {
        for (hs_m, tp_s) in [(0.9, 3.0), (2.0, 4.5), (3.0, 8.0)] {
            let curve = curve(&tables, hs_m, tp_s, mu_deg);
            assert!(speeds_m_s().all(|speed| curve.deck_water_n(speed).is_finite()));
            for flat_kn in [1.5, 3.0, 6.0] {
                let cell = CellBalance::new(&tables, 9.0, 90.0, kn_to_m_s(flat_kn), None).unwrap();
                let outcome = cell.solve(&curve, Added::Used(1.0));
                assert!(outcome.speeds.iter().all(|speed| *speed <= outcome.speeds[0]));
                assert_relative_eq!(
                    cell.last_speed(&curve, Added::Used(1.0)),
                    outcome.speeds[5],
                    epsilon = 3e-4
                );
            }
        }
    }
}
