//! The balance of one polar cell against what can be said by hand.

use crate::common::boats::{CRUISER, FOILER, boat, model};
use approx::assert_relative_eq;
use roughwater::balance::{Added, BoatTables, CellBalance, STAGES, SeaCurve};
use roughwater::base::units::{RHO_AIR, kn_to_m_s};
use roughwater::base::{Flag, Flags};
use roughwater::boat::FoilPresence;
use roughwater::boat::{Beyond, BoatModel, LargeWaves, LargeWavesGrid, Surge};
use roughwater::derate::{Performance, PolarCell, Tack, derate_seas};
use roughwater::hydro::calm_water::side_force::{SideDrag, heel_resistance_n, induced_per_n};
use roughwater::hydro::response::Method;
use roughwater::hydro::sail::thrust;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::polar::Polar;
use roughwater::sea::PartitionKind;
use std::sync::LazyLock;

static FOILER_TABLES: LazyLock<BoatTables> = LazyLock::new(|| BoatTables::new(model(FOILER), 13.5));
static CRUISER_TABLES: LazyLock<BoatTables> = LazyLock::new(|| BoatTables::new(model(CRUISER), 5.5));

const TWS_M_S: f64 = 9.0;

/// The same tables with something of the boat changed that no response depends on.
fn with(tables: &BoatTables, change: impl FnOnce(&mut BoatModel)) -> BoatTables {
    let mut model = tables.model.clone();
    change(&mut model);
    BoatTables::with_responses(model, tables.responses.clone(), tables.max_speed_m_s())
}

fn sea(systems: &[(PartitionKind, f64, f64, f64)]) -> WindFrameSea {
    let system = |&(kind, hs_m, tp_s, off_wind_deg): &(PartitionKind, f64, f64, f64)| WaveSystem {
        kind,
        hs2_m2: hs_m * hs_m,
        tp_s,
        off_wind_deg,
    };
    WindFrameSea {
        tws_m_s: TWS_M_S,
        systems: systems.iter().map(system).collect(),
        spectrum: None,
        flags: Flags::empty(),
    }
}

/// The direction off the wind from which waves meet this course at a wave angle.
fn off_wind(mu_deg: f64, twa_deg: f64) -> f64 {
    mu_deg - 180.0 - twa_deg
}

fn curve<'t>(tables: &'t BoatTables, sea: &WindFrameSea, twa_deg: f64) -> SeaCurve<'t> {
    let mut curve = SeaCurve::new(tables);
    curve.set(sea, twa_deg);
    curve
}

/// Invented flat polars, kn: TWS 8, 16, 24 by TWA 40, 60, 90, 120, 150, 180.
fn polar(foiling: bool) -> Polar {
    let speeds = if foiling {
        [
            8.5, 11.0, 11.5, 10.5, 15.5, 16.5, 12.5, 20.5, 24.0, 12.0, 20.0, 25.5, 9.0, 16.0, 22.0, 7.0,
            12.0, 17.0,
        ]
    } else {
        [5.0, 6.4, 6.5, 5.9, 7.0, 7.2, 6.2, 7.5, 7.9, 6.0, 7.6, 8.4, 4.9, 7.0, 8.0, 4.2, 6.4, 7.5]
    };
    Polar::new(vec![8.0, 16.0, 24.0], vec![40.0, 60.0, 90.0, 120.0, 150.0, 180.0], speeds.to_vec()).unwrap()
}

fn slower(polar: &Polar, factor: f64) -> Polar {
    let speeds = polar.speeds_kn().iter().map(|speed| factor * speed).collect();
    Polar::new(polar.tws_kn().to_vec(), polar.twa_deg().to_vec(), speeds).unwrap()
}

fn performance(tables: &BoatTables, foils_up: Option<Polar>) -> Performance {
    Performance {
        tables: tables.clone(),
        flat: polar(tables.model.foils.is_some()),
        foils_up,
        surge: Surge::Off,
    }
}

fn cells(performance: &Performance, sea: WindFrameSea) -> Vec<PolarCell> {
    derate_seas(performance, &[(sea, 1.0)], Flags::empty()).unwrap()
}

fn of_tack(cells: &[PolarCell], tack: Tack) -> Vec<&PolarCell> {
    cells.iter().filter(|cell| cell.tack == tack).collect()
}

#[test]
fn no_waves_no_loss() {
    for tables in [&*FOILER_TABLES, &*CRUISER_TABLES] {
        let flat = polar(tables.model.foils.is_some());
        for &twa_deg in flat.twa_deg() {
            let curve = curve(tables, &sea(&[]), twa_deg);
            for (&tws_kn, speed_kn) in
                flat.tws_kn().iter().zip(flat.row(flat.twa_deg().iter().position(|t| *t == twa_deg).unwrap()))
            {
                let speed = kn_to_m_s(*speed_kn);
                let cell = CellBalance::new(tables, kn_to_m_s(tws_kn), twa_deg, speed, None).unwrap();
                let outcome = cell.solve(&curve, Added::Used(1.0));
                assert_eq!(outcome.speeds, [speed; STAGES + 1], "TWS {tws_kn} TWA {twa_deg}");
                assert_eq!((outcome.deck_water_kg, outcome.availability), (0.0, 1.0));
            }
        }
        for cell in cells(&performance(tables, None), sea(&[])) {
            assert_relative_eq!(cell.factor().unwrap(), 1.0, max_relative = 1e-12);
            assert_eq!(cell.dominant_stage(), None);
        }
    }
}

#[test]
fn higher_seas_from_ahead_cost_more() {
    for (tables, flat_kn) in [(&*FOILER_TABLES, 11.0), (&*CRUISER_TABLES, 6.4)] {
        for mu_deg in [180.0, 150.0, 115.0] {
            let cell = CellBalance::new(tables, TWS_M_S, 50.0, kn_to_m_s(flat_kn), None).unwrap();
            let mut before = kn_to_m_s(flat_kn);
            for hs_m in [0.25, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0] {
                let sea = sea(&[(PartitionKind::WindSea, hs_m, 7.0, off_wind(mu_deg, 50.0))]);
                let speed = cell.solve(&curve(tables, &sea, 50.0), Added::Used(1.0)).speeds[STAGES];
                assert!(speed < before, "mu {mu_deg}, Hs {hs_m}: {speed} after {before}");
                before = speed;
            }
        }
    }
}

/// Waves that overtake her take nothing, and of a swell's tail that she overtakes there is next to nothing. The sails' centre is put at the centre of gravity, so that pitching
/// does not change their drive either; a swell at 20 deg from astern has no component from ahead.
#[test]
fn a_following_swell_adds_no_resistance_and_says_so() {
    let tables = with(&CRUISER_TABLES, |m| m.boat.sails.as_mut().unwrap().effort_above_gravity_m = 0.0);
    let cell = CellBalance::new(&tables, TWS_M_S, 130.0, 3.6, None).unwrap();
    let at = |mu_deg: f64| {
        let sea = sea(&[(PartitionKind::Swell, 2.5, 9.0, off_wind(mu_deg, 130.0))]);
        cell.solve(&curve(&tables, &sea, 130.0), Added::Used(1.0))
    };
    let following = at(20.0);
    assert!((following.speeds[1] / 3.6 - 1.0).abs() < 1e-6);
    assert!(following.flags.contains(Flag::FollowingSeaNotModelled));
    assert!(!following.flags.contains(Flag::BeamSeaNotModelled));
    assert!(at(80.0).flags.is_superset(Flag::FollowingSeaNotModelled | Flag::BeamSeaNotModelled));
    let ahead = at(140.0);
    assert!(ahead.speeds[1] < 3.6);
    assert!(!ahead.flags.contains(Flag::FollowingSeaNotModelled));
}

#[test]
fn a_swell_off_the_wind_tells_the_tacks_apart_and_its_mirror_swaps_them() {
    for tables in [&*FOILER_TABLES, &*CRUISER_TABLES] {
        let performance = performance(tables, None);
        let crossing = |off: f64| {
            let systems = [(PartitionKind::WindSea, 1.0, 5.0, 0.0), (PartitionKind::Swell, 2.0, 6.0, off)];
            cells(&performance, sea(&systems))
        };
        let (right, left) = (crossing(60.0), crossing(-60.0));
        for tack in Tack::ALL {
            let other = if tack == Tack::Port { Tack::Starboard } else { Tack::Port };
            for (a, b) in of_tack(&right, tack).into_iter().zip(of_tack(&left, other)) {
                assert_eq!(PolarCell { tack: other, ..a.clone() }, *b);
            }
        }
        // by hand, TWA 90: wrap(60 + 180 + 90) = -30, near following; wrap(60 + 180 - 90) = 150, near head
        let at_90 = |tack| of_tack(&right, tack).into_iter().find(|cell| cell.twa_deg == 90.0).unwrap();
        assert!(at_90(Tack::Port).corrected_kn < 0.97 * at_90(Tack::Starboard).corrected_kn);
    }
}

#[test]
fn stages_multiply_to_the_factor() {
    for tables in [&*FOILER_TABLES, &*CRUISER_TABLES] {
        let systems = [(PartitionKind::WindSea, 2.0, 6.5, 10.0), (PartitionKind::Swell, 1.5, 9.0, -50.0)];
        for cell in cells(&performance(tables, None), sea(&systems)) {
            let product: f64 = cell.stages.unwrap().iter().product();
            assert_relative_eq!(product, cell.factor().unwrap(), max_relative = 1e-12);
            assert!(cell.factor().unwrap() <= 1.0 + 1e-12);
        }
    }
}

/// dV/V = -R_AW/[R0 (n_R - n_T)] with n = d ln/d ln V of resistance and of thrust less the drag of
/// side force at the flat speed: the first term of
/// both expanded about the balance. R_AW and exponents come from the methods themselves, not from the balance's
/// tables of them; the sails' centre is at the centre of gravity, so that pitching takes no drive.
#[test]
fn small_seas_cost_what_a_first_order_expansion_says() {
    let tables = with(&CRUISER_TABLES, |m| m.boat.sails.as_mut().unwrap().effort_above_gravity_m = 0.0);
    let model = &tables.model;
    let bare_m2 = model.boat.sails.as_ref().unwrap().hull_and_rig_drag_area_m2;
    let draught_m = model.boat.appendages.as_ref().unwrap().effective_draught_m;
    for (twa_deg, flat_kn, hs_m) in [(45.0f64, 5.6, 0.15), (60.0, 6.6, 0.15), (100.0, 7.2, 0.2)] {
        let v = kn_to_m_s(flat_kn);
        let resistance = |v: f64| {
            model.calm.bare_hull_resistance_n(v, 1.0).resistance_n + model.calm.appendage_resistance_n(v)
        };
        let plan = model.sails.unwrap();
        let heel_rad = model.boat.sails.as_ref().unwrap().heel_at_max_righting_deg.to_radians();
        let sails = |v: f64| {
            let cost = SideDrag {
                induced_per_n: induced_per_n(v, draught_m),
                heel_n: heel_resistance_n(&model.calm.form, heel_rad, v, 1.0),
                max_side_n: plan.heel_limit.max_side_n(),
            };
            let force = thrust(&plan, TWS_M_S, twa_deg.to_radians(), v, &cost);
            let ahead = force.aws_m_s.powi(2) * force.awa_rad.cos();
            force.drive_n - 0.5 * RHO_AIR * bare_m2 * ahead - cost.at(force.side_n)
        };
        // the part of the sails' thrust that holds the flat speed
        let p = resistance(v) / sails(v);
        let net = |v: f64| p * sails(v);
        let exponent = |f: &dyn Fn(f64) -> f64| (f(1.01 * v) / f(0.99 * v)).ln() / (1.01f64 / 0.99).ln();
        let n = exponent(&resistance) - exponent(&net);

        let sea = sea(&[(PartitionKind::WindSea, hs_m, 5.0, off_wind(180.0, twa_deg))]);
        let curve = curve(&tables, &sea, twa_deg);
        let cell = CellBalance::new(&tables, TWS_M_S, twa_deg, v, None).unwrap();
        let loss = 1.0 - cell.solve(&curve, Added::Used(1.0)).speeds[1] / v;
        let first_order = curve.at(v).added_resistance / (resistance(v) * n);
        assert!(loss > 0.001 && loss < 0.03, "TWA {twa_deg}: {loss} is no small loss");
        assert_relative_eq!(loss, first_order, max_relative = 0.05);
    }
}

/// Wind over the starboard side puts the port foil to leeward: without it she sails her foils-up polar on starboard
/// tack and her own polar on port tack.
#[test]
fn a_lost_foil_costs_one_tack() {
    let tables = with(&FOILER_TABLES, |m| m.boat.foils.as_mut().unwrap().port.state = FoilPresence::Missing);
    let foils_up = slower(&polar(true), 0.8);
    let lost = cells(&performance(&tables, Some(foils_up)), sea(&[]));
    for cell in of_tack(&lost, Tack::Starboard) {
        assert_relative_eq!(cell.factor().unwrap(), 0.8, max_relative = 1e-9);
        assert_eq!(cell.dominant_stage(), Some("foil_lift"));
    }
    // there the lost windward foil no longer stands in the wind, which brakes ahead of the beam and pushes abaft it
    for cell in of_tack(&lost, Tack::Port) {
        let tolerance = if cell.twa_deg <= 90.0 { 1e-12 } else { 0.01 };
        assert_relative_eq!(cell.factor().unwrap(), 1.0, max_relative = tolerance);
    }
}

#[test]
fn a_foiler_without_a_foils_up_polar_falls_back_to_her_balance_and_says_so() {
    let tables = with(&FOILER_TABLES, |m| m.boat.foils.as_mut().unwrap().port.state = FoilPresence::Missing);
    let performance = performance(&tables, None);
    let lost = cells(&performance, sea(&[]));
    let fast = |tack| {
        of_tack(&lost, tack).into_iter().find(|c| c.twa_deg == 120.0 && c.tws_kn == 24.0).unwrap().clone()
    };
    // a foil that carries a third of her weight
    let lost_factor = fast(Tack::Starboard).factor().unwrap();
    assert!(lost_factor < 0.98, "{lost_factor}");
    assert!(performance.balances().unwrap().boat_flags.contains(Flag::HullSpeedFromBalance));
    assert_relative_eq!(fast(Tack::Port).factor().unwrap(), 1.0, max_relative = 1e-12);
}

/// Gear in the wind: at TWA 45 the apparent wind is ahead, at TWA 165 with 9 m/s of wind and a slow boat it is aft.
#[test]
fn gear_in_the_wind_brakes_upwind_and_drives_downwind() {
    let windage = |area_m2: f64| {
        with(&FOILER_TABLES, |m| m.boat.windage.as_mut().unwrap().extra_drag_area_m2 = area_m2)
    };
    let (bare, laden) = (windage(0.0), windage(4.0));
    let solve = |tables: &BoatTables, twa_deg: f64, flat_kn: f64, hs_m: f64| {
        let cell = CellBalance::new(tables, TWS_M_S, twa_deg, kn_to_m_s(flat_kn), None).unwrap();
        let sea = sea(&[(PartitionKind::Swell, hs_m, 8.0, off_wind(160.0, twa_deg))]);
        cell.solve(&curve(tables, &sea, twa_deg), Added::Used(1.0)).speeds
    };
    assert!(solve(&laden, 45.0, 9.5, 0.0)[STAGES] < 0.99 * solve(&bare, 45.0, 9.5, 0.0)[STAGES]);
    assert_eq!(solve(&laden, 165.0, 9.5, 0.0)[STAGES], kn_to_m_s(9.5));
    let (without, pushed) = (solve(&bare, 165.0, 9.5, 1.5), solve(&laden, 165.0, 9.5, 1.5));
    assert!(pushed[3] > pushed[2] && pushed[3] <= kn_to_m_s(9.5));
    assert!(pushed[STAGES] > without[STAGES]);
}

/// All causes at once give the speed that they give one after another, as the doc comment of `last_speed` argues: with
/// and without gear in the wind, a lost foil, a foils-up polar, water on deck; in flight and off it.
#[test]
fn all_causes_at_once_end_where_they_end_one_by_one() {
    let lost = with(&FOILER_TABLES, |m| m.boat.foils.as_mut().unwrap().port.state = FoilPresence::Missing);
    let laden = with(&FOILER_TABLES, |m| m.boat.windage.as_mut().unwrap().extra_drag_area_m2 = 4.0);
    let mut compared = 0;
    for (tables, flat_kn) in
        [(&*FOILER_TABLES, 18.0), (&lost, 18.0), (&laden, 12.0), (&laden, 18.0), (&*CRUISER_TABLES, 7.0)]
    {
        for (twa_deg, foils_up) in [(45.0, None), (-110.0, Some(0.7)), (110.0, Some(0.9)), (165.0, None)] {
            let speed = kn_to_m_s(flat_kn);
            let cell =
                CellBalance::new(tables, TWS_M_S, twa_deg, speed, foils_up.map(|part| part * speed)).unwrap();
            for (hs_m, tp_s, off) in [(0.5, 4.0, 10.0), (1.5, 6.0, -30.0), (3.0, 8.0, 80.0), (5.0, 10.0, 0.0)]
            {
                let sea = sea(&[
                    (PartitionKind::WindSea, hs_m, tp_s, off),
                    (PartitionKind::Swell, 1.0, 12.0, 150.0),
                ]);
                let curve = curve(tables, &sea, twa_deg);
                for added in [Added::Used(1.0), Added::Second, Added::Used(1.6), Added::Used(0.6)] {
                    let one_by_one = cell.solve(&curve, added).speeds[STAGES];
                    assert_relative_eq!(cell.last_speed(&curve, added), one_by_one, epsilon = 1e-4);
                    compared += 1;
                }
            }
        }
    }
    assert_eq!(compared, 5 * 4 * 4 * 4);
}

/// The second method is the first method of a boat prepared with it.
#[test]
fn the_second_method_is_the_other_boats_first() {
    let other = BoatTables::new(BoatModel::new(boat(CRUISER), Method::Snnm, None).unwrap(), 5.5);
    let sea = sea(&[(PartitionKind::WindSea, 1.2, 5.5, 0.0)]);
    let solve = |tables: &BoatTables, added| {
        let cell = CellBalance::new(tables, TWS_M_S, 50.0, 3.2, None).unwrap();
        cell.solve(&curve(tables, &sea, 50.0), added).speeds[STAGES]
    };
    assert_relative_eq!(
        solve(&CRUISER_TABLES, Added::Second),
        solve(&other, Added::Used(1.0)),
        max_relative = 1e-6
    );
}

/// A table of large waves that holds 40 N/m² at all nodes adds, at its second height, 40 N a square metre of the sea's height, and
/// she sails where thrust meets the sum; a table of zeros changes nothing, to the bit; a small sea nothing either.
#[test]
fn large_waves_stand_in_the_balance() {
    let whole = |hull_n: f64| {
        let mut tables = FOILER_TABLES.clone();
        let node = Beyond { hull_n, ..Beyond::default() };
        let grid = LargeWavesGrid::WHOLE;
        let nodes = vec![node; grid.nodes()];
        tables.large_waves = LargeWaves::of_nodes(grid, 13.5, &nodes, String::new());
        assert!(tables.large_waves.is_some());
        tables
    };
    let (none, more) = (whole(0.0), whole(40.0));
    let tp_s = 7.0;
    let hs_m = more.large_waves.as_ref().unwrap().height_m(2, tp_s);
    let large = sea(&[(PartitionKind::WindSea, hs_m, tp_s, -50.0)]);
    let small = sea(&[(PartitionKind::WindSea, 0.1 * hs_m, tp_s, -50.0)]);
    let solved = |tables: &BoatTables, sea: &WindFrameSea| {
        let cell = CellBalance::new(tables, TWS_M_S, 50.0, 5.0, None).unwrap();
        let curve = curve(tables, sea, 50.0);
        (cell.solve(&curve, Added::Used(1.0)), cell.balances(&curve))
    };
    for sea in [&large, &small] {
        assert_eq!(solved(&FOILER_TABLES, sea), solved(&none, sea));
    }
    assert_eq!(solved(&FOILER_TABLES, &small), solved(&more, &small));
    let (outcome, points) = solved(&more, &large);
    let forces = points[0].forces;
    assert_relative_eq!(forces.large_waves_n, 40.0 * hs_m * hs_m, max_relative = 1e-9);
    assert!(forces.surplus_n().abs() < 1e-3 * forces.resistance_n());
    let without = solved(&FOILER_TABLES, &large).0;
    assert!(outcome.speeds[1] < without.speeds[1], "{outcome:?} {without:?}");
}
