//! `lookup`: the polar of a place and a time, and a speed from it.

use crate::audit::{ask, result};

#[test]
fn a_place_is_found_on_any_turn_and_a_time_in_one_window() {
    let folder = result();
    let file = |lat: &str, lon: &str, hour: &str| {
        let ran = ask("lookup", folder.path(), &[lat, lon, &format!("2030-03-01T{hour}")]);
        let prefix = format!("{}/polars/", folder.path().display());
        (ran.code, ran.stdout.lines().map(|line| line.replace(&prefix, "")).collect::<Vec<_>>().join(" "))
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
    assert!(ran.stdout.ends_with("\t8.00 kn\n"), "{ran:?}");
    for (twa, word) in [("75", "port tack"), ("-120", "TWA 60 to 90")] {
        let told = wind(twa).ended(&[1]).stderr;
        assert!(told.contains(word), "{told}");
    }
}
