//! Offsets from CSV: columns `x_m,z_m,y_m`, one point a row, each station's points from keel to waterline, or all up to
//! the deck's edge.

use crate::base::{Error, Result};
use crate::hull::decked::{Decked, DeckedSection};
use crate::hull::point::Point;
use crate::hull::sections::{Hull, Station};
use std::io::Read;
use std::path::Path;

#[derive(serde::Deserialize)]
struct OffsetRow {
    x_m: f64,
    z_m: f64,
    y_m: f64,
}

const COLUMNS: [&str; 3] = ["x_m", "z_m", "y_m"];

impl Hull {
    /// Reads `offsets.csv`.
    ///
    /// # Errors
    /// The file cannot be read, or its first wrong row: a missing column, not a finite number, a negative
    /// half-breadth, points or stations out of order, a station that does not end at the waterline, or above it where
    /// others do, fewer than three stations.
    pub fn read_offsets(path: &Path) -> Result<Self> {
        let file = std::fs::File::open(path).map_err(|e| Error::io("open the hull's offsets", path, &e))?;
        Self::parse_offsets(file).map_err(|e| e.file(path))
    }

    /// Reads offsets in CSV from anything that can be read; lines that start with `#` are skipped.
    ///
    /// # Errors
    /// As [`Hull::read_offsets`].
    pub fn parse_offsets(input: impl Read) -> Result<Self> {
        let mut reader =
            csv::ReaderBuilder::new().comment(Some(b'#')).trim(csv::Trim::All).from_reader(input);
        let header = reader.headers().map_err(|e| malformed(&e))?.clone();
        if let Some(missing) = COLUMNS.iter().find(|c| !header.iter().any(|h| h == **c)) {
            return Err(Error::new(format!("offsets lack the column {missing}"))
                .at("header")
                .found(header.iter().collect::<Vec<_>>().join(","))
                .expected(COLUMNS.join(",")));
        }
        // each station with the line of its last point
        let mut stations: Vec<(Station, u64)> = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|e| malformed(&e))?;
            let line = record.position().map_or(0, csv::Position::line);
            let row: OffsetRow =
                record.deserialize(Some(&header)).map_err(|e| malformed(&e).at(format!("line {line}")))?;
            add(&mut stations, &row, line).map_err(|e| e.at(format!("line {line}")))?;
        }
        if stations.iter().flat_map(|(station, _)| &station.points).any(|point| point.z_m > 0.0) {
            let decked = |(Station { x_m, points }, _)| DeckedSection { x_m, points };
            return Hull::of_decked(Decked::new(stations.into_iter().map(decked).collect())?);
        }
        for (station, line) in &stations {
            ends_at_waterline(station).map_err(|e| e.at(format!("line {line}")))?;
        }
        Hull::new(stations.into_iter().map(|(station, _)| station).collect())
    }
}

fn malformed(error: &csv::Error) -> Error {
    let wrong =
        Error::new(format!("offsets cannot be read: {error}")).expected("numbers in columns x_m,z_m,y_m");
    match error.position() {
        Some(position) => wrong.at(format!("line {}", position.line())),
        None => wrong,
    }
}

fn add(stations: &mut Vec<(Station, u64)>, row: &OffsetRow, line: u64) -> Result<()> {
    let &OffsetRow { x_m, z_m, y_m } = row;
    for (name, value) in COLUMNS.iter().zip([x_m, z_m, y_m]) {
        if !value.is_finite() {
            return Err(Error::new(format!("{name} is not a finite number")).found(value));
        }
    }
    if y_m < 0.0 {
        return Err(Error::new("a half-breadth is negative")
            .found(format!("y_m = {y_m}"))
            .expected("y_m >= 0"));
    }
    let point = Point { z_m, y_m };
    match stations.last_mut() {
        Some((station, last_line)) if station.x_m == x_m => {
            if station.points.last().is_some_and(|before| z_m < before.z_m) {
                return Err(Error::new(format!(
                    "points of station x_m = {x_m} do not run from keel to waterline or deck"
                ))
                .found(format!("z_m = {z_m} after a higher point")));
            }
            station.points.push(point);
            *last_line = line;
        }
        Some((station, _)) if x_m < station.x_m => {
            return Err(Error::new("stations are mixed or not in order from aft to fore")
                .found(format!("x_m = {x_m} after x_m = {}", station.x_m))
                .remedy("keep each station's points together and sort stations by growing x"));
        }
        _ => stations.push((Station { x_m, points: vec![point] }, line)),
    }
    Ok(())
}

fn ends_at_waterline(station: &Station) -> Result<()> {
    match station.points.last() {
        Some(point) if point.z_m != 0.0 => {
            Err(Error::new(format!("station x_m = {} does not end at the waterline", station.x_m))
                .found(format!("its last point at z_m = {}", point.z_m))
                .expected("a last point at z_m = 0, or every station up to the deck"))
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = "x_m,z_m,y_m\n# transom\n0,-0.2,0\n0,0,1\n2,-0.5,0\n2,0,1.5\n4,0,0\n";

    fn error(text: &str) -> String {
        Hull::parse_offsets(text.as_bytes()).unwrap_err().to_string()
    }

    #[test]
    fn groups_points_into_stations() {
        let hull = Hull::parse_offsets(GOOD.as_bytes()).unwrap();
        assert_eq!(hull.stations().len(), 3);
        assert_eq!(hull.stations()[1].beam_m(), 3.0);
        assert_eq!(hull.stations()[1].draught_m(), 0.5);
        assert_eq!(hull.stations()[1].area_m2(), 0.75);
    }

    /// The side from (-0.5, 1) to (1.0, 2.5) crosses the waterline at 1.5; beyond the bow a point of the stem.
    #[test]
    fn stations_may_go_on_to_the_deck() {
        let text = "x_m,z_m,y_m\n0,-0.5,0\n0,-0.5,1\n0,1,2.5\n2,-0.5,1\n2,1,2.5\n4,0,0\n4,1,0.5\n4.5,1,0\n";
        let hull = Hull::parse_offsets(text.as_bytes()).unwrap();
        assert_eq!((hull.lwl_m(), hull.stations()[0].beam_m()), (4.0, 3.0));
        assert_eq!(hull.decked().unwrap().sections().len(), 4);
        assert!(Hull::parse_offsets(GOOD.as_bytes()).unwrap().decked().is_none());
        let mixed = GOOD.replace("2,0,1.5", "2,0.5,1.5");
        let text = error(&mixed);
        assert!(text.contains("x_m = 0") && text.contains("others reach the deck"), "{text}");
    }

    #[test]
    fn columns_may_stand_in_any_order() {
        let turned = "y_m,x_m,z_m\n1,0,0\n1.5,2,0\n0,2,0\n0,4,0\n";
        assert!(Hull::parse_offsets(turned.as_bytes()).is_err_and(|e| e.problem().contains("no volume")));
    }

    #[test]
    fn each_mistake_is_named_with_its_line() {
        for (from, to, line, problem) in [
            ("2,0,1.5", "2,0,-1.5", "line 6", "negative"),
            ("2,0,1.5", "2,NaN,1.5", "line 6", "not a finite number"),
            ("2,0,1.5", "2,zero,1.5", "line 6", "cannot be read"),
            ("2,0,1.5", "2,0", "line 6", "cannot be read"),
            ("2,0,1.5", "2,-0.1,1.5", "line 6", "does not end at the waterline"),
            ("2,0,1.5", "2,-0.6,1.5", "line 6", "keel to waterline"),
            ("4,0,0", "0,0,1", "line 7", "mixed or not in order"),
        ] {
            let text = error(&GOOD.replace(from, to));
            assert!(text.contains(line) && text.contains(problem), "{from} -> {to}: {text}");
        }
        assert!(error(&GOOD.replace("y_m", "y")).contains("lack the column y_m"));
        assert!(error("x_m,z_m,y_m\n0,-1,0\n0,0,1\n2,0,1\n").contains("too few stations"));
        assert!(error("").contains("lack the column"));
        assert!(error(&GOOD.replace("4,0,0", "4,-0.1,0")).contains("does not end at the waterline"));
        let shifted = GOOD.replace("\n0,", "\n1,");
        assert!(error(&shifted).contains("not at x = 0"));
    }
}
