//! GRIB edition 1 (WMO manual on codes 306, FM 92-IX). The only file that touches the `grib-reader` crate.
//!
//! # Swell order
//! NOAA writes the heights of all swells alike (level 241, value 0), and so the periods and the directions; only the
//! order of the messages tells them apart. The first height, the first period and the first direction of a time belong
//! to swell 1, and so on. Where a time has not as many of each, or more than five, the order tells nothing: none of them is used.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use grib_reader::{DataRepresentation, Grib1ProductDefinition, GribFile, GridDefinition, LatLonGrid};
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Span, Timestamp};

use crate::base::{Error, Result};
use crate::forecast::field::Field;
use crate::forecast::grib_ends::{MOST_POINTS, eastward_of, even, in_order};
use crate::forecast::grib1_walk;
use crate::forecast::grib1_walk::Place;
use crate::forecast::grid::Grid;
use crate::forecast::message::{FileIndex, Lazy, Message};
use crate::forecast::names::Grib1Code;
use crate::forecast::names::grib1::grib1;
use crate::forecast::quantity::Quantity;
use crate::forecast::sniff::FileKind;
use crate::forecast::spectral_parts::{Part, SpectralPlace, together};

/// More swells of one time than any model writes: the same messages twice.
const MOST_SWELLS: u8 = 5;

const DAMAGED: &str = "the file is damaged or its download broke off: download it again";

/// Lists the fields of a file, message by message.
///
/// # Errors
/// A file that cannot be read, is cut short, or holds messages of edition 2, too. A message that is whole and cannot be
/// read is listed with its reason.
pub fn index(path: &Path) -> Result<FileIndex> {
    let size = std::fs::metadata(path).map_err(|e| Error::io("read", path, &e))?.len();
    let mut indexer = Indexer {
        path: path.into(),
        grids: Vec::new(),
        ranks: Ranks::default(),
        messages: Vec::new(),
        components: Vec::new(),
    };
    let mut bytes = 0;
    for (i, place) in grib1_walk::places(path)?.into_iter().enumerate() {
        indexer.message(place).map_err(|e| e.file(path).at(format!("message {}", i + 1)))?;
        bytes += place.length;
    }
    let spectra = together(std::mem::take(&mut indexer.components));
    Ok(FileIndex {
        kind: FileKind::Grib1,
        messages: indexer.finish(),
        spectra,
        stray_bytes: size.saturating_sub(bytes),
    })
}

struct Indexer {
    path: Arc<Path>,
    grids: Vec<(GridDefinition, Result<Arc<Grid>>)>,
    ranks: Ranks,
    messages: Vec<(Message, Option<(TimeKey, u8)>)>,
    components: Vec<Part>,
}

/// Reference time, valid time and member.
type TimeKey = (Timestamp, Timestamp, Option<u32>);

/// How many messages of each parameter a time has whose swell is told by order alone.
#[derive(Default)]
struct Ranks(BTreeMap<TimeKey, BTreeMap<u8, u8>>);

impl Indexer {
    fn message(&mut self, place: Place) -> Result<()> {
        let bytes = grib1_walk::read(&self.path, place)?;
        let product = Grib1ProductDefinition::parse(&bytes[8..]).map_err(unreadable)?;
        let code = Grib1Code {
            centre: product.center_id.into(),
            table: product.table_version,
            number: product.parameter_number,
            level: product.level_type,
            level_value: product.level_value,
        };
        let reference = time(&product.reference_time)?;
        let ahead = product.forecast_time();
        let valid = valid(reference, product.forecast_time_unit, ahead.unwrap_or(0))?;
        let member = member(&bytes);
        let key = (reference, valid, member);
        let rank = if code.is_numbered_by_order() { self.ranks.next(key, code.number) } else { 0 };
        // averages, accumulations and the like (code table 5) are another thing than the field itself
        let reading = ahead.and_then(|_| grib1(&code, rank));
        let component = match reading.as_ref().and_then(|r| r.quantity) {
            Some(Quantity::Spectrum) => component(&bytes)?,
            _ => None,
        };
        let by_order = (rank > 0).then_some((key, code.number));
        let number = self.number();
        let (grid, packing, damage) = match open(bytes) {
            Ok(file) => {
                let metadata = file.message(0).map_err(unreadable)?.metadata().clone();
                (self.grid(&metadata.grid), packing(&metadata.data_representation), None)
            }
            Err(error) => {
                let error = error.file(&self.path).at(format!("message {number}"));
                (Err(error.clone()), "not read", Some(error))
            }
        };
        let path = self.path.clone();
        let message = Message {
            path: self.path.clone(),
            number,
            code: code.to_string(),
            quantity: reading.as_ref().and_then(|r| r.quantity),
            note: reading.and_then(|r| r.note),
            unit: None,
            reference,
            valid,
            member,
            grid,
            packing: packing.into(),
            damage,
            values: Lazy::new(move || decode(&path, place)),
        };
        match component {
            Some(place) => self.components.push((place, message)),
            None => self.messages.push((without_axes(message), by_order)),
        }
        Ok(())
    }

    /// The number of the message that comes next.
    fn number(&self) -> usize {
        self.messages.len() + self.components.len() + 1
    }

    fn grid(&mut self, definition: &GridDefinition) -> Result<Arc<Grid>> {
        if let Some((_, grid)) = self.grids.iter().find(|(known, _)| known == definition) {
            return grid.clone();
        }
        let read = read_grid(definition).map(Arc::new);
        let read = read.map_err(|e| e.file(&self.path).at(format!("message {}", self.number())));
        self.grids.push((definition.clone(), read.clone()));
        read
    }

    fn finish(self) -> Vec<Message> {
        let uneven: BTreeSet<TimeKey> = self.ranks.uneven().collect();
        let settle = |(mut message, by_order): (Message, Option<(TimeKey, u8)>)| {
            if let Some((key, _)) = by_order
                && uneven.contains(&key)
            {
                message.quantity = None;
                message.note = Some(
                    "not used: this time has not as many swell heights, periods and directions, so their order \
                     does not tell which swell this is"
                        .into(),
                );
            }
            message
        };
        self.messages.into_iter().map(settle).collect()
    }
}

impl Ranks {
    fn next(&mut self, key: TimeKey, number: u8) -> u8 {
        let count = self.0.entry(key).or_default().entry(number).or_default();
        *count = count.saturating_add(1);
        *count
    }

    fn uneven(&self) -> impl Iterator<Item = TimeKey> + '_ {
        let is_even = |counts: &BTreeMap<u8, u8>| {
            counts.len() == 3
                && counts.values().all(|n| Some(n) == counts.values().next() && *n <= MOST_SWELLS)
        };
        self.0.iter().filter(move |(_, counts)| !is_even(counts)).map(|(key, _)| *key)
    }
}

/// One message by itself.
fn open(bytes: Vec<u8>) -> Result<GribFile> {
    // octet 4 of section 4: flags of code table 11
    let packing = if section4_flags(&bytes).is_some_and(|flags| flags & 0x40 != 0) {
        " (second-order packing)"
    } else {
        ""
    };
    let file = GribFile::builder().max_decoded_points(MOST_POINTS as usize).from_bytes(bytes);
    file.map_err(|e| {
        Error::new("the message cannot be read").found(format!("{e}{packing}")).remedy(
            "it is damaged or packed in a way that is not supported: get the file again, or repack it in simple packing",
        )
    })
}

fn section4_flags(message: &[u8]) -> Option<u8> {
    let three = |at: usize| {
        let bytes = message.get(at..at + 3)?;
        Some(u32::from_be_bytes([0, bytes[0], bytes[1], bytes[2]]) as usize)
    };
    let flags = *message.get(8 + 7)?;
    let mut at = 8 + three(8)?;
    for present in [flags & 0x80 != 0, flags & 0x40 != 0] {
        if present {
            at += three(at)?;
        }
    }
    message.get(at + 3).copied()
}

/// Decodes a field; the crate turns rows and columns to run from north to south and from west to east.
fn decode(path: &Path, place: Place) -> Result<Field> {
    let file = open(grib1_walk::read(path, place)?)?;
    let message = file.message(0).map_err(unreadable)?;
    let GridDefinition::LatLon(LatLonGrid { ni, .. }) = message.metadata().grid else {
        return Err(Error::new("the field's grid cannot be used"));
    };
    let values = message.read_flat_data_north_up_as_f32().map_err(|e| {
        Error::new("the field cannot be unpacked")
            .found(e)
            .remedy("the message is damaged or packed in a way that is not supported: get the file again, or repack it in simple packing")
    })?;
    if let Some(at) = values.iter().position(|v| v.is_infinite()) {
        return Err(Error::new("a value is infinite").found(format!("point {at}")));
    }
    Ok(Field::from_decoded(values.chunks((ni as usize).max(1)).rev().flatten().copied().collect()))
}

fn packing(representation: &DataRepresentation) -> &'static str {
    match representation {
        DataRepresentation::SimplePacking(_) => "simple",
        _ => "second order",
    }
}

fn unreadable(e: grib_reader::Error) -> Error {
    Error::new("the message cannot be read").found(e).remedy(DAMAGED)
}

fn read_grid(definition: &GridDefinition) -> Result<Grid> {
    let GridDefinition::LatLon(LatLonGrid {
        ni,
        nj,
        lat_first,
        lon_first,
        lat_last,
        lon_last,
        scanning_mode,
        ..
    }) = *definition
    else {
        return Err(Error::new("this grid cannot be used")
            .found(format!("{definition:?}"))
            .expected("a regular grid of latitude and longitude (representation type 0)")
            .remedy("get the forecast on a grid of latitude and longitude"));
    };
    if u64::from(ni) * u64::from(nj) > MOST_POINTS || ni == 0xffff || nj == 0xffff {
        return Err(Error::new("the grid is reduced, or too large to be a forecast")
            .found(format!("{ni} x {nj} points"))
            .expected(format!("a full grid of at most {MOST_POINTS} points")));
    }
    // the crate states millionths of a degree
    let degrees = |angle: i32| f64::from(angle) * 1e-6;
    let (south, north) = in_order(degrees(lat_first), degrees(lat_last), scanning_mode & 0x40 != 0);
    let (west, east) = in_order(degrees(lon_first), degrees(lon_last), scanning_mode & 0x80 == 0);
    Grid::new(even(south, north, nj)?, even(west, eastward_of(west, east), ni)?)
}

fn time(written: &grib_reader::ReferenceTime) -> Result<Timestamp> {
    let small = |v: u8| i8::try_from(v).unwrap_or(-1);
    let year = i16::try_from(written.year).unwrap_or(-1);
    DateTime::new(
        year,
        small(written.month),
        small(written.day),
        small(written.hour),
        small(written.minute),
        small(written.second),
        0,
    )
    .and_then(|civil| TimeZone::UTC.to_timestamp(civil))
    .map_err(|_| Error::new("the reference time is no date").found(format!("{written:?}")))
}

/// The reference time and so many units (code table 4; months and years by the calendar).
fn valid(reference: Timestamp, unit: u8, ahead: u32) -> Result<Timestamp> {
    let seconds = match unit {
        0 => 60,
        1 => 3600,
        2 => 86_400,
        10 => 3 * 3600,
        11 => 6 * 3600,
        12 => 12 * 3600,
        13 => 15 * 60,
        14 => 30 * 60,
        254 => 1,
        _ => return later_by_months(reference, unit, ahead),
    };
    let ahead = SignedDuration::from_secs(i64::from(ahead) * seconds);
    reference
        .checked_add(ahead)
        .map_err(|_| Error::new("the forecast time lies outside the calendar").found(ahead))
}

fn later_by_months(reference: Timestamp, unit: u8, ahead: u32) -> Result<Timestamp> {
    let months = match unit {
        3 => 1,
        4 => 12,
        5 => 120,
        6 => 360,
        7 => 1200,
        _ => {
            return Err(Error::new("the forecast time is in an unknown unit")
                .found(format!("unit {unit} (code table 4)"))
                .expected("0 to 7, 10 to 14 or 254"));
        }
    };
    let months = i64::from(ahead) * months;
    let outside =
        || Error::new("the forecast time lies outside the calendar").found(format!("{months} months"));
    let span = Span::new().try_months(months).map_err(|_| outside())?;
    let later = TimeZone::UTC.to_datetime(reference).checked_add(span);
    later.and_then(|later| TimeZone::UTC.to_timestamp(later)).map_err(|_| outside())
}

/// ECMWF's local definition 13 of section 1: the numbers of direction and frequency in octets 52 and 53, how many there are
/// in 54 and 55, the divisors of their lists in 56 and 60, and the lists from octet 101 on (ECMWF, local definition 13).
fn component(message: &[u8]) -> Result<Option<SpectralPlace>> {
    let section = section_1(message);
    let octet = |n: usize| section.get(n - 1).copied();
    if (octet(5), octet(41)) != (Some(98), Some(13)) {
        return Ok(None);
    }
    let number = |octet: usize| {
        let four = section.get(octet - 1..octet + 3)?;
        Some(f64::from(u32::from_be_bytes(four.try_into().ok()?)))
    };
    let list = |octet: usize, count: usize, divisor: f64| {
        (0..count).map(|k| Some(number(octet + 4 * k)? / divisor)).collect::<Option<Vec<_>>>()
    };
    let place = || {
        let (directions, frequencies) = (usize::from(octet(54)?), usize::from(octet(55)?));
        let towards_deg = list(101, directions, number(56)?)?;
        let frequency_hz = list(101 + 4 * directions, frequencies, number(60)?)?;
        Some(SpectralPlace::new(octet(52)?.into(), octet(53)?.into(), towards_deg, frequency_hz))
    };
    let short = || {
        Error::new("section 1 is too short for its directions and frequencies")
            .found(format!("{} octets", section.len()))
            .remedy(DAMAGED)
    };
    place().ok_or_else(short)?.map(Some).map_err(|e| e.at("section 1"))
}

/// Section 1, as long as it says it is.
fn section_1(message: &[u8]) -> &[u8] {
    let section = message.get(8..).unwrap_or_default();
    let length = section.first_chunk().map_or(0, |[a, b, c]| u32::from_be_bytes([0, *a, *b, *c]));
    section.get(..length as usize).unwrap_or(section)
}

/// A spectrum's component that does not say which one it is.
fn without_axes(message: Message) -> Message {
    match message.quantity {
        Some(Quantity::Spectrum) => Message {
            quantity: None,
            note: Some("a two-dimensional spectrum without its directions and frequencies: not read".into()),
            ..message
        },
        _ => message,
    }
}

/// ECMWF's local definitions 1 and 13 of section 1: octet 41 is the definition, octet 43 the type (10 control, 11 perturbed forecast) and
/// octet 50 the number of the perturbation.
fn member(message: &[u8]) -> Option<u32> {
    let section = section_1(message);
    let octet = |n: usize| section.get(n - 1).copied();
    let has_members = section.len() >= 51 && octet(5)? == 98 && matches!(octet(41)?, 1 | 13);
    let is_member = has_members && matches!(octet(43)?, 10 | 11);
    is_member.then(|| octet(50).map(u32::from)).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Code table 4 by hand, from the end of a January: four units ahead.
    #[test]
    fn every_unit_of_time_has_its_length() {
        let at = |unit| valid("2024-01-31T12:00:00Z".parse().unwrap(), unit, 4).map(|time| time.to_string());
        for (unit, expected) in [
            (0, "2024-01-31T12:04:00Z"),
            (1, "2024-01-31T16:00:00Z"),
            (2, "2024-02-04T12:00:00Z"),
            (3, "2024-05-31T12:00:00Z"),
            (4, "2028-01-31T12:00:00Z"),
            (5, "2064-01-31T12:00:00Z"),
            (6, "2144-01-31T12:00:00Z"),
            (7, "2424-01-31T12:00:00Z"),
            (10, "2024-02-01T00:00:00Z"),
            (11, "2024-02-01T12:00:00Z"),
            (12, "2024-02-02T12:00:00Z"),
            (13, "2024-01-31T13:00:00Z"),
            (14, "2024-01-31T14:00:00Z"),
            (254, "2024-01-31T12:00:04Z"),
        ] {
            assert_eq!(at(unit).unwrap(), expected, "unit {unit}");
        }
        assert!(at(8).unwrap_err().to_string().contains("unknown unit"));
    }
}
