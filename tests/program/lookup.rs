//! `lookup`: the polar of a place and a time, and a speed from it.

use crate::audit::{ask, result};
use crate::common::bench::Bench;

/// The files' names, without the folder.
fn files(ran: &crate::common::bench::Ran) -> String {
    ran.stdout.lines().map(|line| line.rsplit('/').next().unwrap()).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_place_is_found_on_any_turn_and_a_time_in_one_window() {
    let folder = result();
    let file = |lat: &str, lon: &str, hour: &str| {
        let ran = ask("lookup", folder.path(), &[lat, lon, &format!("2030-03-01T{hour}"), "--path"]);
        (ran.code, files(&ran))
    };
    for lon in ["175", "180", "-180", "185", "-175", "175W"] {
        assert_eq!(file("-45", lon, "05:59"), (0, "west-0.csv".into()), "{lon}");
    }
    assert_eq!(file("45S", "185", "06:00"), (0, "west-6.csv".into()));
    assert_eq!(file("-45", "190", "00:00"), (0, "west-0.csv east-0.csv".into()));
    assert_eq!(file("-45", "-175", "12:00"), (3, String::new()));
    assert_eq!(file("-45", "165", "00:00"), (3, String::new()));
}

#[test]
fn places_and_times_are_read_as_sailors_write_them() {
    let folder = result();
    for words in [
        &["45 00.0S 175 30W", "1 Mar 2030 05:59"][..],
        &["45°S", "175°30'W", "1", "March", "2030", "0559"],
        &["W175 30", "S45 00", "2030-03-01", "05:59Z"],
        &["-45", "-175.5", "2030-03-01 05:59"],
    ] {
        let ran = ask("lookup", folder.path(), &[words, &["--path"]].concat()).worked();
        assert_eq!(files(&ran), "west-0.csv", "{words:?}");
    }
    for (words, told) in
        [(&["45S", "175W", "soon"][..], "the time"), (&["45S", "95S", "now"], "the position")]
    {
        let ran = ask("lookup", folder.path(), words).ended(&[1]);
        assert!(ran.stderr.contains(told) && ran.stderr.contains("remedy"), "{ran:?}");
    }
}

#[test]
fn a_time_in_no_window_is_told() {
    let told = ask("lookup", result().path(), &["-45", "-165", "2030-03-01T06:00Z"]).stderr;
    assert!(told.contains("lies in East, but no window"), "{told}");
}

/// By hand: midway between 6, 8, 8 and 10 kn lies 8.
#[test]
fn the_speed_is_read_on_the_tack_the_file_holds() {
    let folder = result();
    let wind = |twa: &str| {
        let place = ["-45", "-165", "2030-03-01T00:00", "--tws-kn", "15", "--twa-deg", twa];
        ask("lookup", folder.path(), &place)
    };
    let ran = wind("-75").worked();
    assert!(ran.stdout.contains("corrected 8.00 kn\n") && ran.stdout.contains("region \"East\""), "{ran:?}");
    for (twa, word) in [("75", "port tack"), ("-120", "TWA 60 to 90")] {
        let told = wind(twa).ended(&[1]).stderr;
        assert!(told.contains(word), "{told}");
    }
}

/// By hand: the bench's polar has 5.4 and 6.7 kn at TWA 90 in 8 and 14 kn of wind, so 6.05 in 11.
#[test]
fn flat_and_corrected_speed_stand_side_by_side_and_paths_are_short() {
    let bench = Bench::new();
    bench.derate(&["--quiet"]).worked();
    let place = ["lookup", "./out", "52S", "178E", "2024-01-15T12:00"];
    let ran = bench.run(&[&place[..], &["--tws-kn", "11", "--twa-deg", "90"]].concat()).worked();
    assert!(ran.stdout.contains("flat 6.05 kn, corrected "), "{}", ran.stdout);
    let path = bench.run(&[&place[..], &["--path"]].concat()).worked().stdout;
    assert_eq!(path, "out/polars/Small-sea/20240115T000000Z-mean.csv\n");
}
