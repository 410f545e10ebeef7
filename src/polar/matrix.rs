//! The matrix form: TWS in the first row, TWA in the first column.

use crate::base::{Error, Result};
use crate::polar::flat::{Polar, PolarAxis, check_read_axis, check_read_speed};
use crate::polar::text_table::{TextRow, TextTable, at};

pub(super) fn read(table: &TextTable) -> Result<Polar> {
    let (header, rows) = (&table.rows[0], &table.rows[1..]);
    check_corner(header)?;
    let width = header.fields.iter().rposition(|field| !field.is_empty()).map_or(0, |last| last + 1);
    if width < 3 {
        return Err(too_few("TWS columns", width.saturating_sub(1)).at(format!("line {}", header.line)));
    }
    if rows.len() < 2 {
        return Err(too_few("TWA rows", rows.len()));
    }
    let tws_kn: Vec<f64> =
        (1..width).map(|column| axis_value(table, header, column, PolarAxis::Tws)).collect::<Result<_>>()?;
    check_rising(table, &tws_kn, PolarAxis::Tws, |i| at(header.line, i + 1))?;
    let twa_deg: Vec<f64> =
        rows.iter().map(|row| axis_value(table, row, 0, PolarAxis::Twa)).collect::<Result<_>>()?;
    check_rising(table, &twa_deg, PolarAxis::Twa, |i| at(rows[i].line, 0))?;
    let mut speed_kn = Vec::with_capacity(tws_kn.len() * twa_deg.len());
    for row in rows {
        check_width(table, row, header, width)?;
        for column in 1..width {
            speed_kn.push(speed(table, row, column)?);
        }
    }
    Polar::new(tws_kn, twa_deg, speed_kn)
}

/// A number in the corner is a row of speeds in the place of the TWS row; 0 is a common filler.
fn check_corner(header: &TextRow) -> Result<()> {
    match header.fields[0].replace(',', ".").parse::<f64>() {
        Ok(number) if number != 0.0 => Err(Error::new("the row of TWS is missing")
            .at(at(header.line, 0))
            .found(format!("the number {number} in the table's corner"))
            .expected("any text, then the TWS of each column in knots")
            .remedy("put a row like \"twa_deg,6,8,10\" first, and no # before it")),
        _ => Ok(()),
    }
}

fn too_few(what: &str, count: usize) -> Error {
    Error::new(format!("the polar has too few {what}"))
        .found(count)
        .expected("at least two, to interpolate between")
        .remedy("check that the whole table was saved")
}

fn axis_value(table: &TextTable, row: &TextRow, column: usize, axis: PolarAxis) -> Result<f64> {
    let value = table.number(row, column, axis.name())?;
    check_read_axis(axis, value).map_err(|error| error.at(at(row.line, column)))?;
    Ok(value)
}

fn check_rising(
    table: &TextTable,
    values: &[f64],
    axis: PolarAxis,
    place: impl Fn(usize) -> String,
) -> Result<()> {
    let name = axis.name();
    for i in 1..values.len() {
        let (before, value) = (values[i - 1], values[i]);
        if value <= before {
            let problem = if values[..i].contains(&value) {
                format!("{name} {value} stands twice")
            } else {
                format!("{name} must rise")
            };
            let error = Error::new(problem)
                .at(place(i))
                .found(format!("{value} after {before}"))
                .expected(format!("a {name} above {before}"));
            return Err(table.shape_remedy(error, &format!("sort the table by {name}, each {name} once")));
        }
    }
    Ok(())
}

fn check_width(table: &TextTable, row: &TextRow, header: &TextRow, width: usize) -> Result<()> {
    let filled = row.fields.iter().rposition(|field| !field.is_empty()).map_or(0, |last| last + 1);
    if filled > width || row.fields.len() < width {
        let error = Error::new("a row has not as many fields as the row of TWS")
            .at(format!("line {}", row.line))
            .found(format!("{} fields", filled.max(row.fields.len().min(width))))
            .expected(format!("{width}, as in line {}", header.line));
        return Err(table.shape_remedy(error, "give one speed for each TWS"));
    }
    Ok(())
}

fn speed(table: &TextTable, row: &TextRow, column: usize) -> Result<f64> {
    let speed = table.number(row, column, "boat speed")?;
    check_read_speed(speed).map_err(|error| error.at(at(row.line, column)))?;
    Ok(speed)
}
