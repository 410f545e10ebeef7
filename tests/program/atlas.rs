//! `atlas`, and `lookup` in one.

use crate::common::bench::{Bench, Ran};
use crate::common::files::file;
use crate::common::random::SplitMix;
use crate::common::tables::number;
use crate::report::browser;
use roughwater::atlas::{Atlas, page_data, read};
use roughwater::base::Flags;
use roughwater::base::units::kn_to_m_s;
use roughwater::boat::{Boat, ModelChoices, OnOff};
use roughwater::derate::derate_seas;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::polar::Polar;
use roughwater::run::performance_of;
use roughwater::sea::PartitionKind;
use serde_json::{Value, json};
use std::process::Command;
use std::sync::LazyLock;

/// A coarse atlas, soon made, in `atlas`.
const COARSE: [&str; 10] =
    ["atlas", "boat.toml", "--polar", "polar.csv", "-o", "atlas", "--finest", "coarse", "--sailed-s", "60"];

/// An atlas of the bench's boat, coarse and soon made, in `atlas`.
fn make(bench: &Bench, more: &[&str]) -> Ran {
    bench.run(&[&COARSE, more].concat()).ended(&[0, 3])
}

/// One that all tests may read.
static MADE: LazyLock<(Bench, Ran)> = LazyLock::new(|| {
    let bench = Bench::foiler();
    let ran = make(&bench, &["--table", "csv"]);
    (bench, ran)
});

fn look_up(more: &[&str]) -> Ran {
    MADE.0.run(&[&["lookup", "--atlas", "atlas"], more].concat())
}

/// Seas that no grid was made for: one to three systems.
fn random_sea(random: &mut SplitMix) -> Vec<WaveSystem> {
    let mut system = |kind: PartitionKind| {
        let tp_s = 5.0 + 6.0 * random.uniform();
        let hs_m = 0.035 * random.uniform() * 1.56 * tp_s * tp_s;
        WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: 360.0 * random.uniform() - 180.0 }
    };
    let mut sea = vec![system(PartitionKind::Swell)];
    sea.push(system(PartitionKind::WindSea));
    sea.push(system(PartitionKind::Swell));
    sea.truncate(1 + random.below(3));
    sea
}

/// What the page's own code makes of seas: factors by sea, heading and wind.
fn by_the_page(bench: &Bench, atlas: &Atlas, seas: &[Vec<WaveSystem>]) -> Option<Value> {
    let of = |system: &WaveSystem| {
        json!({ "kind": system.kind.name(), "hs_m": system.hs2_m2.sqrt(), "tp_s": system.tp_s,
                "off_wind_deg": system.off_wind_deg })
    };
    let seas: Vec<Vec<Value>> = seas.iter().map(|sea| sea.iter().map(of).collect()).collect();
    bench.put("page.json", page_data::to_json(atlas).unwrap());
    bench.put("seas.json", serde_json::to_vec(&seas).unwrap());
    let driver = "
import { readFileSync } from 'node:fs'
import { openAtlas } from './interpolate.mjs'
const read = (name) => JSON.parse(readFileSync(name, 'utf8'))
const atlas = openAtlas(read('page.json'))
const tacks = ['starboard', 'port']
const headings = atlas.headings.slice().sort((a, b) => tacks.indexOf(a.tack) - tacks.indexOf(b.tack))
const answer = read('seas.json').map((sea) => headings.map((heading) => atlas.data.tws_kn.map((_, column) => {
  const cell = atlas.cell(atlas.place(sea), heading, column)
  return [cell.factor, ...cell.stages, cell.speed_sd_kn]
})))
console.log(JSON.stringify(answer))
";
    bench.put("interpolate.mjs", page_data::INTERPOLATE_JS);
    bench.put("driver.mjs", driver);
    let Ok(done) = Command::new("node").arg("driver.mjs").current_dir(bench.path("")).output() else {
        let required = std::env::var("ROUGHWATER_BROWSER").is_ok_and(|value| value == "required");
        assert!(!required, "node is required");
        println!("skipped: no node");
        return None;
    };
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    Some(serde_json::from_slice(&done.stdout).unwrap())
}

/// The page's code says what the program says: factors to less than a hundredth of a knot, and stages that multiply to them.
#[test]
fn the_page_interpolates_as_the_program_does() {
    let bench = Bench::new();
    let atlas = read(&MADE.0.path("atlas")).unwrap();
    let mut random = SplitMix(11);
    let seas: Vec<Vec<WaveSystem>> = (0..40).map(|_| random_sea(&mut random)).collect();
    let Some(answer) = by_the_page(&bench, &atlas, &seas) else { return };
    let mut least = 1.0_f64;
    for (sea, told) in seas.iter().zip(answer.as_array().unwrap()) {
        let placed = atlas.within(sea).unwrap();
        for heading in 0..atlas.headings.len() {
            let met = atlas.met(&placed, heading);
            for column in 0..atlas.flat.tws_kn().len() {
                let own = atlas.cell(&met, heading, column);
                let told: Vec<f64> = told[heading][column]
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|value| value.as_f64().unwrap())
                    .collect();
                let apart_kn = (told[0] - own.factor) * atlas.flat_kn(heading, column);
                assert!(apart_kn.abs() < 0.01, "{sea:?} {:?}: {apart_kn}", atlas.headings[heading]);
                assert!((told[1..7].iter().product::<f64>() - told[0]).abs() < 1e-6, "{told:?}");
                let stages = told[1..7].iter().zip(own.stages).all(|(told, own)| (told - own).abs() < 0.02);
                assert!(stages, "{told:?} {:?}", own.stages);
                least = least.min(own.factor);
            }
        }
    }
    assert!(least < 0.8, "seas that take something: {least}");
}

/// The folder holds a polar for each sea of the index, the table its rows, and none of them is faster than surfing makes her.
#[test]
fn the_folder_holds_what_the_index_says() {
    let (bench, ran) = &*MADE;
    let index = bench.json("atlas/index.json");
    let seas = index["seas"].as_array().unwrap();
    assert!(seas.len() > 100, "{}", seas.len());
    for sea in seas {
        let polar = Polar::read(&bench.path(&format!("atlas/{}", sea["file"].as_str().unwrap()))).unwrap();
        assert!(polar.twa_deg()[0] < 0.0, "both tacks");
    }
    let rows = bench.rows("atlas/index.csv");
    assert_eq!(rows.len(), seas.len());
    assert!(rows.iter().any(|row| row["sea"] == "fetch-200nm" && row["file"] == "polars/fetch-200nm.csv"));
    let table = bench.rows("atlas/atlas.csv");
    let flat = Polar::read(&bench.path("polar.csv")).unwrap();
    let cells = 2 * flat.speeds_kn().iter().filter(|speed| **speed > 0.0).count();
    assert_eq!(table.len(), seas.len() * cells);
    for row in &table {
        let product: f64 = row
            .iter()
            .filter(|(name, _)| name.starts_with("stage_"))
            .map(|(_, value)| value.parse::<f64>().unwrap())
            .product();
        assert!((product - number(row, "factor")).abs() < 0.001, "{row:?}");
    }
    let errors = index["errors"].as_array().unwrap();
    assert_eq!(errors.last().unwrap()["seas"], "all");
    assert!(ran.stdout.contains("own rms kn") && ran.stdout.contains("coarse"), "{}", ran.stdout);
}

/// A swell on one side is on starboard tack what its mirror image is on port tack, for a boat that is alike on both.
#[test]
fn mirrored_swells_mirror_the_polar() {
    let polar = |swell: &str, file: &str| {
        look_up(&["--swell", swell, "--polar-csv", file]).worked();
        Polar::read(&MADE.0.path(file)).unwrap()
    };
    let (right, left) = (polar("2,9,60", "right.csv"), polar("2,9,-60", "left.csv"));
    let mut differ = false;
    for tws_kn in right.tws_kn() {
        for twa_deg in right.twa_deg() {
            let [one, other, same] = [
                right.speed_kn(*tws_kn, *twa_deg),
                left.speed_kn(*tws_kn, -twa_deg),
                left.speed_kn(*tws_kn, *twa_deg),
            ];
            assert_eq!(one, other, "TWS {tws_kn}, TWA {twa_deg}");
            differ |= one != same;
        }
    }
    assert!(differ, "the tacks meet the swell alike");
}

/// What `lookup` says of a sea is what the polar that it writes holds, whatever the systems are told by.
#[test]
fn a_speed_is_that_of_the_polar() {
    let flat = Polar::read(&MADE.0.path("polar.csv")).unwrap();
    let (tws_kn, twa_deg) = (flat.tws_kn()[1], flat.twa_deg()[1]);
    let wind = ["--tws-kn", &tws_kn.to_string(), "--twa-deg", &twa_deg.to_string()];
    for sea in [
        &["--fetch-nm", "100", "--swell", "2,11,60"][..],
        &["--wind-sea", "1.2,5,-10"],
        &["--duration-h", "12"],
    ] {
        let told = look_up(&[sea, &wind, &["--polar-csv", "now.csv", "--format", "json"]].concat()).json();
        let polar = Polar::read(&MADE.0.path("now.csv")).unwrap();
        let roughwater::polar::Lookup::Inside(speed_kn) = polar.speed_kn(tws_kn, twa_deg) else {
            panic!("outside")
        };
        assert!((told["corrected_kn"].as_f64().unwrap() - speed_kn).abs() < 0.006, "{told}");
        let stages: f64 = told
            .as_object()
            .unwrap()
            .iter()
            .filter(|(name, _)| name.starts_with("stage_"))
            .map(|(_, value)| value.as_f64().unwrap())
            .product();
        assert!((stages * told["flat_kn"].as_f64().unwrap() - speed_kn).abs() < 0.01, "{told}");
        assert!(!told["sea"].as_array().unwrap().is_empty() && told["error_95_kn"].is_number(), "{told}");
    }
}

/// A sea, a wind or a question that an atlas has no answer to is refused with what it holds.
#[test]
fn what_lies_outside_is_refused() {
    let wind = ["--tws-kn", "15", "--twa-deg", "90"];
    for (sea, word) in [
        (&["--swell", "9,6,0"][..], "height"),
        (&["--swell", "1,30,0"], "peak period"),
        (&["--wind-sea", "0.1,0.8"], "peak period"),
    ] {
        let told = look_up(&[sea, &wind].concat()).ended(&[1]).stderr;
        assert!(told.contains(word) && told.contains("expected"), "{told}");
    }
    let told = look_up(&["--swell", "2,9,0", "--tws-kn", "70", "--twa-deg", "90"]).ended(&[1]).stderr;
    assert!(told.contains("outside the polar"), "{told}");
    let told = look_up(&wind).ended(&[1]).stderr;
    assert!(told.contains("--fetch-nm"), "{told}");
    let told = look_up(&["--swell", "2,9,0"]).ended(&[1]).stderr;
    assert!(told.contains("--polar-csv"), "{told}");
    look_up(&["--fetch-nm", "10", "--duration-h", "3", "--tws-kn", "15", "--twa-deg", "90"]).ended(&[2]);
    MADE.0.run(&["lookup", "--atlas", "nowhere", "--swell", "2,9,0", "--polar-csv", "x.csv"]).ended(&[1]);
}

/// By hand: the coarse grid has 5 periods, 3 heights and 7 wave angles of swells, 5 of wind seas: 105 and 75.
#[test]
fn inspect_tells_an_atlas() {
    let (bench, _) = &*MADE;
    let told = bench.run(&["inspect", "atlas", "--format", "json"]).worked().json();
    let index = bench.json("atlas/index.json");
    assert_eq!((&told["is"], &told["seas"]), (&"atlas".into(), &180.into()));
    for key in ["boat", "digest", "fineness", "sailed_s"] {
        assert_eq!(told[key], index[key], "{key}");
    }
    assert_eq!(told["errors"], index["errors"]);
    assert_eq!(told["bytes"], std::fs::metadata(bench.path("atlas/atlas.bin")).unwrap().len());
    std::fs::copy(bench.path("atlas/atlas.bin"), bench.path("renamed")).unwrap();
    let text = bench.run(&["inspect", "atlas"]).worked().stdout;
    assert!(text.starts_with("an atlas that can be used") && text.contains("kn root mean square"), "{text}");
    for same in ["atlas/atlas.bin", "atlas/index.json", "atlas/atlas.html", "renamed"] {
        assert_eq!(bench.run(&["inspect", same]).worked().stdout, text, "{same}");
    }
    for (table, word) in
        [("atlas/atlas.csv", "the table of an atlas"), ("atlas/index.csv", "the index of an atlas")]
    {
        assert!(bench.run(&["inspect", table]).worked().stdout.contains(word), "{table}");
    }
    let whole = std::fs::read(bench.path("renamed")).unwrap();
    bench.put("cut", &whole[..whole.len() - 4]);
    let told = bench.run(&["inspect", "cut"]).ended(&[1]).stderr;
    assert!(told.contains("not whole") && told.contains("make the atlas again"), "{told}");
}

/// A fetch that the growth curve was not measured over is told.
#[test]
fn a_sea_beyond_the_growth_curve_says_so() {
    let ask = |nm: &str, tws_kn: &str| {
        look_up(&["--fetch-nm", nm, "--tws-kn", tws_kn, "--twa-deg", "90"]).worked().stdout
    };
    // by hand, g X / U²: 88, 5490, 32170
    for (nm, tws_kn, told) in
        [("0.8", "25", "shorter than those"), ("50", "25", ""), ("120", "16", "longer than those")]
    {
        let said = ask(nm, tws_kn);
        assert_eq!(said.contains("note: the fetch"), !told.is_empty(), "{nm} nm: {said}");
        assert!(said.contains(told), "{said}");
    }
}

/// Without surge, which is a matter of chance, an atlas is within the error that it states of the direct way: seas of one to three
/// systems that none of its own random seas are.
#[test]
fn the_stated_error_holds_against_the_direct_way() {
    let bench = Bench::foiler();
    make(&bench, &["--surge", "off"]);
    let atlas = read(&bench.path("atlas")).unwrap();
    let choices = ModelChoices { surge: OnOff::Off, ..ModelChoices::default() };
    let boat = Boat::read(&bench.path("boat.toml")).unwrap();
    let performance = performance_of(boat, Polar::read(&bench.path("polar.csv")).unwrap(), &choices).unwrap();
    let mut random = SplitMix(3);
    let (mut squares, mut count) = (0.0, 0.0);
    for _ in 0..60 {
        let systems = random_sea(&mut random);
        let sea = WindFrameSea {
            tws_m_s: kn_to_m_s(15.0),
            systems: systems.iter().copied().collect(),
            spectrum: None,
            flags: Flags::empty(),
        };
        let direct = derate_seas(&performance, &[(sea, 1.0)], Flags::empty()).unwrap();
        let speeds_kn = atlas.speeds_kn(|_| systems.clone()).unwrap();
        assert_eq!(direct.len(), speeds_kn.len());
        for (cell, speed_kn) in direct.iter().zip(speeds_kn) {
            squares += (speed_kn - cell.corrected_kn).powi(2);
            count += 1.0;
        }
    }
    let (rms_kn, stated) = ((squares / count).sqrt(), atlas.errors.last().unwrap());
    println!("rms {rms_kn:.3} kn, stated {:.3}", stated.rms_kn);
    assert_eq!(stated.chance_kn, 0.0, "no chance without surge");
    assert!(rms_kn < 1.5 * stated.rms_kn, "{rms_kn}, {stated:?}");
}

/// A run that was stopped goes on where it was, and what it ends with is what it would have been without.
#[cfg(unix)]
#[test]
fn a_stopped_atlas_goes_on() {
    let bench = Bench::foiler();
    let seas = |bench: &Bench| {
        let entries = std::fs::read_dir(bench.cache()).into_iter().flatten().flatten();
        let seas = entries.filter(|entry| entry.path().extension().is_some_and(|end| end == "seas"));
        seas.map(|entry| (entry.file_name(), entry.metadata().unwrap().modified().unwrap()))
            .collect::<std::collections::BTreeMap<_, _>>()
    };
    let mut child = bench
        .command()
        .args(COARSE)
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    while seas(&bench).len() < 5 && child.try_wait().unwrap().is_none() {
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    let interrupted = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(interrupted.success());
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert!(!bench.path("atlas").exists(), "a stopped run leaves nothing");
    let before = seas(&bench);
    assert!(before.len() >= 5);
    make(&bench, &[]);
    let after = seas(&bench);
    assert!(after.len() > before.len(), "the run was stopped before its end");
    assert!(before.iter().all(|(name, written)| after.get(name) == Some(written)), "made once");
    let resumed = std::fs::read(bench.path("atlas/atlas.bin")).unwrap();
    let anew = Bench::foiler();
    make(&anew, &[]);
    assert!(resumed == std::fs::read(anew.path("atlas/atlas.bin")).unwrap(), "equal inputs, equal bytes");
}

/// A folder with something else in it is left alone; an earlier atlas is replaced.
#[test]
fn only_an_atlas_is_replaced() {
    let bench = Bench::foiler();
    bench.put("polar.csv", "twa_deg,10,16\n60,9,11\n110,11,14\n");
    make(&bench, &[]);
    let first = bench.read("atlas/index.json");
    make(&bench, &[]);
    assert_eq!(bench.read("atlas/index.json"), first);
    bench.put("atlas/mine.txt", "keep me");
    let told = bench
        .run(&[
            "atlas",
            "boat.toml",
            "--polar",
            "polar.csv",
            "-o",
            "atlas",
            "--finest",
            "coarse",
            "--sailed-s",
            "60",
        ])
        .ended(&[1])
        .stderr;
    assert!(told.contains("mine.txt"), "{told}");
    assert_eq!(bench.read("atlas/mine.txt"), "keep me");
}

/// The page in a browser: it asks for nothing, its sliders give what `lookup` gives, and it is whole in every look, on paper and on
/// a phone.
#[test]
fn the_page_is_the_atlas_offline() {
    let Some(tools) = browser::tools() else { return };
    let [chromium, playwright] = tools.arguments();
    let page = MADE.0.path("atlas/atlas.html");
    let done = Command::new("node")
        .args([file("tests/browser/atlas.mjs").as_path(), chromium, playwright, &page])
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let seen: Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!(seen["errors"], json!([]));
    assert_eq!(seen["requests"], json!([seen["url"]]));
    assert_eq!(seen["unlabelled"], json!([]));
    assert_eq!(seen["phone"], json!({ "width": 390, "wide": [] }));
    let step = |name: &str, what: &str| seen["steps"][name][what].clone();
    for name in ["start", "flat", "sea", "three", "dark", "night", "light"] {
        assert!(step(name, "caution").as_str().unwrap().contains("The skipper"), "{name}");
        assert!(step(name, "sea").as_str().unwrap().contains("factor"), "{name}");
    }
    let speed = |name: &str| -> f64 {
        let told = step(name, "sea");
        let told =
            told.as_str().unwrap().split("here ").nth(1).unwrap().split(' ').next().unwrap().to_owned();
        told.parse().unwrap()
    };
    assert!(step("flat", "sea").as_str().unwrap().contains("factor 1.000"), "{}", step("flat", "sea"));
    for (name, more) in [("sea", &[][..]), ("three", &["--swell", "1.5,13,-90"])] {
        let base = [
            "--fetch-nm",
            "100",
            "--swell",
            "2,10,60",
            "--tws-kn",
            "16",
            "--twa-deg",
            "-90",
            "--format",
            "json",
        ];
        let told = look_up(&[&base, more].concat()).json();
        assert!(
            (told["corrected_kn"].as_f64().unwrap() - speed(name)).abs() < 0.01,
            "{name}: {told}, {}",
            speed(name)
        );
    }
    let polar = Polar::parse(seen["csv"].as_str().unwrap()).unwrap();
    look_up(&["--fetch-nm", "100", "--swell", "2,10,60", "--polar-csv", "page.csv"]).worked();
    let own = Polar::read(&MADE.0.path("page.csv")).unwrap();
    assert_eq!((polar.tws_kn(), polar.twa_deg()), (own.tws_kn(), own.twa_deg()));
    let apart = polar.speeds_kn().iter().zip(own.speeds_kn()).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    assert!(apart < 0.011, "{apart}");
    assert!(
        step("beyond", "beyond").as_str().unwrap().contains("outside the atlas")
            && step("beyond", "csv") == false
    );
    assert!(step("sea", "beyond").is_null() && step("sea", "csv") == true);
    assert_ne!(step("light", "stages"), step("key", "stages"));
    let papers: std::collections::BTreeSet<String> =
        ["light", "dark", "night"].iter().map(|look| step(look, "paper").to_string()).collect();
    assert_eq!(papers.len(), 3);
    println!("load {} ms, draw {} ms", seen["load_ms"], seen["draw_ms"]);
}

/// Through an atlas of her own boat and polar a job makes nearly the same polars; of others it is refused.
#[test]
fn a_job_may_ask_an_atlas() {
    let bench = Bench::across();
    let arguments = [
        "atlas",
        "boat.toml",
        "--polar",
        "polar.csv",
        "-o",
        "atlas",
        "--finest",
        "medium",
        "--sailed-s",
        "300",
    ];
    bench.run(&arguments).ended(&[0, 3]);
    bench.derate(&["--quiet"]).worked();
    let direct = bench.rows("out/audit.csv");
    let told = bench.derate(&["--atlas", "atlas"]).worked().stdout;
    assert!(told.contains("interpolated"), "{told}");
    let through = bench.rows("out/audit.csv");
    assert_eq!(direct.len(), through.len());
    let apart = |(a, b): (&crate::common::tables::Row, &crate::common::tables::Row)| {
        number(a, "corrected_kn") - number(b, "corrected_kn")
    };
    let apart: Vec<f64> = direct.iter().zip(&through).map(apart).collect();
    let rms_kn = (apart.iter().map(|kn| kn * kn).sum::<f64>() / apart.len() as f64).sqrt();
    println!("rms {rms_kn:.3} kn");
    assert!(rms_kn > 0.0, "the atlas was not asked");
    let stated = bench.json("atlas/index.json")["errors"].as_array().unwrap().last().unwrap()["rms_kn"]
        .as_f64()
        .unwrap();
    assert!(rms_kn < stated, "{rms_kn}, {stated}: a mean over many seas is nearer than one");
    for row in &through {
        let product: f64 = row
            .iter()
            .filter(|(name, _)| name.starts_with("stage_"))
            .map(|(_, value)| value.parse::<f64>().unwrap_or(1.0))
            .product();
        assert!(row["factor"].is_empty() || (product - number(row, "factor")).abs() < 1e-4, "{row:?}");
    }
    let manifest = bench.json("out/manifest.json");
    assert_eq!(manifest["options"]["atlas"], bench.json("atlas/index.json")["digest"]);
    let told = bench.derate(&["--atlas", "atlas", "--surge", "off"]).ended(&[1]).stderr;
    assert!(told.contains("another boat, polar or choice"), "{told}");
}
