//! Reads the user's own responses: `speed_kn,wave_angle_deg,period_s` and the columns the table has.

use crate::base::units::kn_to_m_s;
use crate::base::{Error, Result};
use crate::files::text_file;
use crate::hydro::own_table::{OwnPoint, OwnTable};
use num_complex::Complex64;
use std::collections::BTreeMap;
use std::path::Path;

const AXES: [&str; 3] = ["speed_kn", "wave_angle_deg", "period_s"];
const RESISTANCE: &str = "added_resistance_n_per_m2";
const MOTIONS: [&str; 4] = ["heave_m_per_m", "heave_phase_deg", "pitch_rad_per_m", "pitch_phase_deg"];

/// Reads a CSV of own responses: the three axes, and `added_resistance_n_per_m2` (per amplitude squared), or the four
/// motion columns (phases against the crest at the centre of gravity, pitch bow down), or both. Rows in any order.
///
/// # Errors
/// A missing or unknown column, a value that is no number, a node given twice, a grid that is not full.
pub fn read(path: &Path) -> Result<OwnTable> {
    let text = text_file::read(path)?;
    parse(&text).map_err(|error| error.file(path))
}

fn parse(text: &str) -> Result<OwnTable> {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).trim(csv::Trim::All).from_reader(text.as_bytes());
    let failed = |error: csv::Error| {
        Error::new(format!("the table of own responses cannot be read: {error}"))
            .remedy("check the file's columns")
    };
    let header = reader.headers().map_err(failed)?.clone();
    let column = |name: &str| header.iter().position(|column| column == name);
    check_header(&header)?;
    let mut nodes: BTreeMap<[u64; 3], OwnPoint> = BTreeMap::new();
    for record in reader.records() {
        let record = record.map_err(failed)?;
        let line = record.position().map_or(0, csv::Position::line);
        let number = |name: &str| -> Result<Option<f64>> {
            let Some(field) = column(name).and_then(|i| record.get(i)) else { return Ok(None) };
            match field.parse::<f64>() {
                Ok(value) if value.is_finite() => Ok(Some(value)),
                _ => Err(Error::new("a value is not a number")
                    .at(format!("line {line}, column {name}"))
                    .found(format!("\"{field}\""))
                    .expected("a number")
                    .remedy("correct the value")),
            }
        };
        let mut node = [0; 3];
        for (place, name) in node.iter_mut().zip(AXES) {
            let value = number(name)?.unwrap_or_default();
            if value < 0.0 {
                return Err(Error::new("an axis value is negative")
                    .at(format!("line {line}, column {name}"))
                    .found(value)
                    .expected("0 or more"));
            }
            // numbers that are not negative sort as their bits do
            *place = (value + 0.0).to_bits();
        }
        let [heave, heave_phase, pitch, pitch_phase] = MOTIONS.map(number);
        let motions = match (heave?, heave_phase?, pitch?, pitch_phase?) {
            (Some(heave), Some(heave_phase), Some(pitch), Some(pitch_phase)) => Some([
                Complex64::from_polar(heave, heave_phase.to_radians()),
                Complex64::from_polar(pitch, pitch_phase.to_radians()),
            ]),
            _ => None,
        };
        if nodes.insert(node, OwnPoint { added_resistance: number(RESISTANCE)?, motions }).is_some() {
            return Err(Error::new("a node stands twice in the table")
                .at(format!("line {line}"))
                .expected("each speed, angle and period once")
                .remedy("remove one of the two rows"));
        }
    }
    table(nodes)
}

fn check_header(header: &csv::StringRecord) -> Result<()> {
    let known = || AXES.iter().chain([&RESISTANCE]).chain(&MOTIONS);
    if let Some(unknown) = header.iter().find(|name| !known().any(|known| known == name)) {
        let error = Error::new("an unknown column").at("the header").found(format!("\"{unknown}\""));
        return Err(match crate::base::error::nearest(unknown, known().copied()) {
            Some(near) => error.remedy(format!("did you mean \"{near}\"?")),
            None => error.expected(known().copied().collect::<Vec<_>>().join(", ")),
        });
    }
    let has = |name: &str| header.iter().any(|column| column == name);
    let motions = MOTIONS.iter().filter(|name| has(name)).count();
    if let Some(missing) = AXES.iter().find(|name| !has(name)) {
        return Err(Error::new("a column is missing").at("the header").expected(format!("\"{missing}\"")));
    }
    if motions % MOTIONS.len() != 0 || (motions == 0 && !has(RESISTANCE)) {
        return Err(Error::new("the table holds no complete response")
            .at("the header")
            .expected(format!("\"{RESISTANCE}\", or all of {}, or both", MOTIONS.join(", ")))
            .remedy("add the missing columns"));
    }
    Ok(())
}

/// The table on the grid that the nodes span.
fn table(nodes: BTreeMap<[u64; 3], OwnPoint>) -> Result<OwnTable> {
    let axis = |i: usize| -> Vec<f64> {
        let mut bits: Vec<u64> = nodes.keys().map(|node| node[i]).collect();
        bits.sort_unstable();
        bits.dedup();
        bits.into_iter().map(f64::from_bits).collect()
    };
    let [speeds, angles, periods] = [axis(0), axis(1), axis(2)];
    let sizes = format!(
        "{} rows for {} speeds x {} angles x {} periods",
        nodes.len(),
        speeds.len(),
        angles.len(),
        periods.len()
    );
    let axes = [
        speeds.into_iter().map(kn_to_m_s).collect(),
        angles.into_iter().map(f64::to_radians).collect(),
        periods,
    ];
    // keys rise by speed, angle, period: the order of the table
    OwnTable::new(axes, nodes.into_values().collect()).ok_or_else(|| {
        Error::new("the table of own responses is not a full grid")
            .found(sizes)
            .expected("every combination of at least two speeds, two angles and two periods")
            .remedy("add the missing rows")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid() -> String {
        let mut text = "speed_kn,wave_angle_deg,period_s,added_resistance_n_per_m2\n".to_owned();
        for v in [0, 10] {
            for mu in [90, 180] {
                for t in [4, 8] {
                    text += &format!("{v},{mu},{t},{}\n", v + mu + t);
                }
            }
        }
        text
    }

    #[test]
    fn reads_a_full_grid_in_its_units() {
        let table = parse(&grid()).unwrap();
        let point = table.at(kn_to_m_s(5.0), 135_f64.to_radians(), std::f64::consts::TAU / 6.0).unwrap();
        assert!((point.added_resistance.unwrap() - (5.0 + 135.0 + 6.0)).abs() < 1e-9);
    }

    #[test]
    fn names_what_is_wrong() {
        let lacking = grid().lines().take(8).collect::<Vec<_>>().join("\n");
        assert!(parse(&lacking).unwrap_err().to_string().contains("7 rows"));
        let doubled = grid() + "0,90,4,1\n";
        assert!(parse(&doubled).unwrap_err().to_string().contains("line 10"));
        assert!(parse("speed_kn,wave_angle,period_s\n").unwrap_err().to_string().contains("wave_angle_deg"));
        assert!(parse(&grid().replace("94", "x")).unwrap_err().to_string().contains("line 2"));
    }
}
