//! Grids of latitude and longitude: rectilinear (regular, Mercator, or any spacing), curvilinear, meshes; and stations on no grid.

use std::fmt;

use serde::Serialize;

use crate::base::bearing::wrap180;
use crate::base::{Error, Result};
use crate::forecast::curved::Curved;
use crate::forecast::mesh;
use crate::forecast::mesh::{At, Faces};
use crate::forecast::outline::{Outline, Place, reaches_deg};

/// A turn, less what 1e-6 degree rounding of a file's first and last point can take from it.
const NEARLY_A_TURN_DEG: f64 = 360.0 - 1e-4;

/// What the points of a grid are to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum GridLayout {
    /// Rows of one latitude, columns of one longitude; each point stands for the box around it.
    Rectilinear,
    /// Places on their own, as one row; what area a station stands for is up to the region it lies in.
    Stations,
    /// Rows and columns along curves; each point stands for what lies between it and its neighbours.
    Curvilinear,
    /// Nodes or faces of an unstructured mesh, as one row; a node stands for its share of the faces around it.
    Mesh,
}

impl fmt::Display for GridLayout {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Rectilinear => "a grid of latitude and longitude",
            Self::Stations => "stations",
            Self::Curvilinear => "a curvilinear grid",
            Self::Mesh => "an unstructured mesh",
        })
    }
}

/// A grid whose rows share a latitude and whose columns share a longitude; or places one by one: stations, the points of
/// a curvilinear grid, the nodes or faces of a mesh.
///
/// Both axes ascend: row 0 is the southernmost, column 0 the westernmost, whatever the file's order was. Values are
/// stored row by row: index = row * columns + column. Longitudes start within [-180, 180) and run eastward without a
/// break, so a grid that crosses 0 or 180 stays monotone and may exceed 180.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    lat_deg: Vec<f64>,
    lon_deg: Vec<f64>,
    layout: GridLayout,
    rows: usize,
    columns: usize,
    /// Points of a curvilinear grid or a mesh that have no place; empty where all have one.
    nowhere: Vec<bool>,
    /// The cells where they are no boxes.
    outlines: Vec<Outline>,
    reaches_deg: Vec<f32>,
}

/// The box around one grid point, degrees; west < east, both on the grid's own unbroken axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellBounds {
    /// Southern edge.
    pub south_deg: f64,
    /// Northern edge.
    pub north_deg: f64,
    /// Western edge.
    pub west_deg: f64,
    /// Eastern edge.
    pub east_deg: f64,
}

/// A place between two neighbours of an axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    below: usize,
    above: usize,
    /// 0 at the one below, 1 at the one above.
    fraction: f64,
}

impl Between {
    /// Both neighbours with their weights.
    pub fn ends(self) -> [(usize, f64); 2] {
        [(self.below, 1.0 - self.fraction), (self.above, self.fraction)]
    }
}

impl Grid {
    /// A grid from ascending axes in degrees; longitudes are shifted by whole turns to start within [-180, 180).
    ///
    /// # Errors
    /// Fewer than two points on an axis, an axis that does not ascend, a latitude beyond a pole, or more than a turn.
    pub fn new(lat_deg: Vec<f64>, lon_deg: Vec<f64>) -> Result<Self> {
        check_axis("latitude", &lat_deg)?;
        check_axis("longitude", &lon_deg)?;
        let (south, north) = ends(&lat_deg);
        if south < -90.0 - 1e-6 || north > 90.0 + 1e-6 {
            return Err(Error::new("a grid's latitudes reach beyond a pole")
                .found(format!("{south} to {north}"))
                .expected("-90 to 90"));
        }
        let (west, east) = ends(&lon_deg);
        if east - west > 360.0 + 1e-6 {
            return Err(Error::new("a grid's longitudes run more than once around the earth")
                .found(format!("{west} to {east}"))
                .expected("at most 360 degrees"));
        }
        let shift = wrap180(west) - west;
        let lon_deg: Vec<f64> = lon_deg.into_iter().map(|lon| lon + shift).collect();
        Ok(Self::of(GridLayout::Rectilinear, (lat_deg.len(), lon_deg.len()), lat_deg, lon_deg))
    }

    fn of(layout: GridLayout, (rows, columns): (usize, usize), lat_deg: Vec<f64>, lon_deg: Vec<f64>) -> Self {
        let (nowhere, outlines, reaches_deg) = (Vec::new(), Vec::new(), Vec::new());
        Self { lat_deg, lon_deg, layout, rows, columns, nowhere, outlines, reaches_deg }
    }

    /// A curvilinear grid from the latitude and longitude of its points, row by row, degrees; a point of which either is
    /// not finite has no place and no cell.
    ///
    /// # Errors
    /// Fewer than two rows or columns, lists of another length, a latitude beyond a pole, hardly any cell.
    pub fn curvilinear(rows: usize, columns: usize, lat_deg: &[f64], lon_deg: &[f64]) -> Result<Self> {
        let points = rows.saturating_mul(columns);
        if rows < 2 || columns < 2 || lat_deg.len() != points || lon_deg.len() != points {
            return Err(Error::new(
                "a curvilinear grid needs a latitude and a longitude for each of its points",
            )
            .found(format!(
                "{rows} x {columns}, {} latitudes, {} longitudes",
                lat_deg.len(),
                lon_deg.len()
            )));
        }
        let curved = Curved::new(rows, columns, places(lat_deg, lon_deg)?);
        let outlines = curved.outlines();
        Self::outlined(GridLayout::Curvilinear, (rows, columns), curved.places(), outlines)
    }

    /// A mesh whose values stand at its nodes, or at its faces; each face by its nodes in order around it.
    ///
    /// # Errors
    /// Lists of different lengths, a node without a place or beyond a pole, a face of nodes that there are not, no face.
    pub(super) fn mesh(lat_deg: &[f64], lon_deg: &[f64], faces: &Faces, at: At) -> Result<Self> {
        if lat_deg.len() != lon_deg.len() {
            return Err(Error::new("a mesh's nodes need a latitude and a longitude each").found(format!(
                "{} latitudes and {} longitudes",
                lat_deg.len(),
                lon_deg.len()
            )));
        }
        let nodes: Option<Vec<Place>> = places(lat_deg, lon_deg)?.into_iter().collect();
        let nodes = nodes.ok_or_else(|| Error::new("a node of the mesh has no place"))?;
        if let Some(node) = faces.iter().flatten().find(|node| **node >= nodes.len()) {
            return Err(Error::new("a face of the mesh has a node that there is not")
                .found(format!("node {} of {}", node + 1, nodes.len()))
                .remedy("the list of faces or its start_index is wrong"));
        }
        let outlines = mesh::outlines(&nodes, faces, at);
        let places: Vec<Option<Place>> = match at {
            At::Nodes => nodes.into_iter().map(Some).collect(),
            At::Faces => mesh::centres(&nodes, faces),
        };
        Self::outlined(GridLayout::Mesh, (1, places.len()), &places, outlines)
    }

    fn outlined(
        layout: GridLayout,
        shape: (usize, usize),
        places: &[Option<Place>],
        outlines: Vec<Outline>,
    ) -> Result<Self> {
        if outlines.is_empty() {
            return Err(Error::new(format!("{layout} has no cell")).found(format!("{} points", places.len())));
        }
        let at: Vec<Place> = places.iter().map(|place| place.unwrap_or_default()).collect();
        let [lon_deg, lat_deg] = [0, 1].map(|k| at.iter().map(|place| place[k]).collect());
        Ok(Self {
            nowhere: places.iter().map(Option::is_none).collect(),
            reaches_deg: reaches_deg(&at, &outlines),
            outlines,
            ..Self::of(layout, shape, lat_deg, lon_deg)
        })
    }

    /// Stations, each at a latitude and a longitude in degrees.
    ///
    /// # Errors
    /// No station, lists of different lengths, a latitude beyond a pole, a position that is no number.
    pub fn stations(lat_deg: Vec<f64>, lon_deg: Vec<f64>) -> Result<Self> {
        if lat_deg.is_empty() || lat_deg.len() != lon_deg.len() {
            return Err(Error::new("stations need a latitude and a longitude each").found(format!(
                "{} latitudes and {} longitudes",
                lat_deg.len(),
                lon_deg.len()
            )));
        }
        let off_earth = |(lat, lon): (&f64, &f64)| !((-90.0..=90.0).contains(lat) && lon.is_finite());
        if let Some(station) = lat_deg.iter().zip(&lon_deg).position(off_earth) {
            return Err(Error::new("a station is not on the earth")
                .found(format!("latitude {}, longitude {}", lat_deg[station], lon_deg[station]))
                .expected("latitude -90 to 90, degrees"));
        }
        let lon_deg: Vec<f64> = lon_deg.into_iter().map(wrap180).collect();
        Ok(Self::of(GridLayout::Stations, (1, lat_deg.len()), lat_deg, lon_deg))
    }

    /// Whether the points lie on axes or on their own.
    pub fn layout(&self) -> GridLayout {
        self.layout
    }

    /// Latitudes of the rows, south to north; where places stand one by one, of each.
    pub fn lat_deg(&self) -> &[f64] {
        &self.lat_deg
    }

    /// Longitudes of the columns, west to east, unbroken; where places stand one by one, of each.
    pub fn lon_deg(&self) -> &[f64] {
        &self.lon_deg
    }

    /// The number of rows.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// The number of columns.
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// The number of grid points.
    pub fn points(&self) -> usize {
        self.rows() * self.columns()
    }

    /// Latitude and longitude (within [-180, 180)) of a point, if the index is within the grid and the point has a place.
    pub fn centre(&self, index: usize) -> Option<(f64, f64)> {
        let (row, column) = match self.layout {
            GridLayout::Rectilinear => (index / self.columns, index % self.columns),
            _ => (index, index),
        };
        let nowhere = self.nowhere.get(index).copied().unwrap_or(false);
        let (lat, lon) = (*self.lat_deg.get(row)?, *self.lon_deg.get(column)?);
        (!nowhere).then(|| (lat, wrap180(lon)))
    }

    /// The cells of a curvilinear grid or a mesh, in parts; a point without a place, one that repeats another and one by
    /// a pole have none.
    pub fn outlines(&self) -> &[Outline] {
        &self.outlines
    }

    /// How far a point's cell reaches, degrees of arc.
    pub fn reach_deg(&self, index: usize) -> f64 {
        let Some(cell) = self.cell(index) else {
            return self.reaches_deg.get(index).copied().map_or(0.0, f64::from);
        };
        let lat_deg = self.centre(index).map_or(0.0, |(lat, _)| lat);
        let east = (cell.east_deg - cell.west_deg) * lat_deg.to_radians().cos();
        east.hypot(cell.north_deg - cell.south_deg) / 2.0
    }

    /// The cell of a point: half-way to its neighbours; at the rim as far outward as inward, but never beyond a
    /// pole. A first and last column that are one and the same meridian get half a cell each. A station has none, and
    /// cells that are no boxes are [`Grid::outlines`].
    pub fn cell(&self, index: usize) -> Option<CellBounds> {
        let (row, column) = (index / self.columns(), index % self.columns());
        if row >= self.rows() || self.layout != GridLayout::Rectilinear {
            return None;
        }
        let (south, north) = around(&self.lat_deg, row);
        let (west, east) = around(&self.lon_deg, column);
        let (first, last) = ends(&self.lon_deg);
        let closed = last - first > NEARLY_A_TURN_DEG;
        let clip = |lon: f64| if closed { lon.clamp(first, last) } else { lon };
        Some(CellBounds {
            south_deg: south.max(-90.0),
            north_deg: north.min(90.0),
            west_deg: clip(west),
            east_deg: clip(east),
        })
    }

    /// Whether the columns go all the way round, so that the last one's eastern neighbour is the first.
    pub fn is_global_in_longitude(&self) -> bool {
        if self.layout != GridLayout::Rectilinear {
            return false;
        }
        let (first, last) = ends(&self.lon_deg);
        let gap = 360.0 - (last - first);
        let step = (last - first) / (self.columns() - 1) as f64;
        gap < 1.5 * step
    }

    /// The rows around a latitude; none beyond the outer ones (by more than 1e-4 degree, files' rounding), nor where
    /// there are no axes.
    pub fn between_rows(&self, lat_deg: f64) -> Option<Between> {
        if self.layout != GridLayout::Rectilinear {
            return None;
        }
        between(&self.lat_deg, lat_deg)
    }

    /// The columns around a longitude, across the seam where the grid goes round.
    pub fn between_columns(&self, lon_deg: f64) -> Option<Between> {
        if self.layout != GridLayout::Rectilinear {
            return None;
        }
        let (first, last) = ends(&self.lon_deg);
        let east_of_first = (lon_deg - first).rem_euclid(360.0);
        // just west of the first column is not a turn east of it
        let lon = if east_of_first > NEARLY_A_TURN_DEG { first } else { first + east_of_first };
        if lon > last && self.is_global_in_longitude() {
            let gap = first + 360.0 - last;
            return Some(Between { below: self.columns() - 1, above: 0, fraction: (lon - last) / gap });
        }
        between(&self.lon_deg, lon)
    }

    /// The grid's size and extent.
    pub fn summary(&self) -> GridSummary {
        let outer = |axis: &[f64]| {
            let somewhere = |(k, _): &(usize, &f64)| !self.nowhere.get(*k).copied().unwrap_or(false);
            let values = || axis.iter().enumerate().filter(somewhere).map(|(_, value)| *value);
            (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max))
        };
        let ((south_deg, north_deg), (west_deg, east_deg)) = (outer(&self.lat_deg), outer(&self.lon_deg));
        let (rows, columns, layout) = (self.rows(), self.columns(), self.layout);
        GridSummary { layout, rows, columns, south_deg, north_deg, west_deg, east_deg }
    }
}

/// A grid's size and the latitudes and longitudes of its outer points.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GridSummary {
    /// What the points are to each other.
    pub layout: GridLayout,
    /// Rows: of one latitude where the grid is rectilinear.
    pub rows: usize,
    /// Columns: of one longitude where the grid is rectilinear.
    pub columns: usize,
    /// Southernmost row.
    pub south_deg: f64,
    /// Northernmost row.
    pub north_deg: f64,
    /// Westernmost column, within [-180, 180).
    pub west_deg: f64,
    /// Easternmost column, beyond 180 where the grid crosses that meridian.
    pub east_deg: f64,
}

impl fmt::Display for GridSummary {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { layout, rows, columns, south_deg, north_deg, west_deg, east_deg } = self;
        let what = match layout {
            GridLayout::Rectilinear => None,
            GridLayout::Stations => Some(format!("{columns} stations")),
            GridLayout::Curvilinear => Some(format!("curvilinear grid of {columns} x {rows} points")),
            GridLayout::Mesh => Some(format!("unstructured mesh of {columns} points")),
        };
        if let Some(what) = what {
            return write!(
                f,
                "{what}, longitude {west_deg:.3} to {east_deg:.3}, latitude {south_deg:.3} to {north_deg:.3}"
            );
        }
        let dlat = (north_deg - south_deg) / (rows - 1) as f64;
        let dlon = (east_deg - west_deg) / (columns - 1) as f64;
        write!(
            f,
            "{columns} x {rows} points, longitude {west_deg:.3} to {east_deg:.3} by {dlon:.3}, \
             latitude {south_deg:.3} to {north_deg:.3} by {dlat:.3}"
        )
    }
}

/// A place for each point, within [-180, 180), that has finite numbers.
fn places(lat_deg: &[f64], lon_deg: &[f64]) -> Result<Vec<Option<Place>>> {
    let place = |(lat, lon): (&f64, &f64)| {
        if lat.abs() > 90.0 && lat.is_finite() && lon.is_finite() {
            return Err(Error::new("a point of the grid is not on the earth")
                .found(format!("latitude {lat}, longitude {lon}"))
                .expected("latitude -90 to 90, degrees")
                .remedy("declare the value that stands for missing places (_FillValue)"));
        }
        Ok((lat.is_finite() && lon.is_finite()).then(|| [wrap180(*lon), *lat]))
    };
    lat_deg.iter().zip(lon_deg).map(place).collect()
}

fn check_axis(name: &str, axis: &[f64]) -> Result<()> {
    if axis.len() < 2 {
        return Err(Error::new(format!("a grid needs at least two points in {name}")).found(axis.len()));
    }
    if let Some(pair) = axis.windows(2).find(|pair| !(pair[1] > pair[0] && pair[1] - pair[0] < 360.0)) {
        return Err(Error::new(format!("a grid's {name} axis does not ascend"))
            .found(format!("{} then {}", pair[0], pair[1])));
    }
    Ok(())
}

/// First and last of an axis, which has at least two points.
fn ends(axis: &[f64]) -> (f64, f64) {
    (axis[0], axis[axis.len() - 1])
}

fn between(axis: &[f64], x: f64) -> Option<Between> {
    const ROUNDING_DEG: f64 = 1e-4;
    let (first, last) = ends(axis);
    if !(first - ROUNDING_DEG..=last + ROUNDING_DEG).contains(&x) {
        return None;
    }
    let above = axis.partition_point(|a| *a <= x).clamp(1, axis.len() - 1);
    let fraction = (x - axis[above - 1]) / (axis[above] - axis[above - 1]);
    Some(Between { below: above - 1, above, fraction: fraction.clamp(0.0, 1.0) })
}

fn around(axis: &[f64], i: usize) -> (f64, f64) {
    let below = if i > 0 { (axis[i] - axis[i - 1]) / 2.0 } else { (axis[1] - axis[0]) / 2.0 };
    let above = if i + 1 < axis.len() { (axis[i + 1] - axis[i]) / 2.0 } else { below };
    (axis[i] - below, axis[i] + above)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn longitudes_stay_monotone_across_the_date_line() {
        let grid = Grid::new(vec![-60.0, -59.0], vec![165.0, 185.0, 205.0]).unwrap();
        assert_eq!(grid.lon_deg(), [165.0, 185.0, 205.0]);
        assert_eq!(grid.centre(5), Some((-59.0, -155.0)));
        assert_eq!(grid.centre(6), None);
        let shifted = Grid::new(vec![0.0, 1.0], vec![350.0, 360.0, 370.0]).unwrap();
        assert_eq!(shifted.lon_deg(), [-10.0, 0.0, 10.0]);
    }

    #[test]
    fn cells_end_half_way_and_at_the_poles() {
        let grid = Grid::new(vec![-90.0, -88.0, -84.0], vec![0.0, 1.0, 2.0]).unwrap();
        let cell = |index| grid.cell(index).unwrap();
        assert_eq!(cell(0), CellBounds { south_deg: -90.0, north_deg: -89.0, west_deg: -0.5, east_deg: 0.5 });
        assert_eq!((cell(4).south_deg, cell(4).north_deg), (-89.0, -86.0));
        assert_eq!((cell(8).south_deg, cell(8).north_deg), (-86.0, -82.0));
        assert_eq!(grid.cell(9), None);
    }

    #[test]
    fn tells_a_grid_that_goes_round_from_one_that_does_not() {
        let lat = vec![0.0, 0.25];
        let axis = |n: usize| (0..n).map(|i| i as f64 * 0.25).collect::<Vec<_>>();
        assert!(Grid::new(lat.clone(), axis(1440)).unwrap().is_global_in_longitude());
        assert!(!Grid::new(lat.clone(), axis(1439)).unwrap().is_global_in_longitude());
        let closed = Grid::new(lat.clone(), axis(1441)).unwrap();
        assert!(closed.is_global_in_longitude());
        let half = closed.cell(1440).unwrap();
        assert_eq!((half.west_deg, half.east_deg), (359.875, 360.0));
        assert!(Grid::new(lat, axis(1442)).is_err());
    }

    #[test]
    fn stations_lie_where_they_lie_and_have_no_cells() {
        let two = Grid::stations(vec![50.0, -10.0], vec![350.0, 20.0]).unwrap();
        assert_eq!((two.rows(), two.columns(), two.points()), (1, 2, 2));
        assert_eq!(
            (two.centre(0), two.centre(1), two.centre(2)),
            (Some((50.0, -10.0)), Some((-10.0, 20.0)), None)
        );
        assert_eq!(two.cell(0), None);
        assert!(two.between_rows(0.0).is_none() && two.between_columns(0.0).is_none());
        assert_eq!(
            two.summary().to_string(),
            "2 stations, longitude -10.000 to 20.000, latitude -10.000 to 50.000"
        );
        assert!(Grid::stations(vec![91.0], vec![0.0]).is_err());
        assert!(Grid::stations(vec![], vec![]).is_err());
    }

    #[test]
    fn refuses_axes_that_are_none() {
        assert!(Grid::new(vec![0.0], vec![0.0, 1.0]).is_err());
        assert!(Grid::new(vec![1.0, 0.0], vec![0.0, 1.0]).is_err());
        assert!(Grid::new(vec![0.0, f64::NAN], vec![0.0, 1.0]).is_err());
        assert!(Grid::new(vec![0.0, 91.0], vec![0.0, 1.0]).is_err());
    }
}
