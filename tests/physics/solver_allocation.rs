//! Solving asks for no memory: what a sea and its cells need is there before the first of them.

use crate::common::boats::{FOILER, model};
use crate::common::heap;
use roughwater::balance::{Added, BoatTables, CellBalance, SeaCurve};
use roughwater::base::Flags;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::sea::PartitionKind;
use std::hint::black_box;

fn sea(hs_m: f64) -> WindFrameSea {
    let system =
        |kind, hs_m: f64, tp_s, off_wind_deg| WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg };
    let systems =
        [system(PartitionKind::WindSea, hs_m, 6.5, 10.0), system(PartitionKind::Swell, 1.5, 10.0, -50.0)];
    WindFrameSea {
        tws_m_s: 10.0,
        systems: systems.into_iter().collect(),
        spectrum: None,
        flags: Flags::empty(),
    }
}

#[test]
fn solving_allocates_nothing() {
    let tables = BoatTables::new(model(FOILER), 13.5);
    let cells: Vec<CellBalance> =
        [6.0, 9.0, 12.0].map(|speed| CellBalance::new(&tables, 9.0, 60.0, speed, None).unwrap()).into();
    let seas: Vec<WindFrameSea> = [0.5, 2.0, 5.0].map(sea).into();
    let mut curve = SeaCurve::new(&tables);
    // what is made once for a program, such as the table of deck water, is made by the first sea
    curve.set(&seas[0], 60.0);
    let before = heap::requests();
    assert!(before > 0, "the counter counts");
    for sea in &seas {
        curve.set(sea, 60.0);
        for cell in &cells {
            black_box(cell.solve(&curve, Added::Used(1.0)));
            black_box(cell.last_speed(&curve, Added::Second));
            black_box(cell.compared_speeds(&curve, [Added::Second, Added::Used(1.6)]));
        }
    }
    assert_eq!(heap::requests() - before, 0);
}
