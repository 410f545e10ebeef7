//! What of an atlas a page needs, as JSON: axes, and the numbers of every cell at every node, packed; `page/interpolate.js` reads it.
//!
//! Numbers stand by heading, wind, period, wave angle and height, the height fastest, as whole numbers of one or two bytes, least
//! first, in base64: a value is `from + step * number`.

use crate::atlas::axes::SystemAxes;
use crate::atlas::contents::Atlas;
use crate::atlas::error_table::ErrorRow;
use crate::atlas::quantity::{MEAN, RIDING_SHARE, SPEED_SD_KN, STAGE, SURGE};
use crate::atlas::table::SystemTable;
use crate::balance::{STAGE_NAMES, STAGES};
use crate::base::{Error, Result};
use crate::derate::Tack;
use crate::hydro::wave_growth::{Constants, constants};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use serde::Serialize;
use std::collections::BTreeMap;

/// The layout that the page's code reads.
const LAYOUT: &str = "roughwater-atlas-page-1";

/// The code that reads it: one function, `openAtlas`.
pub const INTERPOLATE_JS: &str = include_str!("page/interpolate.js");

#[derive(Serialize)]
struct PageAtlas<'a> {
    layout: &'static str,
    boat: &'a str,
    digest: &'a str,
    fineness: &'a str,
    /// Whether both tacks stand in `headings`; else the other is the mirror image.
    both_sides: bool,
    tws_kn: &'a [f64],
    headings: Vec<PageHeading>,
    /// By heading and wind, kn.
    flat_kn: Vec<f64>,
    stages: [&'static str; STAGES],
    tables: Vec<PageTable<'a>>,
    growth: Constants,
    errors: &'a [ErrorRow],
}

#[derive(Serialize)]
struct PageHeading {
    tack: Tack,
    twa_deg: f64,
}

#[derive(Serialize)]
struct PageTable<'a> {
    kind: &'static str,
    tp_s: &'a [f64],
    greatest_hs_m: &'a [f64],
    height_parts: &'a [f64],
    wave_angle_deg: &'a [f64],
    numbers: BTreeMap<&'static str, Packed>,
}

/// Numbers of one quantity.
#[derive(Serialize)]
struct Packed {
    from: f64,
    step: f64,
    bytes: usize,
    data: String,
}

/// Quantities that a page shows: name, place, bytes a number.
fn shown() -> impl Iterator<Item = (&'static str, usize, usize)> {
    let stages =
        STAGE_NAMES.iter().take(STAGES - 1).enumerate().map(|(stage, name)| (*name, STAGE + stage, 1));
    let others = [
        ("mean", MEAN, 2),
        ("surge", SURGE, 2),
        ("speed_sd_kn", SPEED_SD_KN, 1),
        ("riding_share", RIDING_SHARE, 1),
    ];
    others.into_iter().chain(stages)
}

/// The JSON.
///
/// # Errors
/// A number that JSON cannot hold.
pub fn to_json(atlas: &Atlas) -> Result<String> {
    let columns = atlas.flat.tws_kn().len();
    let computed = atlas.computed();
    let flat_kn = (0..computed).flat_map(|heading| (0..columns).map(move |column| (heading, column)));
    let page = PageAtlas {
        layout: LAYOUT,
        boat: &atlas.boat,
        digest: &atlas.digest,
        fineness: &atlas.fineness,
        both_sides: atlas.both_sides,
        tws_kn: atlas.flat.tws_kn(),
        headings: atlas.headings[..computed]
            .iter()
            .map(|(tack, twa_deg)| PageHeading { tack: *tack, twa_deg: *twa_deg })
            .collect(),
        flat_kn: flat_kn.map(|(heading, column)| atlas.flat_kn(heading, column)).collect(),
        stages: STAGE_NAMES,
        tables: atlas.tables.iter().map(table).collect(),
        growth: constants(),
        errors: &atlas.errors,
    };
    serde_json::to_string(&page)
        .map_err(|error| Error::new(format!("cannot write the atlas's page: {error}")))
}

fn table(table: &SystemTable) -> PageTable<'_> {
    let SystemAxes { kind, tp_s, greatest_hs_m, height_parts, wave_angle_deg } = &table.axes;
    let numbers =
        shown().map(|(name, quantity, bytes)| (name, packed(table.of_quantity(quantity), bytes))).collect();
    PageTable { kind: kind.name(), tp_s, greatest_hs_m, height_parts, wave_angle_deg, numbers }
}

/// Numbers in whole steps between the least and the greatest.
fn packed(numbers: &[f32], bytes: usize) -> Packed {
    let all = || numbers.iter().copied().map(f64::from);
    let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    let steps = if bytes == 1 { f64::from(u8::MAX) } else { f64::from(u16::MAX) };
    // numbers that are all alike lie on any step
    let step = if high > low { (high - low) / steps } else { 1.0 };
    let whole = |value: f64| ((value - low) / step).round() as u16;
    let packed: Vec<u8> =
        all().flat_map(|value| whole(value).to_le_bytes().into_iter().take(bytes)).collect();
    Packed { from: low, step, bytes, data: BASE64_STANDARD.encode(packed) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: from 0.5 in 255 steps to 1, 0.75 lies at 127.5, which rounds up to 128; in base64 the bytes 0, 255 and 128 are
    /// "AP+A".
    #[test]
    fn numbers_are_packed_in_steps() {
        let packed = packed(&[0.5, 1.0, 0.75], 1);
        assert_eq!((packed.from, packed.step, packed.data.as_str()), (0.5, 0.5 / 255.0, "AP+A"));
    }

    #[test]
    fn numbers_that_are_all_alike_are_packed_too() {
        let packed = packed(&[1.0; 3], 2);
        assert_eq!((packed.from, packed.data.as_str()), (1.0, "AAAAAAAA"));
    }
}
