//! Surge, heave and pitch in time.
//!
//! Newton's law about her centre of gravity with: pressure over the wetted sections (`pressure`), the water's memory (`memory`),
//! linear diffraction of strip theory at her mean speed with what the memory lacks of radiation at speed (`exciting`), impact and the change of added mass with the level (`impact`), water on
//! deck with its weight and mass (`deck_flow`), a foil, and what comes from outside: sails, resistance, drive's trim. The forces
//! that act square to her axis, radiation, diffraction and impact, lean with her trim and so push or hold her along the course.
//!
//! Stepped by the classical Runge-Kutta method of fourth order; water on deck moves between steps. Where a
//! section meets water that rises against it, it takes the whole rate of change of the momentum m_e w of its excess of added mass in a
//! plane that she passes through, (d/dt - U d/dx)(m_e w), so that a bow that drives into a wave is lifted by its flare; where the water
//! falls away it follows accelerations alone, as nothing sucks it down. Left out: roll, sway, yaw; waves of other than linear kind; pressure along the
//! course times its height.

use crate::base::units::G;
use crate::hull::{Decked, ImmersedSection};
use crate::hydro::body::deck_flow::{DeckLoad, DeckWater};
use crate::hydro::body::exciting::exciting;
use crate::hydro::body::foil_in_time::{AtFoil, BodyFoil, FoilNow};
use crate::hydro::body::impact::peak_pressure_pa;
use crate::hydro::body::lagging_lift::Lag;
use crate::hydro::body::memory::{Memory, MemoryState, POLES};
use crate::hydro::body::pressure::{Lying, Pressed, PressedHull, SectionNow};
use crate::hydro::body::wave_rows::{Summed, WavesNow};
use crate::hydro::body::waves::{Wave, averaged};
use crate::hydro::rates::slam_velocity_m_s;
use crate::hydro::strip::StripHull;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Position, speed, heave, trim and the rates of the last two.
const MOTIONS: usize = 6;
/// All that is stepped together.
const STATES: usize = MOTIONS + 2 * POLES + 4;

type States = [f64; STATES];

/// A boat in a sea, ready to be stepped.
#[derive(Debug, Clone)]
pub struct Body {
    pressed: PressedHull,
    memory: Memory,
    /// Mean speed, m/s.
    speed_m_s: f64,
    /// Heave force and pitch moment of diffraction and of what the memory lacks.
    exciting: [Summed; 2],
    /// Water's speed along the course that the hull feels.
    flow: Summed,
    mass_kg: f64,
    pitch_inertia_kg_m2: f64,
    rho_kg_m3: f64,
    slam: SlamSection,
    /// The foremost section that reaches the deck.
    stem_index: usize,
    /// Mass that surges over her own.
    pub surge_mass_ratio: f64,
    /// The foil in use, and what the waves do there.
    foil: Option<(BodyFoil, AtFoil)>,
    /// Time for water to leave the deck, s; none for a deck that ships nothing.
    pub drain_s: Option<f64>,
    /// Share of what comes aboard that is brought to her speed.
    pub momentum_share: f64,
    /// Whether her speed stays as it is.
    pub held: bool,
    /// Whether impact and the change of added mass act.
    pub impact: bool,
}

/// Where slams are told.
#[derive(Debug, Clone)]
struct SlamSection {
    index: usize,
    shape: ImmersedSection,
    /// Slower than this the keel meets the water without a blow, m/s.
    threshold_m_s: f64,
}

/// All that is known of her at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyState {
    /// Time, s.
    pub time_s: f64,
    /// Distance run, m.
    pub run_m: f64,
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// Rise of the centre of gravity from rest, m.
    pub heave_m: f64,
    /// Trim, rad, bow down.
    pub trim_rad: f64,
    /// Rate of rise, m/s.
    pub heave_rate_m_s: f64,
    /// Rate of trim, rad/s.
    pub trim_rate_rad_s: f64,
    /// What the water remembers.
    pub memory: MemoryState,
    /// What the foil's lift still lacks.
    pub lag: Lag,
    /// Water on deck.
    pub deck: DeckWater,
    /// Force of what came aboard in the last step, N, along the course.
    pub deck_force_n: f64,
    /// Whether the slamming section is out of the water.
    emerged: bool,
}

/// What those who push and hold her need to know.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passing {
    /// Time, s.
    pub time_s: f64,
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// Speed of the water along the course, its mean over her length at half her draught, m/s.
    pub water_along_m_s: f64,
    /// Trim, rad.
    pub trim_rad: f64,
}

/// Forces from outside the hull's own water, and the foil's setting.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Outside {
    /// Along the course, N: thrust less resistance.
    pub surge_n: f64,
    /// Up, N.
    pub heave_n: f64,
    /// Bow down, N m.
    pub pitch_nm: f64,
    /// Lift that the foil's setting carries in flat water at this speed, N.
    pub foil_lift_n: f64,
}

/// What a moment shows.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Afloat {
    /// Forces of pressure.
    pub pressed: Pressed,
    /// All forces along the course but those from outside, N.
    pub surge_n: f64,
    /// Means over the step that begins here of the forces from outside along the course, of all others, and of what the water
    /// on deck takes to be speeded up, N.
    pub surge_means_n: [f64; 3],
    /// Acceleration along the course, up and in pitch, m/s² and rad/s².
    pub accelerations: [f64; 3],
    /// The foil.
    pub foil: FoilNow,
    /// The sea over the deck's edge at the head of the stem, m.
    pub stem_over_edge_m: f64,
    /// The sea's level at the head of the stem over her waterline, m.
    pub stem_level_m: f64,
    /// Force of impact, N, up.
    pub impact_n: f64,
    /// Water on deck, kg.
    pub deck_kg: f64,
}

/// A slam: the keel a tenth of her length abaft the stem, out of the water, meets it faster than Ochi's threshold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slam {
    /// When the keel met the water again, s.
    pub time_s: f64,
    /// How fast, m/s.
    pub entry_m_s: f64,
    /// Peak pressure by Wagner, Pa.
    pub pressure_pa: f64,
}

impl Body {
    /// Prepares a hull in a sea around a mean speed, at which diffraction and the speed terms of radiation are taken;
    /// `pitch_radius_m` is her radius of gyration in pitch, `gravity_z_m` the height of her centre of gravity above the waterline,
    /// without it that of the centre of buoyancy, as strip theory has it.
    pub fn new(
        decked: &Decked,
        strip: &StripHull,
        waves: &[Wave],
        mean_speed_m_s: f64,
        pitch_radius_m: f64,
        gravity_z_m: Option<f64>,
        rho_kg_m3: f64,
    ) -> Self {
        let pressed = PressedHull::new(decked, waves, gravity_z_m, rho_kg_m3);
        let mass_kg = pressed.weight_n() / G;
        let draught_m = decked.sections().iter().map(|s| -s.points[0].z_m).fold(0.0, f64::max);
        let nine_tenths = 0.9 * strip.length_m();
        let index =
            decked.sections().partition_point(|s| s.x_m < nine_tenths).min(decked.sections().len() - 1);
        let memory = Memory::new(strip, mean_speed_m_s, chief_rad_s(waves, mean_speed_m_s, strip.length_m()));
        let flow = |wave: &Wave| Complex64::from(flow(wave, strip.length_m(), draught_m));
        Self {
            exciting: exciting(strip, &memory, waves, mean_speed_m_s, None),
            memory,
            speed_m_s: mean_speed_m_s,
            flow: Summed::new(waves.iter().map(flow)),
            mass_kg,
            pitch_inertia_kg_m2: mass_kg * pitch_radius_m * pitch_radius_m,
            rho_kg_m3,
            slam: SlamSection {
                index,
                shape: ImmersedSection::new(&decked.sections()[index]),
                threshold_m_s: slam_velocity_m_s(strip.length_m()),
            },
            stem_index: decked.sections().partition_point(|s| s.x_m < decked.stem_head_m()[0]),
            surge_mass_ratio: 1.0,
            foil: None,
            drain_s: None,
            momentum_share: 1.0,
            held: false,
            impact: true,
            pressed,
        }
    }

    /// The same boat in still water.
    pub fn without_waves(&self) -> Self {
        Self {
            pressed: self.pressed.without_waves(),
            exciting: Default::default(),
            flow: Summed::default(),
            foil: self.foil.as_ref().map(|(foil, _)| (*foil, AtFoil::default())),
            ..self.clone()
        }
    }

    /// The same boat in the same waves, each so many times as high.
    pub fn higher(&self, factor: f64) -> Self {
        Self { pressed: self.pressed.higher(factor), ..self.clone() }
    }

    /// Puts a foil on the hull that the body was made of.
    pub fn set_foil(&mut self, foil: BodyFoil, strip: &StripHull) {
        let waves = self.pressed.waves();
        self.exciting = exciting(strip, &self.memory, waves, self.speed_m_s, Some(&foil));
        self.foil = Some((foil, AtFoil::new(&foil, waves)));
    }

    /// Sets the foil for a trim, rad.
    pub fn set_foil_trim(&mut self, trim_rad: f64) {
        if let Some((foil, _)) = &mut self.foil {
            foil.trim_rad = trim_rad;
        }
    }

    /// Her mass, kg.
    pub fn mass_kg(&self) -> f64 {
        self.mass_kg
    }

    /// Her mass with the water that surges with her, kg.
    pub fn surge_mass_kg(&self) -> f64 {
        self.mass_kg * self.surge_mass_ratio
    }

    /// Centre of gravity forward of the aft end of the waterline, m.
    pub fn gravity_x_m(&self) -> f64 {
        self.pressed.gravity_x_m()
    }

    /// At rest at a speed.
    pub fn at_rest(&self, speed_m_s: f64) -> BodyState {
        BodyState {
            time_s: 0.0,
            run_m: 0.0,
            speed_m_s,
            heave_m: 0.0,
            trim_rad: 0.0,
            heave_rate_m_s: 0.0,
            trim_rate_rad_s: 0.0,
            memory: MemoryState::default(),
            lag: Lag::default(),
            deck: DeckWater::dry(self.pressed.sections()),
            deck_force_n: 0.0,
            emerged: false,
        }
    }

    /// Steps a state on by a time and tells of a slam; `outside` says what pushes and holds her, `raised_m` what her own bow wave
    /// adds to the sea at a section when it is held against the deck's edge.
    pub fn step(
        &self,
        state: &mut BodyState,
        step_s: f64,
        outside: &dyn Fn(&Passing) -> Outside,
        raised_m: &dyn Fn(&SectionNow) -> f64,
        scratch: &mut Scratch,
    ) -> (Afloat, Option<Slam>) {
        let load = match self.drain_s {
            Some(_) if !scratch.met.is_empty() => state.deck.load(&scratch.met, self.rho_kg_m3),
            _ => DeckLoad::default(),
        };
        let y = packed(state);
        let rates = |y: &States, time: f64, scratch: &mut Scratch| {
            self.rates(y, time, &load, state.deck_force_n, outside, scratch)
        };
        let (k1, mut now) = rates(&y, state.time_s, scratch);
        let half = state.time_s + 0.5 * step_s;
        let (k2, second) = rates(&along(&y, &k1, 0.5 * step_s), half, scratch);
        let (k3, third) = rates(&along(&y, &k2, 0.5 * step_s), half, scratch);
        let (k4, fourth) = rates(&along(&y, &k3, step_s), state.time_s + step_s, scratch);
        now.surge_means_n = std::array::from_fn(|i| {
            let at = |afloat: &Afloat| afloat.surge_means_n[i];
            (at(&now) + 2.0 * (at(&second) + at(&third)) + at(&fourth)) / 6.0
        });
        let mean: States = std::array::from_fn(|i| (k1[i] + 2.0 * (k2[i] + k3[i]) + k4[i]) / 6.0);
        unpack(&along(&y, &mean, step_s), state);
        state.time_s += step_s;
        if let Some(drain_s) = self.drain_s {
            let speed = state.speed_m_s;
            let force = state.deck.step(&scratch.met, raised_m, speed, drain_s, step_s, self.rho_kg_m3);
            state.deck_force_n = self.momentum_share * force;
        }
        let slam = self.slam(state, &scratch.met);
        (now, slam)
    }

    fn slam(&self, state: &mut BodyState, met: &[SectionNow]) -> Option<Slam> {
        let section = met[self.slam.index];
        let wet = section.level_m > self.slam.shape.keel_m();
        let meets = state.emerged && wet;
        state.emerged = !wet;
        (meets && section.entry_m_s > self.slam.threshold_m_s).then(|| Slam {
            time_s: state.time_s,
            entry_m_s: section.entry_m_s,
            pressure_pa: peak_pressure_pa(self.rho_kg_m3, section.entry_m_s, self.slam.deadrise_rad()),
        })
    }

    fn rates(
        &self,
        y: &States,
        time_s: f64,
        deck: &DeckLoad,
        deck_force_n: f64,
        outside: &dyn Fn(&Passing) -> Outside,
        scratch: &mut Scratch,
    ) -> (States, Afloat) {
        let [run_m, speed_m_s, heave_m, trim_rad, heave_rate_m_s, trim_rate_rad_s] =
            std::array::from_fn(|i| y[i]);
        let lying = Lying { heave_m, trim_rad, heave_rate_m_s, trim_rate_rad_s, speed_m_s };
        scratch.waves.set(self.pressed.waves(), time_s, run_m);
        let pressed = self.pressed.press(&lying, &scratch.waves, &mut scratch.met);
        let memory = memory_of(y);
        let reaction = self.memory.reaction([heave_m, trim_rad], [heave_rate_m_s, trim_rate_rad_s], &memory);
        let [heaving, pitching] = &self.exciting;
        let mut normal =
            [reaction.heave_n + heaving.at(&scratch.waves), reaction.pitch_nm + pitching.at(&scratch.waves)];
        let mut masses = self.memory.instant_masses();
        let mut impact_n = 0.0;
        if self.impact {
            for section in &scratch.met {
                let (x, weight) = (section.x_m, section.weight_m);
                let mut force = section.excess_kg_m * section.entry_rate_m_s2;
                if section.entry_m_s > 0.0 {
                    let grows = section.excess_slope_kg_m2 * section.entry_m_s
                        - speed_m_s * section.excess_forward_kg_m2;
                    let blow = section.entry_m_s * grows;
                    impact_n += blow * weight;
                    force += blow - 2.0 * speed_m_s * trim_rate_rad_s * section.excess_kg_m;
                }
                normal[0] += weight * force;
                normal[1] -= weight * x * force;
                let mass = weight * section.excess_kg_m;
                masses[0][0] += mass;
                masses[0][1] -= mass * x;
                masses[1][0] -= mass * x;
                masses[1][1] += mass * x * x;
            }
        }
        let water_along_m_s = self.flow.at(&scratch.waves);
        let given = outside(&Passing { time_s, speed_m_s, water_along_m_s, trim_rad });
        let lag = Lag([y[STATES - 2], y[STATES - 1]]);
        let (foil, lag_rates) = self.foil.as_ref().map_or_else(Default::default, |(foil, there)| {
            foil.now(&lying, there, &scratch.waves, given.foil_lift_n, &lag)
        });
        let foil_x = self.foil.as_ref().map_or(0.0, |(foil, _)| foil.x_m);
        let [deck_kg, deck_kg_m, deck_kg_m2] = deck.moments;
        let force = pressed.heave_n + normal[0] + given.heave_n + foil.lift_n - G * (self.mass_kg + deck_kg);
        let moment = pressed.pitch_nm + normal[1] + given.pitch_nm - foil_x * foil.lift_n + G * deck_kg_m;
        let m33 = self.mass_kg + masses[0][0] + deck_kg;
        let (m35, m53) = (masses[0][1] - deck_kg_m, masses[1][0] - deck_kg_m);
        let m55 = self.pitch_inertia_kg_m2 + masses[1][1] + deck_kg_m2;
        let determinant = m33 * m55 - m35 * m53;
        let rise = (force * m55 - m35 * moment) / determinant;
        let turn = (m33 * moment - m53 * force) / determinant;
        // what acts square to her axis, with the part of the added masses
        let square = normal[0] - masses[0][0] * rise - masses[0][1] * turn;
        let own = pressed.surge_n + square * trim_rad.sin() + deck_force_n + foil.push_n;
        let speeding = if self.held { 0.0 } else { (own + given.surge_n) / (self.surge_mass_kg() + deck_kg) };
        let mut rates = [0.0; STATES];
        rates[..MOTIONS].copy_from_slice(&[speed_m_s, speeding, heave_rate_m_s, trim_rate_rad_s, rise, turn]);
        rates[MOTIONS..MOTIONS + POLES].copy_from_slice(&reaction.rates.heaving);
        rates[MOTIONS + POLES..MOTIONS + 2 * POLES].copy_from_slice(&reaction.rates.pitching);
        rates[STATES - 4..STATES - 2].copy_from_slice(&reaction.rates.settled);
        rates[STATES - 2..].copy_from_slice(&lag_rates);
        let afloat = Afloat {
            pressed,
            surge_n: own,
            surge_means_n: [given.surge_n, own, -deck_kg * speeding],
            accelerations: [speeding, rise, turn],
            foil,
            stem_over_edge_m: scratch.met[self.stem_index].over_edge_m,
            stem_level_m: scratch.met[self.stem_index].level_m,
            impact_n,
            deck_kg,
        };
        (rates, afloat)
    }
}

/// Room that steps share.
#[derive(Debug, Clone, Default)]
pub struct Scratch {
    waves: WavesNow,
    /// The sections as last met.
    pub met: Vec<SectionNow>,
}

impl SlamSection {
    /// Deadrise between keel and the half-breadth at a quarter of the section's height, rad.
    fn deadrise_rad(&self) -> f64 {
        let points = self.shape.points();
        let keel = points[0];
        let height = (self.shape.edge().z_m - keel.z_m) / 4.0;
        let breadth = self.shape.below(keel.z_m + height).breadth_m / 2.0 - keel.y_m;
        height.atan2(breadth)
    }
}

/// Orbital speed along the course at half the draught, its mean over the length, over amplitude, 1/s.
fn flow(wave: &Wave, length_m: f64, draught_m: f64) -> f64 {
    let deep = (-wave.wave_number() * draught_m / 2.0).exp();
    wave.omega_rad_s * wave.mu_rad.cos() * deep * averaged(wave.along(), length_m / 2.0)
}

/// The encounter frequency of the waves that matter most: mean of its size, weighed by energy, without those that are much
/// shorter than she is and move her little.
fn chief_rad_s(waves: &[Wave], speed_m_s: f64, length_m: f64) -> f64 {
    let weight = |wave: &Wave| {
        let size = wave.wave_number() * length_m;
        wave.amplitude_m * wave.amplitude_m / (1.0 + (size / TAU).powi(4))
    };
    let whole: f64 = waves.iter().map(weight).sum();
    if whole <= 0.0 {
        return (G / length_m).sqrt() * 2.0;
    }
    waves.iter().map(|wave| weight(wave) * wave.encounter_rad_s(speed_m_s).abs()).sum::<f64>() / whole
}

fn packed(state: &BodyState) -> States {
    let mut y = [0.0; STATES];
    y[..MOTIONS].copy_from_slice(&[
        state.run_m,
        state.speed_m_s,
        state.heave_m,
        state.trim_rad,
        state.heave_rate_m_s,
        state.trim_rate_rad_s,
    ]);
    y[MOTIONS..MOTIONS + POLES].copy_from_slice(&state.memory.heaving);
    y[MOTIONS + POLES..MOTIONS + 2 * POLES].copy_from_slice(&state.memory.pitching);
    y[STATES - 4..STATES - 2].copy_from_slice(&state.memory.settled);
    y[STATES - 2..].copy_from_slice(&state.lag.0);
    y
}

fn unpack(y: &States, state: &mut BodyState) {
    [
        state.run_m,
        state.speed_m_s,
        state.heave_m,
        state.trim_rad,
        state.heave_rate_m_s,
        state.trim_rate_rad_s,
    ] = std::array::from_fn(|i| y[i]);
    state.memory = memory_of(y);
    state.lag = Lag([y[STATES - 2], y[STATES - 1]]);
}

fn memory_of(y: &States) -> MemoryState {
    MemoryState {
        heaving: std::array::from_fn(|m| y[MOTIONS + m]),
        pitching: std::array::from_fn(|m| y[MOTIONS + POLES + m]),
        settled: [y[STATES - 4], y[STATES - 3]],
    }
}

fn along(y: &States, rates: &States, step: f64) -> States {
    std::array::from_fn(|i| y[i] + step * rates[i])
}
