//! Joining boxes again that cuts have parted.
//!
//! A cut runs across its whole box, and so parts pieces that are alike on both sides of it. Two boxes with a whole face
//! in common make one box again.

use crate::split::piece::{AXES, Piece};
use std::collections::{BTreeSet, HashMap};

type Spans = [[f64; 2]; AXES];

/// Joins boxes of pieces, those first that are most alike, while the distance of a joint box stays within `error_kn`.
pub(super) fn rejoined(
    pieces: &[Piece],
    mut groups: Vec<Vec<usize>>,
    error_kn: f64,
    distance_kn: impl Fn(&[usize]) -> f64,
) -> Vec<Vec<usize>> {
    loop {
        let pairs = neighbours(pieces, &groups).into_iter();
        let joint = pairs.map(|pair| (pair, distance_kn(&together(&groups, pair))));
        let mut alike: Vec<([usize; 2], f64)> = joint.filter(|(_, kn)| *kn <= error_kn).collect();
        if alike.is_empty() {
            return groups;
        }
        alike.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut taken = BTreeSet::new();
        for (pair, _) in alike {
            if pair.iter().any(|group| taken.contains(group)) {
                continue;
            }
            groups.push(together(&groups, pair));
            taken.extend(pair);
        }
        groups =
            groups.into_iter().enumerate().filter(|(at, _)| !taken.contains(at)).map(|(_, g)| g).collect();
    }
}

/// The pieces of two groups, in the order given.
fn together(groups: &[Vec<usize>], [a, b]: [usize; 2]) -> Vec<usize> {
    let mut joint = [groups[a].as_slice(), groups[b].as_slice()].concat();
    joint.sort_unstable();
    joint
}

/// Pairs of groups where the upper face of the first box is the lower face of the second.
fn neighbours(pieces: &[Piece], groups: &[Vec<usize>]) -> Vec<[usize; 2]> {
    let around: Vec<Spans> = groups.iter().map(|group| spans(pieces, group)).collect();
    let faces = |end: usize| {
        let faces = around.iter().enumerate();
        faces.flat_map(move |(at, spans)| (0..AXES).map(move |axis| (face(*spans, axis, end), at)))
    };
    let lower: HashMap<_, usize> = faces(0).collect();
    faces(1).filter_map(|(face, below)| lower.get(&face).map(|above| [below, *above])).collect()
}

/// The box around pieces.
fn spans(pieces: &[Piece], group: &[usize]) -> Spans {
    let wider = |a: Spans, b: Spans| {
        std::array::from_fn(|axis| [a[axis][0].min(b[axis][0]), a[axis][1].max(b[axis][1])])
    };
    let own = group.iter().map(|index| pieces[*index].spans);
    own.reduce(wider).unwrap_or_default()
}

/// A face of a box, to be found by: its axis and its bounds.
fn face(mut spans: Spans, axis: usize, end: usize) -> (usize, [[u64; 2]; AXES]) {
    spans[axis] = [spans[axis][end]; 2];
    (axis, spans.map(|span| span.map(f64::to_bits)))
}
