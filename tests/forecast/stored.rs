//! How NetCDF stores values: valid ranges in packed and in unpacked units, compressions, files that others cut short.

use std::fs;

use crate::common::classic::{Classic, Values};
use crate::common::files::data;
use roughwater::forecast::{CellSea, Field, Forecast, index};

/// Heights of 2, 3 and 25 m and a missing one as shorts in hundredths of a metre, with more attributes.
fn heights(more: &[(&str, Values)]) -> Field {
    let sea = Classic::sea_now().variable(
        "hs",
        &["time", "lat", "lon"],
        &[
            ("standard_name", "sea_surface_wave_significant_height".into()),
            ("units", "m".into()),
            ("scale_factor", 0.01.into()),
            ("_FillValue", (-32_767i16).into()),
        ],
        [200i16, 300, 2500, -32_767],
    );
    let sea = more.iter().fold(sea, |sea, (name, value)| sea.with("hs", name, value.clone()));
    let (_dir, path) = sea.write();
    let messages = index(&path).unwrap().messages;
    messages.iter().find(|m| m.code.starts_with("hs")).unwrap().decode().unwrap()
}

fn near(field: &Field, expected: [Option<f32>; 4]) {
    let found: Vec<_> = field.iter().collect();
    let alike = |(a, b): (&Option<f32>, &Option<f32>)| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() < 1e-5,
        (a, b) => a == b,
    };
    assert!(found.iter().zip(&expected).all(alike), "{found:?}, expected {expected:?}");
}

/// CF 1.11, 2.5.1: of the packed type the limits are packed, of the scale's type they are not.
#[test]
fn a_valid_range_is_in_the_units_of_its_type() {
    near(&heights(&[]), [Some(2.0), Some(3.0), Some(25.0), None]);
    let kept = [Some(2.0), Some(3.0), None, None];
    near(&heights(&[("valid_range", [0i16, 2000].into())]), kept);
    near(&heights(&[("valid_range", [0.0, 20.0].into())]), kept);
    near(&heights(&[("valid_max", 20.0.into())]), kept);
    near(
        &heights(&[("valid_min", 2.5.into()), ("missing_value", 300i16.into())]),
        [None, None, Some(25.0), None],
    );
}

/// The sea that the file was made with: 2 m, 8 s and 10 m/s everywhere.
#[test]
fn every_compression_gives_the_same_sea() {
    for name in ["compressed-szip.nc", "compressed-zstd.nc", "compressed-bzip2.nc"] {
        let sea = Forecast::open(&[data(name)]).unwrap().read_step(0).unwrap();
        assert_eq!((sea.coverage().sea, sea.unreadable().len()), (16, 0), "{name}");
        for cell in 0..16 {
            let CellSea::Sea(state) = sea.cell(cell) else { panic!("{name}: cell {cell}") };
            assert!((state.partitions[0].hs_m - 2.0).abs() < 1e-6, "{name}");
            assert!((state.wind.tws_m_s - 10.0).abs() < 1e-6, "{name}");
        }
    }
}

/// HDF5 has them, NetCDF has not.
#[test]
fn floats_of_16_bits_are_refused_by_name() {
    let error = index(&data("half-floats.nc")).unwrap_err().to_string();
    assert!(error.contains("16-bit floats") && error.contains("'hs'"), "{error}");
}

/// The number of bzip2's filter in the file made that of another (307 is 0x133; 32013 is ZFP's), headers' checksums made anew.
#[test]
fn a_compression_that_is_not_read_is_named() {
    let mut bytes = fs::read(data("compressed-bzip2.nc")).unwrap();
    let mut changed = 0;
    for header in headers(&bytes) {
        let places: Vec<usize> =
            (header.start..header.end - 6).filter(|&at| bytes[at..at + 2] == [0x33, 0x01]).collect();
        for at in &places {
            bytes[*at..*at + 2].copy_from_slice(&32_013u16.to_le_bytes());
        }
        changed += places.len();
        let checksum = lookup3(&bytes[header.clone()]).to_le_bytes();
        bytes[header.end..header.end + 4].copy_from_slice(&checksum);
    }
    assert_eq!(changed, 5, "a variable each");
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("zfp.nc");
    fs::write(&path, bytes).unwrap();
    let sea = Forecast::open(&[&path]).unwrap().read_step(0).unwrap();
    assert_eq!((sea.coverage().sea, sea.unreadable().len()), (0, 5));
    let told = &sea.unreadable()[0];
    assert!(told.contains("compressed in a way that is not read") && told.contains("ZFP"), "{told}");
}

/// Object headers of version 2 up to their checksums (HDF5 file format 3.0, IV.A.1.b).
fn headers(bytes: &[u8]) -> Vec<std::ops::Range<usize>> {
    let starts = (0..bytes.len() - 6).filter(|&at| &bytes[at..at + 4] == b"OHDR");
    let whole = |start: usize| {
        let flags = bytes[start + 5];
        let times = if flags & 0x20 == 0 { 0 } else { 16 };
        let limits = if flags & 0x10 == 0 { 0 } else { 4 };
        let (at, width) = (start + 6 + times + limits, 1 << (flags & 3));
        let size = bytes[at..at + width].iter().rev().fold(0, |size, byte| size << 8 | usize::from(*byte));
        start..at + width + size
    };
    starts.map(whole).collect()
}

/// The checksum of HDF5's metadata: `hashlittle` of lookup3 (Jenkins 2006), from 0.
fn lookup3(bytes: &[u8]) -> u32 {
    let start = 0xdead_beef_u32.wrapping_add(bytes.len() as u32);
    let [mut a, mut b, mut c] = [start; 3];
    let word = |part: &[u8], at: usize| {
        (0..4).map(|k| u32::from(*part.get(at + k).unwrap_or(&0)) << (8 * k)).sum::<u32>()
    };
    let count = bytes.len().div_ceil(12);
    for (number, part) in bytes.chunks(12).enumerate() {
        [a, b, c] =
            [a.wrapping_add(word(part, 0)), b.wrapping_add(word(part, 4)), c.wrapping_add(word(part, 8))];
        if number + 1 == count {
            break;
        }
        let step = |one: &mut u32, other: u32, by: u32, third: &mut u32, add: u32| {
            *one = one.wrapping_sub(other) ^ other.rotate_left(by);
            *third = third.wrapping_add(add);
        };
        let old = c;
        step(&mut a, old, 4, &mut c, b);
        let old = a;
        step(&mut b, old, 6, &mut a, c);
        let old = b;
        step(&mut c, old, 8, &mut b, a);
        let old = c;
        step(&mut a, old, 16, &mut c, b);
        let old = a;
        step(&mut b, old, 19, &mut a, c);
        let old = b;
        step(&mut c, old, 4, &mut b, a);
    }
    for (x, y, by) in [(2, 1, 14), (0, 2, 11), (1, 0, 25), (2, 1, 16), (0, 2, 4), (1, 0, 14), (2, 1, 24)] {
        let mut words = [a, b, c];
        words[x] = (words[x] ^ words[y]).wrapping_sub(words[y].rotate_left(by));
        [a, b, c] = words;
    }
    c
}

/// A mapped file that loses its end would kill the program when it is next read.
#[test]
fn a_file_that_is_cut_short_after_it_was_opened_is_an_error() {
    let (_dir, path) = Classic::sea_now().write();
    for (name, bytes) in
        [("classic", fs::read(&path).unwrap()), ("hdf5", fs::read(data("compressed-szip.nc")).unwrap())]
    {
        fs::write(&path, &bytes).unwrap();
        let forecast = Forecast::open(&[&path]).unwrap();
        fs::write(&path, []).unwrap();
        let text = forecast.read_step(0).unwrap_err().to_string();
        assert!(text.contains("cannot be read") && text.contains("made.nc"), "{name}: {text}");
    }
}
