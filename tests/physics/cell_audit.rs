//! Cells one by one: each is what its own sea does at its own wind.

use crate::common::bench::REGION;
use crate::common::boats::{CRUISER, FOILER, performance};
use crate::common::files::{INVENTED, file};
use jiff::Timestamp;
use roughwater::balance::SeaCurve;
use roughwater::base::Window;
use roughwater::base::{Flag, Flags};
use roughwater::derate::{Performance, PolarCell, derate_seas};
use roughwater::forecast::{CellSea, Forecast};
use roughwater::hydro::wind_frame::WindFrameSea;
use roughwater::polar::{Lookup, Polar};
use roughwater::region::parse;
use roughwater::survey::cells::{audit_cells, factors};
use roughwater::survey::{AuditedRegion, CellRow};
use roughwater::tally::{BinKey, Bins, Tally};
use std::collections::BTreeMap;

/// The same boat with a polar that has a column at this very wind.
fn at_its_wind(performance: &Performance, tws_kn: f64) -> Performance {
    let flat = &performance.flat;
    let tws = [tws_kn, tws_kn + 5.0];
    let speed = |twa: f64| match flat.speed_kn(tws_kn, twa) {
        Lookup::Inside(kn) => [kn, kn],
        Lookup::Outside(_) => panic!("{tws_kn}"),
    };
    let speeds = flat.twa_deg().iter().flat_map(|twa| speed(*twa)).collect();
    Performance {
        flat: Polar::new(tws.to_vec(), flat.twa_deg().to_vec(), speeds).unwrap(),
        ..performance.clone()
    }
}

/// Some cells of the first step, solved by the way that polars take, in their own sea alone. Differences are rounding.
fn check(performance: &Performance) {
    let forecast = Forecast::open(&[file(INVENTED)]).unwrap();
    let regions = parse(REGION).unwrap();
    let mut found: Vec<CellRow> = Vec::new();
    let always = Window { start: Timestamp::MIN, end: Timestamp::MAX };
    let audited: Vec<AuditedRegion> =
        regions.iter().map(|region| AuditedRegion { region, windows: vec![always] }).collect();
    audit_cells(performance, &forecast, &audited, &mut |step, rows| {
        found.extend(rows.into_iter().filter(|_| step == 0));
        Ok(())
    })
    .unwrap();
    let sea = forecast.read_step(0).unwrap();
    let cells = (0..sea.grid.points()).filter_map(|index| match sea.cell(index) {
        CellSea::Sea(state) => Some((sea.grid.centre(index)?, state)),
        _ => None,
    });
    let mut checked = 0;
    for (place, state) in cells {
        let Some(row) = found.iter().find(|row| (row.lat_deg, row.lon_deg) == place) else { continue };
        let at_its_wind = at_its_wind(performance, row.tws_kn);
        let alone = derate_seas(&at_its_wind, &[(WindFrameSea::of(&state), 1.0)], Flags::empty()).unwrap();
        let column: Vec<&PolarCell> = alone.iter().filter(|cell| cell.tws_kn == row.tws_kn).collect();
        let factors: Vec<f64> = column.iter().map(|cell| cell.factor().unwrap()).collect();
        let mean = factors.iter().sum::<f64>() / factors.len() as f64;
        let least = factors.iter().copied().fold(f64::INFINITY, f64::min);
        let told = row.factors.unwrap();
        assert!(
            (told.mean - mean).abs() < 1e-9 && (told.worst - least).abs() < 1e-9,
            "{told:?} {mean} {least}"
        );
        let worst =
            column.iter().find(|cell| cell.tack == told.worst_tack && cell.twa_deg == told.worst_twa_deg);
        assert!((worst.unwrap().factor().unwrap() - least).abs() < 1e-9);
        let flags = column.iter().fold(WindFrameSea::of(&state).flags, |flags, cell| flags | cell.flags);
        // what holds for the boat in every cell of her polar is said once, and less of it in one column's cells
        let of_the_boat = performance.balances().unwrap().boat_flags;
        let of_the_column = at_its_wind.balances().unwrap().boat_flags;
        assert_eq!(row.flags - of_the_column, flags - of_the_boat);
        assert!(!row.flags.contains(Flag::OutsidePolar));
        checked += 1;
    }
    assert_eq!(checked, found.len());
    assert!(checked > 10);
}

#[test]
fn a_cell_is_its_sea_alone() {
    check(&performance(
        CRUISER,
        "twa_deg,2,12,25,60\n45,2.0,5.5,6.3,6.5\n110,2.5,6.9,7.9,9.0\n150,1.8,5.9,7.3,9.0\n",
    ));
    check(&performance(FOILER, "twa_deg,2,10,16,60\n48,2,8.59,10.48,11.64\n120,3,12.9,21.38,29.19\n"));
}

/// Cells told by the mean sea of their bin of the tally would be cheaper; this is how far they would be off.
#[test]
#[ignore = "a measurement, not a check"]
fn what_binning_would_cost() {
    let forecast = Forecast::open(&[file(INVENTED)]).unwrap();
    let sea = forecast.read_step(0).unwrap();
    let states = sea.cells().filter_map(|cell| match cell {
        CellSea::Sea(state) => Some(WindFrameSea::of(&state)),
        _ => None,
    });
    let seas: Vec<WindFrameSea> = states.step_by(3).collect();
    let boats = [
        (CRUISER, "twa_deg,0,12,25,60\n45,0.1,5.5,6.3,6.5\n110,0.1,6.9,7.9,9.0\n150,0.1,5.9,7.3,9.0\n"),
        (FOILER, "twa_deg,0,10,16,60\n48,0.1,8.59,10.48,11.64\n120,0.1,12.9,21.38,29.19\n"),
    ];
    for (boat, polar) in boats {
        let performance = performance(boat, polar);
        let mut curve = SeaCurve::new(&performance.tables);
        let mut told = |sea: &WindFrameSea| factors(&performance, sea, &mut curve).unwrap().0.unwrap();
        let mut bins: BTreeMap<BinKey, Tally> = BTreeMap::new();
        for sea in &seas {
            let key = Bins::default().key(sea).0;
            bins.entry(key).or_insert_with(|| Tally::new(Bins::default())).add(sea, 1.0);
        }
        let means: BTreeMap<&BinKey, f64> =
            bins.iter().map(|(key, tally)| (key, told(&tally.seas().next().unwrap().0).mean)).collect();
        let start = std::time::Instant::now();
        let mut off: Vec<f64> =
            seas.iter().map(|sea| (told(sea).mean - means[&Bins::default().key(sea).0]).abs()).collect();
        let each_ms = 1000.0 * start.elapsed().as_secs_f64() / off.len() as f64;
        off.sort_by(f64::total_cmp);
        println!(
            "{boat}: {} cells in {} bins, {each_ms:.2} ms a cell; mean factor off by {:.4} on average, {:.4} in one of 20, {:.4} at most",
            off.len(),
            bins.len(),
            off.iter().sum::<f64>() / off.len() as f64,
            off[off.len() * 19 / 20],
            off[off.len() - 1]
        );
    }
}
