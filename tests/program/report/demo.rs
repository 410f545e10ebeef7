//! The report of the demo's foiler: every control works, and every number shown is the audit's.

use super::browser::{Driven, after, assert_marked, assert_numbers, drive, said, tools};
use crate::common::bench::Bench;
use serde_json::Value;
use std::sync::LazyLock;

/// In windows of 12 h; none where the machine lacks a browser.
fn demo() -> Option<&'static Driven> {
    static DEMO: LazyLock<Driven> = LazyLock::new(|| {
        let bench = Bench::across();
        bench.set("window", "\"12h\"");
        bench.derate(&["--quiet"]).worked();
        let seen = drive(&tools().unwrap(), &bench.path("out/report.html"));
        Driven { rows: bench.rows("out/audit.csv"), seen }
    });
    tools().map(|_| &*DEMO)
}

#[test]
fn every_number_shown_is_the_audits() {
    let Some(demo) = demo() else { return };
    for step in demo.seen["steps"].as_object().unwrap().values() {
        assert_numbers(&demo.rows, step);
        assert_eq!(step["caution"], roughwater::CAUTION);
    }
}

#[test]
fn every_control_changes_what_it_should() {
    let Some(demo) = demo() else { return };
    let changed = |from: &str, to: &str, what: &str| {
        assert_ne!(demo.step(from)[what], demo.step(to)[what], "{to}: {what}");
    };
    for what in ["map", "polar", "stages", "worst", "time", "readout", "advisories"] {
        changed("start", "slider", what);
        changed("slider", "window", what);
    }
    for what in ["polar", "stages", "readout", "advisories"] {
        changed("window", "tws", what);
    }
    for what in ["polar", "readout"] {
        changed("tws", "twa", what);
    }
    // where waves come from astern both tacks may lose nothing, so that only the heading of the numbers differs
    for what in ["polar", "title"] {
        changed("twa", "tack", what);
    }
    changed("tack", "worst", "chosen");
    let worst = demo.step("worst");
    assert_eq!(worst["readout"]["factor"], worst["worst"][0][6]);
}

#[test]
fn every_look_has_its_colours() {
    let Some(demo) = demo() else { return };
    for look in ["dark", "night", "system-dark"] {
        // of the map alone a shade in the middle of the scale may be the same in both
        for what in ["paper", "colours"] {
            assert_ne!(demo.step("light")[what], demo.step(look)[what], "{look}: {what}");
        }
    }
    assert_eq!(demo.step("dark")["paper"], demo.step("system-dark")["paper"]);
    assert_eq!(demo.step("system")["paper"], demo.step("light")["paper"]);
    assert_eq!(demo.step("print")["paper"], "rgb(255, 255, 255)");
    assert_red(demo.step("night"));
}

/// Cells of one degree; she looks north, then comes back.
#[test]
fn keys_go_from_cell_to_cell() {
    let Some(Driven { seen, .. }) = demo() else { return };
    assert_marked(seen);
    let latitude = |place: &Value| said(place).split('°').next().unwrap().parse::<f64>().unwrap();
    let (before, north, back) =
        (after(seen, "ArrowRight", 1), after(seen, "ArrowUp", 0), after(seen, "ArrowDown", 0));
    assert_eq!(latitude(before) - latitude(north), 1.0, "{} {}", said(before), said(north));
    assert_eq!(said(before), said(back));
}

/// Nothing wider than a phone; every control is named and shows the focus.
#[test]
fn the_page_fits_a_phone_and_a_keyboard() {
    let Some(Driven { seen, .. }) = demo() else { return };
    assert_eq!(seen["phone"], serde_json::json!({"width": 390, "wide": []}));
    assert_eq!(seen["unlabelled"], serde_json::json!([]));
    let order: Vec<&str> =
        seen["focus"].as_array().unwrap().iter().map(|focus| focus[0].as_str().unwrap()).collect();
    assert_eq!(order, ["region", "window", "tws", "twa", "tack", "look", "time", "map"]);
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
