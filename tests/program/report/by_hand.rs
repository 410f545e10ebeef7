//! The report of a result by hand: names that need escaping, cells on both sides of 180, calms, gales and a region without a
//! forecast, stops, gains, a passage, an advisory. Every number expected here is worked out by hand beside it.

use super::browser::{
    Driven, after, assert_marked, assert_numbers, assert_promises, chosen, drive, said, tools,
};
use crate::common::bench::{Ran, program};
use crate::common::tables::rows;
use roughwater::base::Flag;
use roughwater::explain::flag_words;
use serde_json::{Value, json};
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::sync::LazyLock;
use tempfile::TempDir;

/// A region name that ends scripts, opens tags and entities where it is not escaped.
const NASTY: &str = r#"</script><b>"&"#;
const START: &str = "2030-01-01T00:00:00Z";
const END: &str = "2030-01-01T12:00:00Z";

const COLUMNS: &str = "region,window_start,window_end,tack,tws_kn,twa_deg,flat_kn,corrected_kn,factor,p10_kn,p50_kn,\
p90_kn,stage_added_resistance,stage_deck_water,stage_windage,stage_foil_lift,stage_foil_downtime,dominant_stage,\
factor_second_method,sea_states,covered,flags,factor_band_slow,factor_band_fast,deck_water_kg,availability,\
slam_rate_per_h,wetness_rate_per_h,bow_acceleration_rms_g,stopped_share,wind_share,stage_surge,speed_sd_kn,riding_share,\
surge_standard_error,bow_cycles_per_h";

/// A flat speed of 10 kn everywhere. Of it the sea takes `loss` x TWS / 20, 0.005 at 60 and 0.01 at 120 degrees, and on port
/// tack another 0.02. The 20 kn column has 0.8 of the weight. At 120 degrees surge gives a tenth of what is left.
fn audit() -> String {
    let quoted = format!("\"{}\"", NASTY.replace('"', "\"\""));
    let mut audit = format!("{COLUMNS}\r\n");
    for (region, loss) in [(quoted.as_str(), 0.12), ("East", 0.02)] {
        for (tack, more) in [("starboard", 0.0), ("port", 0.02)] {
            for (tws, twa) in [(10, 60), (10, 120), (20, 60), (20, 120)] {
                let factor = 1.0 - loss * f64::from(tws) / 20.0 - f64::from(twa) / 12_000.0 - more;
                let corrected = 10.0 * factor;
                let (surge, share) = (if twa == 120 { 1.1 } else { 1.0 }, if tws == 20 { 0.8 } else { 0.2 });
                let added = factor / surge;
                let stops =
                    if (region, tack, tws, twa) == (quoted.as_str(), "port", 20, 60) { 0.1 } else { 0.0 };
                let _ = write!(
                    audit,
                    "{region},{START},{END},{tack},{tws},{twa},10.0000,{corrected:.4},{factor:.6},{:.4},{corrected:.4},{:.4},\
                     {added:.6},1.000000,1.000000,1.000000,1.000000,added_resistance,{factor:.6},4,1.0000,\
                     beam-sea-not-modelled,{factor:.6},{factor:.6},0.00,1.000000,1.000,,0.7000,{stops:.4},{share:.4},\
                     {surge:.6},0.5000,0.0000,0.001000,50.0\r\n",
                    corrected - 0.2,
                    corrected + 0.2
                );
            }
        }
    }
    audit
}

/// Two cells of the first region on both sides of 180; of the second two, a calm below the polar's 10 kn and a gale above its
/// 20 kn; none of the third.
fn cells() -> String {
    let quoted = format!("\"{}\"", NASTY.replace('"', "\"\""));
    let mut cells =
        "region,valid,lat_deg,lon_deg,area_km2,tws_kn,wind_from_deg,hs_m,peak_period_s,wave_from_deg,mean_factor,\
         worst_factor,worst_tack,worst_twa_deg,dominant_stage,flags,stopped_share,mean_lost_kn\r\n"
            .to_owned();
    for (region, factor, lons) in [(quoted.as_str(), 0.9, [179.5, -179.5]), ("East", 0.98, [-177.5, -176.5])]
    {
        for lon in lons {
            let hs = 1.0 + 20.0 * (1.0 - factor);
            let _ = write!(
                cells,
                "{region},2030-01-01T06:00:00Z,-50.5,{lon},7000,20,270,{hs},8.5,250,{factor},0.8,port,60,\
                 added_resistance,,0.0000,{:.4}\r\n",
                10.0 * (1.0 - factor)
            );
        }
    }
    for (lon, tws) in [(-175.5, 4), (-174.5, 25)] {
        let _ = write!(
            cells,
            "East,2030-01-01T06:00:00Z,-50.5,{lon},7000,{tws},270,1.5,8.5,250,,,,,,outside-polar,,\r\n"
        );
    }
    cells
}

/// Boxes of the regions, west and east, each with a file; the third has none.
fn index() -> Value {
    let ring = |west: f64, east: f64| {
        json!([[[west, -52.0], [east, -52.0], [east, -49.0], [west, -49.0], [west, -52.0]]])
    };
    let feature = |name: &str, boxes: Value, file: Option<&str>| {
        let polars: Vec<Value> = file
            .iter()
            .map(|file| json!({"start": START, "end": END, "tacks": "mean", "file": file}))
            .collect();
        json!({"type": "Feature", "properties": {"name": name, "polars": polars},
            "geometry": {"type": "MultiPolygon", "coordinates": boxes}})
    };
    json!({"type": "FeatureCollection", "features": [
        feature(NASTY, json!([ring(179.0, 180.0), ring(-180.0, -179.0)]), Some("polars/odd & #1/a.csv")),
        feature("East", json!([ring(-178.0, -174.0)]), Some("polars/East/a.csv")),
        feature("Empty", json!([ring(-173.0, -172.0)]), None),
    ]})
}

fn manifest() -> Value {
    json!({"program": "roughwater", "version": "0", "boat_name": format!("Boat {NASTY}"), "forecast_runs": ["2029-12-31T18:00:00Z"],
        "inputs": [{"role": "boat", "file": NASTY, "bytes": 1, "sha256": "00"},
            {"role": "forecast", "file": "far/away/seas.grib2", "bytes": 1, "sha256": "00"}],
        "options": {"window": "12h", "tacks": "mean"}, "counts": {}, "warnings": [format!("w {NASTY}")],
        "boat_flags": ["no-deck"], "gaps": [format!("g {NASTY}"), "region \"Empty\", window from the first: no usable sea, no polar"],
        "advisory_limits": {"source": "a standard", "bow_acceleration_rms_g": 0.65, "slam_share": 0.03, "wetness_share": 0.05},
        "seas": [{"region": NASTY, "window_start": START, "window_end": END, "hs_m": 3.4, "tws_p10_kn": 11.6, "tws_p90_kn": 19.7}],
        "model": ["m"]})
}

/// The file of the second region says another speed than the audit where both are 9.55 and 9.75: the table shows the file.
fn by_hand() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    };
    put("audit.csv", &audit());
    put("cells.csv", &cells());
    put("index.geojson", &index().to_string());
    put("manifest.json", &manifest().to_string());
    put("polars/odd & #1/a.csv", "twa_deg,10,20\r\n60,9.25,8.65\r\n120,9.20,8.60\r\n");
    put("polars/East/a.csv", "twa_deg,10,20\r\n60,9.75,9.41\r\n120,9.70,9.60\r\n");
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
    fs::write(&passage, gpx).unwrap();
    Ran::of(program().arg("report").arg(folder.path()).arg("--passage").arg(&passage)).worked();
    folder
}

/// What the driver saw of it; none where the machine lacks a browser.
fn hand() -> Option<&'static Driven> {
    static HAND: LazyLock<Driven> = LazyLock::new(|| {
        let folder = reported();
        let audit = fs::read_to_string(folder.path().join("audit.csv")).unwrap();
        let seen = drive(&tools().unwrap(), &folder.path().join("report.html"));
        Driven { rows: rows(&audit), seen }
    });
    tools().map(|_| &*HAND)
}

fn text<'a>(step: &'a Value, what: &str) -> &'a str {
    step[what].as_str().unwrap_or_else(|| panic!("{what} is {}", step[what]))
}

#[test]
fn no_name_is_markup_in_the_file() {
    let page = fs::read_to_string(reported().path().join("report.html")).unwrap();
    assert!(!page.contains("<b>\""));
}

#[test]
fn a_name_is_text_on_the_page() {
    let Some(hand) = hand() else { return };
    let start = hand.step("start");
    assert_eq!(chosen(start, "region"), NASTY);
    for what in ["boat", "notes", "provenance", "caption", "cellReadout"] {
        assert!(text(start, what).contains(NASTY), "{what}");
    }
    assert_eq!(start["bold"], 0);
    assert_numbers(&hand.rows, start);
}

#[test]
fn what_every_report_promises() {
    let Some(hand) = hand() else { return };
    assert_promises(&hand.seen);
}

/// By hand, of the first region upwind: 0.65 and 0.85 kn lost at 10 kn of wind, 1.25 and 1.45 at 20: (0.2 x 1.5 + 0.8 x 2.7) / 2
/// = 1.23; reaching 0.7, 0.9, 1.3, 1.5: 1.28. Of the second upwind 0.15, 0.35, 0.25, 0.45: 0.33; reaching 0.2, 0.4, 0.3, 0.5: 0.38.
/// A tenth of one cell of eight stops her, with 0.8 of its weight: 0.08 / 4 = 2 %.
#[test]
fn a_sentence_tells_each_region() {
    let Some(hand) = hand() else { return };
    let start = hand.step("start");
    assert!(text(start, "boat").starts_with(&format!("Boat {NASTY}")));
    for part in [
        "1 Jan 2030 00:00 to 1 Jan 2030 12:00 UTC",
        "3 regions, 52°S to 49°S, 179°E to 172°W",
        "run of 31 Dec 2029 18:00 UTC, seas.grib2",
    ] {
        assert!(text(start, "made").contains(part), "{part}: {}", start["made"]);
    }
    let answer = |k: usize| start["answers"][k].as_str().unwrap();
    for part in [
        "loses 1.2 kn upwind and 1.3 reaching",
        "12 to 20 kn",
        "added resistance",
        "seas of 3.4 m",
        "2 % of the sea stops her",
    ] {
        assert!(answer(0).contains(part), "{part}: {}", answer(0));
    }
    for part in ["East: loses 0.33 kn upwind and 0.38 reaching", "Never stopped"] {
        assert!(answer(1).contains(part), "{part}: {}", answer(1));
    }
    assert!(answer(2).contains("Empty: no polar"), "{}", answer(2));
}

/// By knots lost, and the region without a polar last: the same order in sentences, choices and on the map.
#[test]
fn one_ranking_in_every_view() {
    let Some(hand) = hand() else { return };
    let ranking = &hand.step("start")["ranking"];
    let order = json!([NASTY, "East", "Empty"]);
    assert_eq!((&ranking["answers"], &ranking["options"]), (&order, &order));
    for (name, place) in
        [(format!("1 {NASTY}"), "1"), ("2 East".to_owned(), "2"), ("3 Empty".to_owned(), "3")]
    {
        let on_map = ranking["map"].as_array().unwrap();
        assert!(on_map.iter().any(|label| *label == name.as_str() || label == place), "{name}: {on_map:?}");
    }
}

/// Spaces, ampersands and hashes are part of the way to a file; each file that is linked is there.
#[test]
fn links_lead_to_the_files() {
    let Some(hand) = hand() else { return };
    let links: Vec<&str> = hand.step("start")["links"]
        .as_array()
        .unwrap()
        .iter()
        .map(|link| link[0].as_str().unwrap())
        .collect();
    assert_eq!(links, ["polars/odd%20%26%20%231/a.csv", "polars/East/a.csv"]);
}

/// From a page in another folder the links lead back.
#[test]
fn links_of_a_page_elsewhere_lead_back() {
    let folder = by_hand();
    let elsewhere = folder.path().join("pages");
    fs::create_dir(&elsewhere).unwrap();
    let page = elsewhere.join("page.html");
    Ran::of(program().arg("report").arg(folder.path()).arg("--output").arg(&page)).worked();
    assert!(fs::read_to_string(&page).unwrap().contains(r#""folder":"..""#));
    assert!(elsewhere.join("../polars/East/a.csv").is_file());
}

/// The mean of 8.75 and 8.55 in time is 8.65; the second region's file says 9.41 at 60 degrees and 20 kn.
#[test]
fn the_table_shows_the_file() {
    let Some(hand) = hand() else { return };
    let of = |step: &str, line: usize| hand.step(step)["heat"][line].as_array().unwrap().clone();
    assert_eq!(of("start", 0), ["TWA", "10", "20"]);
    assert_eq!(of("start", 1), ["blows", "20%", "80%"]);
    assert_eq!(of("start", 2), ["60°", "9.3", "8.7"].map(Value::from), "two digits");
    assert_eq!(hand.step("start")["stopping"], 1);
    let page = fs::read_to_string(reported().path().join("report.html")).unwrap();
    assert!(page.contains("9.41"));
}

#[test]
fn stops_are_told_with_their_share() {
    let Some(hand) = hand() else { return };
    let start = hand.step("start");
    assert_eq!((chosen(start, "tws"), chosen(start, "twa")), ("20", "60"));
    assert_eq!(start["stops"], json!(["10 %"]));
    assert!(text(start, "cellWords").contains("10 % of the sea stops her"), "{}", start["cellWords"]);
    assert!(
        text(start, "cellWords").contains("On port tack 8.6 kn instead of 10.0: she loses 1.4 kn"),
        "{}",
        start["cellWords"]
    );
}

/// At 120 degrees added resistance leaves 10 x 0.87 / 1.1 kn, and surge gives a tenth of that: 0.79 kn.
#[test]
fn a_gain_is_called_one() {
    let Some(hand) = hand() else { return };
    let bars = hand.seen["analyst"]["start"]["stages"].as_array().unwrap();
    let gives = |bar: &&Value| bar[0].as_str().unwrap().contains("surge gives");
    assert!(bars.iter().any(|bar| gives(&bar)), "{bars:?}");
}

/// Two lines, the ring of the opening window, none of the closing one; times from departure to arrival.
#[test]
fn a_passage_is_drawn_with_its_times() {
    let Some(hand) = hand() else { return };
    let sailed = &hand.step("start")["sailed"];
    assert_eq!((sailed["lines"].as_u64(), sailed["rings"].as_u64()), (Some(2), Some(1)));
    let times: Vec<&str> =
        sailed["times"].as_array().unwrap().iter().map(|time| time.as_str().unwrap()).collect();
    assert_eq!(times[..2], ["Mon 31 Dec 22:00", "Tue 1 Jan 08:30"]);
    assert!(times.contains(&"Tue 1 Jan 03:00"), "{times:?}");
    assert!(text(sailed, "note").contains("<b>: arrival 1 Jan 2030 08:30 UTC"), "{sailed}");
}

/// 0.7 g at every cell against 0.65; 1 slam in 50 cycles against 3 in 100.
#[test]
fn an_advisory_is_told_in_its_limits_unit() {
    let Some(hand) = hand() else { return };
    let notes = text(hand.step("start"), "notes");
    assert!(notes.contains("TWA 60° to 120°: up to 0.70 g where a standard allows 0.65 g"), "{notes}");
    assert!(!notes.contains("slamming"), "{notes}");
    let table = text(&hand.seen["analyst"]["start"], "advisories");
    for part in ["limit 0.65 g", "limit 3.0 %", "2.0 %", "0.70 g ▲", "over the limit"] {
        assert!(table.contains(part), "{part}: {table}");
    }
}

/// A sentence that says what it means and one that says what to do, from the one table of words.
#[test]
fn flags_are_sentences_with_what_to_do() {
    let Some(hand) = hand() else { return };
    let flags = hand.step("start")["flags"].as_array().unwrap();
    for flag in [Flag::BeamSeaNotModelled, Flag::NoDeck] {
        let shown = flags.iter().find(|shown| shown[0] == flag.name()).unwrap_or_else(|| panic!("{flags:?}"));
        for words in [flag_words::meaning(flag), flag_words::what_to_do(flag)] {
            assert!(shown[1].as_str().unwrap().to_lowercase().contains(&words.to_lowercase()), "{shown}");
        }
    }
    assert!(text(hand.step("start"), "notes").contains("no usable sea, no polar"));
}

/// Each by its own pattern and words; land and coast are plain.
#[test]
fn calms_gales_and_missing_forecast_are_told_apart() {
    let Some(hand) = hand() else { return };
    let start = hand.step("start");
    let fills = start["mapFills"].as_array().unwrap();
    for pattern in ["url(#calm)", "url(#gale)", "url(#missing)"] {
        assert!(fills.contains(&Value::from(pattern)), "{pattern}: {fills:?}");
    }
    for words in [
        "calm: below the polar's 10 kn",
        "gale: above the polar's 20 kn",
        "no forecast",
        "coast: counts as land",
        "land",
    ] {
        assert!(text(start, "mapLegend").contains(words), "{words}: {}", start["mapLegend"]);
    }
}

/// The scale's numbers are the same whatever the result holds; the bar is of whole miles.
#[test]
fn the_map_has_fixed_scales_a_bar_and_arrows() {
    let Some(hand) = hand() else { return };
    let ticks = |step: &str| {
        hand.step(step)["ticks"]
            .as_array()
            .unwrap()
            .iter()
            .map(|tick| tick.as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(ticks("start"), ["gains", "0.99", "0.98", "0.95", "0.90", "0.85", "0.80", "0.70", ""]);
    assert_eq!(ticks("layer-lost"), ["gains", "0.05", "0.1", "0.25", "0.5", "1", "1.5", "2.5", ""]);
    assert_eq!(ticks("layer-hs"), ["0.1", "0.5", "1.25", "2.5", "4", "6", "9", ""]);
    assert_eq!(ticks("layer-wind"), ["4", "7", "11", "17", "22", "28", "34", ""]);
    let bar = text(hand.step("start"), "scaleBar");
    assert!(bar.ends_with(" nmi") && bar.split(' ').next().unwrap().parse::<u32>().is_ok(), "{bar}");
    assert!(hand.step("start")["arrows"].as_u64().unwrap() >= 6);
}

#[test]
fn cells_on_both_sides_of_180_touch() {
    let Some(hand) = hand() else { return };
    let start = hand.step("start");
    assert_eq!(start["cells"], 6);
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
        // choosing a region speaks of the region, until the keys go on
        assert!(said(place).starts_with(&format!("50.5°S {at}: waves ")), "{key} {n}: {}", said(place));
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
        assert!(said(place).starts_with(&format!("{region}: keeps")), "{}", said(place));
    }
    for what in ["map", "polar", "readout", "heat"] {
        assert_ne!(hand.step("slider")[what], hand.step("region")[what], "{what}");
    }
}

/// A region without a polar says so everywhere, and nothing breaks.
#[test]
fn an_empty_region_is_told() {
    let Some(hand) = hand() else { return };
    let empty = hand.step("last-region");
    assert_eq!(chosen(empty, "region"), "Empty");
    assert!(text(empty, "cellReadout").contains("no polar"), "{}", empty["cellReadout"]);
    assert_eq!(empty["heat"], json!([]));
}

#[test]
fn a_folder_that_is_no_result_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let told = Ran::of(program().arg("report").arg(folder.path())).ended(&[1]).stderr;
    assert!(told.contains("manifest.json") && told.contains("remedy"), "{told}");
}

/// An index that names a polar which is not there is an error, with the file's name.
#[test]
fn a_polar_that_is_not_there_is_named() {
    let folder = by_hand();
    fs::remove_file(folder.path().join(Path::new("polars/East/a.csv"))).unwrap();
    let told = Ran::of(program().arg("report").arg(folder.path())).ended(&[1]).stderr;
    assert!(told.contains("a.csv"), "{told}");
}

/// A latitude that none is: damaged files found it, and the page once counted with it.
#[test]
fn a_cell_beyond_the_pole_is_named() {
    let folder = by_hand();
    let path = folder.path().join("cells.csv");
    let cells = fs::read_to_string(&path).unwrap();
    fs::write(&path, cells.replacen("-50.5", "9223372036854775807", 1)).unwrap();
    let told = Ran::of(program().arg("report").arg(folder.path())).ended(&[1]).stderr;
    assert!(told.contains("line 2, column lat_deg") && told.contains("from -90 to 90"), "{told}");
}
