//! Complex packing (templates 5.2 and 7.2), with spatial differencing (5.3 and 7.3) or without: groups of numbers, each
//! with a reference, a width and a length of its own.
//!
//! Groups that hold no place looked at are passed over; with differencing each value takes those before it, so reading
//! ends behind the last place.

use crate::base::Result;
use crate::forecast::grib2::bits::Bits;
use crate::forecast::grib2::octets::Section;
use crate::forecast::grib2::scaled;
use crate::forecast::grib2::simple::check_original;
use crate::forecast::grib2::unpacking::cannot;
use crate::forecast::spans::Spans;

/// Numbers of more bits are refused: with their reference they would not be whole numbers of 32 bits.
const MOST_BITS: u32 = 31;

/// Numbers of a group that are unpacked at once: writers make groups of some ten.
const AT_ONCE: usize = 8;

/// How the groups of a section 7 lie.
#[derive(Debug, Clone, Copy)]
pub(super) struct Groups<'a> {
    /// Number of groups.
    pub count: usize,
    references: Bits<'a>,
    reference_bits: u32,
    widths: Bits<'a>,
    width_bits: u32,
    least_width: u32,
    lengths: Bits<'a>,
    length_bits: u32,
    least_length: u32,
    length_step: u32,
    last_length: u32,
    numbers: Bits<'a>,
}

/// One group.
#[derive(Debug, Clone, Copy)]
struct Group {
    reference: i64,
    width: u32,
    length: usize,
}

/// What of the numbers stands for missing values (code table 5.5).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Missing {
    None,
    Primary,
    PrimaryAndSecondary,
}

/// How values follow from those before them (code table 5.6), and what the least difference is.
#[derive(Debug, Clone, Copy)]
enum Differences {
    None,
    First { first: i64, least: i64 },
    Second { first: [i64; 2], least: i64 },
}

impl<'a> Groups<'a> {
    /// From sections 5 and 7.
    ///
    /// # Errors
    /// Section 7 that is shorter than the lists of references, widths and lengths need.
    pub fn read(section5: Section, payload: &'a [u8]) -> Result<Self> {
        let count = section5.u32(32)? as usize;
        let [reference_bits, width_bits, length_bits] =
            [section5.u8(20)?, section5.u8(37)?, section5.u8(47)?].map(u32::from);
        let mut rest = payload.get(extra_octets(section5)?..).unwrap_or_default();
        let mut list = |bits: u32| -> Result<Bits<'a>> {
            let octets = (count * bits as usize).div_ceil(8);
            let (list, behind) = rest.split_at_checked(octets).ok_or_else(|| too_short(octets))?;
            rest = behind;
            Ok(Bits(list))
        };
        let (references, widths, lengths) = (list(reference_bits)?, list(width_bits)?, list(length_bits)?);
        Ok(Self {
            count,
            references,
            reference_bits,
            widths,
            width_bits,
            least_width: section5.u8(36)?.into(),
            lengths,
            length_bits,
            least_length: section5.u32(38)?,
            length_step: section5.u8(42)?.into(),
            last_length: section5.u32(43)?,
            numbers: Bits(rest),
        })
    }

    /// The number of values of a group.
    pub fn length(&self, group: usize) -> u64 {
        if group + 1 == self.count {
            return self.last_length.into();
        }
        let scaled = self.lengths.at(group * self.length_bits as usize, self.length_bits);
        u64::from(self.least_length) + u64::from(self.length_step) * u64::from(scaled)
    }

    fn group(&self, group: usize) -> Result<Group> {
        let at = |list: Bits, bits: u32| list.at(group * bits as usize, bits);
        let width = self.least_width.saturating_add(at(self.widths, self.width_bits));
        if width > MOST_BITS {
            return Err(cannot(format!("a group of {width} bits a value")).expected(MOST_BITS));
        }
        Ok(Group {
            reference: at(self.references, self.reference_bits).into(),
            width,
            length: self.length(group) as usize,
        })
    }
}

/// The octets that stand before the groups: first values and the least difference.
fn extra_octets(section5: Section) -> Result<usize> {
    match section5.u16(10)? {
        3 => Ok((usize::from(section5.u8(48)?) + 1) * usize::from(section5.u8(49)?)),
        _ => Ok(0),
    }
}

fn too_short(octets: usize) -> crate::base::Error {
    cannot(format!("section 7 ends before {octets} octets of a list of its groups"))
}

/// The values at some places, not-a-number where the packing marks them as missing; what is at others is not said.
///
/// # Errors
/// Methods that are not known, groups that reach beyond the section or the number of values.
pub(super) fn unpack(section5: Section, payload: &[u8], packed: usize, at: &Spans) -> Result<Vec<f32>> {
    check_original(section5)?;
    check_bits(section5)?;
    let missing = missing(section5)?;
    let groups = Groups::read(section5, payload)?;
    let value = scaled::single(section5)?;
    let value = |x: i64| value(x as f32);
    let mut values = vec![0.0; packed + AT_ONCE];
    match differences(section5, payload)? {
        Differences::None => each_group(&groups, missing, &mut values, at, value)?,
        Differences::First { first, least } => {
            let mut before = None;
            running(&groups, missing, &mut values, at, |x| {
                let now = before.map_or(first, |before: i64| before.wrapping_add(x + least));
                before = Some(now);
                value(now)
            })?;
        }
        Differences::Second { first: [first, second], least } => {
            let mut before: [Option<i64>; 2] = [None; 2];
            running(&groups, missing, &mut values, at, |x| {
                let now = match before {
                    [Some(older), Some(newer)] => {
                        (x + least).wrapping_add(newer.wrapping_mul(2)).wrapping_sub(older)
                    }
                    [None, Some(_)] => second,
                    _ => first,
                };
                before = [before[1], Some(now)];
                value(now)
            })?;
        }
    }
    values.truncate(packed);
    Ok(values)
}

fn check_bits(section5: Section) -> Result<()> {
    if section5.u8(22)? != 1 {
        return Err(
            cannot(format!("group splitting method {} (code table 5.4)", section5.u8(22)?)).expected(1)
        );
    }
    let [reference, width, length] = [section5.u8(20)?, section5.u8(37)?, section5.u8(47)?].map(u32::from);
    if reference > MOST_BITS || width > 32 || length > 32 {
        return Err(cannot(format!(
            "groups whose references, widths and lengths have {reference}, {width} and {length} bits"
        ))
        .expected("at most 31, 32 and 32"));
    }
    Ok(())
}

fn missing(section5: Section) -> Result<Missing> {
    match section5.u8(23)? {
        0 => Ok(Missing::None),
        1 => Ok(Missing::Primary),
        2 => Ok(Missing::PrimaryAndSecondary),
        other => {
            Err(cannot(format!("missing value management {other} (code table 5.5)")).expected("0, 1 or 2"))
        }
    }
}

fn differences(section5: Section, payload: &[u8]) -> Result<Differences> {
    if section5.u16(10)? != 3 {
        return Ok(Differences::None);
    }
    let (order, octets) = (section5.u8(48)?, usize::from(section5.u8(49)?));
    if !(1..=4).contains(&octets) {
        return Err(cannot(format!("{octets} octets for the first values")).expected("1 to 4"));
    }
    let number = |place: usize| -> Result<i64> {
        let bytes = payload.get(place * octets..(place + 1) * octets).ok_or_else(|| too_short(octets))?;
        Ok(bytes.iter().fold(0, |sum, byte| sum << 8 | i64::from(*byte)))
    };
    // GRIB writes a sign bit and a magnitude
    let signed = |raw: i64| {
        let sign = 1 << (8 * octets - 1);
        if raw & sign == 0 { raw } else { -(raw - sign) }
    };
    match order {
        1 => Ok(Differences::First { first: number(0)?, least: signed(number(1)?) }),
        2 => Ok(Differences::Second { first: [number(0)?, number(1)?], least: signed(number(2)?) }),
        other => {
            Err(cannot(format!("spatial differencing of order {other} (code table 5.6)")).expected("1 or 2"))
        }
    }
}

/// Groups each on its own: those that hold no place looked at are passed over.
fn each_group(
    groups: &Groups,
    missing: Missing,
    values: &mut [f32],
    at: &Spans,
    value: impl Fn(i64) -> f32,
) -> Result<()> {
    let (mut place, mut bit) = (0, 0);
    for index in 0..groups.count {
        let group = groups.group(index)?;
        let end = place + group.length;
        if at.touch(&(place..end)) {
            if end + AT_ONCE > values.len() {
                return Err(too_many(end));
            }
            if missing == Missing::None {
                group.unpack_at_once(groups, bit, &mut values[place..], &value)?;
            } else {
                group.unpack(groups, bit, missing, &mut values[place..end], &value)?;
            }
        }
        bit += group.width as usize * group.length;
        place = end;
    }
    Ok(())
}

/// Groups one after the other up to the last place looked at.
fn running(
    groups: &Groups,
    missing: Missing,
    values: &mut [f32],
    at: &Spans,
    mut value: impl FnMut(i64) -> f32,
) -> Result<()> {
    let (mut place, mut bit) = (0, 0);
    for index in 0..groups.count {
        if place >= at.end() {
            break;
        }
        let group = groups.group(index)?;
        let end = place + group.length;
        if end + AT_ONCE > values.len() {
            return Err(too_many(end));
        }
        group.unpack(groups, bit, missing, &mut values[place..end], &mut value)?;
        bit += group.width as usize * group.length;
        place = end;
    }
    Ok(())
}

fn too_many(end: usize) -> crate::base::Error {
    cannot(format!("groups with {end} values or more, beyond the field's"))
}

impl Group {
    fn check(&self, groups: &Groups, bit: usize) -> Result<()> {
        if (bit + self.width as usize * self.length).div_ceil(8) > groups.numbers.0.len() {
            return Err(cannot("a group that reaches beyond section 7"));
        }
        Ok(())
    }

    /// As [`Group::unpack`] with nothing missing, some numbers at once: those behind the group's end are set to what stands there, and
    /// set again by the next group. Groups are a few numbers long, and so the loop over them is nearly always of one turn.
    fn unpack_at_once(
        &self,
        groups: &Groups,
        bit: usize,
        into: &mut [f32],
        value: impl Fn(i64) -> f32,
    ) -> Result<()> {
        self.check(groups, bit)?;
        let (width, reference) = (self.width, self.reference);
        if width == 0 {
            into[..self.length].fill(value(reference));
            return Ok(());
        }
        let (into, _) = into.as_chunks_mut::<AT_ONCE>();
        let mut bit = bit;
        for into in into.iter_mut().take(self.length.div_ceil(AT_ONCE)) {
            for into in into {
                *into = value(reference + i64::from(groups.numbers.at(bit, width)));
                bit += width as usize;
            }
        }
        Ok(())
    }

    fn unpack(
        &self,
        groups: &Groups,
        bit: usize,
        missing: Missing,
        into: &mut [f32],
        mut value: impl FnMut(i64) -> f32,
    ) -> Result<()> {
        self.check(groups, bit)?;
        let (width, numbers) = (self.width, groups.numbers);
        if width == 0 {
            let (number, highest) = (self.reference, (1i64 << groups.reference_bits) - 1);
            if missing.is(number, highest) {
                into.fill(f32::NAN);
            } else {
                into.iter_mut().for_each(|into| *into = value(number));
            }
        } else if missing == Missing::None {
            for (k, into) in into.iter_mut().enumerate() {
                *into = value(self.reference + i64::from(numbers.at(bit + k * width as usize, width)));
            }
        } else {
            let highest = (1i64 << width) - 1;
            for (k, into) in into.iter_mut().enumerate() {
                let number = i64::from(numbers.at(bit + k * width as usize, width));
                *into = if missing.is(number, highest) { f32::NAN } else { value(self.reference + number) };
            }
        }
        Ok(())
    }
}

impl Missing {
    /// Whether a number stands for a missing value, where so much is the highest of its width.
    fn is(self, number: i64, highest: i64) -> bool {
        match self {
            Self::None => false,
            Self::Primary => number == highest,
            Self::PrimaryAndSecondary => number == highest || number == (highest - 1).max(0),
        }
    }
}
