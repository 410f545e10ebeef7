//! `compare --in-time`: two boats through the same drawings of one sea.

use crate::common::bench::{Bench, Ran};
use crate::common::files::file;
use crate::common::tables::rows;
use serde_json::Value;

const FINE: &str = "examples/boats/sleet-heron-15.toml";
const FULL: &str = "examples/boats/sleet-heron-15-full-bow.toml";
const CRUISER: &str = "examples/boats/oat-plover-10.toml";
const SEA: &str = "--tws-kn 20 --hs-m 2.5 --tp-s 7 --off-wind-deg -50";
const SHORT: &str = "--in-time --twa-deg 50 --duration-s 20 --seeds 2";

fn ran(bench: &Bench, [a, b]: [&str; 2], arguments: &str) -> Ran {
    let (a, b, polar) = (file(a), file(b), file("polars/sleet-heron-15.csv"));
    let fixed = ["compare", a.to_str().unwrap(), b.to_str().unwrap(), "--polar", polar.to_str().unwrap()];
    let more: Vec<&str> = SEA.split(' ').chain(arguments.split(' ')).collect();
    bench.run(&[&fixed[..], &more].concat())
}

fn figure<'v>(answer: &'v Value, name: &str) -> &'v Value {
    let figures = answer["figures"].as_array().unwrap();
    figures.iter().find(|figure| figure["quantity"] == name).unwrap_or_else(|| panic!("no {name}: {answer}"))
}

/// In the same drawings a boat does what she does: every difference is exactly zero and none stands out.
#[test]
fn a_boat_differs_in_nothing_from_herself() {
    let told = ran(&Bench::new(), [FINE, FINE], &format!("{SHORT} --format csv")).worked().stdout;
    let figures = rows(&told);
    assert!(
        figures.len() > 20 && told.starts_with("quantity,a,b,difference,difference_se,chance,stands_out\n")
    );
    for row in figures {
        assert_eq!(row["a"], row["b"], "{row:?}");
        assert_eq!(row["stands_out"], "false", "{row:?}");
        // a figure that no drawing has is empty
        assert!(["", "0.000000"].contains(&row["difference"].as_str()), "{row:?}");
        assert_eq!(row["difference"], row["difference_se"], "{row:?}");
    }
}

/// Each boat's figures are those of `simulate` in the same drawings; the picture and the frames are drawn.
#[test]
fn each_boat_is_simulated_as_alone() {
    let bench = Bench::new();
    let answer = ran(&bench, [FINE, FULL], &format!("{SHORT} --format json --plot p.svg --frames f.svg"))
        .worked()
        .json();
    assert_eq!(answer["seeds"], 2);
    for (key, path) in [("a", FINE), ("b", FULL)] {
        let (boat, polar) = (file(path), file("polars/sleet-heron-15.csv"));
        let fixed = ["simulate", boat.to_str().unwrap(), "--polar", polar.to_str().unwrap()];
        let alone = "--body exact --format json --twa-deg 50 --duration-s 20 --seeds 2";
        let more: Vec<&str> = SEA.split(' ').chain(alone.split(' ')).collect();
        let alone = bench.run(&[&fixed[..], &more].concat()).worked().json();
        for name in ["mean_kn", "shipped_kg_per_wave", "trim_mean_deg", "bow_relative_mean_m"] {
            let (own, paired) = (alone[name].as_f64().unwrap(), figure(&answer, name)[key].as_f64().unwrap());
            // a figure a wave is not the mean over drawings of different waves, but near it
            let within = if name == "shipped_kg_per_wave" { 0.2 * own } else { 1e-9 };
            assert!((own - paired).abs() <= within, "{name}: {own} {paired}");
        }
    }
    let pitch = figure(&answer, "pitch_sd_deg");
    let difference = pitch["b"].as_f64().unwrap() - pitch["a"].as_f64().unwrap();
    assert!((pitch["difference"].as_f64().unwrap() - difference).abs() < 1e-12);
    let picture = bench.read("p.svg");
    for word in
        ["Speed, kn", "Pitch", "Water at the stem", "deck", "Foil", "full bow", "prefers-color-scheme"]
    {
        assert!(picture.contains(word), "{word}");
    }
    let frames = bench.read("f.svg");
    assert_eq!(frames.matches(" kn").count(), 13, "two boats, six moments, and the wind");
    assert!(frames.contains("full bow"));
}

#[test]
fn the_table_reads() {
    let told =
        ran(&Bench::new(), [FINE, FULL], "--in-time --twa-deg 50 --duration-s 5 --seeds 1").worked().stdout;
    for word in
        ["A: Sleet Heron 15", "mean speed, kn", "hard slams", "stands out", "1 drawing of", "planning aid"]
    {
        assert!(told.contains(word), "{word}: {told}");
    }
}

#[test]
fn what_cannot_be_compared_is_told() {
    for (boats, arguments, code, word) in [
        ([FINE, CRUISER], "--in-time --twa-deg 50", 1, "bow ends at the waterline"),
        ([FINE, FULL], "--in-time", 2, "--twa-deg"),
        ([FINE, FULL], "--seeds 3", 2, "--in-time"),
        ([FINE, FULL], "--in-time --twa-deg 190", 1, "out of range"),
        ([FINE, FULL], "--in-time --twa-deg 20", 1, "outside the flat polar"),
        ([FINE, FULL], "--in-time --twa-deg 50 --duration-s 1e9", 1, "too long"),
    ] {
        let refused = ran(&Bench::new(), boats, arguments);
        assert!(refused.code == code && refused.stderr.contains(word), "{arguments}: {}", refused.stderr);
    }
}
