//! Files that are no forecast, or a damaged one: each gets an error that says what, where and how to mend it.

use std::fs;

use crate::common::files::data;
use crate::common::grib::octet;
use roughwater::forecast::{Forecast, index};

/// The error of opening these bytes as a file, or of decoding its first message.
fn error_of(bytes: &[u8]) -> String {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("forecast.grib2");
    fs::write(&path, bytes).unwrap();
    let error = match index(&path) {
        Err(error) => error,
        Ok(index) => index.messages[0].decode().expect_err("an error"),
    };
    assert!(error.to_string().contains("forecast.grib2"), "{error}");
    error.to_string()
}

#[test]
fn a_web_page_an_empty_file_and_noise_are_told_apart() {
    assert!(error_of(b"<html><body>503 Service Unavailable</body></html>").contains("download failed"));
    assert!(error_of(b"").contains("empty"));
    assert!(error_of(&[0xa5; 300]).contains("no known kind"));
    assert!(error_of(b"\x1f\x8b\x08\0\0").contains("gunzip"));
}

#[test]
fn a_cut_file_names_message_and_byte() {
    let whole = fs::read(data("mixed-grids.grib2")).unwrap();
    let second = u64::from_be_bytes(whole[8..16].try_into().unwrap());
    let text = error_of(&whole[..second as usize + 100]);
    assert!(
        text.contains("cut short") && text.contains(&format!("message 2, which starts at byte {second}"))
    );
    let text = error_of(&whole[..second as usize + 9]);
    assert!(text.contains("9 bytes of the message"), "{text}");
}

#[test]
fn contradictions_in_a_header_are_found_before_anything_is_allocated() {
    let whole = fs::read(data("packing-simple.grib2")).unwrap();
    let with = |section, at: usize, new: &[u8]| {
        let mut bytes = whole.clone();
        let start = octet(&bytes, section, at);
        bytes[start..start + new.len()].copy_from_slice(new);
        error_of(&bytes)
    };
    assert!(with(3, 31, &60_000u32.to_be_bytes()).contains("disagree"), "Ni");
    assert!(with(3, 13, &20u16.to_be_bytes()).contains("polar stereographic"), "grid template");
    assert!(with(5, 10, &61u16.to_be_bytes()).contains("cannot be unpacked"), "packing template");
    assert!(with(5, 12, &f32::NAN.to_be_bytes()).contains("reference value"), "not a number");
    assert!(with(5, 12, &f32::INFINITY.to_be_bytes()).contains("reference value"), "infinite");
    assert!(with(5, 6, &5u32.to_be_bytes()).contains("does not fit the grid"), "number of values");
    assert!(with(5, 20, &[31]).contains("too little data"), "bits");
    assert!(with(1, 15, &[13]).contains("no date"), "month");
    assert!(with(4, 18, &[3]).contains("fixed length"), "unit of time");
    assert!(with(7, 1, &9999u32.to_be_bytes()).contains("does not fit its message"), "section length");
}

#[test]
fn an_image_of_another_size_or_depth_is_refused() {
    let jpeg = fs::read(data("packing-jpeg.grib2")).unwrap();
    let mut wide = jpeg.clone();
    let width = octet(&jpeg, 7, 6 + 8);
    wide[width..width + 4].copy_from_slice(&60_000u32.to_be_bytes());
    assert!(error_of(&wide).contains("not of the field's size"));
    let mut png = fs::read(data("packing-png.grib2")).unwrap();
    let depth = octet(&png, 7, 6 + 24);
    png[depth] = 4;
    assert!(error_of(&png).contains("8, 16, 24 or 32"));
}

#[test]
fn forecasts_without_wind_or_waves_or_on_two_grids_say_so() {
    let open = |name: &str| Forecast::open(&[data(name)]).expect_err(name).to_string();
    assert!(open("no-wind.grib2").contains("no wind in the forecast"));
    assert!(open("no-waves.grib2").contains("no waves in the forecast"));
    let pair = [data("lon-signed.grib2"), data("mixed-grids.grib2")];
    let mixed = Forecast::open(&pair).expect_err("two grids of waves").to_string();
    for words in
        ["disagree", "mixed-grids.grib2", "other values than message 1 (total sea Hs) of", "lon-signed.grib2"]
    {
        assert!(mixed.contains(words), "{words}: {mixed}");
    }
}

#[test]
fn bulletin_headers_and_padding_are_skipped_and_counted() {
    let whole = fs::read(data("packing-simple.grib2")).unwrap();
    let header = b"\x01\r\r\n042\r\r\nHTXX01 KWBC 151200\r\r\n";
    let bytes = [&header[..], &whole, &[0; 7], &whole, b"GRI"].concat();
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("bulletins");
    fs::write(&path, bytes).unwrap();
    let index = index(&path).unwrap();
    assert_eq!((index.messages.len(), index.stray_bytes), (2, header.len() as u64 + 7 + 3));
    assert_eq!(index.messages[1].decode().unwrap(), index.messages[0].decode().unwrap());
}

/// Sizes that no file could hold: an error before any memory is asked for (`damage.rs` counts the memory).
#[test]
fn a_header_that_claims_billions_of_points_is_refused_in_every_format() {
    // GRIB1: Ni and Nj are octets 7 to 10 of section 2, which follows the 8 + 28 octets of sections 0 and 1
    let mut grib1 = fs::read(data("noaa-order.grib1")).unwrap();
    grib1[8 + 28 + 6..8 + 28 + 10].copy_from_slice(&[0xff, 0xfe, 0xff, 0xfe]);
    let text = error_of(&grib1);
    assert!(text.contains("cannot be read") && text.contains("length mismatch"), "{text}");
    let mut grib2 = fs::read(data("packing-simple.grib2")).unwrap();
    for at in [7, 31, 35] {
        let start = octet(&grib2, 3, at);
        grib2[start..start + 4].copy_from_slice(&0xffff_fffeu32.to_be_bytes());
    }
    assert!(error_of(&grib2).contains("at most 100000000"));
    // NetCDF classic: a dimension's length follows its name
    let mut classic = fs::read(data("cf-classic.nc")).unwrap();
    let name = classic.windows(9).position(|w| w == b"longitude").unwrap();
    classic[name + 12..name + 16].copy_from_slice(&0x7fff_ffffu32.to_be_bytes());
    assert!(
        error_of(&classic).contains("NetCDF") || error_of(&classic).contains("longer than"),
        "{}",
        error_of(&classic)
    );
}
