//! A page of SVG that is read on paper and in the dark: a few inks, each with a second colour for dark screens.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// A drawing surface in whole pixels.
pub(super) type Page<'a> = DrawingArea<SVGBackend<'a>, plotters::coord::Shift>;

/// Lines and words.
pub(super) const INK: RGBColor = RGBColor(0x1F, 0x29, 0x33);
/// What stands back: grids, scales, dimensions.
pub(super) const FAINT: RGBColor = RGBColor(0x7B, 0x87, 0x94);
/// The sea's surface.
pub(super) const SEA: RGBColor = RGBColor(0x1D, 0x6F, 0xA5);
/// What lies under it.
pub(super) const WET: RGBColor = RGBColor(0xD3, 0xE6, 0xF2);
/// What a picture is about.
pub(super) const ACCENT: RGBColor = RGBColor(0xC2, 0x41, 0x0C);
const PAPER: RGBColor = RGBColor(0xFF, 0xFF, 0xFE);

/// Each ink with what stands for it on a dark screen.
const IN_THE_DARK: [(RGBColor, &str); 6] = [
    (INK, "#E4E7EB"),
    (FAINT, "#8A97A6"),
    (SEA, "#63B3ED"),
    (WET, "#17374D"),
    (ACCENT, "#FB923C"),
    (PAPER, "#12181F"),
];

/// Draws a page of this size, in pixels; what is drawn outside it is cut off. Drawing into text fails only where text
/// cannot be measured, which the backend does without fonts; such a word is left out.
pub(super) fn page(width: u32, height: u32, draw: impl FnOnce(&Page<'_>)) -> String {
    let mut text = String::new();
    {
        let page = SVGBackend::with_string(&mut text, (width, height)).into_drawing_area();
        let _ = page.fill(&PAPER);
        draw(&page);
        let _ = page.present();
    }
    with_dark(&text)
}

/// The page with a style sheet that changes every ink where the reader's screen is dark.
fn with_dark(svg: &str) -> String {
    let rules: String = IN_THE_DARK
        .iter()
        .map(|(ink, dark)| {
            let RGBColor(r, g, b) = *ink;
            let light = format!("#{r:02X}{g:02X}{b:02X}");
            format!("[fill=\"{light}\"]{{fill:{dark}}}[stroke=\"{light}\"]{{stroke:{dark}}}")
        })
        .collect();
    let style = format!("<style>@media (prefers-color-scheme: dark){{{rules}}}</style>");
    match svg.find("<svg").and_then(|start| svg[start..].find('>').map(|end| start + end + 1)) {
        Some(end) => format!("{}\n{style}{}", &svg[..end], &svg[end..]),
        None => svg.to_owned(),
    }
}

/// A line through points.
pub(super) fn line(page: &Page<'_>, points: &[(i32, i32)], ink: RGBColor, width: u32) {
    let _ = page.draw(&PathElement::new(points.to_vec(), ink.stroke_width(width)));
}

/// An area within points.
pub(super) fn area(page: &Page<'_>, points: &[(i32, i32)], ink: RGBColor) {
    let _ = page.draw(&Polygon::new(points.to_vec(), ink.filled()));
}

/// Words that start, stand in the middle or end at a point.
pub(super) fn words(page: &Page<'_>, text: &str, at: (i32, i32), size: u32, ink: RGBColor, place: HPos) {
    let style = ("sans-serif", size).into_font().color(&ink).pos(Pos::new(place, VPos::Center));
    let _ = page.draw(&Text::new(text.to_owned(), at, style));
}
