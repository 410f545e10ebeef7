//! The matrix form: TWS in the first row, TWA in the first column.

use crate::base::{Error, Result};
use crate::polar::flat::{Polar, PolarAxis, check_read_axis, check_read_speed};
use crate::polar::text_table::{TextRow, TextTable, at};

/// The polar, and what of it was put in order.
pub(super) fn read(table: &TextTable) -> Result<(Polar, Vec<String>)> {
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
    let columns = rising(table, &tws_kn, PolarAxis::Tws, |i| at(header.line, i + 1))?;
    let twa_deg: Vec<f64> =
        rows.iter().map(|row| axis_value(table, row, 0, PolarAxis::Twa)).collect::<Result<_>>()?;
    let order = rising(table, &twa_deg, PolarAxis::Twa, |i| at(rows[i].line, 0))?;
    rows.iter().try_for_each(|row| check_width(table, row, header, width))?;
    let mut speed_kn = Vec::with_capacity(tws_kn.len() * twa_deg.len());
    for row in &order {
        for column in &columns {
            speed_kn.push(speed(table, &rows[*row], column + 1)?);
        }
    }
    let sorted = |order: &[usize], axis: PolarAxis| {
        let moved = order.iter().enumerate().any(|(place, from)| place != *from);
        moved.then(|| format!("{} did not rise in the file and was sorted", axis.name()))
    };
    let notes = sorted(&columns, PolarAxis::Tws).into_iter().chain(sorted(&order, PolarAxis::Twa)).collect();
    let picked = |values: &[f64], order: &[usize]| order.iter().map(|i| values[*i]).collect();
    Ok((Polar::new(picked(&tws_kn, &columns), picked(&twa_deg, &order), speed_kn)?, notes))
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

/// The places of an axis' values in rising order.
fn rising(
    table: &TextTable,
    values: &[f64],
    axis: PolarAxis,
    place: impl Fn(usize) -> String,
) -> Result<Vec<usize>> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    match order.windows(2).find(|pair| values[pair[0]] == values[pair[1]]) {
        None => Ok(order),
        Some(pair) => {
            let (name, value) = (axis.name(), values[pair[1]]);
            let error = Error::new(format!("{name} {value} stands twice"))
                .at(place(pair[1]))
                .found(format!("{value}, as at {}", place(pair[0])))
                .expected(format!("each {name} once"));
            Err(table.shape_remedy(error, &format!("take one of the two out: each {name} once")))
        }
    }
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
