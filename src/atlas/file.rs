//! The file that an atlas is read from: one line of JSON, then all numbers in single precision, least byte first.

use crate::atlas::axes::{Fineness, SystemAxes};
use crate::atlas::contents::Atlas;
use crate::atlas::error_table::ErrorRow;
use crate::atlas::table::SystemTable;
use crate::base::{Error, Result};
use crate::derate::Tack;
use crate::polar::Polar;
use crate::sea::PartitionKind;
use serde::{Deserialize, Serialize};
use std::path::Path;

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
    /// Signed true wind angles of the cells' headings, port tack below 0.
    headings_port: Vec<bool>,
    headings_twa_deg: Vec<f64>,
    errors: Vec<ErrorRow>,
}

/// The bytes of the file.
///
/// # Errors
/// A number that JSON cannot hold.
pub fn to_bytes(atlas: &Atlas) -> Result<Vec<u8>> {
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
        errors: atlas.errors.clone(),
    };
    let mut bytes =
        serde_json::to_vec(&head).map_err(|error| Error::new(format!("cannot write the atlas: {error}")))?;
    bytes.push(b'\n');
    for table in &atlas.tables {
        bytes.extend(table.numbers().iter().flat_map(|number| number.to_le_bytes()));
    }
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
    let known = Fineness::ALL.into_iter().find(|fineness| fineness.name() == head.fineness);
    let (LAYOUT, Some(fineness)) = (head.layout.as_str(), known) else {
        return Err(not_one().found(head.layout).expected(LAYOUT));
    };
    let flat = Polar::new(head.tws_kn, head.twa_deg, head.flat_kn)?;
    let tack = |port: bool| if port { Tack::Port } else { Tack::Starboard };
    let headings: Vec<(Tack, f64)> =
        head.headings_port.into_iter().map(tack).zip(head.headings_twa_deg).collect();
    let cells = headings.len() * flat.tws_kn().len();
    let (numbers, rest) = bytes[end + 1..].as_chunks::<4>();
    let mut numbers = numbers.iter().map(|number| f32::from_le_bytes(*number));
    let mut table = |kind: PartitionKind| -> Option<SystemTable> {
        let axes: SystemAxes = fineness.axes(kind);
        let size = SystemTable::size_of(&axes, head.both_sides, cells);
        SystemTable::of_numbers(axes, head.both_sides, cells, numbers.by_ref().take(size).collect())
    };
    let tables = table(PartitionKind::WindSea).zip(table(PartitionKind::Swell));
    let Some((wind_seas, swells)) = tables.filter(|_| rest.is_empty()) else {
        return Err(Error::new("the atlas is not whole").found(format!("{} bytes", bytes.len())));
    };
    if numbers.next().is_some() || headings.is_empty() {
        return Err(Error::new("the atlas holds more than it says").found(format!("{} bytes", bytes.len())));
    }
    Ok(Atlas {
        boat: head.boat,
        digest: head.digest,
        fineness: head.fineness,
        sailed_s: head.sailed_s,
        flat,
        headings,
        both_sides: head.both_sides,
        tables: [wind_seas, swells],
        errors: head.errors,
    })
}
