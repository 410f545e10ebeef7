//! The hull up to the edge of her deck: sections that go on above the waterline, and bows that reach beyond it.

use crate::base::{Error, Result};
use crate::hull::point::{MIN_STATIONS, Point, check_points, station_at};
use crate::maths::quadrature::station_weights;

/// One transverse section from keel or stem to the deck's edge.
#[derive(Debug, Clone, PartialEq)]
pub struct DeckedSection {
    /// Distance forward of the aft end of the waterline, m; beyond the waterline's ends where she overhangs.
    pub x_m: f64,
    /// From the lowest point to the deck's edge: z never falls. A last point on the centreline is the stem.
    pub points: Vec<Point>,
}

/// A hull's sections up to the deck, from aft to fore.
#[derive(Debug, Clone, PartialEq)]
pub struct Decked {
    sections: Vec<DeckedSection>,
}

/// What stands above the still waterline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReserveBuoyancy {
    /// Volume between waterline and deck, m³.
    pub volume_m3: f64,
    /// Of that the part before three quarters of the waterline, with what overhangs, m³.
    pub forward_m3: f64,
}

impl Decked {
    /// Checks the sections and keeps them.
    ///
    /// # Errors
    /// Too few sections, x that does not grow, negative or non-finite offsets, a section whose points do not rise, or
    /// one that neither ends above the water nor closes on the centreline.
    pub fn new(sections: Vec<DeckedSection>) -> Result<Self> {
        if sections.len() < MIN_STATIONS {
            return Err(Error::new("the hull has too few stations")
                .found(sections.len())
                .expected(format!("at least {MIN_STATIONS}, better 20 or more")));
        }
        sections.iter().try_for_each(DeckedSection::check)?;
        for pair in sections.windows(2) {
            if pair[1].x_m <= pair[0].x_m {
                return Err(Error::new("stations are not in order from aft to fore")
                    .found(format!("x_m = {} after x_m = {}", pair[1].x_m, pair[0].x_m))
                    .remedy("sort the stations by growing x"));
            }
        }
        let wet: Vec<bool> = sections.iter().map(DeckedSection::meets_water).collect();
        if wet.windows(2).filter(|pair| pair[0] != pair[1]).count() > 2 {
            return Err(Error::new("a station stands clear of the water between others that do not")
                .expected("stations clear of the water only beyond the ends of the waterline"));
        }
        Ok(Self { sections })
    }

    /// The sections from aft to fore.
    pub fn sections(&self) -> &[DeckedSection] {
        &self.sections
    }

    /// Position and points, from keel to waterline, of the sections that meet the water.
    pub fn below_water(&self) -> impl Iterator<Item = (f64, Vec<Point>)> {
        self.sections.iter().filter(|s| s.meets_water()).map(|s| (s.x_m, s.below_water()))
    }

    /// Ends of the hull above and below the water together, m.
    pub fn ends_m(&self) -> [f64; 2] {
        [self.sections[0].x_m, self.sections[self.sections.len() - 1].x_m]
    }

    /// Greatest beam of the deck, m.
    pub fn deck_beam_m(&self) -> f64 {
        self.sections.iter().map(|section| 2.0 * section.edge().y_m).fold(0.0, f64::max)
    }

    /// Where stem and deck meet: position, m, and height above the waterline, m. The foremost point that is highest there.
    pub fn stem_head_m(&self) -> [f64; 2] {
        let highest = self.sections.iter().rev().fold([f64::NEG_INFINITY; 2], |best, section| {
            if section.edge().z_m > best[1] + 1e-9 { [section.x_m, section.edge().z_m] } else { best }
        });
        let last = &self.sections[self.sections.len() - 1];
        // a stem that leans back ends where the sections no longer close on the centreline
        if last.edge().z_m > 0.0 { [last.x_m, last.edge().z_m] } else { highest }
    }

    /// Volume above the still waterline up to the deck; `three_quarters_m` is where the forward part begins.
    pub fn reserve_buoyancy(&self, three_quarters_m: f64) -> ReserveBuoyancy {
        let x: Vec<f64> = self.sections.iter().map(|section| section.x_m).collect();
        let areas: Vec<f64> = self.sections.iter().map(DeckedSection::area_above_water_m2).collect();
        let volume_m3 = station_weights(&x).iter().zip(&areas).map(|(w, a)| w * a).sum();
        let forward_m3 = x
            .windows(2)
            .zip(areas.windows(2))
            .map(|(x, a)| {
                let from = x[0].max(three_quarters_m);
                if from >= x[1] {
                    return 0.0;
                }
                let area = a[0] + (a[1] - a[0]) * (from - x[0]) / (x[1] - x[0]);
                (area + a[1]) / 2.0 * (x[1] - from)
            })
            .sum();
        ReserveBuoyancy { volume_m3, forward_m3 }
    }

    /// Angle of the side from the vertical between waterline and deck at a place, rad; positive where the deck is wider.
    /// None where no two sections that reach from one to the other stand on both sides of it.
    pub fn flare_rad(&self, x_m: f64) -> Option<f64> {
        let after = self.sections.iter().position(|section| section.x_m >= x_m)?;
        let angle = |section: &DeckedSection| {
            let edge = section.edge();
            (section.meets_water() && edge.z_m > 0.0)
                .then(|| ((edge.y_m - section.half_breadth_at(0.0)) / edge.z_m).atan())
        };
        let fore = angle(&self.sections[after])?;
        if after == 0 || self.sections[after].x_m == x_m {
            return Some(fore);
        }
        let (aft, fore_x) = (&self.sections[after - 1], self.sections[after].x_m);
        let part = (x_m - aft.x_m) / (fore_x - aft.x_m);
        Some(angle(aft)? * (1.0 - part) + fore * part)
    }
}

impl DeckedSection {
    /// The deck's edge, or the stem where the section closes below it.
    pub fn edge(&self) -> Point {
        self.points[self.points.len() - 1]
    }

    /// Half-breadth at a height, m; 0 below the keel and above the edge.
    pub fn half_breadth_at(&self, z_m: f64) -> f64 {
        let above = self.points.partition_point(|point| point.z_m <= z_m);
        if above == 0 {
            return 0.0;
        }
        let low = self.points[above - 1];
        match self.points.get(above) {
            Some(high) => low.y_m + (high.y_m - low.y_m) * (z_m - low.z_m) / (high.z_m - low.z_m),
            None if low.z_m == z_m => low.y_m,
            None => 0.0,
        }
    }

    fn meets_water(&self) -> bool {
        self.points[0].z_m <= 0.0
    }

    fn below_water(&self) -> Vec<Point> {
        let mut points: Vec<Point> = self.points.iter().copied().filter(|point| point.z_m < 0.0).collect();
        points.push(Point { z_m: 0.0, y_m: self.half_breadth_at(0.0) });
        points
    }

    fn area_above_water_m2(&self) -> f64 {
        let mut above = vec![];
        if self.meets_water() {
            above.push(Point { z_m: 0.0, y_m: self.half_breadth_at(0.0) });
        }
        above.extend(self.points.iter().filter(|point| point.z_m > 0.0));
        above.windows(2).map(|p| (p[0].y_m + p[1].y_m) * (p[1].z_m - p[0].z_m)).sum()
    }

    fn check(&self) -> Result<()> {
        check_points(self.x_m, &self.points, "deck")?;
        match self.points.last() {
            None => Err(Error::new("a station has no points").at(station_at(self.x_m))),
            Some(edge) if edge.z_m > 0.0 || (edge.z_m == 0.0 && edge.y_m == 0.0) => Ok(()),
            Some(edge) => {
                Err(Error::new("a station ends at or below the waterline where others reach the deck")
                    .at(station_at(self.x_m))
                    .found(format!("its last point at z_m = {}", edge.z_m))
                    .expected("a last point at the deck's edge, or all stations up to the waterline alone")
                    .remedy("give every station its points up to the deck"))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::sections::Hull;
    use approx::assert_relative_eq;

    fn section(x_m: f64, points: &[(f64, f64)]) -> DeckedSection {
        DeckedSection { x_m, points: points.iter().map(|&(z_m, y_m)| Point { z_m, y_m }).collect() }
    }

    /// A box 10 x 2 x 0.5 m with 1 m of vertical side: 20 m³ above the water, 5 m³ before three quarters.
    #[test]
    fn a_box_by_hand() {
        let sections = (0..=10).map(|i| section(f64::from(i), &[(-0.5, 0.0), (-0.5, 1.0), (1.0, 1.0)]));
        let hull = Hull::of_decked(Decked::new(sections.collect()).unwrap()).unwrap();
        assert_relative_eq!(hull.hydrostatics().volume_m3, 10.0, max_relative = 1e-12);
        let decked = hull.decked().unwrap();
        let reserve = decked.reserve_buoyancy(7.5);
        assert_relative_eq!(reserve.volume_m3, 20.0, max_relative = 1e-12);
        assert_relative_eq!(reserve.forward_m3, 5.0, max_relative = 1e-12);
        assert_eq!(decked.flare_rad(9.0), Some(0.0));
        assert_eq!((decked.deck_beam_m(), decked.stem_head_m()), (2.0, [10.0, 1.0]));
    }

    /// Sides at 45 degrees from keel to deck, cut at the water without a point there; a raked stem overhangs by 1 m.
    #[test]
    fn flare_and_overhang_by_hand() {
        let wedge = |x| section(x, &[(-1.0, 0.0), (1.0, 2.0)]);
        let sections = vec![
            wedge(0.0),
            wedge(2.0),
            section(4.0, &[(0.0, 0.0), (1.0, 1.0)]),
            section(5.0, &[(1.0, 0.0)]),
        ];
        let hull = Hull::of_decked(Decked::new(sections).unwrap()).unwrap();
        assert_eq!((hull.lwl_m(), hull.stations().len()), (4.0, 3));
        assert_eq!(hull.stations()[1].beam_m(), 2.0);
        let decked = hull.decked().unwrap();
        assert_relative_eq!(decked.flare_rad(1.0).unwrap(), 45_f64.to_radians(), max_relative = 1e-12);
        assert_eq!(decked.ends_m(), [0.0, 5.0]);
        assert_eq!(decked.stem_head_m(), [5.0, 1.0]);
    }

    #[test]
    fn mistakes_are_named() {
        let good = |x| section(x, &[(-1.0, 0.0), (1.0, 2.0)]);
        let problem = |s: Vec<DeckedSection>| Decked::new(s).unwrap_err().problem().to_owned();
        assert!(problem(vec![good(0.0), good(1.0)]).contains("too few"));
        assert!(problem(vec![good(0.0), good(1.0), good(1.0)]).contains("not in order"));
        let low = section(2.0, &[(-1.0, 0.0), (0.0, 1.0)]);
        assert!(problem(vec![good(0.0), good(1.0), low]).contains("others reach the deck"));
        let falling = section(2.0, &[(1.0, 0.0), (0.5, 1.0)]);
        assert!(problem(vec![good(0.0), good(1.0), falling]).contains("keel to deck"));
        let clear = section(1.0, &[(0.5, 0.0), (1.0, 2.0)]);
        let split = vec![good(0.0), clear, good(2.0), section(3.0, &[(0.5, 0.0)])];
        assert!(problem(split).contains("clear of the water"));
    }
}
