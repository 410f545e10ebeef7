//! A strip of frames: how she lay as the wave that came deepest over her stem passed.

use crate::cli::svg_page::{ACCENT, FAINT, INK, Page, SEA, WET, area, line, page, words};
use plotters::style::text_anchor::HPos;
use roughwater::hull::{Decked, Hull};
use roughwater::simulate::{Frame, Frames};

const WIDTH: u32 = 1400;
const FRAME: f64 = 210.0;
const HEADING: f64 = 96.0;
const MARGIN: f64 = 40.0;
/// Of the width, what the words beside each frame take.
const WORDS: f64 = 190.0;
/// Sea before her bow and abaft her stern, over her length.
const AROUND: [f64; 2] = [0.15, 0.35];
const SURFACE_POINTS: usize = 160;

/// The strip as SVG.
pub(super) fn svg(name: &str, what: &str, hull: &Hull, frames: &Frames) -> String {
    let height = HEADING + FRAME * frames.frames.len() as f64 + MARGIN;
    page(WIDTH, height as u32, |page| {
        words(page, name, (MARGIN as i32, 38), 32, INK, HPos::Left);
        words(page, what, (MARGIN as i32, 72), 20, FAINT, HPos::Left);
        let Some(decked) = hull.decked() else { return };
        let first = frames.frames.first().map_or(0.0, |frame| frame.time_s);
        for (i, frame) in frames.frames.iter().enumerate() {
            let strip =
                Strip { decked, frames, frame, top: HEADING + FRAME * i as f64, length_m: hull.lwl_m() };
            strip.draw(page, frame.time_s - first);
        }
    })
}

struct Strip<'s> {
    decked: &'s Decked,
    frames: &'s Frames,
    frame: &'s Frame,
    top: f64,
    length_m: f64,
}

impl Strip<'_> {
    fn draw(&self, page: &Page<'_>, time_s: f64) {
        let [aft, fore] = self.ends();
        let step = (fore - aft) / (SURFACE_POINTS - 1) as f64;
        let sea: Vec<(i32, i32)> = (0..SURFACE_POINTS)
            .map(|i| aft + step * i as f64)
            .map(|x| self.at(x, self.frames.surface_m(self.frame, x)))
            .collect();
        let bottom = (self.top + FRAME - 6.0) as i32;
        let mut under = sea.clone();
        under.push((sea[sea.len() - 1].0, bottom));
        under.push((sea[0].0, bottom));
        area(page, &under, WET);
        let hull = self.outline();
        line(page, &hull, INK, 3);
        line(page, &sea, SEA, 3);
        if self.frame.over_stem_m > 0.0 {
            let [x, z] = self.moved(self.decked.stem_head_m());
            let (px, py) = self.at(x, z);
            let mark = [(px, py), (px, self.at(x, z + self.frame.over_stem_m).1)];
            line(page, &mark, ACCENT, 5);
        }
        let left = MARGIN as i32;
        let middle = (self.top + FRAME / 2.0) as i32;
        words(page, &format!("{time_s:.1} s"), (left, middle - 52), 24, INK, HPos::Left);
        words(page, &format!("{:.1} kn", self.frame.speed_kn), (left, middle - 22), 24, INK, HPos::Left);
        let trim = self.frame.trim_rad.to_degrees();
        let turned = if trim >= 0.0 { "bow down" } else { "bow up" };
        words(page, &format!("{:.1}° {turned}", trim.abs()), (left, middle + 8), 20, FAINT, HPos::Left);
        let deck = if self.frame.deck_kg >= 1.0 {
            format!("{:.0} kg on deck", self.frame.deck_kg)
        } else {
            "dry".into()
        };
        let ink = if self.frame.deck_kg >= 100.0 { ACCENT } else { FAINT };
        words(page, &deck, (left, middle + 36), 20, ink, HPos::Left);
    }

    /// Ends of the picture, m forward of the centre of gravity.
    fn ends(&self) -> [f64; 2] {
        let [aft, fore] = self.decked.ends_m().map(|x| x - self.frames.gravity_x_m);
        [aft - AROUND[0] * self.length_m, fore + AROUND[1] * self.length_m]
    }

    fn at(&self, x_m: f64, z_m: f64) -> (i32, i32) {
        let [aft, fore] = self.ends();
        let scale = (f64::from(WIDTH) - WORDS - 2.0 * MARGIN) / (fore - aft);
        let x = MARGIN + WORDS + (x_m - aft) * scale;
        let z = self.top + 0.55 * FRAME - z_m * scale;
        (x.round() as i32, z.clamp(self.top, self.top + FRAME).round() as i32)
    }

    /// Where a point of hers, by position and height above the waterline, stands.
    fn moved(&self, [x_m, z_m]: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = self.frame.trim_rad.sin_cos();
        let x = x_m - self.frames.gravity_x_m;
        [x * cos + z_m * sin, self.frame.heave_m - x * sin + z_m * cos]
    }

    fn outline(&self) -> Vec<(i32, i32)> {
        let sections = self.decked.sections();
        let low = sections.iter().map(|section| [section.x_m, section.points[0].z_m]);
        let high = sections.iter().rev().map(|section| [section.x_m, section.edge().z_m]);
        let mut points: Vec<(i32, i32)> =
            low.chain(high).map(|point| self.moved(point)).map(|[x, z]| self.at(x, z)).collect();
        points.push(points[0]);
        points
    }
}
