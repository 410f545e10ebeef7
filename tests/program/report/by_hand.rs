//! The report of a result by hand: names that need escaping, cells on both sides of 180, a passage, an advisory.

use super::browser::{Driven, after, assert_marked, assert_numbers, chosen, drive, said, tools};
use crate::common::bench::{Ran, program};
use crate::common::tables::rows;
use serde_json::Value;
use std::sync::LazyLock;
use tempfile::TempDir;

/// A region name that ends scripts, opens tags and entities where it is not escaped.
const NASTY: &str = r#"</script><b>"&"#;

const COLUMNS: &str = "region,window_start,window_end,tack,tws_kn,twa_deg,flat_kn,corrected_kn,factor,p10_kn,p50_kn,\
p90_kn,stage_added_resistance,stage_deck_water,stage_windage,stage_foil_lift,stage_foil_downtime,dominant_stage,\
factor_second_method,sea_states,covered,flags,factor_band_slow,factor_band_fast,deck_water_kg,availability,\
slam_rate_per_h,wetness_rate_per_h,bow_acceleration_rms_g,stopped_share,wind_share,stage_surge,speed_sd_kn,riding_share,surge_standard_error";

/// A result by hand: two regions, the first across 180 with a name that needs escaping, and a cell audit.
fn by_hand() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    let quoted = format!("\"{}\"", NASTY.replace('"', "\"\""));
    let mut audit = format!("{COLUMNS}\r\n");
    let mut cells =
        "region,valid,lat_deg,lon_deg,area_km2,tws_kn,wind_from_deg,hs_m,peak_period_s,wave_from_deg,\
                     mean_factor,worst_factor,worst_tack,worst_twa_deg,dominant_stage,flags\r\n"
            .to_owned();
    for (region, loss, lons) in [(quoted.as_str(), 0.1, [179.5, -179.5]), ("East", 0.02, [-177.5, -176.5])] {
        for tack in ["starboard", "port"] {
            for (tws, twa) in [(10, 60), (10, 120), (20, 60), (20, 120)] {
                let factor = 1.0 - loss * f64::from(tws) / 20.0 - f64::from(twa) / 12_000.0;
                let (flat, corrected) = (10.0, 10.0 * factor);
                audit += &format!(
                    "{region},2030-01-01T00:00:00Z,2030-01-01T12:00:00Z,{tack},{tws},{twa},{flat:.4},{corrected:.4},\
                     {factor:.6},{:.4},{corrected:.4},{:.4},{factor:.6},1.000000,1.000000,1.000000,1.000000,\
                     added_resistance,{factor:.6},4,1.0000,beam-sea-not-modelled,{factor:.6},{factor:.6},0.00,1.000000,\
                     1.000,,0.7000,0.0000,0.5000,1.000000,0.5000,0.0000,0.001000\r\n",
                    corrected - 0.2,
                    corrected + 0.2
                );
            }
        }
        for lon in lons {
            cells += &format!(
                "{region},2030-01-01T06:00:00Z,-50.5,{lon},7000,20,270,{},8.5,250,{},0.8,port,60,\
                 added_resistance,\r\n",
                1.0 + 20.0 * loss,
                1.0 - loss
            );
        }
    }
    file("audit.csv", &audit);
    file("cells.csv", &cells);
    let feature = |name: &str, boxes: Value| {
        serde_json::json!({"type": "Feature", "properties": {"name": name, "polars": []},
        "geometry": {"type": "MultiPolygon", "coordinates": boxes}})
    };
    let ring = |west: f64, east: f64| {
        serde_json::json!([[[west, -52.0], [east, -52.0], [east, -49.0], [west, -49.0], [west, -52.0]]])
    };
    let index = serde_json::json!({"type": "FeatureCollection", "features": [
        feature(NASTY, serde_json::json!([ring(179.0, 180.0), ring(-180.0, -179.0)])),
        feature("East", serde_json::json!([ring(-178.0, -176.0)])),
    ]});
    file("index.geojson", &index.to_string());
    let manifest = serde_json::json!({"program": "roughwater", "version": "0", "inputs": [{"role": "boat", "file": NASTY,
        "bytes": 1, "sha256": "00"}], "options": {"window": "12h"}, "counts": {}, "warnings": [format!("w {NASTY}")],
        "gaps": [format!("g {NASTY}")], "model": ["advisories against a standard: bow acceleration 0.65 g rms"]});
    file("manifest.json", &manifest.to_string());
    folder
}

/// The report of the result by hand, with a passage across 180 that is under way as the window opens and arrives before
/// it closes.
fn reported() -> TempDir {
    let folder = by_hand();
    let passage = folder.path().join("passage.gpx");
    let point =
        |lon: f64, time: &str| format!(r#"<trkpt lat="-50.5" lon="{lon}"><time>{time}</time></trkpt>"#);
    let points = point(179.2, "2029-12-31T22:00:00Z") + &point(-176.5, "2030-01-01T08:30:00Z");
    let gpx = format!(
        r#"<gpx version="1.1" creator="by hand"><trk><name>&lt;b&gt;</name><trkseg>{points}</trkseg></trk></gpx>"#
    );
    std::fs::write(&passage, gpx).unwrap();
    Ran::of(program().arg("report").arg(folder.path()).arg("--passage").arg(&passage)).worked();
    folder
}

/// What the driver saw of it; none where the machine lacks a browser.
fn hand() -> Option<&'static Driven> {
    static HAND: LazyLock<Driven> = LazyLock::new(|| {
        let folder = reported();
        let audit = std::fs::read_to_string(folder.path().join("audit.csv")).unwrap();
        let seen = drive(&tools().unwrap(), &folder.path().join("report.html"));
        Driven { rows: rows(&audit), seen }
    });
    tools().map(|_| &*HAND)
}

#[test]
fn no_name_is_markup_in_the_file() {
    let page = std::fs::read_to_string(reported().path().join("report.html")).unwrap();
    assert!(!page.contains("<b>\""));
}

#[test]
fn a_name_is_text_on_the_page() {
    let Some(hand) = hand() else { return };
    let start = hand.step("start");
    assert_eq!(chosen(start, "region"), NASTY);
    for what in ["gaps", "provenance"] {
        assert!(start[what].as_str().unwrap().contains(NASTY), "{what}");
    }
    assert_numbers(&hand.rows, start);
}

/// A line and its edge, the ring of the opening window, none of the closing one.
#[test]
fn a_passage_is_drawn_with_its_arrival() {
    let Some(hand) = hand() else { return };
    let sailed = &hand.step("start")["sailed"];
    assert_eq!((sailed["lines"].as_u64(), sailed["rings"].as_u64()), (Some(2), Some(1)));
    assert!(sailed["note"].as_str().unwrap().contains("<b>: arrival 01 Jan 2030 08:30 UTC"), "{sailed}");
}

/// 0.7 g at every cell against 0.65.
#[test]
fn an_advisory_over_its_limit_is_told() {
    let Some(hand) = hand() else { return };
    assert!(hand.step("start")["advisories"].as_str().unwrap().contains("over the limit"));
}

#[test]
fn cells_on_both_sides_of_180_touch() {
    let Some(hand) = hand() else { return };
    let start = hand.step("start");
    assert_eq!(start["cells"], 4);
    let side = |cell: usize, part: usize| start["cellBoxes"][cell][part].as_f64().unwrap();
    let (mut west, mut east) = ((side(0, 0), side(0, 1)), (side(1, 0), side(1, 1)));
    if west.0 > east.0 {
        (west, east) = (east, west);
    }
    assert!((west.0 + west.1 - east.0).abs() < 0.5, "{west:?} {east:?}");
}

/// One row of cells; the keys begin in the chosen region, cross 180 and stop at the row's ends.
#[test]
fn keys_cross_180() {
    let Some(Driven { seen, .. }) = hand() else { return };
    assert_marked(seen);
    for (key, n, at) in [
        ("Tab", 0, "179.5°W"),
        ("ArrowLeft", 0, "179.5°E"),
        ("ArrowLeft", 1, "179.5°E"),
        ("ArrowRight", 0, "179.5°W"),
        ("ArrowRight", 1, "177.5°W"),
        ("ArrowUp", 0, "177.5°W"),
        ("ArrowDown", 0, "177.5°W"),
        ("ArrowLeft", 2, "179.5°W"),
    ] {
        let place = after(seen, key, n);
        assert!(said(place).starts_with(&format!("50.5°S {at}: Hs ")), "{key} {n}: {}", said(place));
    }
}

/// As a tap does.
#[test]
fn keys_choose_a_region() {
    let Some(hand) = hand() else { return };
    assert_eq!(after(&hand.seen, "ArrowRight", 1)["region"], NASTY, "going there chooses nothing");
    for (key, region) in [("Enter", "East"), (" ", NASTY)] {
        let place = after(&hand.seen, key, 0);
        assert_eq!(place["region"], region);
        assert!(said(place).starts_with(&format!("{region}: mean factor")), "{}", said(place));
    }
    for what in ["map", "polar", "sea", "readout", "worst"] {
        assert_ne!(hand.step("slider")[what], hand.step("region")[what], "{what}");
    }
}

#[test]
fn a_folder_that_is_no_result_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let told = Ran::of(program().arg("report").arg(folder.path())).ended(&[1]).stderr;
    assert!(told.contains("manifest.json") && told.contains("remedy"), "{told}");
}
