//! A hull made ready for strip theory.

use crate::base::{Error, Result};
use crate::base::{Flag, Flags};
use crate::hull::{Hull, Station};
use crate::hydro::section::gauss_quarter_turn;
use crate::hydro::section::lewis::{Fit, Lewis};
use crate::hydro::strip::table::{NODES, SectionTable};
use crate::maths::quadrature::station_weights;

/// A section shallower than this part of its beam has the added mass of a flat plate and no definite form.
const PLATE: f64 = 1e-3;
/// A section narrower than this part of the hull's beam adds nothing (a33 goes with beam squared).
const NARROW: f64 = 1e-4;

/// A hull with its sectional hydrodynamics tabulated. Deep water, per unit fluid density inside.
#[derive(Debug, Clone)]
pub struct StripHull {
    pub(super) sections: Vec<HullSection>,
    pub(super) table: SectionTable,
    pub(super) rho_kg_m3: f64,
    pub(super) length_m: f64,
    pub(super) cg_m: f64,
    pub(super) volume_m3: f64,
    pub(super) pitch_radius_m: f64,
    pub(super) waterplane: Waterplane,
    flags: Flags,
}

/// Moments of the waterplane about the centre of gravity.
#[derive(Debug, Clone, Copy)]
pub(super) struct Waterplane {
    pub(super) area_m2: f64,
    pub(super) first_m3: f64,
    pub(super) second_m4: f64,
}

/// One section: where it is, its weight in the integral over the length, its outline at the nodes.
#[derive(Debug, Clone)]
pub(super) struct HullSection {
    /// Forward of the centre of gravity, m.
    pub(super) x: f64,
    pub(super) weight: f64,
    pub(super) half_beam: f64,
    pub(super) nodes: [Node; NODES],
}

/// A point of the starboard outline with the steps dy, dz its share of the contour makes (keel to waterline).
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Node {
    pub(super) y: f64,
    pub(super) z: f64,
    pub(super) dy: f64,
    pub(super) dz: f64,
}

impl StripHull {
    /// Prepares a hull that floats freely at its waterline: mass is displaced mass, and the centre of gravity
    /// lies above the centre of buoyancy. `pitch_radius_m` is the radius of gyration in pitch.
    ///
    /// Flags [`Flag::LewisAdjusted`] where a section's area is met by no Lewis form, or lies wholly under water.
    ///
    /// # Errors
    /// A radius of gyration that is not above 0 and below the length, or a density that is not above 0.
    pub fn new(hull: &Hull, pitch_radius_m: f64, rho_kg_m3: f64) -> Result<Self> {
        let form = hull.hydrostatics();
        if !(pitch_radius_m > 0.0 && pitch_radius_m < form.lwl_m) {
            return Err(Error::new("pitch_radius_m is out of range")
                .found(pitch_radius_m)
                .expected(format!("above 0 and below lwl_m = {}; a quarter of it is usual", form.lwl_m)));
        }
        if !(rho_kg_m3 > 0.0 && rho_kg_m3.is_finite()) {
            return Err(Error::new("water density is out of range")
                .found(rho_kg_m3)
                .expected("above 0, kg/m3"));
        }
        let fits: Vec<Option<(Lewis, Fit)>> = hull.stations().iter().map(|s| lewis(s, form.bwl_m)).collect();
        let forms: Vec<Option<Lewis>> = fits.iter().map(|fit| fit.map(|(form, _)| form)).collect();
        let adjusted = fits.iter().zip(hull.stations()).any(|(fit, station)| match fit {
            Some((_, fit)) => *fit == Fit::AreaAdjusted,
            None => station.area_m2() > NARROW * form.max_section_area_m2,
        });

        let rule = gauss_quarter_turn(NODES);
        let angles: [f64; NODES] = std::array::from_fn(|i| rule[i].0);
        let x: Vec<f64> = hull.stations().iter().map(|s| s.x_m).collect();
        let sections = station_weights(&x)
            .into_iter()
            .zip(hull.stations())
            .zip(&forms)
            .map(|((weight, station), lewis)| HullSection {
                x: station.x_m - form.lcb_m,
                weight,
                half_beam: station.beam_m() / 2.0,
                nodes: lewis.map_or([Node::default(); NODES], |lewis| nodes(&lewis, &rule)),
            })
            .collect();
        let lever = form.lcf_m - form.lcb_m;
        Ok(Self {
            sections,
            table: SectionTable::new(&forms, &angles, form.lwl_m),
            rho_kg_m3,
            length_m: form.lwl_m,
            cg_m: form.lcb_m,
            volume_m3: form.volume_m3,
            pitch_radius_m,
            waterplane: Waterplane {
                area_m2: form.waterplane_area_m2,
                first_m3: form.waterplane_area_m2 * lever,
                second_m4: form.waterplane_inertia_m4 + form.waterplane_area_m2 * lever * lever,
            },
            flags: if adjusted { Flag::LewisAdjusted.into() } else { Flags::empty() },
        })
    }

    /// Reservations about the hull's form.
    pub fn flags(&self) -> Flags {
        self.flags
    }

    /// Length of the waterline, m.
    pub fn length_m(&self) -> f64 {
        self.length_m
    }

    /// Centre of gravity forward of the aft end of the waterline, m.
    pub fn cg_m(&self) -> f64 {
        self.cg_m
    }
}

fn nodes(form: &Lewis, rule: &[(f64, f64)]) -> [Node; NODES] {
    std::array::from_fn(|i| {
        let (t, weight) = rule[i];
        let (point, tangent) = (form.point(t), form.tangent(t));
        Node { y: point.re, z: point.im, dy: tangent.re * weight, dz: tangent.im * weight }
    })
}

/// The Lewis form of a station, if it is wide enough to matter.
fn lewis(station: &Station, hull_beam_m: f64) -> Option<(Lewis, Fit)> {
    let (beam, draught, area) = (station.beam_m(), station.draught_m(), station.area_m2());
    if beam < NARROW * hull_beam_m {
        return None;
    }
    if draught < PLATE * beam || area <= 0.0 {
        let draught = PLATE * beam;
        return Some(Lewis::fit(beam, draught, std::f64::consts::FRAC_PI_4 * beam * draught));
    }
    Some(Lewis::fit(beam, draught, area))
}
