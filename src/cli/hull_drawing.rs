//! A hull drawn: profile, half of the deck with its waterline, and sections from bow and stern.

use crate::cli::svg_page::{ACCENT, FAINT, INK, Page, SEA, WET, area, line, page, words};
use plotters::style::text_anchor::HPos;
use roughwater::hull::{Decked, Hull, Point};

const WIDTH: u32 = 1600;
const MARGIN: f64 = 90.0;
/// Sections drawn from each end.
const SECTIONS: usize = 6;
const GAP: f64 = 70.0;
const HEADING: f64 = 120.0;
const FOOT: f64 = 60.0;
/// Of the width for hull, how much two halves of sections take at most.
const SECTIONS_WIDTH: f64 = 0.62;

/// The drawing as SVG; the three views share the scale of length but for the sections, which are larger.
pub(super) fn svg(name: &str, hull: &Hull) -> String {
    let lines = Lines::of(hull);
    let scale = (f64::from(WIDTH) - 2.0 * MARGIN) / (lines.ends[1] - lines.ends[0]);
    let above = lines.top * scale;
    let profile_z = HEADING + 40.0 + above;
    let deck_y = profile_z + lines.depth * scale + GAP + lines.half_beam * scale;
    let large =
        (SECTIONS_WIDTH * (f64::from(WIDTH) - 2.0 * MARGIN) / (2.0 * lines.half_beam)).min(6.0 * scale);
    let sections_z = deck_y + GAP + lines.top * large;
    let height = sections_z + lines.depth * large + FOOT;
    page(WIDTH, height as u32, |page| {
        words(page, name, (MARGIN as i32, 40), 34, INK, HPos::Left);
        let dimensions = lines.dimensions();
        words(page, &dimensions, (MARGIN as i32, 78), 22, FAINT, HPos::Left);
        let along = |x: f64| MARGIN + (x - lines.ends[0]) * scale;
        lines.profile(page, &|x, z| at(along(x), profile_z - z * scale));
        lines.deck(page, &|x, y| at(along(x), deck_y - y * scale));
        let middle = f64::from(WIDTH) / 2.0;
        lines.body(page, &|y, z| at(middle + y * large, sections_z - z * large));
    })
}

fn at(x: f64, y: f64) -> (i32, i32) {
    (x.round() as i32, y.round() as i32)
}

type To<'a> = &'a dyn Fn(f64, f64) -> (i32, i32);

/// Sections with their greatest extents, m.
struct Lines {
    sections: Vec<(f64, Vec<Point>)>,
    lwl_m: f64,
    reaches_deck: bool,
    /// Position and height of the deck at the stem; the waterline's end where no deck is known.
    stem_head: [f64; 2],
    ends: [f64; 2],
    top: f64,
    depth: f64,
    half_beam: f64,
}

impl Lines {
    fn of(hull: &Hull) -> Self {
        let sections: Vec<(f64, Vec<Point>)> = match hull.decked() {
            Some(decked) => decked.sections().iter().map(|s| (s.x_m, s.points.clone())).collect(),
            None => hull.stations().iter().map(|s| (s.x_m, s.points.clone())).collect(),
        };
        let greatest = |value: &dyn Fn(&Point) -> f64| {
            sections.iter().flat_map(|(_, points)| points).map(value).fold(0.0, f64::max)
        };
        let (top, depth, half_beam) = (greatest(&|p| p.z_m), greatest(&|p| -p.z_m), greatest(&|p| p.y_m));
        let stem_head = hull.decked().map_or([hull.lwl_m(), 0.0], Decked::stem_head_m);
        let ends = [sections[0].0, sections[sections.len() - 1].0];
        Self {
            lwl_m: hull.lwl_m(),
            reaches_deck: hull.decked().is_some(),
            stem_head,
            ends,
            top,
            depth,
            half_beam,
            sections,
        }
    }

    fn dimensions(&self) -> String {
        let beam = 2.0 * self.half_beam;
        if self.reaches_deck {
            let [aft, fore] = self.ends;
            format!("{:.2} m over all, {:.2} m at the water, {beam:.2} m beam", fore - aft, self.lwl_m)
        } else {
            format!("{:.2} m at the water, {beam:.2} m beam; known up to the waterline", self.lwl_m)
        }
    }

    fn profile(&self, page: &Page<'_>, to: To<'_>) {
        let low = |(x, points): &(f64, Vec<Point>)| (*x, points[0].z_m);
        let high = |(x, points): &(f64, Vec<Point>)| (*x, points[points.len() - 1].z_m);
        let keel: Vec<(f64, f64)> = self.sections.iter().map(low).collect();
        let wet: Vec<(i32, i32)> = keel
            .iter()
            .filter(|(_, z)| *z <= 0.0)
            .chain(&[(self.lwl_m, 0.0), (0.0, 0.0)])
            .map(|&(x, z)| to(x, z))
            .collect();
        area(page, &wet, WET);
        Self::still_water(page, to(self.ends[0], 0.0), to(self.ends[1], 0.0));
        let outline = keel.into_iter().chain(self.sections.iter().rev().map(high));
        let mut outline: Vec<(i32, i32)> = outline.map(|(x, z)| to(x, z)).collect();
        outline.push(outline[0]);
        line(page, &outline, INK, 3);
        words(page, "profile", raised(to(self.ends[0], self.top), 24), 20, FAINT, HPos::Left);
        if self.reaches_deck {
            let stern = high(&self.sections[0]);
            let (px, py) = to(stern.0, stern.1 / 2.0);
            words(page, &format!("{:.2} m", stern.1), (px + 12, py), 20, FAINT, HPos::Left);
            let [x, z] = self.stem_head;
            let (px, py) = to(x.min(self.lwl_m), z / 2.0);
            words(page, &format!("{z:.2} m"), (px - 20, py), 20, FAINT, HPos::Right);
            words(page, "bow", raised(to(self.ends[1], self.top), 24), 20, FAINT, HPos::Right);
        }
    }

    fn deck(&self, page: &Page<'_>, to: To<'_>) {
        let water: Vec<(f64, f64)> =
            self.sections.iter().filter_map(|(x, p)| Some((*x, at_water(p)?))).collect();
        let mut wet: Vec<(i32, i32)> = water.iter().map(|&(x, y)| to(x, y)).collect();
        line(page, &[to(self.ends[0], 0.0), to(self.ends[1], 0.0)], FAINT, 1);
        let shape: Vec<(i32, i32)> =
            [to(0.0, 0.0)].into_iter().chain(wet.clone()).chain([to(self.lwl_m, 0.0)]).collect();
        area(page, &shape, WET);
        wet.insert(0, to(0.0, 0.0));
        line(page, &wet, SEA, 2);
        if self.reaches_deck {
            let edge = self.sections.iter().map(|(x, p)| to(*x, p[p.len() - 1].y_m));
            let edge: Vec<(i32, i32)> = [to(self.ends[0], 0.0)].into_iter().chain(edge).collect();
            line(page, &edge, INK, 3);
        }
        let what = if self.reaches_deck {
            "half of the deck, and of the waterline within"
        } else {
            "half of the waterline"
        };
        words(page, what, raised(to(self.ends[0], self.half_beam), 24), 20, FAINT, HPos::Left);
    }

    fn body(&self, page: &Page<'_>, to: To<'_>) {
        let wide = 1.15 * self.half_beam;
        line(page, &[to(0.0, -self.depth), to(0.0, self.top)], FAINT, 1);
        Self::still_water(page, to(-wide, 0.0), to(wide, 0.0));
        let [aft, fore] = self.ends;
        for i in 0..=2 * SECTIONS {
            let x = aft + (fore - aft) * (i as f64 / (2 * SECTIONS) as f64).min(0.985);
            let (_, points) = self.nearest(x);
            let from_bow = i > SECTIONS;
            let side = if from_bow { 1.0 } else { -1.0 };
            let keel = Point { z_m: points[0].z_m, y_m: 0.0 };
            let drawn: Vec<(i32, i32)> =
                [&keel].into_iter().chain(points).map(|p| to(side * p.y_m, p.z_m)).collect();
            line(page, &drawn, if from_bow { ACCENT } else { INK }, 2);
        }
        words(page, "sections aft", raised(to(-wide, self.top), 16), 20, INK, HPos::Left);
        words(page, "sections forward", raised(to(wide, self.top), 16), 20, ACCENT, HPos::Right);
        let metre = to(-wide, -self.depth);
        let end = (metre.0 + (to(1.0, 0.0).0 - to(0.0, 0.0).0), metre.1);
        line(page, &[metre, end], FAINT, 3);
        words(page, "1 m", (end.0 + 10, end.1), 20, FAINT, HPos::Left);
    }

    fn still_water(page: &Page<'_>, from: (i32, i32), to: (i32, i32)) {
        line(page, &[(from.0 - 30, from.1), (to.0 + 30, to.1)], SEA, 2);
    }

    fn nearest(&self, x_m: f64) -> &(f64, Vec<Point>) {
        let after = self.sections.partition_point(|(x, _)| *x < x_m).min(self.sections.len() - 1);
        let before = after.saturating_sub(1);
        let off = |i: usize| (self.sections[i].0 - x_m).abs();
        if off(before) < off(after) { &self.sections[before] } else { &self.sections[after] }
    }
}

fn raised((x, y): (i32, i32), by: i32) -> (i32, i32) {
    (x, y - by)
}

/// Half-breadth at the waterline of a section that meets it.
fn at_water(points: &[Point]) -> Option<f64> {
    let above = points.partition_point(|p| p.z_m <= 0.0);
    let low = points.get(above.checked_sub(1)?)?;
    Some(match points.get(above) {
        Some(high) => low.y_m - (high.y_m - low.y_m) * low.z_m / (high.z_m - low.z_m),
        None => low.y_m,
    })
}
