//! Walks a file from message to message and section to section, reading headers only.

use std::collections::HashMap;
use std::fs::File;
use std::io::{BufReader, Read, Seek, SeekFrom};
use std::path::Path;
use std::sync::Arc;

use crate::base::{Error, Result};
use crate::forecast::grib_frame::{DAMAGED, check_edition, check_end, next_start};
use crate::forecast::grib2::decode::decode;
use crate::forecast::grib2::decode::{Range, Stored};
use crate::forecast::grib2::octets::Section;
use crate::forecast::grib2::scan::Scan;
use crate::forecast::grib2::{grid, product};
use crate::forecast::grid::Grid;
use crate::forecast::message::{FileIndex, Lazy, Message};
use crate::forecast::names::grib2 as names;
use crate::forecast::quantity::Quantity;
use crate::forecast::sniff::FileKind;
use crate::forecast::spectral_parts::{Part, together};

/// Sections 1, 3, 4 and 5 of a field on a plain grid take some hundred octets; lists of points may take more.
const LONGEST_HEADER: u32 = 1 << 20;

/// Lists the fields of a file. One message may hold several (sections 2 to 7, 3 to 7 or 4 to 7 repeated); each is a
/// [`Message`] of its own, numbered in order.
///
/// # Errors
/// A file that cannot be read, a message that is cut short or whose sections do not add up; names message and byte.
pub fn index(path: &Path) -> Result<FileIndex> {
    let file = File::open(path).map_err(|e| Error::io("open", path, &e))?;
    let size = file.metadata().map_err(|e| Error::io("read", path, &e))?.len();
    let path: Arc<Path> = path.into();
    let mut walk = Walk {
        file: BufReader::new(file),
        size,
        path: path.clone(),
        grids: HashMap::new(),
        messages: Vec::new(),
        components: Vec::new(),
        stray_bytes: 0,
    };
    let mut at = 0;
    let mut number = 0;
    while let Some(start) = walk.next_start(at)? {
        walk.stray_bytes += start - at;
        number += 1;
        at = walk
            .message(start)
            .map_err(|e| e.file(&path).at(format!("message {number}, which starts at byte {start}")))?;
    }
    walk.stray_bytes += size - at;
    Ok(FileIndex {
        kind: FileKind::Grib2,
        messages: walk.messages,
        spectra: together(walk.components),
        stray_bytes: walk.stray_bytes,
    })
}

struct Walk {
    file: BufReader<File>,
    size: u64,
    path: Arc<Path>,
    grids: HashMap<Vec<u8>, Result<(Arc<Grid>, Scan)>>,
    messages: Vec<Message>,
    components: Vec<Part>,
    stray_bytes: u64,
}

/// The sections in force at one point of a message.
#[derive(Default)]
struct Sections {
    discipline: u8,
    identification: Option<Vec<u8>>,
    grid: Option<Vec<u8>>,
    product: Option<Vec<u8>>,
    representation: Option<(Vec<u8>, Range)>,
    bitmap: Option<Range>,
    own_bitmap: Option<Range>,
}

impl Walk {
    /// Where the next message starts, skipping bulletin headers and padding.
    fn next_start(&mut self, from: u64) -> Result<Option<u64>> {
        self.seek(from)?;
        next_start(&mut self.file, from, self.size).map_err(|e| Error::io("read", &self.path, &e))
    }

    /// Lists the fields of the message at a byte and returns the byte after it.
    fn message(&mut self, start: u64) -> Result<u64> {
        let left = self.size - start;
        if left < 16 {
            return Err(Error::new("the file is cut short")
                .found(format!("{left} bytes of the message"))
                .expected("at least 16")
                .remedy(DAMAGED));
        }
        self.seek(start)?;
        let mut head = [0; 16];
        self.read(&mut head)?;
        check_edition(head[7], 2)?;
        let [.., l0, l1, l2, l3, l4, l5, l6, l7] = head;
        let length = u64::from_be_bytes([l0, l1, l2, l3, l4, l5, l6, l7]);
        if length > left || length < 20 {
            return Err(Error::new("the file is cut short")
                .found(format!("{left} bytes left in the file"))
                .expected(format!("{length} bytes, the length the message states"))
                .remedy(DAMAGED));
        }
        let end = start + length;
        self.seek(end - 4)?;
        let mut tail = [0; 4];
        self.read(&mut tail)?;
        check_end(tail)?;
        self.sections(head[6], start + 16, end - 4)?;
        Ok(end)
    }

    fn sections(&mut self, discipline: u8, start: u64, end: u64) -> Result<()> {
        let mut seen = Sections { discipline, ..Sections::default() };
        let mut at = start;
        while at < end {
            self.seek(at)?;
            let mut head = [0; 5];
            self.read(&mut head)?;
            let [a, b, c, d, number] = head;
            let length = u32::from_be_bytes([a, b, c, d]);
            if length < 5 || u64::from(length) > end - at {
                return Err(Error::new(format!("section {number} does not fit its message"))
                    .found(format!("length {length} at byte {at}"))
                    .expected(format!("5 to {}", end - at))
                    .remedy("the message is damaged: download the file again"));
            }
            let range = Range { start: at, length };
            match number {
                1 => seen.identification = Some(self.header(range)?),
                2 => {}
                3 => seen.grid = Some(self.header(range)?),
                4 => seen.product = Some(self.header(range)?),
                5 => seen.representation = Some((self.header(range)?, range)),
                6 => self.bitmap(range, &mut seen)?,
                7 => self.field(range, &seen)?,
                other => return Err(Error::new("a section that GRIB2 does not have").found(other)),
            }
            at += u64::from(length);
        }
        Ok(())
    }

    /// Code table 6.0: 0 brings a bitmap, 254 means the one before it, 255 none.
    fn bitmap(&mut self, range: Range, seen: &mut Sections) -> Result<()> {
        let mut head = [0; 6];
        if range.length < 6 {
            return Err(Error::new("section 6 is too short").found(range.length));
        }
        self.seek(range.start)?;
        self.read(&mut head)?;
        if head[5] == 0 {
            seen.own_bitmap = Some(range);
        }
        seen.bitmap = if head[5] == 254 { seen.own_bitmap } else { Some(range) };
        Ok(())
    }

    fn field(&mut self, data: Range, seen: &Sections) -> Result<()> {
        let missing = |n: u8| {
            move || {
                Error::new(format!("section {n} is missing before section 7")).remedy("get the file again")
            }
        };
        let identification = seen.identification.as_deref().ok_or_else(missing(1))?;
        let grid_section = seen.grid.as_ref().ok_or_else(missing(3))?;
        let product_section = seen.product.as_deref().ok_or_else(missing(4))?;
        let (representation, representation_range) = seen.representation.as_ref().ok_or_else(missing(5))?;
        let bitmap = seen.bitmap.ok_or_else(missing(6))?;

        let product = product::read(seen.discipline, Section(identification), Section(product_section))?;
        let grid = self.grid(grid_section);
        let reading = names::grib2(&product.code);
        let scan = grid.as_ref().ok().map(|(_, scan)| *scan);
        let template = Section(representation).u16(10)?;
        let stored = Stored { scan, representation: *representation_range, bitmap, data };
        let path = self.path.clone();
        let quantity = reading.as_ref().and_then(|r| r.quantity);
        let message = Message {
            path: self.path.clone(),
            number: self.number(),
            code: product.code.to_string(),
            quantity,
            note: reading.and_then(|r| r.note),
            unit: None,
            reference: product.reference,
            valid: product.valid,
            member: product.member,
            grid: grid.map(|(grid, _)| grid),
            packing: packing(template),
            damage: None,
            values: Lazy::at_points(move |points| decode(&path, &stored, points)),
        };
        match product.component.filter(|_| quantity == Some(Quantity::Spectrum)) {
            Some(place) => self.components.push((place, message)),
            None => self.messages.push(message),
        }
        Ok(())
    }

    /// The number of the field that comes next.
    fn number(&self) -> usize {
        self.messages.len() + self.components.len() + 1
    }

    /// The grid of a section 3; messages with the same section share one.
    fn grid(&mut self, section: &[u8]) -> Result<(Arc<Grid>, Scan)> {
        if let Some(known) = self.grids.get(section) {
            return known.clone();
        }
        let read = grid::read(Section(section)).map(|(grid, scan)| (Arc::new(grid), scan));
        let read = read.map_err(|e| e.file(&self.path).at(format!("message {}", self.number())));
        self.grids.insert(section.to_vec(), read.clone());
        read
    }

    fn header(&mut self, range: Range) -> Result<Vec<u8>> {
        if range.length > LONGEST_HEADER {
            return Err(Error::new("a section is longer than any grid of latitude and longitude needs")
                .found(format!("{} octets at byte {}", range.length, range.start))
                .remedy("the grid lists its points one by one, or the file is damaged"));
        }
        let mut bytes = vec![0; range.length as usize];
        self.seek(range.start)?;
        self.read(&mut bytes)?;
        Ok(bytes)
    }

    fn seek(&mut self, to: u64) -> Result<()> {
        // a relative seek keeps the buffer where it can
        let here = self.file.stream_position().map_err(|e| Error::io("read", &self.path, &e))?;
        let by = to as i64 - here as i64;
        let moved = self.file.seek_relative(by).or_else(|_| self.file.seek(SeekFrom::Start(to)).map(drop));
        moved.map_err(|e| Error::io("read", &self.path, &e))
    }

    fn read(&mut self, into: &mut [u8]) -> Result<()> {
        self.file.read_exact(into).map_err(|e| Error::io("read", &self.path, &e))
    }
}

/// Code table 5.0, as far as wave forecasts use it.
fn packing(template: u16) -> String {
    let name = match template {
        0 => "simple",
        2 => "complex",
        3 => "complex, spatial differencing",
        4 => "IEEE floating point",
        40 => "JPEG 2000",
        41 => "PNG",
        42 => "CCSDS",
        200 => "run length",
        other => return format!("template 5.{other}"),
    };
    name.to_owned()
}
