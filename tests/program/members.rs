//! An ensemble's members, together and each: what a member's polar is made of, and what the common percentiles lie over.

use crate::common::bench::{Bench, Ran};
use crate::common::files::data;
use crate::common::grib::messages;
use crate::common::places;
use crate::common::tables::{Row, number};
use roughwater::base::{Alignment, WindowLength};
use roughwater::forecast::Forecast;
use roughwater::region;
use roughwater::survey::survey;
use roughwater::tally::TallySet;

/// Members 0, 1 and 2 with five fields each, heights, energy periods and winds of their own.
const ENSEMBLE: &str = "ecmwf-ensemble.grib1";
const FIELDS: usize = 5;

/// Cells of the ensemble's grid, all sea.
const WIDE: [f64; 4] = [178.0, 182.0, -34.0, -32.0];
/// Within the one cell whose middle is 180, 33 S.
const ONE_CELL: [f64; 4] = [179.8, 180.2, -33.2, -32.8];

fn bench(box_deg: [f64; 4]) -> Bench {
    let bench = Bench::new();
    bench.put("regions.geojson", places::region("Sea", box_deg));
    let all = messages(&data(ENSEMBLE));
    assert_eq!(all.len(), 3 * FIELDS);
    for (member, own) in all.chunks(FIELDS).enumerate() {
        bench.put(&format!("member-{member}.grib1"), own.concat());
    }
    bench.put("all.grib1", all.concat());
    bench
}

fn derate(bench: &Bench, forecast: &str, output: &str, more: &[&str]) -> Ran {
    let arguments = ["--forecast", forecast, "--output", output, "--format", "json"];
    bench.derate(&[&arguments[..], more].concat())
}

#[test]
fn a_members_polar_is_that_of_its_fields_alone() {
    let bench = bench(WIDE);
    let told = derate(&bench, "all.grib1", "each", &["--members", "each"]).json();
    assert_eq!((told["polars"].as_u64(), told["parts"].as_array().unwrap().len()), (Some(4), 1));
    derate(&bench, "all.grib1", "together", &[]).json();
    let polar = "polars/Sea/20240115T000000Z-mean";
    let common = bench.read(&format!("each/{polar}.csv"));
    assert_eq!(common, bench.read(&format!("together/{polar}.csv")));
    assert_eq!(bench.read("each/audit.csv"), bench.read("together/audit.csv"));
    assert!(!bench.path("together/members.csv").exists());

    let members = bench.rows("each/members.csv");
    for member in 0..3 {
        let alone = format!("alone-{member}");
        derate(&bench, &format!("member-{member}.grib1"), &alone, &[]).json();
        let own = bench.read(&format!("each/{polar}-member-{member:02}.csv"));
        assert_eq!(own, bench.read(&format!("{alone}/{polar}.csv")), "member {member}");
        assert_ne!(own, common, "member {member} differs from all together");
        let mut audit = bench.rows(&format!("{alone}/audit.csv"));
        audit.iter_mut().for_each(|row| assert!(row.insert("member".into(), member.to_string()).is_none()));
        let own: Vec<_> = members.iter().filter(|row| row["member"] == member.to_string()).cloned().collect();
        assert_eq!(own, audit, "member {member}");
    }
    let header = bench.read("each/members.csv").lines().next().unwrap().to_owned();
    let audit = bench.read("each/audit.csv").lines().next().unwrap().to_owned();
    assert_eq!(header, format!("{audit},member"));
}

#[test]
fn the_index_names_members_and_a_lookup_answers_with_the_whole_forecast() {
    let bench = bench(ONE_CELL);
    derate(&bench, "all.grib1", "out", &["--members", "each"]).json();
    let index = bench.json("out/index.geojson");
    let polars = index["features"][0]["properties"]["polars"].as_array().unwrap();
    let members: Vec<_> = polars.iter().map(|polar| polar.get("member").and_then(|m| m.as_u64())).collect();
    assert_eq!(members, [None, Some(0), Some(1), Some(2)]);
    for polar in polars {
        assert!(bench.path("out").join(polar["file"].as_str().unwrap()).is_file());
    }
    let index = roughwater::result::Index::read(&bench.path("out")).unwrap();
    let answer = index.lookup(-33.0, 180.0, "2024-01-15T12:00:00Z".parse().unwrap());
    let roughwater::result::Answer::Served(served) = answer else { panic!("{answer:?}") };
    assert_eq!(served.len(), 1);
    assert!(!served[0].file.to_str().unwrap().contains("member"), "{served:?}");
}

/// By hand: one cell and three members of equal weight, each in a bin of its own, are three equal parts of the whole.
/// The tenth part lies within the slowest third, the half within the middle one, nine tenths within the fastest; the
/// mean slowness is that of the members in which she moves. Speeds are written to 4 decimals.
#[test]
fn common_percentiles_lie_over_members() {
    let bench = bench(ONE_CELL);
    derate(&bench, "all.grib1", "out", &["--members", "each"]).json();
    let key = |row: &Row| ["tack", "tws_kn", "twa_deg"].map(|name| row[name].clone());
    let members = bench.rows("out/members.csv");
    let mut spread = 0;
    for cell in bench.rows("out/audit.csv") {
        let of_cell = members.iter().filter(|row| key(row) == key(&cell));
        let mut speeds: Vec<f64> = of_cell.map(|row| number(row, "corrected_kn")).collect();
        assert_eq!(speeds.len(), 3);
        speeds.sort_unstable_by(f64::total_cmp);
        for (name, speed) in ["p10_kn", "p50_kn", "p90_kn"].into_iter().zip(&speeds) {
            assert!((number(&cell, name) - speed).abs() < 1.1e-4, "{name} {speed}: {cell:?}");
        }
        let moving: Vec<f64> = speeds.iter().copied().filter(|speed| *speed > 0.0).collect();
        let mean = match moving.len() {
            // more than half of them stop her
            0 | 1 => 0.0,
            all => all as f64 / moving.iter().map(|speed| 1.0 / speed).sum::<f64>(),
        };
        assert!((number(&cell, "corrected_kn") - mean).abs() < 1.1e-4, "{mean}: {cell:?}");
        assert_eq!(cell["sea_states"], "3");
        spread += usize::from(speeds[2] - speeds[0] > 0.05);
    }
    assert!(spread > 5, "members differ in {spread} cells");
}

/// Joined into one region, a member has the polar that its own fields joined alike make.
#[test]
fn members_have_polars_of_joined_tiles() {
    let bench = bench(WIDE);
    let joined = |forecast: &str, output: &str, more: &[&str]| {
        let split = ["--tiles", "2x2", "--split", "auto", "--split-error-kn", "100"];
        let told = derate(&bench, forecast, output, &[&split[..], more].concat());
        told.ended(&[0, 3]);
        let index = bench.json(&format!("{output}/index.geojson"));
        let [region] = &index["features"].as_array().unwrap()[..] else { panic!("{index}") };
        region["properties"]["polars"].as_array().unwrap().clone()
    };
    let file = |polar: &serde_json::Value| polar["file"].as_str().unwrap().to_owned();
    let each = joined("all.grib1", "each", &["--members", "each"]);
    assert_eq!(each.len(), 1 + 3);
    for member in 0..3 {
        let alone = joined(&format!("member-{member}.grib1"), &format!("alone-{member}"), &[]);
        let own = each.iter().find(|polar| polar["member"] == member).unwrap();
        assert_eq!(
            bench.read(&format!("each/{}", file(own))),
            bench.read(&format!("alone-{member}/{}", file(&alone[0]))),
            "member {member}"
        );
    }
}

/// Sums are added in another order, so they may differ in their last bits.
#[test]
fn members_add_up_to_the_common_tally() {
    let bench = bench(WIDE);
    let forecast = Forecast::open(&[bench.path("all.grib1")]).unwrap();
    let regions = region::read(&bench.path("regions.geojson")).unwrap();
    let surveyed =
        survey(&forecast, &regions, WindowLength::All, Alignment::Midnight, &forecast.members(), &|_, _| {
            Ok(())
        });
    let mut surveyed = surveyed.unwrap();
    surveyed.set.settle().unwrap();
    let mut members = surveyed.members.values().cloned();
    let mut sum: TallySet = members.next().unwrap();
    members.for_each(|member| sum.merge(&member).unwrap());
    let ((.., sum), (.., whole)) = (sum.parts().next().unwrap(), surveyed.set.parts().next().unwrap());
    assert_eq!((sum.steps, whole.steps, &sum.origin), (3, 3, &whole.origin));
    assert_eq!((sum.tally.count(), sum.tally.bin_count()), (whole.tally.count(), whole.tally.bin_count()));
    for ((key, a), (other, b)) in sum.tally.bins().zip(whole.tally.bins()) {
        assert_eq!((key, a.count), (other, b.count));
        assert!((a.weight - b.weight).abs() <= 1e-12 * b.weight && (a.tws - b.tws).abs() <= 1e-12 * b.tws);
    }
}

#[test]
fn each_without_members_is_an_error_that_names_the_files() {
    let bench = Bench::new();
    let ran = bench.derate(&["--members", "each"]);
    assert_eq!(ran.code, 1);
    for word in ["no ensemble members", "south-pacific.grib2", "leave members out"] {
        assert!(ran.stderr.contains(word), "{word}: {}", ran.stderr);
    }
    assert!(!bench.path("out").exists());
}

#[test]
fn a_tally_cannot_tell_members_apart() {
    let bench = Bench::new();
    bench.put("job.toml", bench.read("job.toml") + "members = \"each\"\ntally = \"seas.parquet\"\n");
    let ran = bench.derate(&[]);
    assert!(
        ran.code == 1 && ran.stderr.contains("holds the members of an ensemble together"),
        "{}",
        ran.stderr
    );
}
