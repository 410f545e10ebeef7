//! Sections 0, 1 and 4: what a field is, and when.

use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use crate::base::{Error, Result};
use crate::forecast::grib2::octets::Section;
use crate::forecast::names::Grib2Code;
use crate::forecast::spectral_parts::SpectralPlace;

/// What sections 1 and 4 say.
#[derive(Debug, Clone)]
pub(super) struct Product {
    pub code: Grib2Code,
    pub reference: Timestamp,
    pub valid: Timestamp,
    pub member: Option<u32>,
    /// Which component of a spectrum it is (templates 4.99 and 4.100).
    pub component: Option<SpectralPlace>,
}

/// Reads sections 1 and 4 of a field.
///
/// Templates other than 4.0, 4.1, 4.99, 4.100, 4.103 and 4.104 keep their times elsewhere and are never used; theirs is the reference time.
///
/// # Errors
/// Sections that are too short, dates that do not exist, units of time without a fixed length, spectra without sense.
pub(super) fn read(discipline: u8, identification: Section, product: Section) -> Result<Product> {
    let template = product.u16(8)?;
    let reference = reference_time(identification)?;
    let mut code = Grib2Code {
        centre: identification.u16(6)?,
        discipline,
        category: product.u8(10)?,
        number: product.u8(11)?,
        product: template,
        surface: 255,
        surface_value: None,
        band_s: None,
    };
    let (mut valid, mut member) = (reference, None);
    if template <= 1 {
        code.surface = product.u8(23)?;
        code.surface_value = scaled(product.i8(24)?, product.u8(24)?, product.i32(25)?, product.u32(25)?);
        valid = valid_time(identification.u8(12)?, reference, product.u8(18)?, product.i32(19)?)?;
    }
    if template == 1 {
        member = Some(u32::from(product.u8(36)?));
    }
    // templates 4.103 and 4.104: a band of periods comes before what 4.0 and 4.1 begin with in octet 12
    if matches!(template, 103 | 104) {
        code.band_s = band(product)?;
        let shift = PERIOD_BAND_OCTETS;
        code.surface = product.u8(23 + shift)?;
        valid =
            valid_time(identification.u8(12)?, reference, product.u8(18 + shift)?, product.i32(19 + shift)?)?;
    }
    if template == 104 {
        member = Some(u32::from(product.u8(36 + PERIOD_BAND_OCTETS)?));
    }
    // templates 4.99 and 4.100: the component's numbers stand where 4.0 and 4.1 begin, no surface, the axes at the end
    let component = match template {
        99 | 100 => {
            let shift = COMPONENT_OCTETS;
            valid = valid_time(
                identification.u8(12)?,
                reference,
                product.u8(18 + shift)?,
                product.i32(19 + shift)?,
            )?;
            Some(component(product, if template == 99 { 31 } else { 34 })?)
        }
        _ => None,
    };
    if template == 100 {
        member = Some(u32::from(product.u8(32)?));
    }
    Ok(Product { code, reference, valid, member, component })
}

/// Octets that templates 4.99 and 4.100 put before those of 4.0 and 4.1: numbers of the direction and the frequency, and
/// how many there are of each.
const COMPONENT_OCTETS: usize = 8;

/// The component of a spectrum; its axes are listed from an octet on: a scale factor and the directions in degrees, a scale
/// factor and the frequencies in Hz.
fn component(product: Section, axes: usize) -> Result<SpectralPlace> {
    let (directions, frequencies) = (usize::from(product.u16(14)?), usize::from(product.u16(18)?));
    let list = |octet: usize, count: usize| {
        let scale = 10f64.powi(-i32::from(product.i8(octet)?));
        (0..count).map(|k| Ok(f64::from(product.u32(octet + 1 + 4 * k)?) * scale)).collect::<Result<Vec<_>>>()
    };
    let towards_deg = list(axes, directions)?;
    let frequency_hz = list(axes + 1 + 4 * directions, frequencies)?;
    SpectralPlace::new(product.u16(12)?, product.u16(16)?, towards_deg, frequency_hz)
        .map_err(|e| e.at("section 4"))
}

fn reference_time(section: Section) -> Result<Timestamp> {
    let year = section.u16(13)?;
    let [month, day, hour, minute, second] =
        [section.u8(15)?, section.u8(16)?, section.u8(17)?, section.u8(18)?, section.u8(19)?];
    let written = || format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}");
    let small = |v: u8| i8::try_from(v).unwrap_or(-1);
    let year = i16::try_from(year).unwrap_or(-1);
    DateTime::new(year, small(month), small(day), small(hour), small(minute), small(second), 0)
        .and_then(|civil| TimeZone::UTC.to_timestamp(civil))
        .map_err(|_| Error::new("the reference time is no date").at("section 1").found(written()))
}

/// Octets that templates 4.103 and 4.104 put before those of 4.0 and 4.1: type of interval, two scaled limits.
const PERIOD_BAND_OCTETS: usize = 11;

/// A band of periods closed on both sides (code table 4.91, type 7) with limits in whole seconds.
fn band(product: Section) -> Result<Option<(u16, u16)>> {
    let seconds = |value: u32| u16::try_from(value).ok();
    let whole = product.u8(13)? == 0 && product.u8(18)? == 0;
    let limits = seconds(product.u32(14)?).zip(seconds(product.u32(19)?));
    Ok(limits.filter(|(low, high)| product.u8(12) == Ok(7) && whole && low < high))
}

fn valid_time(significance: u8, reference: Timestamp, unit: u8, ahead: i32) -> Result<Timestamp> {
    // code table 1.2: 2 means that the reference time is the verifying time itself
    if significance == 2 {
        return Ok(reference);
    }
    let seconds = unit_seconds(unit).ok_or_else(|| {
        Error::new("the forecast time is in a unit without a fixed length")
            .at("section 4")
            .found(format!("unit {unit} (code table 4.4)"))
            .expected("seconds, minutes, hours or days")
    })?;
    let ahead = SignedDuration::from_secs(i64::from(ahead) * seconds);
    reference
        .checked_add(ahead)
        .map_err(|_| Error::new("the forecast time lies outside the calendar").at("section 4").found(ahead))
}

/// Seconds in a unit of forecast time (code table 4.4), where it has a fixed length.
fn unit_seconds(unit: u8) -> Option<i64> {
    Some(match unit {
        0 => 60,
        1 => 3600,
        2 => 86_400,
        10 => 3 * 3600,
        11 => 6 * 3600,
        12 => 12 * 3600,
        13 => 1,
        _ => return None,
    })
}

/// A surface's value; all bits set means that none is stated.
fn scaled(factor: i8, factor_raw: u8, value: i32, value_raw: u32) -> Option<f64> {
    (factor_raw != u8::MAX && value_raw != u32::MAX)
        .then(|| f64::from(value) * 10f64.powi(-i32::from(factor)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sections(unit: u8, forecast_time: u32, template: u8) -> (Vec<u8>, Vec<u8>) {
        let one = vec![0, 0, 0, 21, 1, 0, 7, 0, 0, 2, 1, 1, 0x07, 0xe8, 2, 28, 18, 0, 0, 0, 1];
        let mut four = vec![0; 37];
        four[3..5].copy_from_slice(&[37, 4]);
        four[8] = template;
        four[17] = unit;
        four[18..22].copy_from_slice(&forecast_time.to_be_bytes());
        four[22..28].copy_from_slice(&[103, 0, 0, 0, 0, 10]);
        four[35] = 4;
        (one, four)
    }

    #[test]
    fn valid_time_is_reference_plus_step_in_any_unit() {
        let valid = |unit, step| {
            let (one, four) = sections(unit, step, 0);
            read(10, Section(&one), Section(&four)).map(|p| p.valid.to_string())
        };
        assert_eq!(valid(1, 30).unwrap(), "2024-03-01T00:00:00Z");
        assert_eq!(valid(11, 5).unwrap(), "2024-03-01T00:00:00Z");
        assert_eq!(valid(0, 0x8000_0000 | 60).unwrap(), "2024-02-28T17:00:00Z");
        assert!(valid(3, 1).unwrap_err().to_string().contains("fixed length"));
    }

    #[test]
    fn reads_surface_and_member() {
        let (mut one, four) = sections(1, 0, 1);
        let product = read(0, Section(&one), Section(&four)).unwrap();
        assert_eq!((product.member, product.code.surface_value), (Some(4), Some(10.0)));
        one[14] = 13;
        assert!(read(0, Section(&one), Section(&four)).unwrap_err().to_string().contains("no date"));
    }
}
