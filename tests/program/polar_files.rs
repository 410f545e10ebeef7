//! Polar files as people write them, and what is said about the broken ones.

use crate::common::files::file;
use roughwater::polar::{Lookup, Polar, PolarAsRead, Tacks};

fn parse(bytes: &[u8]) -> Polar {
    let text = roughwater::files::text_file::decode(bytes).unwrap();
    Polar::parse(&text).unwrap_or_else(|error| panic!("{error}"))
}

fn plain() -> Polar {
    Polar::new(vec![6.0, 8.5], vec![40.0, 90.0, 150.0], vec![4.1, 5.0, 6.2, 7.0, 4.0, 5.5]).unwrap()
}

#[test]
fn every_way_to_write_one_table_reads_alike() {
    for text in [
        "TWA\\TWS,6,8.5\n40,4.1,5.0\n90,6.2,7\n150,4,5.5\n",
        "\u{feff}TWA/TWS;6;8,5\r\n40;4,1;5,0\r\n90;6,2;7\r\n150;4;5,5\r\n",
        "\t6\t8,5\n40\t4,1\t5\n90\t6,2\t7\n150\t4\t5,5",
        "# a comment, with; marks\n\n  # another\n\"wind, boat\" , 6 , 8.5\n40,4.1,5\n# between\n90,6.2,7\n150,4,5.5\n",
        "0;6;8.5;;\n40;4.1;5;;\n90;6.2;7;;\n150;4;5.5;;\n;;;;\n",
        "twa,6,8.5\r40,4.1,5\r90,6.2,7\r150,4,5.5\r",
        "tws_kn,twa_deg,speed_kn\n6,40,4.1\n8.5,40,5\n6,90,6.2\n8.5,90,7\n6,150,4\n8.5,150,5.5\n",
        "TWA,8.5kn,6 kts\n150°,5.5,4\n40 deg,5,4.1\n90,7kn,6.2\n",
        "  twa   6    8.5\n  40  4.1  5.0\n  90  6.2  7\n 150  4    5.5\n",
        "        6    8,5\n  40  4,1  5,0\n  90  6,2  7\n 150  4    5,5\n",
        "True wind speed (kn),True wind angle,Boat speed (kts)\n6,40,4.1\n8.5,40,5\n6,90,6.2\n8.5,90,7\n6,150,4\n8.5,150,5.5\n",
        "TWS  TWA  BSP\n6 40 4.1\n8.5 40 5\n6 90 6.2\n8.5 90 7\n6 150 4\n8.5 150 5.5\n",
        "Speed_kn;TWA_deg;TWS_kn\n5,5;150;8,5\n4,1;40;6\n5;40;8,5\n7;90;8,5\n6,2;90;6\n4;150;6\n",
    ] {
        assert_eq!(parse(text.as_bytes()), plain(), "{text:?}");
    }
}

#[test]
fn what_was_sorted_is_noted() {
    let notes = |text: &str| PolarAsRead::parse(text).unwrap().notes.join(", ");
    assert_eq!(notes("twa,6,8.5\n40,4.1,5\n90,6.2,7\n"), "");
    let told = notes("twa,8.5,6\n90,7,6.2\n40,5,4.1\n");
    assert!(told.contains("TWS did not rise") && told.contains("TWA did not rise"), "{told}");
}

#[test]
fn negative_angles_tell_the_tacks_apart() {
    let polar = parse(b"twa,10,20\n-60,5,6\n60,7,8\n");
    assert_eq!(polar.tacks(), Tacks::Signed);
    assert_eq!(polar.speed_kn(20.0, -60.0), Lookup::Inside(6.0));
    assert_eq!(polar.speed_kn(20.0, 60.0), Lookup::Inside(8.0));
    assert_eq!(plain().tacks(), Tacks::Symmetric);
}

/// Each broken file with the words its error must hold.
#[test]
fn broken_files_are_named_with_place_and_remedy() {
    let cases: &[(&str, &[&str])] = &[
        ("", &["empty", "remedy", "expected"]),
        ("# only a comment\n\n", &["empty"]),
        (";;;\n;;;\n", &["empty"]),
        ("30\n40\n50\n", &["only one column", "semicolons"]),
        ("twa,6\n40,4\n90,5\n", &["too few TWS columns", "line 1"]),
        ("twa,6,8\n40,4,5\n", &["too few TWA rows"]),
        ("# c\n\ntwa,6,8\n40,4,\n90,5,6\n", &["boat speed is missing", "line 4, column 3", "empty cell"]),
        ("twa,6,8\n40,4,NaN\n90,5,6\n", &["not a number", "line 2, column 3", "NaN"]),
        ("twa,6,8\n40,4,inf\n90,5,6\n", &["not a number", "line 2, column 3"]),
        ("twa,6,8\n40,4,fast\n90,5,6\n", &["\"fast\"", "line 2, column 3"]),
        ("twa,6,8mph\n40,4,5\n90,5,6\n", &["TWS is not a number", "line 1, column 3", "8mph"]),
        ("twa,6,8\n40,4,-5\n90,5,6\n", &["out of range", "-5", "line 2, column 3", "remedy"]),
        ("twa,6,8\n40,4,81\n90,5,6\n", &["out of range", "81", "0 to 80"]),
        ("twa,6,8\n40,4,5\n190,5,6\n", &["TWA is out of range", "190", "line 3, column 1", "port tack"]),
        ("twa,-6,8\n40,4,5\n90,5,6\n", &["TWS is out of range", "line 1, column 2"]),
        ("twa,6,6\n40,4,5\n90,5,6\n", &["TWS 6 stands twice", "line 1, column 3"]),
        ("twa,6,8\n40,4,5\n90,5,6\n40,4,5\n", &["TWA 40 stands twice", "line 4, column 1"]),
        ("twa,6,8\n40,4\n90,5,6\n", &["not as many fields", "line 2", "2 fields", "3, as in line 1"]),
        ("twa,6,8\n40,4,5,6\n90,5,6\n", &["not as many fields", "line 2", "4 fields"]),
        ("twa,6,8\n40,4,1,5,0\n90,6,2,7,0\n", &["not as many fields", "decimal marks"]),
        ("twa,6,8\n40,\"4,1\",5\n90,6,7\n", &["\"4,1\"", "line 2, column 2", "semicolons or tabs"]),
        ("twa;6;8\n40;4,1;5.2\n90;6;7\n", &["mixes decimal", "line 2, column 3"]),
        ("40,4.1,5\n90,6.2,7\n150,4,5\n", &["the row of TWS is missing", "line 1, column 1"]),
        ("tws_kn,twa_deg,gust\n6,40,4\n", &["unknown column", "speed_kn", "line 1, column 3"]),
        ("tws (m/s),twa_deg,speed_kn\n6,40,4\n", &["unknown column", "tws (m/s)", "knots"]),
        ("tws_kn,twa_deg\n6,40\n", &["lacks a column", "speed_kn"]),
        ("tws_kn,twa_deg,tws_kn\n6,40,1\n", &["named twice"]),
        (
            "tws_kn,twa_deg,speed_kn\n6,40,4\n8,40,5\n6,90,5\n8,90,6\n6,40,4\n",
            &["given twice", "line 6", "line 2"],
        ),
        ("tws_kn,twa_deg,speed_kn\n6,40,4\n8,40,5\n6,90,5\n", &["holes", "1 of 4", "TWS 8 kn, TWA 90 deg"]),
        ("tws_kn,twa_deg,speed_kn\n6,40,4\n8,40\n", &["not as many fields", "line 3"]),
        ("tws_kn,twa_deg,speed_kn\n6,240,4\n8,40,1\n", &["TWA is out of range", "line 2, column 2"]),
    ];
    for (text, words) in cases {
        let error = Polar::parse(text).expect_err(text).to_string();
        for word in words.iter().chain(&["found", "expected", "remedy"]) {
            assert!(error.contains(word), "{text:?} should say {word:?}:\n{error}");
        }
    }
}

#[test]
fn a_file_that_is_no_polar_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("wind.csv");
    for (bytes, word) in [
        (&b"\xff\xfet\0w\0"[..], "UTF-16"),
        (b"GRIB\0\0\0\x02", "not text"),
        (b"twa,6,8\n40,4,5\xb0\n", "line 2"),
        (b"<!doctype html><p>Sign in", "web page"),
    ] {
        std::fs::write(&path, bytes).unwrap();
        let error = Polar::read(&path).unwrap_err().to_string();
        assert!(error.contains(word) && error.contains("wind.csv"), "{error}");
    }
    let error = Polar::read(&folder.path().join("none.csv")).unwrap_err().to_string();
    assert!(error.contains("none.csv") && error.contains("check the path"), "{error}");
}

/// Reference: scipy's RegularGridInterpolator, see tests/reference/bilinear_polar.py.
#[test]
fn the_examples_read_and_interpolate_as_scipy_does() {
    let mut reader = csv::Reader::from_path(file("tests/reference/bilinear_polar.csv")).unwrap();
    let mut worst: f64 = 0.0;
    for row in reader.records() {
        let row = row.unwrap();
        let polar = Polar::read(&file(&format!("polars/{}.csv", &row[0]))).unwrap();
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        let Lookup::Inside(speed) = polar.speed_kn(number(1), number(2)) else {
            panic!("outside at {row:?}")
        };
        worst = worst.max((speed - number(3)).abs());
    }
    assert!(worst < 1e-12, "worst deviation {worst} kn");
}

#[test]
fn both_polars_of_the_foiler_stand_on_one_grid() {
    let [flying, hull] = ["sleet-heron-15.csv", "sleet-heron-15-foils-up.csv"]
        .map(|name| Polar::read(&file("polars").join(name)).unwrap());
    assert_eq!(flying.tws_kn(), hull.tws_kn());
    assert_eq!(flying.twa_deg(), hull.twa_deg());
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config { failure_persistence: None, ..Default::default() })]

    /// Whatever the bytes, there is a polar or an error.
    #[test]
    fn no_text_panics(text in "[-0-9.,;\t\"# \nTtws_knadegp]{0,80}", bytes in proptest::collection::vec(proptest::num::u8::ANY, 0..60)) {
        let _ = Polar::parse(&text);
        let _ = roughwater::files::text_file::decode(&bytes).map(|text| Polar::parse(&text));
    }
}
