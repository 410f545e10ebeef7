//! How far the speeds that a cell is compared with lie from those of a whole solution, and that it is little.

use crate::common::boats::{CRUISER, FOILER, model};
use crate::common::random::SplitMix;
use roughwater::balance::{Added, BoatTables, CellBalance, SeaCurve};
use roughwater::base::Flags;
use roughwater::base::units::{kn_to_m_s, m_s_to_kn};
use roughwater::derate::compared;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::sea::PartitionKind;

/// Seas of a wind sea and two swells, from nearly calm to a storm, from all sides.
fn sea(random: &mut SplitMix) -> WindFrameSea {
    let mut system = |kind, most_hs_m: f64, tp_s: [f64; 2], off: f64| {
        let hs_m = 0.05 + most_hs_m * random.uniform();
        let tp_s = tp_s[0] + (tp_s[1] - tp_s[0]) * random.uniform();
        WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: off * (2.0 * random.uniform() - 1.0) }
    };
    let systems = [
        system(PartitionKind::WindSea, 5.0, [3.0, 10.0], 30.0),
        system(PartitionKind::Swell, 3.0, [7.0, 14.0], 180.0),
        system(PartitionKind::Swell, 2.0, [9.0, 18.0], 180.0),
    ];
    WindFrameSea {
        tws_m_s: 9.0,
        systems: systems.into_iter().collect(),
        spectrum: None,
        flags: Flags::empty(),
    }
}

#[test]
fn compared_speeds_are_within_a_hundredth_of_a_knot() {
    let mut random = SplitMix(11);
    let (mut largest_kn, mut sum_kn, mut speeds) = (0.0_f64, 0.0, 0_u32);
    for (name, top_m_s, flat_kn) in
        [(FOILER, 13.5, [9.0, 14.0, 19.0, 24.0]), (CRUISER, 5.5, [4.0, 6.0, 7.5, 9.0])]
    {
        let tables = BoatTables::new(model(name), top_m_s);
        let mut curve = SeaCurve::new(&tables);
        for twa_deg in [40.0, 60.0, 90.0, -120.0, 150.0, 180.0] {
            let seas: Vec<WindFrameSea> = (0..60).map(|_| sea(&mut random)).collect();
            for (flat_kn, tws_m_s) in flat_kn.into_iter().zip([4.0, 7.0, 10.0, 14.0]) {
                let cell = CellBalance::new(&tables, tws_m_s, twa_deg, kn_to_m_s(flat_kn), None).unwrap();
                for sea in &seas {
                    curve.set(sea, twa_deg);
                    let added: [Added; 3] = compared();
                    for (found, added) in cell.compared_speeds(&curve, added).into_iter().zip(added) {
                        let apart_kn = m_s_to_kn(found - cell.last_speed(&curve, added)).abs();
                        assert!(
                            apart_kn <= 0.01,
                            "{apart_kn} kn: {name} {twa_deg} {flat_kn} {added:?} {sea:?}"
                        );
                        largest_kn = largest_kn.max(apart_kn);
                        sum_kn += apart_kn;
                        speeds += 1;
                    }
                }
            }
        }
    }
    println!("largest {largest_kn:.5} kn, mean {:.6} kn of {speeds}", sum_kn / f64::from(speeds));
    assert!(speeds > 8000 && largest_kn > 0.0, "{speeds} {largest_kn}");
}
