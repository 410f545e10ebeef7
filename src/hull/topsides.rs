//! Topsides from a few figures: what a hull known up to her waterline looks like above it.
//!
//! Freeboard is a parabola through stern, middle and bow; the deck's outline is of the family of the drawn waterlines;
//! sides are straight between the two. A waterline at a height z ends at the stem of that height: before the greatest
//! beam it is the drawn one, stretched to that end, so a rake moves the bow's fullness with the stem. All of it is common
//! practice, no source; offsets up to the deck say it exactly.

use crate::base::{Error, Result};
use crate::hull::decked::{Decked, DeckedSection};
use crate::hull::point::Point;
use crate::hull::sections::{Hull, Station};
use crate::maths::bisect::root;

/// Place of the greatest beam of the deck, as of the drawn waterline.
const GREATEST_BEAM: f64 = 0.42;
/// Sections beyond the waterline's fore end where the stem overhangs.
const OVERHANGING: usize = 6;
/// Points of a section between waterline and deck.
const SIDE_POINTS: usize = 9;
/// Where a flare is told: this part of the waterline from its aft end.
pub const FLARE_AT: f64 = 0.9;

/// The figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Topsides {
    /// Height of the deck's edge above the waterline at the stem, m.
    pub bow_freeboard_m: f64,
    /// The same in the middle of her length, m.
    pub mid_freeboard_m: f64,
    /// The same at the stern, m.
    pub stern_freeboard_m: f64,
    /// Greatest beam of the deck, m.
    pub deck_beam_m: f64,
    /// Beam of the deck at the stern over the greatest, 0..1.
    pub transom_fraction: f64,
    /// The forward deck.
    pub bow: DeckBow,
    /// Rake of the stem from the vertical, rad; positive where it overhangs, negative where it leans back.
    pub stem_rake_rad: f64,
}

/// How wide the forward deck is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DeckBow {
    /// Fullness of its outline: 0 fine to 1 full, as that of the waterline.
    Fullness(f64),
    /// Angle of the side from the vertical at nine tenths of the waterline, rad.
    Flare(f64),
}

impl Hull {
    /// The hull with topsides of these figures.
    ///
    /// # Errors
    /// Sides that no deck of the family has, or a stem that leans back beyond the greatest beam.
    pub fn with_topsides(self, topsides: &Topsides) -> Result<Self> {
        topsides.check(self.lwl_m())?;
        let fullness = match topsides.bow {
            DeckBow::Fullness(fullness) => fullness,
            DeckBow::Flare(flare) => topsides.fullness_of_flare(&self, flare)?,
        };
        let drawn = Drawn { topsides, length_m: self.lwl_m(), waterline: Waterline::of(&self), fullness };
        let afloat = self.stations().iter().map(|station| drawn.section(station));
        let sections = afloat.chain(drawn.overhang()).collect();
        Hull::of_decked(Decked::new(sections)?)
    }
}

impl Topsides {
    fn check(&self, length_m: f64) -> Result<()> {
        let leans_back = -self.bow_freeboard_m * self.stem_rake_rad.tan();
        if leans_back >= (1.0 - FLARE_AT) * length_m {
            return Err(Error::new("the stem leans back too far")
                .found(format!("{leans_back:.2} m at the deck"))
                .expected(format!("below a tenth of the waterline, {:.2} m", (1.0 - FLARE_AT) * length_m))
                .remedy("less rake, or offsets up to the deck"));
        }
        for i in 0..=20 {
            let freeboard = self.freeboard_at(f64::from(i) / 20.0);
            if freeboard <= 0.0 {
                return Err(Error::new("the deck's edge dips below the water between bow and stern")
                    .found(format!(
                        "{freeboard:.2} m of freeboard at {:.2} of her length",
                        f64::from(i) / 20.0
                    ))
                    .expected("a parabola through the three freeboards that stays above the water"));
            }
        }
        Ok(())
    }

    /// Freeboard at a part of the deck's length from the stern, m.
    fn freeboard_at(&self, part: f64) -> f64 {
        let [stern, mid, bow] = [self.stern_freeboard_m, self.mid_freeboard_m, self.bow_freeboard_m];
        stern * (1.0 - part) * (1.0 - 2.0 * part)
            + mid * 4.0 * part * (1.0 - part)
            + bow * part * (2.0 * part - 1.0)
    }

    /// Half-breadth of the deck at a part of the deck's length, m; the family of `Dimensions`' waterlines.
    fn deck_m(&self, part: f64, fullness: f64) -> f64 {
        let outline = if part < GREATEST_BEAM {
            let r = (GREATEST_BEAM - part) / GREATEST_BEAM;
            1.0 - (1.0 - self.transom_fraction) * r * r
        } else {
            let r = (part - GREATEST_BEAM) / (1.0 - GREATEST_BEAM);
            (1.0 - r * r).max(0.0).powf(1.0 / (1.0 + fullness))
        };
        outline * self.deck_beam_m / 2.0
    }

    fn fullness_of_flare(&self, hull: &Hull, flare_rad: f64) -> Result<f64> {
        let waterline = Waterline::of(hull);
        let flare = |fullness: f64| {
            let drawn =
                Drawn { topsides: self, length_m: hull.lwl_m(), waterline: waterline.clone(), fullness };
            let (x, edge) = (FLARE_AT * hull.lwl_m(), drawn.edge_m(FLARE_AT * hull.lwl_m()));
            ((drawn.half_breadth(x, edge) - drawn.half_breadth(x, 0.0)) / edge).atan()
        };
        root((0.0, 1.0), |fullness| flare(fullness) - flare_rad).ok_or_else(|| {
            Error::new("the flare does not fit deck beam and waterline")
                .found(format!("{:.1} degrees", flare_rad.to_degrees()))
                .expected(format!(
                    "{:.1} to {:.1} degrees at nine tenths of the waterline with this deck_beam_m",
                    flare(0.0).to_degrees(),
                    flare(1.0).to_degrees()
                ))
                .remedy("another flare or deck beam, or deck_bow_fullness in its place")
        })
    }
}

/// Half-breadths of a hull's waterline over the part of its length.
#[derive(Debug, Clone)]
struct Waterline(Vec<(f64, f64)>);

impl Waterline {
    fn of(hull: &Hull) -> Self {
        Self(hull.stations().iter().map(|s| (s.x_m / hull.lwl_m(), s.beam_m() / 2.0)).collect())
    }

    fn half_breadth(&self, part: f64) -> f64 {
        let after = self.0.partition_point(|(u, _)| *u < part).clamp(1, self.0.len() - 1);
        let ((u0, y0), (u1, y1)) = (self.0[after - 1], self.0[after]);
        y0 + (y1 - y0) * ((part - u0) / (u1 - u0)).clamp(0.0, 1.0)
    }
}

struct Drawn<'a> {
    topsides: &'a Topsides,
    length_m: f64,
    waterline: Waterline,
    fullness: f64,
}

impl Drawn<'_> {
    /// Where the stem stands at a height.
    fn stem_m(&self, z_m: f64) -> f64 {
        self.length_m + z_m * self.topsides.stem_rake_rad.tan()
    }

    /// Height of the deck at a place; past the head of a stem that leans back, as at that head.
    fn deck_height_m(&self, x_m: f64) -> f64 {
        let deck_length = self.stem_m(self.topsides.bow_freeboard_m);
        self.topsides.freeboard_at((x_m / deck_length).min(1.0))
    }

    /// Height at which the side ends at a place: the deck, or the stem that leans back over it.
    fn edge_m(&self, x_m: f64) -> f64 {
        let deck = self.deck_height_m(x_m);
        if x_m <= self.stem_m(deck) {
            deck
        } else {
            (self.length_m - x_m) / -self.topsides.stem_rake_rad.tan()
        }
    }

    fn half_breadth(&self, x_m: f64, z_m: f64) -> f64 {
        let widest = GREATEST_BEAM * self.length_m;
        let part = if x_m <= widest {
            x_m / self.length_m
        } else {
            let along = (x_m - widest) / (self.stem_m(z_m) - widest);
            GREATEST_BEAM + along.min(1.0) * (1.0 - GREATEST_BEAM)
        };
        let up = z_m / self.deck_height_m(x_m);
        let (low, high) = (self.waterline.half_breadth(part), self.topsides.deck_m(part, self.fullness));
        low + (high - low) * up
    }

    /// A station of the hull, continued to the deck or to a stem that leans back over it.
    fn section(&self, station: &Station) -> DeckedSection {
        let edge = self.edge_m(station.x_m).max(0.0);
        let mut points = station.points.clone();
        if edge > 0.0 {
            points.extend(self.side(station.x_m, 0.0, edge).skip(1));
        }
        DeckedSection { x_m: station.x_m, points }
    }

    /// Sections before the waterline, each from the stem up.
    fn overhang(&self) -> impl Iterator<Item = DeckedSection> {
        let (from, to) = (self.length_m, self.stem_m(self.topsides.bow_freeboard_m));
        let count = if to > from + 1e-6 { OVERHANGING } else { 0 };
        (1..=count).map(move |i| {
            let x_m = from + (to - from) * i as f64 / count as f64;
            let low = (x_m - from) / self.topsides.stem_rake_rad.tan();
            let edge = self.edge_m(x_m).max(low);
            let points = if edge - low > 1e-9 {
                self.side(x_m, low, edge).collect()
            } else {
                vec![Point { z_m: edge, y_m: 0.0 }]
            };
            DeckedSection { x_m, points }
        })
    }

    fn side(&self, x_m: f64, from: f64, to: f64) -> impl Iterator<Item = Point> {
        (0..SIDE_POINTS).map(move |i| {
            let z_m = from + (to - from) * i as f64 / (SIDE_POINTS - 1) as f64;
            Point { z_m, y_m: self.half_breadth(x_m, z_m) }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Sections with vertical sides, 10 m long; half-breadth (1 - s²) before the greatest beam, s from there to the stem.
    fn hull() -> Hull {
        let station = |i: u32| {
            let part = f64::from(i) / 40.0;
            let s = ((part - GREATEST_BEAM) / (1.0 - GREATEST_BEAM)).max(0.0);
            let y_m = 1.0 - s * s;
            Station { x_m: 10.0 * part, points: vec![Point { z_m: -0.5, y_m }, Point { z_m: 0.0, y_m }] }
        };
        Hull::new((0..=40).map(station).collect()).unwrap()
    }

    const PLUMB: Topsides = Topsides {
        bow_freeboard_m: 1.2,
        mid_freeboard_m: 0.9,
        stern_freeboard_m: 1.0,
        deck_beam_m: 2.0,
        transom_fraction: 1.0,
        bow: DeckBow::Fullness(0.0),
        stem_rake_rad: 0.0,
    };

    /// A deck with the waterline's outline makes vertical sides: reserve is the integral of breadth x freeboard. By hand,
    /// with freeboard 1 - 0.6 u + 0.8 u² and breadth 2 up to u = 0.42, 2(1 - s²) beyond: Simpson's rule on 200 steps.
    #[test]
    fn vertical_sides_by_hand() {
        let hull = hull().with_topsides(&PLUMB).unwrap();
        let decked = hull.decked().unwrap();
        let breadth = |u: f64| 2.0 - 2.0 * ((u - GREATEST_BEAM) / (1.0 - GREATEST_BEAM)).max(0.0).powi(2);
        let value = |i: u32| {
            let u = f64::from(i) / 200.0;
            let simpson = if i == 0 || i == 200 {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            simpson * breadth(u) * (1.0 - 0.6 * u + 0.8 * u * u)
        };
        let expected = 10.0 / 600.0 * (0..=200).map(value).sum::<f64>();
        assert_relative_eq!(decked.reserve_buoyancy(7.5).volume_m3, expected, max_relative = 1e-3);
        assert_eq!(decked.stem_head_m(), [10.0, 1.2]);
        assert_relative_eq!(decked.flare_rad(9.0).unwrap(), 0.0, epsilon = 1e-12);
    }

    /// tan(20 degrees) x 1.2 m of overhang, and as much less when the stem leans back.
    #[test]
    fn the_stem_rakes() {
        let head = |degrees: f64| {
            let raked = Topsides { stem_rake_rad: degrees.to_radians(), ..PLUMB };
            let hull = hull().with_topsides(&raked).unwrap();
            assert_relative_eq!(hull.lwl_m(), 10.0);
            (hull.decked().unwrap().ends_m()[1], hull.decked().unwrap().stem_head_m())
        };
        let reach = 20_f64.to_radians().tan() * 1.2;
        let (end, forward) = head(20.0);
        assert_relative_eq!(end, 10.0 + reach, max_relative = 1e-12);
        assert_relative_eq!(forward[0], end);
        let (end, back) = head(-20.0);
        assert_eq!(end, 10.0);
        // the sections are a quarter of a metre apart
        assert!(back[0] > 10.0 - reach - 0.25 && back[0] <= 10.0 - reach + 1e-9, "{back:?}");
        assert_relative_eq!(back[1], 1.2, max_relative = 0.02);
    }

    #[test]
    fn a_flare_is_met_or_refused() {
        let flared = |degrees: f64| {
            hull().with_topsides(&Topsides {
                deck_beam_m: 2.6,
                bow: DeckBow::Flare(degrees.to_radians()),
                ..PLUMB
            })
        };
        let angle = flared(12.0).unwrap().decked().unwrap().flare_rad(9.0).unwrap();
        assert_relative_eq!(angle, 12_f64.to_radians(), max_relative = 1e-6);
        let text = flared(40.0).unwrap_err().to_string();
        assert!(text.contains("40.0 degrees") && text.contains("nine tenths"), "{text}");
    }

    #[test]
    fn impossible_topsides_are_named() {
        let problem = |t: Topsides| hull().with_topsides(&t).unwrap_err().problem().to_owned();
        assert!(problem(Topsides { stem_rake_rad: -1.0, ..PLUMB }).contains("leans back"));
        let sagging =
            Topsides { mid_freeboard_m: 0.2, bow_freeboard_m: 3.0, stern_freeboard_m: 0.1, ..PLUMB };
        assert!(problem(sagging).contains("dips below"));
    }
}
