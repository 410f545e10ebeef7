//! Cutting latitude, longitude and time into few boxes, in each of which polars are alike.
//!
//! A box that holds pieces too far from its common polar is cut in two, across whichever of the three axes and
//! wherever leaves the least sum of squared differences from the common polars of both halves (a regression tree;
//! Breiman, Friedman, Olshen & Stone 1984, section 8.3), and so on with both halves. What the cuts have parted for
//! nothing is joined again.

use crate::split::difference::rms_kn;
use crate::split::piece::{AXES, Piece};
use crate::split::rejoin::rejoined;
use std::ops::Range;

/// Groups of pieces, each the content of one box whose pieces all lie within `error_kn` of its common polar (root
/// mean square over the cells, columns weighted by their use), or one piece alone. Pieces in the order given.
pub(super) fn boxes(pieces: &[Piece], error_kn: f64) -> Vec<Vec<usize>> {
    let mut done = Vec::new();
    let mut open = vec![(0..pieces.len()).collect::<Vec<usize>>()];
    while let Some(group) = open.pop() {
        let alike = furthest_kn(pieces, &group) <= error_kn;
        match if alike { None } else { best_cut(pieces, &group) } {
            None => done.push(group),
            Some(cut) => {
                let (below, above) = group.into_iter().partition(|index| cut.below(&pieces[*index]));
                open.extend([above, below]);
            }
        }
    }
    rejoined(pieces, done, error_kn, |group| furthest_kn(pieces, group))
}

/// How far the furthest piece of a group lies from their common polar, kn.
fn furthest_kn(pieces: &[Piece], group: &[usize]) -> f64 {
    let own = || group.iter().map(|index| &pieces[*index]);
    let common = common_kn(own());
    own().map(|piece| rms_kn(&piece.speeds_kn, &common, &piece.uses)).fold(0.0, f64::max)
}

/// Both halves of a group whose common polar turns out too far off, or the group where it cannot be cut.
pub(super) fn halves(pieces: &[Piece]) -> Vec<Vec<usize>> {
    let group: Vec<usize> = (0..pieces.len()).collect();
    match best_cut(pieces, &group) {
        None => vec![group],
        Some(cut) => {
            let (below, above) = group.into_iter().partition(|index| cut.below(&pieces[*index]));
            vec![below, above]
        }
    }
}

/// The polar of all seas of several pieces, as far as it follows from theirs.
fn common_kn<'a>(pieces: impl Iterator<Item = &'a Piece>) -> Vec<f64> {
    let mut sums = Vec::new();
    pieces.for_each(|piece| add(&mut sums, piece));
    sums.iter().map(CellSums::common_kn).collect()
}

/// Sums of one polar cell over pieces.
#[derive(Debug, Clone, Copy, Default)]
struct CellSums {
    made_of: f64,
    time: f64,
    used: f64,
    used_kn: f64,
    used_kn2: f64,
}

impl CellSums {
    fn add(&mut self, speed_kn: f64, used: f64, made_of: f64) {
        // nothing at rest must not become a time
        if made_of > 0.0 {
            self.made_of += made_of;
            self.time += made_of / speed_kn;
        }
        self.used += used;
        self.used_kn += used * speed_kn;
        self.used_kn2 += used * speed_kn.powi(2);
    }

    /// Mean slowness, as speed: distance over time when the boat sails equally often anywhere in the seas that the
    /// column is made of. Where every piece borrows the column, the mean of what is looked up.
    fn common_kn(&self) -> f64 {
        match (self.made_of > 0.0, self.used > 0.0) {
            (true, _) => self.made_of / self.time,
            (false, true) => self.used_kn / self.used,
            (false, false) => 0.0,
        }
    }

    /// Sum over the pieces of the squared difference from the common speed, weighted by use.
    fn scatter(&self) -> f64 {
        let common = self.common_kn();
        (self.used_kn2 + common * (common * self.used - 2.0 * self.used_kn)).max(0.0)
    }
}

fn add(sums: &mut Vec<CellSums>, piece: &Piece) {
    sums.resize(piece.speeds_kn.len(), CellSums::default());
    let columns = piece.uses.iter().zip(&piece.made_of).cycle();
    for ((sums, speed_kn), (used, made_of)) in sums.iter_mut().zip(&piece.speeds_kn).zip(columns) {
        sums.add(*speed_kn, *used, *made_of);
    }
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

/// What the common polars of the first one, two, three ... pieces leave.
fn scatters<'a>(pieces: impl Iterator<Item = &'a Piece>) -> Vec<f64> {
    let mut sums = Vec::new();
    pieces
        .map(|piece| {
            add(&mut sums, piece);
            sums.iter().map(CellSums::scatter).sum()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One heading of two columns, both looked up alike and made of the piece's own seas.
    fn piece(lat: f64, lon: f64, time: f64, speed_kn: f64) -> Piece {
        Piece {
            spans: [[lat, lat + 1.0], [lon, lon + 1.0], [time, time + 1.0]],
            speeds_kn: vec![speed_kn, 2.0 * speed_kn],
            uses: vec![0.5, 0.5],
            made_of: vec![1.0, 1.0],
        }
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

    /// By hand: two of four squares are alike, but the cut between north and south leaves (10 - 20/3)² + (5 - 20/3)² +
    /// (10 - 16)² + (40 - 16)², less than that between west and east, (5 - 80/9)² + (40 - 80/9)², in each column.
    #[test]
    fn what_a_cut_parts_for_nothing_is_joined_again() {
        let pieces = [(0.0, 0.0, 10.0), (0.0, 1.0, 5.0), (1.0, 0.0, 10.0), (1.0, 1.0, 40.0)]
            .map(|(lat, lon, speed_kn)| piece(lat, lon, 0.0, speed_kn));
        assert_eq!(best_cut(&pieces, &[0, 1, 2, 3]).map(|cut| cut.axis), Some(0));
        assert_eq!(boxes(&pieces, 0.1), [vec![1], vec![3], vec![0, 2]]);
    }

    /// Hours of one place are neither cut nor joined across it: 10, 10 | 5 | 40.
    #[test]
    fn hours_of_one_place_are_parted_in_time_alone() {
        let hour = |(time, speed_kn)| piece(0.0, 0.0, time, speed_kn);
        let pieces = [(0.0, 10.0), (1.0, 10.0), (2.0, 5.0), (3.0, 40.0)].map(hour);
        let mut groups = boxes(&pieces, 0.1);
        groups.sort();
        assert_eq!(groups, [vec![0, 1], vec![2], vec![3]]);
    }

    #[test]
    fn halves_part_what_differs_most() {
        let pieces =
            [(0.0, 5.0), (1.0, 10.0), (2.0, 10.1)].map(|(lat, speed_kn)| piece(lat, 0.0, 0.0, speed_kn));
        assert_eq!(halves(&pieces), [vec![0], vec![1, 2]]);
        assert_eq!(halves(&pieces[..1]), [vec![0]]);
    }

    /// A cell at rest in one piece is at rest in common, and no difference where all are at rest.
    #[test]
    fn cells_at_rest_are_no_puzzle() {
        let pieces = [piece(0.0, 0.0, 0.0, 0.0), piece(1.0, 0.0, 0.0, 0.0)];
        assert_eq!(boxes(&pieces, 0.1), [vec![0, 1]]);
    }

    /// A calm sea that is looked up in light air alone, and a gale in which she makes no way in light air.
    fn calm_and_gale() -> [Piece; 2] {
        let calm = Piece { speeds_kn: vec![4.0, 9.0], uses: vec![1.0, 0.0], ..piece(0.0, 0.0, 0.0, 0.0) };
        let gale = Piece { speeds_kn: vec![0.0, 9.0], uses: vec![0.0, 1.0], ..piece(1.0, 0.0, 0.0, 0.0) };
        [calm, gale]
    }

    /// Two gales differ in light air alone, which blows in neither.
    #[test]
    fn winds_that_do_not_blow_cut_nothing() {
        let [_, gale] = calm_and_gale();
        let other = Piece { speeds_kn: vec![4.0, 9.0], ..gale.clone() };
        let apart = Piece { spans: piece(0.0, 0.0, 0.0, 0.0).spans, ..other };
        assert_eq!(boxes(&[apart, gale], 0.1), [vec![0, 1]]);
    }

    /// Every column sees all seas, so the gale would stop the common polar in the light air that blows in the calm.
    #[test]
    fn seas_that_spoil_a_wind_that_blows_are_cut_off() {
        let pieces = calm_and_gale();
        assert_eq!(common_kn(pieces.iter()), [0.0, 9.0]);
        assert_eq!(boxes(&pieces, 0.1), [vec![0], vec![1]]);
    }

    /// Matched, the gale has no seas for the light column, so the common polar has that of the calm.
    #[test]
    fn matched_columns_are_made_of_their_own_winds() {
        let [calm, gale] = calm_and_gale();
        let pieces = [Piece { made_of: vec![1.0, 0.0], ..calm }, Piece { made_of: vec![0.0, 1.0], ..gale }];
        assert_eq!(common_kn(pieces.iter()), [4.0, 9.0]);
        assert_eq!(boxes(&pieces, 0.1), [vec![0, 1]]);
    }

    /// By hand: speeds 6 and 12 look up 3/4 and 1/4 of a column that borrows everywhere, so the mean is 7.5, and
    /// 3/4 x 1.5² + 1/4 x 4.5² = 6.75; of equal seas the common speed is 8: 3/4 x 2² + 1/4 x 4² = 7.
    #[test]
    fn what_a_cut_leaves_is_measured_from_the_common_polar() {
        let of = |made_of: f64| {
            let mut sums = CellSums::default();
            [(6.0, 0.75), (12.0, 0.25)].iter().for_each(|(kn, used)| sums.add(*kn, *used, made_of));
            sums
        };
        assert!((of(0.0).scatter() - 6.75).abs() < 1e-12, "{:?}", of(0.0));
        assert!((of(1.0).scatter() - 7.0).abs() < 1e-12, "{:?}", of(1.0));
    }
}
