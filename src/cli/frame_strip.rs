//! A strip of frames: how she lay as the wave that came deepest over her stem passed; or two boats side by side.

use crate::cli::svg_page::{ACCENT, FAINT, INK, Page, SEA, WET, area, line, page, words};
use plotters::style::RGBColor;
use plotters::style::text_anchor::HPos;
use roughwater::hull::{Decked, DeckedSection, Hull};
use roughwater::simulate::{Frame, Frames};

const WIDTH: u32 = 1400;
const FRAME: f64 = 210.0;
/// A frame of two boats, with a line of words above each.
const PAIRED_FRAME: f64 = 256.0;
const HEADING: f64 = 96.0;
const MARGIN: f64 = 40.0;
/// Of the width, what the words beside each frame take.
const WORDS: f64 = 190.0;
/// Between two boats.
const GAP: f64 = 36.0;
/// Sea before her bow and abaft her stern, over her length.
const AROUND: [f64; 2] = [0.15, 0.35];
/// Of two boats the fore part is shown, from this part of her length, with so much sea before it.
const FORE: [f64; 2] = [0.3, 0.2];
const SURFACE_POINTS: usize = 160;

/// The strip as SVG.
pub(super) fn svg(name: &str, what: &str, hull: &Hull, frames: &Frames) -> String {
    let height = HEADING + FRAME * frames.frames.len() as f64 + MARGIN;
    page(WIDTH, height as u32, |page| {
        words(page, name, (MARGIN as i32, 38), 32, INK, HPos::Left);
        words(page, what, (MARGIN as i32, 72), 20, FAINT, HPos::Left);
        let Some(decked) = hull.decked() else { return };
        let [aft, fore] = decked.ends_m().map(|x| x - frames.gravity_x_m);
        let ends = [aft - AROUND[0] * hull.lwl_m(), fore + AROUND[1] * hull.lwl_m()];
        let first = frames.frames.first().map_or(0.0, |frame| frame.time_s);
        for (i, frame) in frames.frames.iter().enumerate() {
            let top = HEADING + FRAME * i as f64;
            let width = f64::from(WIDTH) - WORDS - 2.0 * MARGIN;
            let place = Place { left: MARGIN + WORDS, top, width, height: FRAME, ends, middle_m: 0.0 };
            Strip { decked, frames, frame, place }.draw(page);
            beside(page, frame, frame.time_s - first, top);
        }
    })
}

/// Two boats over the same wave, the fore part of each, moment by moment.
pub(super) fn pair(what: &str, boats: &[(&str, &Hull, Frames); 2]) -> String {
    let count = boats.iter().map(|(.., frames)| frames.frames.len()).max().unwrap_or(0);
    let height = HEADING + PAIRED_FRAME * count as f64 + MARGIN;
    let width = (f64::from(WIDTH) - 2.0 * MARGIN - GAP) / 2.0;
    page(WIDTH, height as u32, |page| {
        words(page, what, (MARGIN as i32, 34), 22, FAINT, HPos::Left);
        for (i, (name, hull, frames)) in boats.iter().enumerate() {
            let left = MARGIN + (width + GAP) * i as f64;
            words(page, name, (left as i32, 72), 26, INK, HPos::Left);
            let Some(decked) = hull.decked() else { continue };
            let [aft, fore] = [FORE[0], 1.0 + FORE[1]].map(|part| part * hull.lwl_m() - frames.gravity_x_m);
            let first = frames.frames.first().map_or(0.0, |frame| frame.time_s);
            for (i, frame) in frames.frames.iter().enumerate() {
                let top = HEADING + PAIRED_FRAME * i as f64;
                let height = PAIRED_FRAME - LINE_OF_WORDS - 8.0;
                let place =
                    Place { left, top: top + LINE_OF_WORDS, width, height, ends: [aft, fore], middle_m: 0.0 };
                Strip { decked, frames, frame, place }.centred().draw(page);
                above(page, frame, frame.time_s - first, [left, top]);
            }
        }
    })
}

/// Height of a line of words above a frame.
const LINE_OF_WORDS: f64 = 26.0;

/// How she lay, in words beside a frame.
fn beside(page: &Page<'_>, frame: &Frame, time_s: f64, top: f64) {
    let (left, middle) = (MARGIN as i32, (top + FRAME / 2.0) as i32);
    words(page, &format!("{time_s:.1} s"), (left, middle - 52), 24, INK, HPos::Left);
    words(page, &format!("{:.1} kn", frame.speed_kn), (left, middle - 22), 24, INK, HPos::Left);
    words(page, &trim(frame), (left, middle + 8), 20, FAINT, HPos::Left);
    let (deck, ink) = on_deck(frame);
    words(page, &deck, (left, middle + 36), 20, ink, HPos::Left);
}

/// The same in one line above it.
fn above(page: &Page<'_>, frame: &Frame, time_s: f64, [left, top]: [f64; 2]) {
    let at = |x: f64| ((left + x) as i32, (top + LINE_OF_WORDS / 2.0) as i32);
    words(page, &format!("{time_s:.1} s"), at(0.0), 20, INK, HPos::Left);
    words(page, &format!("{:.1} kn", frame.speed_kn), at(90.0), 20, INK, HPos::Left);
    words(page, &trim(frame), at(190.0), 20, FAINT, HPos::Left);
    let (deck, ink) = on_deck(frame);
    words(page, &deck, at(360.0), 20, ink, HPos::Left);
}

fn trim(frame: &Frame) -> String {
    let trim = frame.trim_rad.to_degrees();
    format!("{:.1}° bow {}", trim.abs(), if trim >= 0.0 { "down" } else { "up" })
}

fn on_deck(frame: &Frame) -> (String, RGBColor) {
    let said = if frame.deck_kg >= 1.0 { format!("{:.0} kg on deck", frame.deck_kg) } else { "dry".into() };
    (said, if frame.deck_kg >= 100.0 { ACCENT } else { FAINT })
}

/// Where a frame stands on the page, in pixels, and what of her it shows, m forward of the centre of gravity.
struct Place {
    left: f64,
    top: f64,
    width: f64,
    height: f64,
    ends: [f64; 2],
    /// The height that stands in the middle, m.
    middle_m: f64,
}

struct Strip<'s> {
    decked: &'s Decked,
    frames: &'s Frames,
    frame: &'s Frame,
    place: Place,
}

impl Strip<'_> {
    /// With sea and hull in the middle of the frame, however high the wave lifts her.
    fn centred(mut self) -> Self {
        let [aft, fore] = self.place.ends;
        let sea = [aft, 0.5 * (aft + fore), fore].map(|x| self.frames.surface_m(self.frame, x));
        let hull = self.shown().into_iter().flat_map(|section| {
            [section.points[0].z_m, section.edge().z_m].map(|z| self.moved([section.x_m, z])[1])
        });
        let ends = sea
            .into_iter()
            .chain(hull)
            .fold([f64::INFINITY, f64::NEG_INFINITY], |ends, z| [ends[0].min(z), ends[1].max(z)]);
        self.place.middle_m = 0.5 * (ends[0] + ends[1]);
        self
    }

    /// The sections that the frame shows.
    fn shown(&self) -> Vec<&DeckedSection> {
        let sections = self.decked.sections().iter();
        sections.filter(|section| self.moved([section.x_m, 0.0])[0] >= self.place.ends[0]).collect()
    }

    fn draw(&self, page: &Page<'_>) {
        let [aft, fore] = self.place.ends;
        let step = (fore - aft) / (SURFACE_POINTS - 1) as f64;
        let sea: Vec<(i32, i32)> = (0..SURFACE_POINTS)
            .map(|i| aft + step * i as f64)
            .map(|x| self.at(x, self.frames.surface_m(self.frame, x)))
            .collect();
        let bottom = (self.place.top + self.place.height - 6.0) as i32;
        let mut under = sea.clone();
        under.push((sea[sea.len() - 1].0, bottom));
        under.push((sea[0].0, bottom));
        area(page, &under, WET);
        line(page, &self.outline(), INK, 3);
        line(page, &sea, SEA, 3);
        if self.frame.over_stem_m > 0.0 {
            let [x, z] = self.moved(self.decked.stem_head_m());
            let (px, py) = self.at(x, z);
            let mark = [(px, py), (px, self.at(x, z + self.frame.over_stem_m).1)];
            line(page, &mark, ACCENT, 5);
        }
    }

    fn at(&self, x_m: f64, z_m: f64) -> (i32, i32) {
        let place = &self.place;
        let [aft, fore] = place.ends;
        let scale = place.width / (fore - aft);
        let x = place.left + (x_m - aft) * scale;
        let z = place.top + 0.55 * place.height - (z_m - place.middle_m) * scale;
        (x.round() as i32, z.clamp(place.top, place.top + place.height).round() as i32)
    }

    /// Where a point of hers, by position and height above the waterline, stands.
    fn moved(&self, [x_m, z_m]: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = self.frame.trim_rad.sin_cos();
        let x = x_m - self.frames.gravity_x_m;
        [x * cos + z_m * sin, self.frame.heave_m - x * sin + z_m * cos]
    }

    /// Keel, stem and deck; open abaft where only the fore part is shown.
    fn outline(&self) -> Vec<(i32, i32)> {
        let shown = self.shown();
        let low = shown.iter().map(|section| [section.x_m, section.points[0].z_m]);
        let high = shown.iter().rev().map(|section| [section.x_m, section.edge().z_m]);
        let mut points: Vec<(i32, i32)> =
            low.chain(high).map(|point| self.moved(point)).map(|[x, z]| self.at(x, z)).collect();
        if shown.len() == self.decked.sections().len() {
            points.push(points[0]);
        }
        points
    }
}
