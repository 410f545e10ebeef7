//! The report of the demo's foiler: every control works, and every number shown is the audit's.

use super::browser::{
    Driven, after, assert_marked, assert_numbers, assert_promises, assert_worst, chosen, drive, fields, said,
    tools,
};
use crate::common::bench::Bench;
use crate::common::tables::{Row, number};
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::LazyLock;

struct Demo {
    driven: Driven,
    index: Value,
    summary: Value,
    files: BTreeMap<String, String>,
}

/// In windows of 12 h; none where the machine lacks a browser.
fn demo() -> Option<&'static Demo> {
    static DEMO: LazyLock<Demo> = LazyLock::new(|| {
        let bench = Bench::across();
        bench.set("window", "\"12h\"");
        let summary = bench.derate(&["--format", "json"]).json();
        let seen = drive(&tools().unwrap(), &bench.path("out/report.html"));
        let index = bench.json("out/index.geojson");
        let files = index["features"].as_array().unwrap().iter().flat_map(polars);
        let files = files.map(|(_, file)| (file.clone(), bench.read(&format!("out/{file}")))).collect();
        Demo { driven: Driven { rows: bench.rows("out/audit.csv"), seen }, index, summary, files }
    });
    tools().map(|_| &*DEMO)
}

/// Starts and files of a region's polars.
fn polars(feature: &Value) -> Vec<(String, String)> {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let entries = feature["properties"]["polars"].as_array().unwrap().iter();
    entries.map(|entry| (text(&entry["start"]), text(&entry["file"]))).collect()
}

#[test]
fn every_number_shown_is_the_audits() {
    let Some(Demo { driven, .. }) = demo() else { return };
    for step in driven.seen["steps"].as_object().unwrap().values() {
        assert_numbers(&driven.rows, step);
    }
    assert_worst(&driven.rows, driven.step("found"), &driven.seen["analyst"]["start"]);
}

#[test]
fn what_every_report_promises() {
    let Some(Demo { driven, .. }) = demo() else { return };
    assert_promises(&driven.seen);
}

#[test]
fn every_control_changes_what_it_should() {
    let Some(Demo { driven, .. }) = demo() else { return };
    let changed = |from: &str, to: &str, what: &str| {
        assert_ne!(driven.step(from)[what], driven.step(to)[what], "{to}: {what}");
    };
    for what in ["map", "polar", "time", "readout", "heat"] {
        changed("start", "slider", what);
        changed("slider", "window", what);
    }
    for what in ["polar", "readout", "title"] {
        changed("window", "tws", what);
    }
    for what in ["polar", "readout", "title"] {
        changed("tws", "twa", what);
    }
    for what in ["heat", "caption", "heads"] {
        changed("twa", "tack", what);
    }
    for layer in ["lost", "hs", "wind"] {
        changed("layer-factor", &format!("layer-{layer}"), "mapFills");
        changed("layer-factor", &format!("layer-{layer}"), "ticks");
    }
    assert_eq!(driven.step("arrows-none")["arrows"], 0);
    assert!(driven.step("arrows-waves")["arrows"].as_u64().unwrap() > 4);
    changed("arrows-waves", "arrows-wind", "map");
}

/// The headline's knots are those of derate's summary, to its two digits, for every region; the wind that the page starts
/// with is the one that blows most.
#[test]
fn the_headline_says_what_the_summary_says() {
    let Some(Demo { driven, summary, .. }) = demo() else { return };
    let start = driven.step("start");
    assert!(start["boat"].as_str().unwrap().contains("Sleet Heron 15"), "{}", start["boat"]);
    for part in ["15 Jan 2024 00:00 to", "run of 15 Jan 2024 00:00 UTC", "south-pacific.grib2", "1 region"] {
        assert!(start["made"].as_str().unwrap().contains(part), "{part}: {}", start["made"]);
    }
    let parts = summary["parts"].as_array().unwrap();
    let name = parts[0]["region"].as_str().unwrap();
    let answer = start["answers"][0].as_str().unwrap();
    assert!(answer.contains(name), "{answer}");
    for (point, key) in
        [("upwind", "lost_upwind_kn"), ("reaching", "lost_reaching_kn"), ("running", "lost_running_kn")]
    {
        let mean: f64 =
            parts.iter().map(|part| part[key].as_f64().unwrap()).sum::<f64>() / parts.len() as f64;
        assert!(mean.abs() >= 0.01, "{point}");
        let shown = format!("{:.2}", mean.abs());
        let said =
            answer.contains(&format!("{shown} kn {point}")) || answer.contains(&format!("{shown} {point}"));
        assert!(said, "{shown} kn {point}: {answer}");
    }
    let mut shares: BTreeMap<&str, f64> = BTreeMap::new();
    for row in driven.rows.iter().filter(|row| chosen(start, "window").starts_with(&row["window_start"])) {
        shares.insert(&row["tws_kn"], number(row, "wind_share"));
    }
    let most = shares.iter().max_by(|a, b| a.1.total_cmp(b.1)).unwrap();
    assert_eq!(chosen(start, "tws"), *most.0);
}

#[test]
fn every_polar_file_is_linked() {
    let Some(Demo { driven, index, files, .. }) = demo() else { return };
    let mut linked: Vec<String> = driven.step("start")["links"]
        .as_array()
        .unwrap()
        .iter()
        .map(|link| link[0].as_str().unwrap().replace("%3A", ":"))
        .collect();
    linked.sort();
    let named = index["features"].as_array().unwrap().iter().flat_map(polars);
    let mut named: Vec<String> = named.map(|(_, file)| file).collect();
    named.sort();
    assert_eq!(linked, named);
    assert!(linked.iter().all(|link| files.contains_key(link)));
}

fn of_part<'a>(rows: &'a [Row], step: &Value, tack: &str) -> BTreeMap<(String, String), &'a Row> {
    let here = rows.iter().filter(|row| {
        row["region"] == chosen(step, "region")
            && chosen(step, "window").starts_with(&row["window_start"])
            && row["tack"] == tack
    });
    here.map(|row| ((row["twa_deg"].clone(), row["tws_kn"].clone()), row)).collect()
}

/// The served choice hands out the very file; a tack by itself is the audit's, to two decimals; what is copied is what is
/// handed out.
#[test]
fn the_table_is_the_polar() {
    let Some(Demo { driven, index, files, .. }) = demo() else { return };
    let step = driven.step("found");
    let table = &driven.seen["table"];
    let feature = &index["features"][0];
    let (_, file) = polars(feature)
        .into_iter()
        .find(|(start, _)| chosen(step, "window").starts_with(start.as_str()))
        .unwrap();
    assert_eq!(table["mean"]["corrected"]["file"], files[&file].as_str());
    for (tack, of) in table.as_object().unwrap() {
        for (view, shown) in of.as_object().unwrap() {
            let text = |what: &str| shown[what].as_str().unwrap();
            assert_eq!(fields(text("file"), b','), fields(text("copied"), b'\t'), "{tack} {view}");
            assert!(text("name").ends_with(&format!("{tack}-{view}.csv")), "{}", text("name"));
        }
        let file = |view: &str| fields(of[view]["file"].as_str().unwrap(), b',');
        let (corrected, difference, flat) = (file("corrected"), file("difference"), file("flat"));
        for (row, line) in corrected.iter().enumerate().skip(1) {
            for column in 1..line.len() {
                let value = |table: &Vec<Vec<String>>| table[row][column].parse::<f64>().unwrap();
                let off = value(&corrected) - value(&flat) - value(&difference);
                assert!(off.abs() < 0.0151, "{tack} {}: {off}", line[0]);
            }
        }
    }
    for tack in ["starboard", "port"] {
        let corrected = fields(table[tack]["corrected"]["file"].as_str().unwrap(), b',');
        let rows = of_part(&driven.rows, step, tack);
        assert_eq!(rows.len(), (corrected.len() - 1) * (corrected[0].len() - 1));
        for line in &corrected[1..] {
            for (value, tws) in line.iter().zip(&corrected[0]).skip(1) {
                let row = rows[&(line[0].clone(), tws.clone())];
                assert!((number(row, "corrected_kn") - value.parse::<f64>().unwrap()).abs() < 0.0051);
            }
        }
    }
}

/// Colours of the table follow the knots lost: equal classes have equal colours, and flat water has none.
#[test]
fn the_table_is_coloured_by_what_is_lost() {
    let Some(Demo { driven, .. }) = demo() else { return };
    let mean = &driven.seen["table"]["mean"];
    assert_eq!(mean["corrected"]["colours"], mean["difference"]["colours"]);
    assert!(mean["flat"]["colours"].as_array().unwrap().iter().all(|colour| colour == ""));
    let colours = mean["difference"]["colours"].as_array().unwrap();
    let numbers = mean["difference"]["full"].as_array().unwrap()[2..]
        .iter()
        .flat_map(|row| row.as_array().unwrap()[1..].to_vec());
    let of =
        numbers.map(|text| -text.as_str().unwrap().replace('−', "-").parse::<f64>().unwrap()).zip(colours);
    let mut known: BTreeMap<usize, &Value> = BTreeMap::new();
    for (lost, colour) in of {
        let borders = [0.05, 0.1, 0.25, 0.5, 1.0, 1.5, 2.5];
        // within a hundredth of a border the digits shown do not tell the class
        if borders.iter().chain(&[-0.005]).any(|border| (lost - border).abs() < 0.0101) {
            continue;
        }
        let class = if lost < 0.0 { 8 } else { borders.iter().filter(|border| lost >= **border).count() };
        assert_eq!(*known.entry(class).or_insert(colour), colour, "{lost}");
    }
    assert!(known.len() >= 3, "{known:?}");
}

/// Both tacks with band, median, flat and corrected curves; a spoke at each angle says how her speed swings.
#[test]
fn curves_show_spread_and_swing() {
    let Some(Demo { driven, .. }) = demo() else { return };
    let curves = &driven.step("start")["curves"];
    for name in ["band", "flat", "median", "corrected"] {
        assert_eq!(curves[name], 2, "{name}");
    }
    assert_eq!(curves["swing"], 6);
    assert!(driven.step("start")["cellWords"].as_str().unwrap().contains("Her speed swings by"));
}

#[test]
fn the_address_remembers() {
    let Some(Demo { driven, .. }) = demo() else { return };
    let (left, found) = (driven.step("left"), driven.step("found"));
    for key in ["region", "window", "tws", "twa", "tack", "look"] {
        assert_eq!(left["address"][key].as_str(), Some(chosen(left, key)), "{key}");
    }
    for what in ["chosen", "address", "heat", "readout", "paper"] {
        assert_eq!(left[what], found[what], "{what}");
    }
}

#[test]
fn the_analysts_part_is_folded_sorted_and_filtered() {
    let Some(Demo { driven, .. }) = demo() else { return };
    assert_eq!(driven.step("start")["analystOpen"], false);
    let analyst = |name: &str| &driven.seen["analyst"][name];
    let angles = |name: &str| -> Vec<f64> {
        let worst = analyst(name)["worst"].as_array().unwrap();
        worst.iter().map(|line| line[3].as_str().unwrap().parse().unwrap()).collect()
    };
    assert!(angles("byAngle").is_sorted());
    assert!(angles("byAngleBack").is_sorted_by(|a, b| a >= b));
    assert_eq!(analyst("byAngle")["sorted"][0][1], "ascending");
    assert_eq!(analyst("byAngleBack")["sorted"][0][1], "descending");
    assert!(
        !angles("reaching").is_empty() && angles("reaching").iter().all(|twa| (60.0..=130.0).contains(twa))
    );
    let (shown, first) = (driven.step("worst"), &analyst("reaching")["worst"][0]);
    assert_eq!(
        (chosen(shown, "tws"), chosen(shown, "twa")),
        (first[2].as_str().unwrap(), first[3].as_str().unwrap())
    );
    for what in ["sea", "advisories"] {
        assert!(analyst("start")[what].as_str().unwrap().len() > 100, "{what}");
    }
}

/// Bars of what is taken hang below the line, what is given stands above it; words say so too.
#[test]
fn causes_take_and_give() {
    let Some(Demo { driven, .. }) = demo() else { return };
    let of = &driven.seen["analyst"]["start"];
    let zero = of["zero"].as_f64().unwrap();
    let (mut given, mut taken) = (0, 0);
    for bar in of["stages"].as_array().unwrap() {
        let (text, y, height) =
            (bar[0].as_str().unwrap(), bar[1].as_f64().unwrap(), bar[2].as_f64().unwrap());
        if height > 0.5 {
            let gives = text.contains(" gives ");
            assert!(gives || text.contains(" takes "), "{text}");
            assert!(if gives { y + height <= zero + 0.5 } else { y >= zero - 0.5 }, "{text}");
            *if gives { &mut given } else { &mut taken } += 1;
        }
    }
    assert!(given > 0 && taken > 0, "{given} given, {taken} taken");
}

#[test]
fn every_look_has_its_colours() {
    let Some(Demo { driven, .. }) = demo() else { return };
    for look in ["dark", "night", "system-dark"] {
        for what in ["paper", "colours", "heatColours"] {
            assert_ne!(driven.step("light")[what], driven.step(look)[what], "{look}: {what}");
        }
    }
    assert_eq!(driven.step("dark")["paper"], driven.step("system-dark")["paper"]);
    assert_eq!(driven.step("system")["paper"], driven.step("light")["paper"]);
    assert_red(driven.step("night"));
}

/// Cells of one degree; she looks north, then comes back.
#[test]
fn keys_go_from_cell_to_cell() {
    let Some(Demo { driven: Driven { seen, .. }, .. }) = demo() else { return };
    assert_marked(seen);
    let latitude = |place: &Value| said(place).split('°').next().unwrap().parse::<f64>().unwrap();
    let (before, north, back) =
        (after(seen, "ArrowRight", 1), after(seen, "ArrowUp", 0), after(seen, "ArrowDown", 0));
    assert_eq!(latitude(before) - latitude(north), 1.0, "{} {}", said(before), said(north));
    assert_eq!(said(before), said(back));
}

/// Every control shows the focus, in the order of the page.
#[test]
fn the_page_works_by_keyboard() {
    let Some(Demo { driven: Driven { seen, .. }, .. }) = demo() else { return };
    let order: Vec<&str> =
        seen["focus"].as_array().unwrap().iter().map(|focus| focus[0].as_str().unwrap()).collect();
    let expected = [
        "region",
        "window",
        "tws",
        "twa",
        "tack",
        "look",
        "corrected",
        "all-winds",
        "digits",
        "copy",
        "download",
        "table",
        "layer",
        "arrows",
        "time",
        "map",
    ];
    // between the table and the map stand links and folded parts of other sections
    let known: Vec<&str> = order.iter().copied().filter(|id| expected.contains(id)).collect();
    assert_eq!(known, expected, "{order:?}");
    assert!(seen["focus"].as_array().unwrap().iter().all(|focus| focus[1] == "solid"));
}

/// At night no colour has more than half as much green or blue as red.
fn assert_red(step: &Value) {
    for colour in step["colours"].as_array().unwrap().iter().map(|colour| colour.as_str().unwrap()) {
        let Some(parts) = colour.strip_prefix("rgb(").or_else(|| colour.strip_prefix("rgba(")) else {
            continue;
        };
        let parts: Vec<f64> =
            parts.trim_end_matches(')').split(',').map(|part| part.trim().parse().unwrap()).collect();
        assert!(parts[1].max(parts[2]) <= parts[0] / 2.0, "{colour}");
    }
}
