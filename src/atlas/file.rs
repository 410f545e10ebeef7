//! The file that an atlas is read from: one line of JSON, then all numbers in single precision, least byte first.

use crate::atlas::axes::SystemAxes;
use crate::atlas::contents::{Atlas, computed};
use crate::atlas::error_table::ErrorRow;
use crate::atlas::quantity::COUNT;
use crate::atlas::table::SystemTable;
use crate::base::{Error, Result};
use crate::derate::Tack;
use crate::files::digest;
use crate::polar::{Lookup, Polar};
use crate::sea::PartitionKind;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// What every such file begins with, whatever its layout.
pub const MARK: &[u8; 28] = b"{\"layout\":\"roughwater-atlas-";

/// The layout; another is refused.
const LAYOUT: &str = "roughwater-atlas-1";

/// The first line.
#[derive(Serialize, Deserialize)]
struct Head {
    layout: String,
    boat: String,
    digest: String,
    fineness: String,
    sailed_s: f64,
    both_sides: bool,
    tws_kn: Vec<f64>,
    twa_deg: Vec<f64>,
    flat_kn: Vec<f64>,
    headings_port: Vec<bool>,
    headings_twa_deg: Vec<f64>,
    wind_seas: HeadAxes,
    swells: HeadAxes,
    errors: Vec<ErrorRow>,
    /// Of the bytes behind this line.
    numbers_sha256: String,
}

/// The axes of a kind.
#[derive(Serialize, Deserialize)]
struct HeadAxes {
    tp_s: Vec<f64>,
    greatest_hs_m: Vec<f64>,
    height_parts: Vec<f64>,
    wave_angle_deg: Vec<f64>,
}

impl HeadAxes {
    fn of(axes: &SystemAxes) -> Self {
        let SystemAxes { tp_s, greatest_hs_m, height_parts, wave_angle_deg, .. } = axes.clone();
        Self { tp_s, greatest_hs_m, height_parts, wave_angle_deg }
    }

    fn of_kind(self, kind: PartitionKind) -> Result<SystemAxes> {
        let Self { tp_s, greatest_hs_m, height_parts, wave_angle_deg } = self;
        SystemAxes { kind, tp_s, greatest_hs_m, height_parts, wave_angle_deg }.checked()
    }
}

/// The bytes of the file.
///
/// # Errors
/// A number that JSON cannot hold.
pub fn to_bytes(atlas: &Atlas) -> Result<Vec<u8>> {
    let all = atlas.tables.iter().flat_map(|table| table.numbers());
    let numbers: Vec<u8> = all.flat_map(|number| number.to_le_bytes()).collect();
    let head = Head {
        layout: LAYOUT.to_owned(),
        boat: atlas.boat.clone(),
        digest: atlas.digest.clone(),
        fineness: atlas.fineness.clone(),
        sailed_s: atlas.sailed_s,
        both_sides: atlas.both_sides,
        tws_kn: atlas.flat.tws_kn().to_vec(),
        twa_deg: atlas.flat.twa_deg().to_vec(),
        flat_kn: atlas.flat.speeds_kn().to_vec(),
        headings_port: atlas.headings.iter().map(|(tack, _)| *tack == Tack::Port).collect(),
        headings_twa_deg: atlas.headings.iter().map(|(_, twa_deg)| *twa_deg).collect(),
        wind_seas: HeadAxes::of(&atlas.tables[0].axes),
        swells: HeadAxes::of(&atlas.tables[1].axes),
        errors: atlas.errors.clone(),
        numbers_sha256: digest::of_bytes(&numbers),
    };
    let mut bytes =
        serde_json::to_vec(&head).map_err(|error| Error::new(format!("cannot write the atlas: {error}")))?;
    bytes.push(b'\n');
    bytes.extend(numbers);
    Ok(bytes)
}

/// Reads an atlas.
///
/// # Errors
/// A file that is none, or not whole.
pub fn read(path: &Path) -> Result<Atlas> {
    let bytes = std::fs::read(path).map_err(|error| Error::io("read the atlas", path, &error))?;
    of_bytes(&bytes).map_err(|error| error.file(path).remedy("make the atlas again with `roughwater atlas`"))
}

fn of_bytes(bytes: &[u8]) -> Result<Atlas> {
    let not_one = || Error::new("this is no atlas of this version");
    let end = bytes.iter().position(|byte| *byte == b'\n').ok_or_else(not_one)?;
    let head: Head = serde_json::from_slice(&bytes[..end]).map_err(|error| not_one().found(error))?;
    if head.layout != LAYOUT {
        return Err(not_one().found(head.layout).expected(LAYOUT));
    }
    let flat = Polar::new(head.tws_kn, head.twa_deg, head.flat_kn)?;
    let headings = headings(&flat, &head.headings_port, &head.headings_twa_deg)?;
    let (one, other) = headings.split_at(headings.len() / 2);
    let alike = one.len() == other.len() && one.iter().zip(other).all(|(a, b)| a.0 != b.0 && a.1 == b.1);
    if !head.both_sides && !alike {
        return Err(Error::new("the tacks of the atlas have angles of their own"));
    }
    let cells = computed(&headings, head.both_sides) * flat.tws_kn().len();
    let axes = [head.wind_seas.of_kind(PartitionKind::WindSea)?, head.swells.of_kind(PartitionKind::Swell)?];
    let (numbers, rest) = bytes[end + 1..].as_chunks::<4>();
    let expected: usize = axes.iter().map(|axes| COUNT * SystemTable::size(axes, cells)).sum();
    if numbers.len() != expected || !rest.is_empty() {
        return Err(Error::new("the atlas is not whole")
            .found(format!("{} bytes of numbers", bytes.len() - end - 1))
            .expected(4 * expected));
    }
    if digest::of_bytes(&bytes[end + 1..]) != head.numbers_sha256 {
        return Err(Error::new("the numbers of the atlas are not those that were written"));
    }
    let numbers: Vec<f32> = numbers.iter().map(|number| f32::from_le_bytes(*number)).collect();
    if let Some(number) = numbers.iter().find(|number| !number.is_finite()) {
        return Err(Error::new("the atlas holds something that is no number").found(number));
    }
    let (of_wind_seas, of_swells) = numbers.split_at(COUNT * SystemTable::size(&axes[0], cells));
    let [wind_seas, swells] = axes;
    let not_whole = || Error::fault("the numbers of an atlas do not fill its tables");
    let tables = [
        SystemTable::of_numbers(wind_seas, cells, of_wind_seas.to_vec()).ok_or_else(not_whole)?,
        SystemTable::of_numbers(swells, cells, of_swells.to_vec()).ok_or_else(not_whole)?,
    ];
    Ok(Atlas {
        boat: head.boat,
        digest: head.digest,
        fineness: head.fineness,
        sailed_s: head.sailed_s,
        flat,
        headings,
        both_sides: head.both_sides,
        tables,
        errors: head.errors,
    })
}

/// The headings of the cells: some of those of the polar, starboard tack first.
fn headings(flat: &Polar, port: &[bool], twa_deg: &[f64]) -> Result<Vec<(Tack, f64)>> {
    let tack = |port: &bool| if *port { Tack::Port } else { Tack::Starboard };
    let headings: Vec<(Tack, f64)> = port.iter().map(tack).zip(twa_deg.iter().copied()).collect();
    let on = |tack: Tack| headings.iter().filter(|heading| heading.0 == tack).count();
    let known = |(tack, twa_deg): &(Tack, f64)| {
        (0.0..=180.0).contains(twa_deg)
            && matches!(flat.speed_kn(flat.tws_kn()[0], tack.signed(*twa_deg)), Lookup::Inside(_))
    };
    let falls = |pair: &[(Tack, f64)]| pair[0].0 == pair[1].0 && pair[0].1 >= pair[1].1;
    if port.len() != twa_deg.len()
        || headings.windows(2).any(falls)
        || !port.is_sorted()
        || on(Tack::Starboard) < 2
        || on(Tack::Port) < 2
        || !headings.iter().all(known)
    {
        return Err(Error::new("the headings of the atlas are not those of its polar"));
    }
    Ok(headings)
}
