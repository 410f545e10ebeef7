//! A polar as CSV (RFC 4180): TWA rows, TWS columns, speeds to two decimals, nothing else in the file.

use crate::base::{Error, Result};
use crate::polar::csv_options::{CsvOptions, Decimal, Delimiter, Layout, LineEnd};
use crate::polar::flat::Polar;
use crate::polar::long;

/// The bytes of a polar's file.
///
/// Axis values are written as short as they read back exactly, speeds to two decimals.
pub fn to_bytes(polar: &Polar, options: &CsvOptions) -> Result<Vec<u8>> {
    options.check()?;
    let records = match options.layout {
        Layout::Matrix => matrix(polar, options),
        Layout::Long => long(polar, options),
    };
    let mut writer = csv::WriterBuilder::new()
        .delimiter(match options.delimiter {
            Delimiter::Comma => b',',
            Delimiter::Semicolon => b';',
            Delimiter::Tab => b'\t',
        })
        .terminator(match options.line_end {
            LineEnd::Crlf => csv::Terminator::CRLF,
            LineEnd::Lf => csv::Terminator::Any(b'\n'),
        })
        .from_writer(Vec::new());
    let failed = |error: String| Error::new("the polar cannot be written").found(error);
    for record in records {
        writer.write_record(record).map_err(|error| failed(error.to_string()))?;
    }
    writer.into_inner().map_err(|error| failed(error.to_string()))
}

fn matrix(polar: &Polar, options: &CsvOptions) -> Vec<Vec<String>> {
    let shortest = |value: &f64| number(format!("{}", value + 0.0), options.decimal);
    let header = std::iter::once(options.corner.clone()).chain(polar.tws_kn().iter().map(shortest));
    let rows = polar.twa_deg().iter().enumerate().map(|(i, twa)| {
        let speeds = polar.row(i).iter().map(|speed| number(format!("{speed:.2}"), options.decimal));
        std::iter::once(shortest(twa)).chain(speeds).collect()
    });
    std::iter::once(header.collect()).chain(rows).collect()
}

fn long(polar: &Polar, options: &CsvOptions) -> Vec<Vec<String>> {
    let mut records = vec![long::COLUMNS.map(str::to_owned).to_vec()];
    for (i, twa) in polar.twa_deg().iter().enumerate() {
        for (tws, speed) in polar.tws_kn().iter().zip(polar.row(i)) {
            let fields = [format!("{}", tws + 0.0), format!("{}", twa + 0.0), format!("{speed:.2}")];
            records.push(fields.map(|field| number(field, options.decimal)).to_vec());
        }
    }
    records
}

fn number(text: String, decimal: Decimal) -> String {
    match decimal {
        Decimal::Point => text,
        Decimal::Comma => text.replace('.', ","),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn small() -> Polar {
        Polar::new(vec![6.0, 8.5], vec![-40.0, 90.0], vec![4.126, 5.0, 0.0, 17.25]).unwrap()
    }

    fn text(options: &CsvOptions) -> String {
        String::from_utf8(to_bytes(&small(), options).unwrap()).unwrap()
    }

    #[test]
    fn writes_what_is_documented() {
        assert_eq!(text(&CsvOptions::default()), "twa_deg,6,8.5\r\n-40,4.13,5.00\r\n90,0.00,17.25\r\n");
        let options = CsvOptions {
            delimiter: Delimiter::Semicolon,
            decimal: Decimal::Comma,
            corner: "TWA;TWS".to_owned(),
            line_end: LineEnd::Lf,
            ..CsvOptions::default()
        };
        assert_eq!(text(&options), "\"TWA;TWS\";6;8,5\n-40;4,13;5,00\n90;0,00;17,25\n");
        let long = CsvOptions { layout: Layout::Long, delimiter: Delimiter::Tab, ..CsvOptions::default() };
        assert!(text(&long).starts_with("tws_kn\ttwa_deg\tspeed_kn\r\n6\t-40\t4.13\r\n8.5\t-40\t5.00\r\n"));
    }

    #[test]
    fn options_that_would_be_misread_are_refused() {
        let commas = CsvOptions { decimal: Decimal::Comma, ..CsvOptions::default() };
        assert!(to_bytes(&small(), &commas).unwrap_err().to_string().contains("semicolon"));
        for corner in ["#twa", "0", "6.5", "a\nb"] {
            assert!(
                CsvOptions { corner: corner.to_owned(), ..CsvOptions::default() }.check().is_err(),
                "{corner:?}"
            );
        }
    }

    fn axis(low: f64, high: f64) -> impl Strategy<Value = Vec<f64>> {
        proptest::collection::vec(low..high, 2..12).prop_map(|mut axis| {
            axis.sort_by(f64::total_cmp);
            axis.dedup();
            axis
        })
    }

    proptest! {
        #[test]
        fn reads_back_what_it_wrote(
            tws in axis(0.0, 60.0), twa in axis(-180.0, 180.0), seed in proptest::collection::vec(0u32..8000, 144),
            delimiter in 0..3usize, decimal_comma: bool, long: bool, lf: bool,
        ) {
            let speeds = seed.iter().map(|&n| f64::from(n) / 100.0).take(tws.len() * twa.len()).collect();
            let polar = Polar::new(tws, twa, speeds).unwrap();
            let delimiter = [Delimiter::Comma, Delimiter::Semicolon, Delimiter::Tab][delimiter];
            let comma = decimal_comma && delimiter != Delimiter::Comma;
            let options = CsvOptions {
                delimiter,
                decimal: if comma { Decimal::Comma } else { Decimal::Point },
                layout: if long { Layout::Long } else { Layout::Matrix },
                line_end: if lf { LineEnd::Lf } else { LineEnd::Crlf },
                ..CsvOptions::default()
            };
            let bytes = to_bytes(&polar, &options).unwrap();
            let read = Polar::parse(&crate::files::text_file::decode(&bytes).unwrap()).unwrap();
            prop_assert_eq!(read, polar);
        }
    }
}
