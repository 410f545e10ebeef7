//! Places of a list that are looked at, such as the points of a grid within regions.

use std::ops::Range;

/// Ranges of places, rising and apart.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Spans(Vec<Range<usize>>);

impl Spans {
    /// Every place of a list.
    pub fn whole(length: usize) -> Self {
        Self::merged(vec![0..length])
    }

    /// The places named, in any order.
    pub fn of(places: impl IntoIterator<Item = usize>) -> Self {
        Self::merged(places.into_iter().map(|place| place..place + 1).collect())
    }

    /// The places of ranges that may overlap or be empty, in any order.
    pub fn merged(mut ranges: Vec<Range<usize>>) -> Self {
        ranges.retain(|range| !range.is_empty());
        ranges.sort_unstable_by_key(|range| range.start);
        let mut spans: Vec<Range<usize>> = Vec::with_capacity(ranges.len());
        for range in ranges {
            match spans.last_mut() {
                Some(last) if range.start <= last.end => last.end = last.end.max(range.end),
                _ => spans.push(range),
            }
        }
        Self(spans)
    }

    /// The ranges.
    pub fn ranges(&self) -> impl Iterator<Item = Range<usize>> + '_ {
        self.0.iter().cloned()
    }

    /// The places, rising.
    pub fn places(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().cloned().flatten()
    }

    /// The number of places.
    pub fn count(&self) -> usize {
        self.0.iter().map(ExactSizeIterator::len).sum()
    }

    /// Whether no place is looked at.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether every place of a list is looked at.
    pub fn is_whole(&self, length: usize) -> bool {
        self.count() >= length
    }

    /// The place behind the last that is looked at.
    pub fn end(&self) -> usize {
        self.0.last().map_or(0, |last| last.end)
    }

    /// Whether any place of a range is looked at.
    pub fn touch(&self, range: &Range<usize>) -> bool {
        let behind = self.0.partition_point(|span| span.end <= range.start);
        self.0.get(behind).is_some_and(|span| span.start < range.end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_become_ranges_that_rise_and_are_apart() {
        let spans = Spans::of([7, 3, 4, 4, 5, 9]);
        assert_eq!(spans.ranges().collect::<Vec<_>>(), [3..6, 7..8, 9..10]);
        assert_eq!(Spans::merged(vec![7..8, 3..5, 4..6, 2..2, 9..10]), spans);
        assert_eq!(spans.places().collect::<Vec<_>>(), [3, 4, 5, 7, 9]);
        assert_eq!((spans.count(), spans.end(), spans.is_empty()), (5, 10, false));
        assert!(Spans::whole(4).is_whole(4) && !spans.is_whole(10));
        assert!(Spans::whole(0).is_empty() && Spans::default().end() == 0);
    }

    #[test]
    fn a_range_touches_where_it_shares_a_place() {
        let spans = Spans::of([3, 4, 9]);
        for (range, shares) in [(0..3, false), (2..4, true), (5..9, false), (9..10, true), (10..90, false)] {
            assert_eq!(spans.touch(&range), shares, "{range:?}");
        }
    }
}
