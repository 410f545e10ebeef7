//! Longitudes that run on across 180 instead of jumping.

use geo::Coord;

/// What became of a ring's longitudes.
#[derive(Debug, PartialEq)]
pub(super) enum Unwrapped {
    /// Nothing jumped.
    AsWritten,
    /// Edges that jump across 180 now run on; the first of them.
    Joined(Coord, Coord),
    /// An edge spans so much that either way round may be meant.
    Ambiguous(Coord, Coord),
    /// The ring runs once around the earth.
    EnclosesPole,
}

/// An edge longer than this crosses 180 the short way (as from +179 to -179); one of exactly 360 follows its
/// parallel around the earth. Between 180 and this, a wide edge and one across 180 look alike.
const JUMP_DEG: f64 = 270.0;

/// Unwraps a closed ring in place.
pub(super) fn unwrap(ring: &mut [Coord]) -> Unwrapped {
    let written = ring.to_vec();
    let mut shift = 0.0;
    let mut joined = None;
    for i in 1..ring.len() {
        let (from, to) = (written[i - 1], written[i]);
        let step = to.x - from.x;
        if step.abs() > 180.0 && step.abs() < JUMP_DEG {
            return Unwrapped::Ambiguous(from, to);
        }
        if step.abs() >= JUMP_DEG && step.abs() < 360.0 {
            shift -= 360.0 * step.signum();
            joined.get_or_insert((from, to));
        }
        ring[i].x += shift;
    }
    match joined {
        _ if shift != 0.0 => Unwrapped::EnclosesPole,
        Some((from, to)) => Unwrapped::Joined(from, to),
        None => Unwrapped::AsWritten,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(lons: &[f64]) -> Vec<Coord> {
        lons.iter().map(|&x| Coord { x, y: 0.0 }).collect()
    }

    fn unwrapped(lons: &[f64]) -> (Unwrapped, Vec<f64>) {
        let mut ring = ring(lons);
        let what = unwrap(&mut ring);
        (what, ring.iter().map(|c| c.x).collect())
    }

    #[test]
    fn jumps_run_on() {
        let (what, lons) = unwrapped(&[179.0, -179.0, -179.0, 179.0, 179.0]);
        assert!(matches!(what, Unwrapped::Joined(..)));
        assert_eq!(lons, [179.0, 181.0, 181.0, 179.0, 179.0]);
    }

    #[test]
    fn parallels_and_long_edges_stay() {
        assert_eq!(unwrapped(&[-180.0, 180.0, 180.0, -180.0, -180.0]).0, Unwrapped::AsWritten);
        assert_eq!(unwrapped(&[170.0, 190.0, 190.0, 170.0, 170.0]).0, Unwrapped::AsWritten);
    }

    #[test]
    fn what_cannot_be_told_is_said() {
        assert!(matches!(unwrapped(&[-100.0, 100.0, 100.0, -100.0, -100.0]).0, Unwrapped::Ambiguous(..)));
        assert_eq!(unwrapped(&[0.0, 90.0, 180.0, -90.0, 0.0]).0, Unwrapped::EnclosesPole);
    }
}
