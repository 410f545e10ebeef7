//! What is said about region files that cannot be used.

use crate::common::bench::Bench;
use roughwater::region::{parse, read};

fn collection(features: &[String]) -> String {
    format!(r#"{{"type":"FeatureCollection","features":[{}]}}"#, features.join(","))
}

fn feature(name: &str, kind: &str, coordinates: &str) -> String {
    format!(
        r#"{{"type":"Feature","properties":{{"name":{name}}},"geometry":{{"type":"{kind}","coordinates":{coordinates}}}}}"#
    )
}

fn polygon(ring: &str) -> String {
    feature("\"A\"", "Polygon", &format!("[{ring}]"))
}

const SQUARE: &str = "[[0,0],[1,0],[1,1],[0,1],[0,0]]";

fn named(name: &str) -> String {
    feature(name, "Polygon", &format!("[{SQUARE}]"))
}

/// Each way to name a region, and none.
#[test]
fn regions_are_read_as_people_have_them() {
    let geometry = format!(r#"{{"type":"Polygon","coordinates":[{SQUARE}]}}"#);
    let with = |members: &str| format!(r#"{{"type":"Feature",{members},"geometry":{geometry}}}"#);
    for (text, name) in [
        (geometry.clone(), "Region 1"),
        (with(r#""properties":null"#), "Region 1"),
        (with(r#""properties":{"Name":"Bay"}"#), "Bay"),
        (with(r#""properties":{"NAME":"Bay"}"#), "Bay"),
        (with(r#""properties":{"id":7}"#), "7"),
        (with(r#""properties":{"name":"","id":"Bay"}"#), "Bay"),
        (with(r#""id":"Bay","properties":{}"#), "Bay"),
        (collection(&[named("7"), with(r#""properties":{"name":null}"#)]), "7"),
    ] {
        let regions = parse(&text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert_eq!(regions[0].name, name, "{text}");
        assert_eq!(regions[0].notes.is_empty(), name != "Region 1", "{text}");
    }
    let second = &parse(&collection(&[named("\"A\""), with(r#""properties":{}"#)])).unwrap()[1];
    assert_eq!(second.name, "Region 2");
}

#[test]
fn everything_wrong_with_regions_is_told_at_once() {
    let told = parse(&collection(&[polygon("[[0,0],[1,0],[0,0]]"), named("\"B\""), polygon("[[0,0],[1]]")]))
        .unwrap_err();
    let told = told.to_string();
    for word in [
        "2 regions cannot be used",
        "feature 1 \"A\"",
        "too few positions",
        "feature 3 \"A\"",
        "too few numbers",
    ] {
        assert!(told.contains(word), "{word}: {told}");
    }
}

#[test]
fn broken_regions_are_named_with_place_and_remedy() {
    let long = format!("\"{}\"", "x".repeat(81));
    let one = |ring: &str| collection(&[polygon(ring)]);
    let cases: Vec<(String, &[&str])> = vec![
        (String::new(), &["not valid GeoJSON", "line 1"]),
        ("{\"type\":\"FeatureCollection\",\n\"features\":[".into(), &["not valid GeoJSON", "line 2"]),
        ("{\"type\":\"Topology\"}".into(), &["not valid GeoJSON"]),
        (collection(&[]), &["no regions"]),
        (
            collection(&[named("\"A\""), r#"{"type":"Feature","properties":null,"geometry":null}"#.into()]),
            &["no geometry", "feature 2"],
        ),
        (collection(&[named("\"a/b\"")]), &["file name", "'/'"]),
        (collection(&[named("\"a\\\\b\"")]), &["file name"]),
        (collection(&[named("\"..\"")]), &["file name", "\"..\""]),
        (collection(&[named("\".a\"")]), &["file name", "dot"]),
        (collection(&[named("\"a\\nb\"")]), &["file name", "'\\n'"]),
        (collection(&[named(&long)]), &["81 characters"]),
        (collection(&[named("\"Bay\""), named("\"BAY\"")]), &["one name", "feature 2", "feature 1"]),
        (
            collection(&[r#"{"type":"Feature","properties":{"name":"A"},"geometry":null}"#.into()]),
            &["no geometry"],
        ),
        (collection(&[feature("\"A\"", "Point", "[0,0]")]), &["not a polygon", "Point", "feature 1 \"A\""]),
        (collection(&[feature("\"A\"", "LineString", SQUARE)]), &["LineString"]),
        (collection(&[feature("\"A\"", "MultiPolygon", "[]")]), &["without polygons"]),
        (collection(&[feature("\"A\"", "Polygon", "[]")]), &["no ring"]),
        (one("[[0,0],[1]]"), &["too few numbers", "position 2"]),
        (one("[[0],[1],[1],[0]]"), &["too few numbers", "position 1"]),
        (one("[[0,0],[1,0],[0,0]]"), &["too few positions"]),
        (one("[[0,0],[1,0],[1,1],[0,1]]"), &["not closed", "outer ring"]),
        (one("[[0,0],[1,1],[1,0],[0,1],[0,0]]"), &["not valid", "self-intersection", "swap"]),
        (one("[[-80,66],[-80,0],[-80,22],[-80,66]]"), &["self-intersection near longitude -80", "swap"]),
        (one("[[0,0],[1e-6,0],[1e-6,1e-6],[0,0]]"), &["encloses no area", "0.0 m2", "corridor"]),
        (one("[[0,0],[1,0],[1,91],[0,0]]"), &["out of range", "position 3", "[1, 91]", "swapped"]),
        (one("[[0,0],[1,0],[1,NaN],[0,0]]"), &["not valid GeoJSON", "line 1"]),
        (one("[[0,0],[1,0],[1e400,1],[0,0]]"), &["not valid GeoJSON"]),
        (one("[[0,0],[600,0],[1,1],[0,0]]"), &["out of range", "[600, 0]"]),
        (one("[[-100,0],[100,0],[100,9],[-100,9],[-100,0]]"), &["either way", "put a vertex"]),
        (one("[[0,60],[90,60],[180,60],[-90,60],[0,60]]"), &["around a pole", "remedy"]),
        (
            one("[[-180,0],[-90,0],[0,0],[90,0],[190,0],[190,9],[90,9],[0,9],[-90,9],[-180,9],[-180,0]]"),
            &["more than a full turn", "370"],
        ),
        (
            collection(&[feature("\"A\"", "Polygon", &format!("[{SQUARE},[[2,2],[3,2],[3,3],[2,2]]]"))]),
            &["not valid", "does not lie within"],
        ),
        (
            collection(&[feature(
                "\"A\"",
                "MultiPolygon",
                &format!("[[{SQUARE}],[[[0.5,0],[2,0],[2,1],[0.5,0]]]]"),
            )]),
            &["overlap", "polygons 1 and 2"],
        ),
        (
            collection(&[feature(
                "\"A\"",
                "MultiPolygon",
                &format!("[[{SQUARE}],[[[360.5,0],[362,0],[362,1],[360.5,0]]]]"),
            )]),
            &["overlap"],
        ),
        (
            format!(
                r#"{{"type":"FeatureCollection","crs":{{"type":"name","properties":{{"name":"urn:ogc:def:crs:EPSG::3857"}}}},"features":[{}]}}"#,
                named("\"A\"")
            ),
            &["longitude and latitude", "3857"],
        ),
    ];
    for (text, words) in cases {
        let error = parse(&text).expect_err(&text).to_string();
        for word in words.iter().chain(&["found", "expected", "remedy"]) {
            assert!(error.contains(word), "{text} should say {word:?}:\n{error}");
        }
    }
}

#[test]
fn good_regions_keep_names_and_order() {
    let heights = "[[0,0,5],[1,0,5],[1,1,5],[0,0,5]]";
    let regions =
        parse(&collection(&[named("\"Bay of Calm\""), feature("\"B\"", "Polygon", &format!("[{heights}]"))]));
    let names: Vec<String> = regions.unwrap().into_iter().map(|region| region.name).collect();
    assert_eq!(names, ["Bay of Calm", "B"]);
    let error = read(std::path::Path::new("no-such.geojson")).unwrap_err().to_string();
    assert!(error.contains("no-such.geojson"), "{error}");
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config { failure_persistence: None, ..Default::default() })]

    /// Whatever the rings, there is a region whose area is positive, or an error.
    #[test]
    fn no_ring_panics(
        rings in proptest::collection::vec(proptest::collection::vec((-5i32..6, -4i32..5), 0..9), 0..3), turn in 1i32..3,
    ) {
        let rings: Vec<String> = rings.iter().map(|ring| {
            let closed = ring.iter().chain(ring.first());
            let positions: Vec<String> = closed.map(|(x, y)| format!("[{},{}]", x * 40 * turn, y * 22)).collect();
            format!("[{}]", positions.join(","))
        }).collect();
        if let Ok(regions) = parse(&collection(&[feature("\"A\"", "Polygon", &format!("[{}]", rings.join(",")))])) {
            proptest::prop_assert!(regions[0].area_m2() > 0.0);
        }
    }
}

/// A coast of 200,000 vertices and a track of 200,000 positions: some 3 s of work, where comparing all edges with all takes an
/// hour. Bound: three minutes, for a machine that does much else.
#[test]
fn long_outlines_and_tracks_take_seconds() {
    let bench = Bench::across();
    let count = 200_000;
    let turn = |part: usize| std::f64::consts::TAU * part as f64 / count as f64;
    let vertex = |part: usize| {
        let (a, radius) =
            (turn(part % count), 1.0 + 0.1 * (40.0 * turn(part)).sin() + 0.01 * (5003.0 * turn(part)).sin());
        format!("[{:.7},{:.7}]", 180.0 + 2.0 * radius * a.cos(), -50.5 + 1.2 * radius * a.sin())
    };
    let ring: Vec<String> = (0..=count).map(vertex).collect();
    bench.put("regions.geojson", regions_of(&ring.join(",")));
    let began = std::time::Instant::now();
    bench.derate(&["--quiet"]).worked();
    let crossed = ring.join(",").replacen("[182", "[179", 1);
    bench.put("regions.geojson", regions_of(&crossed));
    let told = bench.derate(&["--quiet"]).ended(&[1]).stderr;
    assert!(told.contains("not valid") || told.contains("not closed"), "{told}");
    let position = |part: usize| {
        let along = part as f64 / count as f64;
        format!(
            "<trkpt lat=\"{:.7}\" lon=\"{:.7}\"/>",
            -50.5 + 0.5 * (9.0 * along).sin(),
            178.0 + 1.9 * along
        )
    };
    let track: String = (0..count).map(position).collect();
    bench.put(
        "track.gpx",
        format!("<gpx version=\"1.1\" creator=\"x\"><trk><trkseg>{track}</trkseg></trk></gpx>"),
    );
    bench.derate(&["--corridor", "track.gpx", "--half-width-nm", "30", "--leg-nm", "60", "--quiet"]).worked();
    let took = began.elapsed();
    println!("{took:?}");
    assert!(took < std::time::Duration::from_secs(180), "{took:?}");
}

fn regions_of(ring: &str) -> String {
    format!(
        r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","properties":{{"name":"Coast"}},"geometry":{{"type":"Polygon","coordinates":[[{ring}]]}}}}]}}"#
    )
}
