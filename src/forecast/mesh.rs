//! The cells of an unstructured mesh: its faces, or around each node its share of the faces it is a corner of.
//!
//! A node's share of a face lies between the middles of its two edges there and the face's centre; of a triangle that is a
//! third (the median dual). Faces without three corners, as files fill up lists of triangles among quadrilaterals, keep
//! those they have.

use crate::forecast::outline::{Outline, Place, beside, mean};

/// The corners of each face, as indices of nodes in order around it.
pub(super) type Faces = Vec<Vec<usize>>;

/// Where the values of a mesh stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum At {
    Nodes,
    Faces,
}

/// The parts of all cells.
pub(super) fn outlines(nodes: &[Place], faces: &Faces, at: At) -> Vec<Outline> {
    let shares = faces.iter().enumerate().filter(|(_, corners)| corners.len() > 2);
    shares
        .flat_map(|(face, corners)| {
            let places = unbroken(nodes, corners);
            let count = corners.len();
            let centre = centre(&places);
            let around_a_pole =
                (0..count).any(|k| (places[k][0] - places[(k + 1) % count][0]).abs() >= 180.0);
            let share = move |k: usize| {
                let (before, here, after) =
                    (places[(k + count - 1) % count], places[k], places[(k + 1) % count]);
                let around = [here, mean([here, after]), centre, mean([before, here])];
                match at {
                    At::Nodes => Outline::new(corners[k], here, around),
                    At::Faces => Outline::new(face, centre, around),
                }
            };
            (0..count).filter(|_| !around_a_pole).filter_map(share).collect::<Vec<_>>()
        })
        .collect()
}

/// The middles of the faces.
pub(super) fn centres(nodes: &[Place], faces: &Faces) -> Vec<Option<Place>> {
    let of = |corners: &Vec<usize>| (corners.len() > 2).then(|| centre(&unbroken(nodes, corners)));
    faces.iter().map(of).collect()
}

fn unbroken(nodes: &[Place], corners: &[usize]) -> Vec<Place> {
    corners.iter().map(|node| beside(nodes[*node], nodes[corners[0]][0])).collect()
}

fn centre(places: &[Place]) -> Place {
    let sum = places.iter().fold([0.0; 2], |sum, place| [sum[0] + place[0], sum[1] + place[1]]);
    sum.map(|sum| sum / places.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the shoelace formula: area in square degrees.
    fn area(Outline { corners, .. }: &Outline) -> f64 {
        (0..4)
            .map(|k| (corners[k], corners[(k + 1) % 4]))
            .map(|(a, b)| (a[0] * b[1] - b[0] * a[1]) / 2.0)
            .sum::<f64>()
            .abs()
    }

    /// By hand: two triangles of 4 and 2 square degrees; a node has a third of each it is a corner of.
    #[test]
    fn a_node_has_a_third_of_each_triangle() {
        let nodes = [[179.0, 0.0], [-177.0, 0.0], [179.0, 2.0], [-177.0, 1.0]];
        let faces = vec![vec![0, 1, 2], vec![1, 3, 2]];
        let parts = outlines(&nodes, &faces, At::Nodes);
        let of = |node: usize| parts.iter().filter(|part| part.point == node).map(area).sum::<f64>();
        for (node, expected) in [(0, 4.0 / 3.0), (1, 2.0), (2, 2.0), (3, 2.0 / 3.0)] {
            assert!((of(node) - expected).abs() < 1e-12, "{node}: {}", of(node));
        }
        let faces_parts = outlines(&nodes, &faces, At::Faces);
        let of_face =
            |face: usize| faces_parts.iter().filter(|part| part.point == face).map(area).sum::<f64>();
        assert!((of_face(0) - 4.0).abs() < 1e-12 && (of_face(1) - 2.0).abs() < 1e-12);
        assert_eq!(centres(&nodes, &faces)[0], Some([181.0 - 2.0 / 3.0, 2.0 / 3.0]));
    }

    /// A face around a pole cannot be drawn in longitude and latitude.
    #[test]
    fn a_face_around_a_pole_has_no_outline() {
        let nodes = [[0.0, 85.0], [120.0, 85.0], [-120.0, 85.0]];
        assert!(outlines(&nodes, &vec![vec![0, 1, 2]], At::Nodes).is_empty());
    }
}
