//! From the cells of both tacks to the table that a router takes.

use crate::base::Result;
use crate::derate::polar_cell::PolarCell;
use crate::derate::tack::Tack;
use crate::polar::{Polar, TackChoice};

/// The corrected polar of one region and window, with the tacks as chosen.
///
/// # Errors
/// Cells that fill no table, which the cells of one call of [`crate::derate::derate`] always do.
pub fn corrected_polar(cells: &[PolarCell], choice: TackChoice) -> Result<Polar> {
    let rows = match choice {
        TackChoice::Starboard => tack_rows(cells, Tack::Starboard),
        TackChoice::Port => tack_rows(cells, Tack::Port),
        TackChoice::Mean => {
            combined(cells, |a, b| if a > 0.0 && b > 0.0 { 2.0 / (1.0 / a + 1.0 / b) } else { 0.0 })
        }
        TackChoice::Slower => combined(cells, f64::min),
        TackChoice::Signed => signed(cells),
    };
    let tws_kn = rows.first().map(|row| row.tws_kn.clone()).unwrap_or_default();
    let twa_deg = rows.iter().map(|row| row.twa_deg).collect();
    Polar::new(tws_kn, twa_deg, rows.into_iter().flat_map(|row| row.speed_kn).collect())
}

/// One true wind angle of a table.
struct AngleRow {
    twa_deg: f64,
    tws_kn: Vec<f64>,
    speed_kn: Vec<f64>,
}

/// The rows of one tack by rising angle.
fn tack_rows(cells: &[PolarCell], tack: Tack) -> Vec<AngleRow> {
    let mut rows: Vec<AngleRow> = Vec::new();
    for cell in cells.iter().filter(|cell| cell.tack == tack) {
        if rows.last().is_none_or(|row| row.twa_deg != cell.twa_deg) {
            rows.push(AngleRow { twa_deg: cell.twa_deg, tws_kn: Vec::new(), speed_kn: Vec::new() });
        }
        if let Some(row) = rows.last_mut() {
            row.tws_kn.push(cell.tws_kn);
            row.speed_kn.push(cell.corrected_kn);
        }
    }
    rows
}

/// Rows of both tacks in one; an angle that only one tack has stays as it is.
fn combined(cells: &[PolarCell], of: impl Fn(f64, f64) -> f64) -> Vec<AngleRow> {
    let mut rows = tack_rows(cells, Tack::Starboard);
    for port in tack_rows(cells, Tack::Port) {
        match rows.iter_mut().find(|row| row.twa_deg == port.twa_deg) {
            Some(row) => {
                for (speed, other) in row.speed_kn.iter_mut().zip(&port.speed_kn) {
                    *speed = of(*speed, *other);
                }
            }
            None => rows.push(port),
        }
    }
    rows.sort_by(|a, b| a.twa_deg.total_cmp(&b.twa_deg));
    rows
}

/// Port tack at negative angles, starboard tack at positive; head to wind stands once.
fn signed(cells: &[PolarCell]) -> Vec<AngleRow> {
    let port = tack_rows(cells, Tack::Port).into_iter().filter(|row| row.twa_deg > 0.0);
    let mut rows: Vec<AngleRow> = port.map(|row| AngleRow { twa_deg: -row.twa_deg, ..row }).collect();
    rows.reverse();
    rows.extend(tack_rows(cells, Tack::Starboard));
    rows
}
