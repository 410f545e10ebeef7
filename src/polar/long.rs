//! The long form: a header `tws_kn,twa_deg,speed_kn`, one row a cell.

use crate::base::error::nearest;
use crate::base::{Error, Result};
use crate::polar::flat::{Polar, PolarAxis, check_read_axis, check_read_speed};
use crate::polar::text_table::{TextRow, TextTable, at};

/// The columns of the long form.
pub(super) const COLUMNS: [&str; 3] = ["tws_kn", "twa_deg", "speed_kn"];

struct LongCell {
    line: usize,
    tws_kn: f64,
    twa_deg: f64,
    speed_kn: f64,
}

pub(super) fn read(table: &TextTable) -> Result<Polar> {
    let (header, rows) = (&table.rows[0], &table.rows[1..]);
    let columns = columns(header)?;
    let cells = rows.iter().map(|row| cell(table, row, header, columns)).collect::<Result<Vec<_>>>()?;
    let tws_kn = axis(cells.iter().map(|cell| cell.tws_kn));
    let twa_deg = axis(cells.iter().map(|cell| cell.twa_deg));
    let mut grid: Vec<Option<&LongCell>> = vec![None; tws_kn.len() * twa_deg.len()];
    for cell in &cells {
        let (row, column) = (index(&twa_deg, cell.twa_deg), index(&tws_kn, cell.tws_kn));
        if let Some(first) = grid[row * tws_kn.len() + column].replace(cell) {
            return Err(Error::new("a cell of the polar is given twice")
                .at(format!("line {}", cell.line))
                .found(format!("{}, as in line {}", name(cell.tws_kn, cell.twa_deg), first.line))
                .expected("each pair of TWS and TWA once")
                .remedy("delete one of the two lines"));
        }
    }
    if let Some(hole) = grid.iter().position(Option::is_none) {
        let holes = grid.iter().filter(|cell| cell.is_none()).count();
        let first = name(tws_kn[hole % tws_kn.len()], twa_deg[hole / tws_kn.len()]);
        return Err(Error::new("the polar has holes")
            .found(format!("{holes} of {} cells missing, the first at {first}", grid.len()))
            .expected("every TWA at every TWS")
            .remedy("add the missing lines; speed 0 where the boat makes no way"));
    }
    let speed_kn = grid.into_iter().flatten().map(|cell| cell.speed_kn).collect();
    Polar::new(tws_kn, twa_deg, speed_kn)
}

/// Where the three columns stand.
fn columns(header: &TextRow) -> Result<[usize; 3]> {
    let names: Vec<String> = header.fields.iter().map(|field| field.to_lowercase()).collect();
    for (column, found) in names.iter().enumerate() {
        let known = COLUMNS.contains(&found.as_str());
        if !known || names[..column].contains(found) {
            let problem = if known { "a column is named twice" } else { "the polar has an unknown column" };
            let error = Error::new(problem)
                .at(at(header.line, column))
                .found(format!("\"{}\"", header.fields[column]))
                .expected("the columns tws_kn, twa_deg and speed_kn, or a first row of TWS in knots");
            return Err(match nearest(found, COLUMNS).filter(|_| !known) {
                Some(name) => error.remedy(format!("did you mean \"{name}\"?")),
                None => error.remedy("take the column out"),
            });
        }
    }
    let place = |name: &str| {
        names.iter().position(|found| found == name).ok_or_else(|| {
            Error::new("the polar lacks a column")
                .at(format!("line {}", header.line))
                .found(names.join(", "))
                .expected(format!("a column {name}"))
                .remedy("the long form has the columns tws_kn, twa_deg and speed_kn")
        })
    };
    Ok([place(COLUMNS[0])?, place(COLUMNS[1])?, place(COLUMNS[2])?])
}

fn cell(
    table: &TextTable,
    row: &TextRow,
    header: &TextRow,
    [tws, twa, speed]: [usize; 3],
) -> Result<LongCell> {
    if row.fields.len() != header.fields.len() {
        let error = Error::new("a row has not as many fields as the header")
            .at(format!("line {}", row.line))
            .found(format!("{} fields", row.fields.len()))
            .expected(header.fields.len());
        return Err(table.shape_remedy(error, "give TWS, TWA and speed in each row"));
    }
    let tws_kn = table.number(row, tws, "TWS")?;
    check_read_axis(PolarAxis::Tws, tws_kn).map_err(|error| error.at(at(row.line, tws)))?;
    let twa_deg = table.number(row, twa, "TWA")?;
    check_read_axis(PolarAxis::Twa, twa_deg).map_err(|error| error.at(at(row.line, twa)))?;
    let speed_kn = table.number(row, speed, "boat speed")?;
    check_read_speed(speed_kn).map_err(|error| error.at(at(row.line, speed)))?;
    Ok(LongCell { line: row.line, tws_kn, twa_deg, speed_kn })
}

fn axis(values: impl Iterator<Item = f64>) -> Vec<f64> {
    // + 0.0 makes a minus zero plain
    let mut axis: Vec<f64> = values.map(|value| value + 0.0).collect();
    axis.sort_by(f64::total_cmp);
    axis.dedup();
    axis
}

fn index(axis: &[f64], value: f64) -> usize {
    axis.partition_point(|&other| other < value)
}

fn name(tws_kn: f64, twa_deg: f64) -> String {
    format!("TWS {tws_kn} kn, TWA {twa_deg} deg")
}
