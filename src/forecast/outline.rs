//! Cells that are no boxes, each drawn by its corners: between the neighbours of a curved grid, around the nodes of a mesh.

use crate::base::bearing::wrap180;

/// A longitude and a latitude, degrees.
pub(super) type Place = [f64; 2];

/// A part of a cell: four corners in order around it, longitudes unbroken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// The point whose cell it is of.
    pub point: usize,
    /// Longitude and latitude of each corner, degrees.
    pub corners: [[f64; 2]; 4],
}

/// Half a turn or more between a corner and its cell's point: the outline would run around a pole.
const AROUND_A_POLE_DEG: f64 = 90.0;

/// The place on the turn that is nearest to a longitude.
pub(super) fn beside(place: Place, lon_deg: f64) -> Place {
    [lon_deg + wrap180(place[0] - lon_deg), place[1]]
}

/// The mean of places on one turn.
pub(super) fn mean<const N: usize>(places: [Place; N]) -> Place {
    let sum = places.iter().fold([0.0; 2], |sum, place| [sum[0] + place[0], sum[1] + place[1]]);
    sum.map(|sum| sum / N as f64)
}

impl Outline {
    /// A part of a point's cell; none where it would run around a pole or beyond one.
    pub(super) fn new(point: usize, at: Place, corners: [Place; 4]) -> Option<Self> {
        let drawn = corners
            .iter()
            .all(|[lon, lat]| (lon - at[0]).abs() < AROUND_A_POLE_DEG && (-90.0..=90.0).contains(lat));
        drawn.then_some(Self { point, corners })
    }
}

/// How far each point's cell reaches from it, degrees of arc; 0 where it has none.
pub(super) fn reaches_deg(points: &[Place], outlines: &[Outline]) -> Vec<f32> {
    let mut reaches = vec![0_f32; points.len()];
    for Outline { point, corners } in outlines {
        let [lon, lat] = points[*point];
        for corner in corners {
            let east = wrap180(corner[0] - lon) * lat.to_radians().cos();
            reaches[*point] = reaches[*point].max(east.hypot(corner[1] - lat) as f32);
        }
    }
    reaches
}
