//! Pressure of a sea on her sections as far as they are wetted at the moment: Froude-Krylov and restoring forces.
//!
//! Under the instantaneous surface Z the pressure is rho g (-z + sum of a cos(phase) cos(k y sin mu) e^(k (z - Z))): linear waves,
//! their decay counted from the surface as it stands (Wheeler 1970, "Method for calculating forces produced by irregular waves", J.
//! Petroleum Technology 22), so that it is 0 there. By Gauss a section's force follows from the pressure's gradient over its
//! wetted area: rho g A up, less what the decay takes. The surface is level across a section, at its mean over the still
//! waterline. Above the deck's edge the sides are taken to go on upright: the sea presses from below as it stands outside,
//! and what weighs on the deck is the water that came aboard. Forces along the course act on the hull up to the deck alone.
//!
//! What depends on depth, the integral of 2 y e^(k (z - level)) up to a level, is tabulated for each section and wave, straight
//! between levels a sixth of the draught apart; sums over waves are those of `wave_rows`.

use crate::base::units::G;
use crate::hull::{Decked, ImmersedSection};
use crate::hydro::body::impact::{plate_added_mass_m2, von_karman_half_breadth_m};
use crate::hydro::body::wave_rows::{LANES, Row, WaveRows, WavesNow, row, total};
use crate::hydro::body::waves::{Wave, averaged};
use crate::maths::quadrature::station_weights;
use multiversion::multiversion;

/// How far above the deck's edge levels are tabulated, m; beyond it the last step's slope goes on.
const OVER_EDGE_M: f64 = 1.0;
/// Levels to the greatest draught.
const LEVELS_TO_DRAUGHT: f64 = 6.0;

/// Her sections and a sea, ready for any moment.
#[derive(Debug, Clone)]
pub struct PressedHull {
    sections: Vec<PressedSection>,
    waves: Vec<Wave>,
    rows: WaveRows,
    rho_kg_m3: f64,
    gravity_x_m: f64,
    gravity_z_m: f64,
    step_m: f64,
    /// Pull of the transom's still pressure that a clean run leaves out, N.
    still_transom_n: f64,
}

#[derive(Debug, Clone)]
struct PressedSection {
    /// Forward of the centre of gravity, m.
    x: f64,
    weight: f64,
    shape: ImmersedSection,
    /// Index of the lowest tabulated level over the step.
    first: i32,
    levels: usize,
    /// Integral of 2 y e^(k (z - level)) at each level.
    decayed: Vec<Row>,
    /// Added mass of the wetted plate over density at each level, less that at the still waterline, m².
    excess: Vec<f64>,
    /// Cosine and sine of -k cos(mu) x of each wave.
    turned: [Row; 2],
    /// The same times what averaging over the breadth leaves.
    averaged: [Row; 2],
}

/// How she lies and moves.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Lying {
    /// Rise of the centre of gravity from rest, m.
    pub heave_m: f64,
    /// Trim, rad, bow down.
    pub trim_rad: f64,
    /// Rate of rise, m/s.
    pub heave_rate_m_s: f64,
    /// Rate of trim, rad/s.
    pub trim_rate_rad_s: f64,
    /// Speed along the course, m/s.
    pub speed_m_s: f64,
}

/// A section at a moment.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct SectionNow {
    /// Forward of the centre of gravity, m.
    pub x_m: f64,
    /// Share of the length, m.
    pub weight_m: f64,
    /// The sea's level in the section's own height above her waterline, m.
    pub level_m: f64,
    /// Height of the level over the deck's edge, m, negative below it.
    pub over_edge_m: f64,
    /// Half-breadth of the deck, m.
    pub deck_half_breadth_m: f64,
    /// The water's speed up against the section, m/s.
    pub entry_m_s: f64,
    /// Rate of that speed in a plane that the section passes through, without her own accelerations and turning, m/s².
    pub entry_rate_m_s2: f64,
    /// The water's orbital speed along the course at the surface, m/s.
    pub water_along_m_s: f64,
    /// Added mass beyond that of the still waterline, kg/m, and its growth with the level, kg/m².
    pub excess_kg_m: f64,
    /// See above.
    pub excess_slope_kg_m2: f64,
    /// Growth of the excess forward along her at the same level, kg/m².
    pub excess_forward_kg_m2: f64,
}

/// Forces of the undisturbed pressure.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Pressed {
    /// Along the course, N.
    pub surge_n: f64,
    /// Up, N.
    pub heave_n: f64,
    /// Bow down about the centre of gravity, N m.
    pub pitch_nm: f64,
}

impl PressedHull {
    /// Prepares a hull with her decks and a sea; her mass is what she displaces at rest, her centre of gravity lies over or in
    /// the centre of buoyancy, at a height above the waterline if one is given.
    pub fn new(decked: &Decked, waves: &[Wave], gravity_z_m: Option<f64>, rho_kg_m3: f64) -> Self {
        let x: Vec<f64> = decked.sections().iter().map(|section| section.x_m).collect();
        let weights = station_weights(&x);
        let shapes: Vec<ImmersedSection> = decked.sections().iter().map(ImmersedSection::new).collect();
        let areas: Vec<f64> = shapes.iter().map(|shape| shape.below(0.0).area_m2).collect();
        let volume: f64 = weights.iter().zip(&areas).map(|(w, a)| w * a).sum();
        let gravity_x_m =
            weights.iter().zip(&areas).zip(&x).map(|((w, a), x)| w * a * x).sum::<f64>() / volume;
        let heights = weights.iter().zip(&shapes).map(|(w, shape)| w * shape.below(0.0).moment_m3);
        let buoyancy_z_m = heights.sum::<f64>() / volume;
        let draught = shapes.iter().map(|shape| -shape.keel_m()).fold(0.0, f64::max);
        let step_m = draught / LEVELS_TO_DRAUGHT;
        let sections = x
            .iter()
            .zip(weights)
            .zip(shapes)
            .map(|((x, weight), shape)| PressedSection::new(x - gravity_x_m, weight, shape, waves, step_m))
            .collect::<Vec<_>>();
        let still_transom_n = rho_kg_m3 * G * sections[0].face_m3(0.0);
        Self {
            still_transom_n,
            sections,
            waves: waves.to_vec(),
            rows: WaveRows::new(waves),
            rho_kg_m3,
            gravity_x_m,
            gravity_z_m: gravity_z_m.unwrap_or(buoyancy_z_m),
            step_m,
        }
    }

    /// The same hull in still water.
    pub fn without_waves(&self) -> Self {
        let still = |section: &PressedSection| PressedSection {
            decayed: vec![Row::new(); section.levels],
            turned: Default::default(),
            averaged: Default::default(),
            ..section.clone()
        };
        Self {
            waves: Vec::new(),
            rows: WaveRows::default(),
            sections: self.sections.iter().map(still).collect(),
            ..self.clone()
        }
    }

    /// The same hull in the same waves, each so many times as high.
    pub fn higher(&self, factor: f64) -> Self {
        let higher = |wave: &Wave| Wave { amplitude_m: factor * wave.amplitude_m, ..*wave };
        Self { waves: self.waves.iter().map(higher).collect(), ..self.clone() }
    }

    /// What she weighs afloat at rest, N.
    pub fn weight_n(&self) -> f64 {
        let areas = self.sections.iter().map(|section| section.weight * section.shape.below(0.0).area_m2);
        self.rho_kg_m3 * G * areas.sum::<f64>()
    }

    /// Centre of gravity forward of the aft end of the waterline, m: above the centre of buoyancy at rest.
    pub fn gravity_x_m(&self) -> f64 {
        self.gravity_x_m
    }

    /// The waves.
    pub fn waves(&self) -> &[Wave] {
        &self.waves
    }

    /// How many sections there are.
    pub fn sections(&self) -> usize {
        self.sections.len()
    }

    /// Growth of the excess of added mass over density forward along her at a level, m, by the sections around one.
    fn excess_forward(&self, index: usize, level: f64) -> f64 {
        let aft = &self.sections[index.saturating_sub(1)];
        let fore = &self.sections[(index + 1).min(self.sections.len() - 1)];
        let at = |section: &PressedSection| section.excess(level, self.step_m)[0];
        (at(fore) - at(aft)) / (fore.x - aft.x)
    }

    /// The speed from which the transom runs clear of the water: 2.5 times that of a wave of its draught (common practice, no
    /// source); 0 without an immersed transom.
    fn clear_m_s(&self) -> f64 {
        2.5 * (G * (-self.sections[0].shape.keel_m()).max(0.0)).sqrt()
    }

    /// Forces of pressure, and what each section meets, in waves as they stand at a moment.
    ///
    /// Where the transom runs clear nothing presses on it, so what would have is taken off, less its still part, which stands in
    /// flat-water resistance.
    pub(super) fn press(&self, lying: &Lying, now: &WavesNow, met: &mut Vec<SectionNow>) -> Pressed {
        let mut sum = press_sections(self, lying, now, met);
        if lying.speed_m_s > self.clear_m_s() {
            let rho_g = self.rho_kg_m3 * G;
            sum.surge_n -= rho_g * self.sections[0].face_m3(met[0].level_m) - self.still_transom_n;
        }
        sum
    }
}

#[multiversion(targets("x86_64+avx2"))]
fn press_sections(hull: &PressedHull, lying: &Lying, now: &WavesNow, met: &mut Vec<SectionNow>) -> Pressed {
    let (sin, cos) = lying.trim_rad.sin_cos();
    let (rho_g, own_z) = (hull.rho_kg_m3 * G, hull.gravity_z_m);
    let mut sum = Pressed::default();
    met.clear();
    for (index, section) in hull.sections.iter().enumerate() {
        let surface = section.surface(&hull.rows, now);
        let level = own_z + (surface.elevation - own_z - lying.heave_m + section.x * sin) / cos;
        let below = section.shape.below(level);
        let edge = section.shape.edge();
        let over = below.over_edge_m;
        let [fall, push] = section.decayed(&hull.rows, now, level, hull.step_m);
        let outside = below.breadth_m * over;
        let area = below.area_m2 + outside;
        let up = rho_g * (area - fall);
        // the walls above the edge press nothing forward
        let forward = rho_g * (-push + outside * surface.slope + surface.slope * fall);
        let centre = below.moment_m3 + outside * (edge.z_m + over / 2.0) - own_z * area;
        sum.heave_n += section.weight * up;
        sum.surge_n += section.weight * forward;
        sum.pitch_nm -= section.weight * (section.x * cos * up + rho_g * sin * centre);
        let own = lying.heave_rate_m_s - section.x * lying.trim_rate_rad_s + lying.speed_m_s * lying.trim_rad;
        let [excess, slope] = section.excess(level, hull.step_m);
        met.push(SectionNow {
            x_m: section.x,
            weight_m: section.weight,
            level_m: level,
            over_edge_m: level - edge.z_m,
            deck_half_breadth_m: edge.y_m,
            entry_m_s: surface.rise - own,
            entry_rate_m_s2: surface.rise_rate,
            water_along_m_s: surface.along,
            excess_kg_m: hull.rho_kg_m3 * excess,
            excess_slope_kg_m2: hull.rho_kg_m3 * slope,
            excess_forward_kg_m2: hull.rho_kg_m3 * hull.excess_forward(index, level),
        });
    }
    sum
}

/// The sea's surface at a section.
#[derive(Default)]
struct Surface {
    elevation: f64,
    slope: f64,
    rise: f64,
    rise_rate: f64,
    along: f64,
}

impl PressedSection {
    fn new(x: f64, weight: f64, shape: ImmersedSection, waves: &[Wave], step: f64) -> Self {
        let first = (shape.keel_m() / step).floor() as i32;
        let last = ((shape.edge().z_m + OVER_EDGE_M) / step).ceil() as i32;
        let levels = (last - first + 1) as usize;
        let level = |i: usize| f64::from(first + i as i32) * step;
        let mut integrals = vec![0.0; waves.len()];
        let mut decayed = vec![row(integrals.iter().copied())];
        for l in 1..levels {
            for (integral, wave) in integrals.iter_mut().zip(waves) {
                let more = slab(&shape, wave, level(l - 1), level(l));
                *integral = *integral * (-wave.wave_number() * step).exp() + more;
            }
            decayed.push(row(integrals.iter().copied()));
        }
        let plate = |level: f64| plate_added_mass_m2(von_karman_half_breadth_m(&shape, level));
        let still = plate(0.0);
        let half_breadth =
            if shape.keel_m() < 0.0 { shape.below(0.0).breadth_m } else { shape.edge().y_m } / 2.0;
        Self {
            x,
            weight,
            first,
            levels,
            decayed,
            excess: (0..levels).map(|l| plate(level(l)) - still).collect(),
            turned: [f64::cos, f64::sin].map(|of| row(waves.iter().map(|wave| of(-wave.along() * x)))),
            averaged: [f64::cos, f64::sin].map(|of| {
                let left = |wave: &Wave| averaged(wave.across(), half_breadth);
                row(waves.iter().map(|wave| left(wave) * of(-wave.along() * x)))
            }),
            shape,
        }
    }

    /// The integral of depth over the section's wetted face, m³: what presses on a transom over rho g.
    fn face_m3(&self, level: f64) -> f64 {
        let below = self.shape.below(level);
        level * below.area_m2 - below.moment_m3
    }

    #[inline(always)]
    fn surface(&self, rows: &WaveRows, now: &WavesNow) -> Surface {
        let [mut elevation, mut slope, mut rise, mut rise_rate, mut along] = [[0.0f32; LANES]; 5];
        let [cosine, sine] = &self.averaged;
        for i in 0..now.cosine.len() {
            let (c, s, turn_c, turn_s) = (&now.cosine[i], &now.sine[i], &cosine[i], &sine[i]);
            let (k, w, w2, wc) = (&rows.along[i], &rows.omega[i], &rows.square[i], &rows.forward[i]);
            for l in 0..LANES {
                let re = c[l] * turn_c[l] - s[l] * turn_s[l];
                let im = c[l] * turn_s[l] + s[l] * turn_c[l];
                elevation[l] += re;
                slope[l] += k[l] * im;
                rise[l] -= w[l] * im;
                rise_rate[l] -= w2[l] * re;
                along[l] += wc[l] * re;
            }
        }
        Surface {
            elevation: total(elevation),
            slope: total(slope),
            rise: total(rise),
            rise_rate: total(rise_rate),
            along: total(along),
        }
    }

    /// What decay takes of the wetted area, m², and the sum that pushes along the course, m².
    #[inline(always)]
    fn decayed(&self, rows: &WaveRows, now: &WavesNow, level: f64, step: f64) -> [f64; 2] {
        let Some((place, part)) = self.place(level, step) else { return [0.0; 2] };
        let [cosine, sine] = &self.turned;
        let (low, high, part) = (&self.decayed[place], &self.decayed[place + 1], part as f32);
        let [mut fall, mut push] = [[0.0f32; LANES]; 2];
        for i in 0..now.cosine.len() {
            let (c, s, turn_c, turn_s) = (&now.cosine[i], &now.sine[i], &cosine[i], &sine[i]);
            let (k, along, low, high) = (&rows.number[i], &rows.along[i], &low[i], &high[i]);
            for l in 0..LANES {
                let held = low[l] + part * (high[l] - low[l]);
                let re = c[l] * turn_c[l] - s[l] * turn_s[l];
                let im = c[l] * turn_s[l] + s[l] * turn_c[l];
                fall[l] += k[l] * (held * re);
                push[l] += along[l] * (held * im);
            }
        }
        [total(fall), total(push)]
    }

    fn excess(&self, level: f64, step: f64) -> [f64; 2] {
        let Some((row, part)) = self.place(level, step) else { return [self.excess[0], 0.0] };
        let (low, high) = (self.excess[row], self.excess[row + 1]);
        [low + part.min(1.0) * (high - low), if part <= 1.0 { (high - low) / step } else { 0.0 }]
    }

    /// The tabulated step that holds a level and the part of it; none below the keel.
    fn place(&self, level: f64, step: f64) -> Option<(usize, f64)> {
        let place = level / step - f64::from(self.first);
        if place < 0.0 {
            return None;
        }
        let row = (place as usize).min(self.levels - 2);
        Some((row, place - row as f64))
    }
}

/// The integral of 2 y_k(z) e^(k (z - high)) between two levels, y_k the integral of cos(k sin(mu) y) to the side; three Gauss
/// points on each straight piece.
fn slab(shape: &ImmersedSection, wave: &Wave, low: f64, high: f64) -> f64 {
    const GAUSS: [(f64, f64); 3] =
        [(0.112_701_665_379_258, 5.0 / 18.0), (0.5, 8.0 / 18.0), (0.887_298_334_620_742, 5.0 / 18.0)];
    let k = wave.wave_number();
    let bottom = low.max(shape.keel_m());
    let mut cuts: Vec<f64> = vec![bottom];
    cuts.extend(shape.points().iter().map(|point| point.z_m).filter(|z| *z > bottom && *z < high));
    cuts.push(high);
    let piece = |from: f64, to: f64| -> f64 {
        let point = |&(place, weight): &(f64, f64)| {
            let z = from + place * (to - from);
            let y = shape.below(z).breadth_m / 2.0;
            weight * 2.0 * y * averaged(wave.across(), y) * (k * (z - high)).exp()
        };
        (to - from).max(0.0) * GAUSS.iter().map(point).sum::<f64>()
    };
    cuts.windows(2).map(|cut| piece(cut[0], cut[1])).sum()
}
