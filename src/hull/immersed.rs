//! A section under water to any level: area, breadth and centre in closed form, its sides straight between points.

use crate::hull::decked::DeckedSection;
use crate::hull::point::Point;

/// What of a section lies below a level.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Immersed {
    /// Area of both sides, m².
    pub area_m2: f64,
    /// First moment of the area about z = 0, m³.
    pub moment_m3: f64,
    /// Full breadth at the level, m; above the deck's edge that of the edge, 0 below the keel.
    pub breadth_m: f64,
    /// How far the level stands above the deck's edge, m; 0 below it.
    pub over_edge_m: f64,
}

/// A section whose integrals up to each of its points are known.
#[derive(Debug, Clone, PartialEq)]
pub struct ImmersedSection {
    points: Vec<Point>,
    /// Area and moment of both sides below each point.
    below: Vec<[f64; 2]>,
}

impl ImmersedSection {
    /// Prepares a section.
    pub fn new(section: &DeckedSection) -> Self {
        let mut below = vec![[0.0; 2]];
        for pair in section.points.windows(2) {
            let [area, moment] = below[below.len() - 1];
            let [more_area, more_moment] = slice(pair[0], pair[1]);
            below.push([area + more_area, moment + more_moment]);
        }
        Self { points: section.points.clone(), below }
    }

    /// The lowest point, m.
    pub fn keel_m(&self) -> f64 {
        self.points[0].z_m
    }

    /// The deck's edge.
    pub fn edge(&self) -> Point {
        self.points[self.points.len() - 1]
    }

    /// What lies below a level; nothing above the deck's edge counts.
    pub fn below(&self, level_m: f64) -> Immersed {
        let after = self.points.partition_point(|point| point.z_m <= level_m);
        let Some(last) = after.checked_sub(1) else { return Immersed::default() };
        let [area_m2, moment_m3] = self.below[last];
        let low = self.points[last];
        let Some(high) = self.points.get(after) else {
            return Immersed { area_m2, moment_m3, breadth_m: 2.0 * low.y_m, over_edge_m: level_m - low.z_m };
        };
        let part = (level_m - low.z_m) / (high.z_m - low.z_m);
        let at = Point { z_m: level_m, y_m: low.y_m + part * (high.y_m - low.y_m) };
        let [more_area, more_moment] = slice(low, at);
        Immersed {
            area_m2: area_m2 + more_area,
            moment_m3: moment_m3 + more_moment,
            breadth_m: 2.0 * at.y_m,
            over_edge_m: 0.0,
        }
    }

    /// The greatest half-breadth at or below a level, m; 0 below the keel.
    pub fn greatest_half_breadth_m(&self, level_m: f64) -> f64 {
        let whole = self.points.iter().take_while(|point| point.z_m <= level_m).map(|point| point.y_m);
        whole.fold(self.below(level_m).breadth_m / 2.0, f64::max)
    }

    /// Points from keel to edge.
    pub fn points(&self) -> &[Point] {
        &self.points
    }
}

/// Area and moment about z = 0 of both sides between two points.
fn slice(low: Point, high: Point) -> [f64; 2] {
    let height = high.z_m - low.z_m;
    let area = (low.y_m + high.y_m) * height;
    // of y(z) linear: the integral of 2 y z
    let moment =
        height * (low.y_m * (2.0 * low.z_m + high.z_m) + high.y_m * (low.z_m + 2.0 * high.z_m)) / 3.0;
    [area, moment]
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn section(points: &[(f64, f64)]) -> ImmersedSection {
        let points = points.iter().map(|&(z_m, y_m)| Point { z_m, y_m }).collect();
        ImmersedSection::new(&DeckedSection { x_m: 0.0, points })
    }

    /// A wedge of 45 degrees with its keel 1 m down: h² of area, centre 2/3 h above the keel.
    #[test]
    fn a_wedge_by_hand() {
        let wedge = section(&[(-1.0, 0.0), (0.3, 1.3), (1.0, 2.0)]);
        for level in [-0.9, -0.2, 0.0, 0.3, 0.7, 1.0] {
            let (height, below) = (level + 1.0, wedge.below(level));
            assert_relative_eq!(below.area_m2, height * height, max_relative = 1e-12);
            assert_relative_eq!(
                below.moment_m3,
                height * height * (2.0 / 3.0 * height - 1.0),
                max_relative = 1e-12,
                epsilon = 1e-14
            );
            assert_relative_eq!(below.breadth_m, 2.0 * height, max_relative = 1e-12);
        }
        assert_eq!(wedge.below(-1.5), Immersed::default());
        let over = wedge.below(1.4);
        assert_relative_eq!(over.area_m2, 4.0, max_relative = 1e-12);
        assert_relative_eq!(over.over_edge_m, 0.4, max_relative = 1e-12);
        assert_eq!(over.breadth_m, 4.0);
    }

    /// Sides that lean in: 1 m wide at the keel's height, nothing at the top.
    #[test]
    fn the_greatest_breadth_stays() {
        let section = section(&[(-1.0, 0.0), (-1.0, 1.0), (1.0, 0.0)]);
        assert_eq!(section.greatest_half_breadth_m(0.5), 1.0);
        assert_relative_eq!(section.below(1.0).area_m2, 2.0, max_relative = 1e-12);
        assert_eq!(section.greatest_half_breadth_m(-2.0), 0.0);
    }
}
