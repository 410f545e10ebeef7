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

/// Usual names of the three columns, without case, spaces and units.
const NAMES: [(&str, &[&str]); 3] = [
    (COLUMNS[0], &["tws", "windspeed", "truewindspeed", "wind"]),
    (COLUMNS[1], &["twa", "windangle", "truewindangle", "angle"]),
    (COLUMNS[2], &["speed", "boatspeed", "bsp", "bs", "stw", "speedthroughwater", "v"]),
];

/// The column that a name means, by its place in [`COLUMNS`].
fn meant(name: &str) -> Option<usize> {
    let bare = name.to_lowercase();
    let bare: String = bare.chars().filter(|c| c.is_alphanumeric()).collect();
    let units = ["knots", "kts", "kt", "kn", "degrees", "deg"];
    let without = |bare: &str| units.iter().find_map(|unit| bare.strip_suffix(unit).map(str::to_owned));
    let candidates = [Some(bare.clone()), without(&bare)];
    let is_called = |names: &[&str]| candidates.iter().flatten().any(|bare| names.contains(&bare.as_str()));
    NAMES.iter().position(|(_, names)| is_called(names))
}

/// Where the three columns stand.
fn columns(header: &TextRow) -> Result<[usize; 3]> {
    let mut places: [Option<usize>; 3] = [None; 3];
    for (column, found) in header.fields.iter().enumerate() {
        let wrong = |problem: &str| {
            Error::new(problem)
                .at(at(header.line, column))
                .found(format!("\"{found}\""))
                .expected("columns for TWS, TWA and boat speed such as tws_kn, twa_deg and speed_kn, or a first row of TWS in knots")
        };
        match meant(found) {
            Some(place) if places[place].is_some() => {
                return Err(wrong("a column is named twice").remedy("take one of the two out"));
            }
            Some(place) => places[place] = Some(column),
            None => {
                let error = wrong("the polar has an unknown column");
                return Err(match nearest(&found.to_lowercase(), COLUMNS) {
                    Some(name) => error.remedy(format!("did you mean \"{name}\"?")),
                    None => error.remedy("take the column out, or name its unit in knots or degrees"),
                });
            }
        }
    }
    let place = |i: usize| {
        places[i].ok_or_else(|| {
            Error::new("the polar lacks a column")
                .at(format!("line {}", header.line))
                .found(header.fields.join(", "))
                .expected(format!("a column {}", COLUMNS[i]))
                .remedy("the long form has the columns tws_kn, twa_deg and speed_kn")
        })
    };
    Ok([place(0)?, place(1)?, place(2)?])
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
