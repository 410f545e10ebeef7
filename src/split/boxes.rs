//! Cutting latitude, longitude and time into few boxes, in each of which polars are alike.
//!
//! A box that holds pieces too far from its common polar is cut in two, across whichever of the three axes and
//! wherever leaves the least sum of squared deviations (a regression tree; Breiman, Friedman, Olshen & Stone 1984,
//! section 8.3), and so on with both halves.

use std::ops::Range;

/// The axes that a box may be cut across.
pub(super) const AXES: usize = 3;

/// The smallest part of the sea that has a polar: one region in one window.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    /// Its interval on each axis; intervals of two pieces are equal or apart on every axis.
    pub(super) spans: [[f64; 2]; AXES],
    /// Area x time.
    pub(super) weight: f64,
    /// Speeds of the polar cells, kn.
    pub(super) speeds_kn: Vec<f64>,
}

/// Groups of pieces, each the content of one box whose pieces all lie within `error_kn` of its common polar (root
/// mean square over the cells), or one piece alone. In the order of the cuts, pieces in the order given.
pub(super) fn boxes(pieces: &[Piece], error_kn: f64) -> Vec<Vec<usize>> {
    let mut done = Vec::new();
    let mut open = vec![(0..pieces.len()).collect::<Vec<usize>>()];
    while let Some(group) = open.pop() {
        let of = |index: &usize| &pieces[*index];
        let common = common_kn(group.iter().map(of));
        let alike = group.iter().map(of).all(|piece| rms_kn(&piece.speeds_kn, &common) <= error_kn);
        match if alike { None } else { best_cut(pieces, &group) } {
            None => done.push(group),
            Some(cut) => {
                let (below, above) = group.into_iter().partition(|index| cut.below(&pieces[*index]));
                open.extend([above, below]);
            }
        }
    }
    done
}

/// Mean slowness of pieces, as speed: distance over time when the boat sails equally often anywhere in them.
pub(super) fn common_kn<'a>(pieces: impl Iterator<Item = &'a Piece>) -> Vec<f64> {
    let (mut times, mut whole) = (Vec::new(), 0.0);
    for piece in pieces {
        times.resize(piece.speeds_kn.len(), 0.0);
        whole += piece.weight;
        for (time, speed_kn) in times.iter_mut().zip(&piece.speeds_kn) {
            *time += piece.weight / speed_kn;
        }
    }
    times.into_iter().map(|time| whole / time).collect()
}

/// Root mean square difference over the cells.
pub(super) fn rms_kn(a: &[f64], b: &[f64]) -> f64 {
    (a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum::<f64>() / a.len().max(1) as f64).sqrt()
}

struct Cut {
    axis: usize,
    at: f64,
}

impl Cut {
    fn below(&self, piece: &Piece) -> bool {
        piece.spans[self.axis][1] <= self.at
    }
}

fn best_cut(pieces: &[Piece], group: &[usize]) -> Option<Cut> {
    let cuts = (0..AXES).filter_map(|axis| best_cut_across(pieces, group, axis));
    cuts.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, cut)| cut)
}

/// The cut across one axis that leaves least, and what it leaves.
fn best_cut_across(pieces: &[Piece], group: &[usize], axis: usize) -> Option<(f64, Cut)> {
    let mut sorted = group.to_vec();
    sorted.sort_by(|a, b| pieces[*a].spans[axis][0].total_cmp(&pieces[*b].spans[axis][0]));
    let ends = |range: Range<usize>| pieces[sorted[range.end - 1]].spans[axis][1];
    let starts = |at: usize| pieces[sorted[at]].spans[axis][0];
    let below = scatters(sorted.iter().map(|index| &pieces[*index]));
    let above = scatters(sorted.iter().rev().map(|index| &pieces[*index]));
    (1..sorted.len())
        .filter(|at| ends(0..*at) <= starts(*at))
        .map(|at| (below[at - 1] + above[sorted.len() - at - 1], Cut { axis, at: ends(0..at) }))
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// The sum of squared deviations of the first one, two, three ... pieces (Welford 1962).
fn scatters<'a>(pieces: impl Iterator<Item = &'a Piece>) -> Vec<f64> {
    let (mut means, mut scatter) = (Vec::new(), 0.0);
    pieces
        .enumerate()
        .map(|(before, piece)| {
            means.resize(piece.speeds_kn.len(), 0.0);
            for (mean, speed_kn) in means.iter_mut().zip(&piece.speeds_kn) {
                let off = speed_kn - *mean;
                *mean += off / (before + 1) as f64;
                scatter += off * (speed_kn - *mean);
            }
            scatter
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(lat: f64, lon: f64, time: f64, speed_kn: f64) -> Piece {
        let spans = [[lat, lat + 1.0], [lon, lon + 1.0], [time, time + 1.0]];
        Piece { spans, weight: 1.0, speeds_kn: vec![speed_kn, 2.0 * speed_kn] }
    }

    /// By hand: two equal weights at 6 and 12 kn sail 2 miles in 1/6 + 1/12 h, so 8 kn.
    #[test]
    fn common_speed_is_distance_over_time() {
        let common = common_kn([piece(0.0, 0.0, 0.0, 6.0), piece(1.0, 0.0, 0.0, 12.0)].iter());
        assert!((common[0] - 8.0).abs() < 1e-12 && (common[1] - 16.0).abs() < 1e-12, "{common:?}");
    }

    /// A slow corner in the second hour alone: the cuts must leave it, and only it, apart.
    #[test]
    fn a_slow_corner_is_cut_out() {
        let mut pieces = Vec::new();
        for (lat, lon, time) in (0..4).flat_map(|a| (0..4).flat_map(move |b| (0..2).map(move |c| (a, b, c))))
        {
            let slow = lat == 3 && lon == 3 && time == 1;
            pieces.push(piece(lat.into(), lon.into(), time.into(), if slow { 5.0 } else { 10.0 }));
        }
        let groups = boxes(&pieces, 0.1);
        assert_eq!(groups.iter().map(Vec::len).sum::<usize>(), pieces.len());
        assert!(groups.len() <= 4, "{groups:?}");
        let slow = groups.iter().find(|group| group.iter().any(|index| pieces[*index].speeds_kn[0] == 5.0));
        assert_eq!(slow.map(Vec::len), Some(1));
    }

    #[test]
    fn alike_pieces_stay_together_and_one_piece_is_never_cut() {
        let pieces = [piece(0.0, 0.0, 0.0, 10.0), piece(1.0, 0.0, 0.0, 10.05)];
        assert_eq!(boxes(&pieces, 0.1), [vec![0, 1]]);
        assert_eq!(boxes(&pieces, 0.001), [vec![0], vec![1]]);
        assert_eq!(boxes(&pieces[..1], 0.0), [vec![0]]);
    }

    /// A cell at rest in one piece is at rest in common, and no difference where all are at rest.
    #[test]
    fn cells_at_rest_are_no_puzzle() {
        let pieces = [piece(0.0, 0.0, 0.0, 0.0), piece(1.0, 0.0, 0.0, 0.0)];
        assert_eq!(boxes(&pieces, 0.1), [vec![0, 1]]);
    }
}
