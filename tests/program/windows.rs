//! Windows: where they begin, those without a step, and the seas of a wind column in a long one.

use crate::common::bench::Bench;
use crate::regions::index;

/// A window of over 24 h is matched by default, and a column without seas of its own wind says so: that of 60 kn reaches
/// 4 kn, since the next one is closer than that, and nowhere does the demo blow 56 kn.
#[test]
fn long_windows_match_seas_to_the_columns_wind() {
    let bench = Bench::across();
    bench.put(
        "polar.csv",
        "twa_deg,10,24,58,60\n60,10.0,14.0,15.0,15.0\n110,13.0,25.0,26.0,26.0\n150,8.5,17.0,18.0,18.0\n",
    );
    let audit = |arguments: &[&str]| {
        bench.derate(&[arguments, &["--quiet"]].concat()).worked();
        let manifest = bench.json("out/manifest.json");
        let choice = manifest["options"]["seas_of_a_wind_column"].as_str().unwrap().to_owned();
        let mut rows = csv::Reader::from_path(bench.path("out/audit.csv")).unwrap();
        let flagged = rows
            .records()
            .map(Result::unwrap)
            .filter(|row| row[21].contains("wind-matched-fallback"))
            .map(|row| row[4].to_owned())
            .collect::<std::collections::BTreeSet<_>>();
        (choice, flagged)
    };
    let (choice, flagged) = audit(&["--window", "all"]);
    assert_eq!(choice, "wind-matched");
    assert!(flagged.contains("60"), "no sea comes with 60 kn: {flagged:?}");
    assert_eq!(audit(&["--window", "all", "--match-wind=false"]), ("all".to_owned(), Default::default()));
    assert_eq!(audit(&["--window", "24h"]).0, "wind-matched");
    assert_eq!(audit(&["--window", "24h", "--match-wind", "off"]).0, "all");
}

/// A window that no step falls into is a declared gap.
#[test]
fn windows_without_a_step_are_named() {
    let bench = Bench::across();
    bench.set("window", "\"3h\"");
    let told = bench.derate(&[]).ended(&[3]).stdout;
    assert!(told.contains("no forecast step falls into the window 2024-01-15T03:00:00Z"), "{told}");
}

/// Windows from the first step: the demo's first step is at 00 UTC, so cut it off and the rest begins at 06.
#[test]
fn windows_may_begin_at_the_first_step() {
    let bench = Bench::across();
    bench.derate(&["--window", "9h", "--window-alignment", "first-step", "--quiet"]).worked();
    let starts = &index(&bench)[0].1;
    assert_eq!(starts[..2], ["2024-01-15T00:00:00Z", "2024-01-15T09:00:00Z"]);
}

/// Windows anchored apart from the forecast: a month is the calendar's; two days, counted since 1970, part the demo at its second
/// midnight (2024-01-16 is 19,738 days on), where from its own first midnight they would hold it whole.
#[test]
fn windows_may_begin_whatever_day_a_file_does() {
    let starts = |arguments: &[&str]| {
        let bench = Bench::across();
        bench.derate(&[arguments, &["--quiet"]].concat()).worked();
        index(&bench)[0].1.clone()
    };
    assert_eq!(starts(&["--window", "month"]), ["2024-01-01T00:00:00Z"]);
    let of_epoch = starts(&["--window", "2d", "--window-alignment", "epoch"]);
    assert_eq!(of_epoch, ["2024-01-14T00:00:00Z", "2024-01-16T00:00:00Z"]);
    assert_eq!(starts(&["--window", "2d"]), ["2024-01-15T00:00:00Z"]);
    let told = Bench::across().derate(&["--window", "month", "--window-alignment", "first-step"]);
    assert!(told.ended(&[1]).stderr.contains("months begin on their first day"));
}
