//! Coefficients, exciting forces and the equations of motion (Salvesen, Tuck & Faltinsen 1970, eqs. 5-22).
//!
//! With the sectional c = a33 - i b33/w (w the encounter frequency, with its sign) the speed terms of the paper
//! join into products of c with i w U, U² and the aft section's lever, and no term is divided by w: the equations
//! stay finite where w passes through zero in following seas.

use crate::base::units::G;
use crate::hydro::strip::loads::IncidentWave;
use crate::hydro::strip::prepared::StripHull;
use crate::hydro::strip::table::Interpolated;
use num_complex::Complex64;

/// Heave and pitch per metre of wave amplitude in one regular wave, time factor exp(i w_e t).
///
/// Phases are against the wave's elevation at the centre of gravity. Positions `x_m` are measured forward from
/// the aft end of the waterline, on the centreline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motions {
    /// Heave at the centre of gravity, m/m, up.
    pub heave: Complex64,
    /// Pitch, rad/m, positive bow down.
    pub pitch: Complex64,
    /// Encounter frequency, rad/s; negative for waves the boat overtakes.
    pub omega_e: f64,
    /// Wave frequency, rad/s.
    pub omega: f64,
    /// Exciting force in heave, N/m, and moment in pitch, N (bow down).
    pub excitation: [Complex64; 2],
    /// Speed of the hull, m/s.
    pub speed_m_s: f64,
    /// Speed with which the hull carries its added mass through the water, m/s: hers, but faded towards zero encounter
    /// frequency.
    pub(crate) convecting_m_s: f64,
    radiation: [[Complex64; 2]; 2],
    pub(super) wave: IncidentWave,
    cg_m: f64,
}

/// The hull's added mass and damping in heave (3) and pitch (5), with forward speed, about the centre of gravity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotionCoefficients {
    /// Added mass, kg.
    pub a33: f64,
    /// Damping, kg/s.
    pub b33: f64,
    /// Coupling, heave force from pitch acceleration, kg m.
    pub a35: f64,
    /// Coupling, heave force from pitch velocity, kg m/s.
    pub b35: f64,
    /// Coupling, pitch moment from heave acceleration, kg m.
    pub a53: f64,
    /// Coupling, pitch moment from heave velocity, kg m/s.
    pub b53: f64,
    /// Added pitch inertia, kg m².
    pub a55: f64,
    /// Pitch damping, kg m²/s.
    pub b55: f64,
}

/// A lifting surface that moves with the hull, such as a foil, at one speed and encounter frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Position forward of the aft end of the waterline, m.
    pub x_m: f64,
    /// Depth below the undisturbed surface, m.
    pub depth_m: f64,
    /// Lift against its own velocity across the stream, N s/m.
    pub own: Complex64,
    /// Lift with the water's velocity across the stream, N s/m.
    pub gust: Complex64,
}

impl StripHull {
    /// Motions at `speed_m_s` (>= 0) in deep-water waves of frequency `omega` (rad/s, > 0) that travel at
    /// `mu_rad` to the course: 0 following, pi/2 beam, pi head.
    ///
    /// Strip theory takes the hull as slender and frequency as high; measured heave is met within about 10 %,
    /// pitch within 15-25 %, up to Fn 0.3. Below k_e L = w_e² L/g = 0.76 sectional added mass stays at its value
    /// there, the slender body's finite limit, and radiation and speed terms fade with k_e: the theory asks for
    /// w_e much above U d/dx (Salvesen, Tuck & Faltinsen 1970, from memory), and at zero encounter frequency, where boat and
    /// wave keep pace, the hull then floats on the wave's profile as if it stood still.
    pub fn motions(&self, speed_m_s: f64, omega: f64, mu_rad: f64) -> Motions {
        self.motions_with(None, speed_m_s, omega, mu_rad)
    }

    /// As [`StripHull::motions`], with a lifting surface on the hull. The coefficients and exciting forces of the result stay
    /// those of the hull.
    pub fn motions_with(&self, lift: Option<&Lift>, speed_m_s: f64, omega: f64, mu_rad: f64) -> Motions {
        let wave = IncidentWave::new(omega * omega / G, mu_rad);
        let omega_e = omega - wave.along * speed_m_s;
        let table = self.table.at(omega_e);
        let u = speed_m_s * table.fade;
        // the wave's frequency as the section meets it: w_e + u k cos mu, the wave's own where nothing fades
        let met = omega_e + wave.along * u;
        let sums = self.sums(&wave, &table, met * omega_e);
        let i_w = Complex64::i() * omega_e;
        let StripSums { c0, c1, c2, aft, .. } = sums;
        let c_aft_x = aft.c * aft.x;

        let h33 = i_w * i_w * c0 + i_w * u * aft.c;
        let h35 = -i_w * i_w * c1 + i_w * u * (c0 - c_aft_x) + u * u * aft.c;
        let h53 = -i_w * i_w * c1 - i_w * u * (c0 + c_aft_x);
        let h55 = i_w * i_w * c2 - u * u * (c0 + c_aft_x) + i_w * u * aft.x * c_aft_x;
        let radiation = [[h33, h35], [h53, h55]].map(|row| row.map(|h| h * self.rho_kg_m3));

        let at_transom = Complex64::i() * u * met * aft.diffraction;
        let convected = Complex64::i() * u * met * sums.diffraction;
        let excitation = [
            self.rho_kg_m3 * (sums.force + at_transom),
            -self.rho_kg_m3 * (sums.moment + convected + at_transom * aft.x),
        ];
        let (mut resisting, mut exciting) = (radiation, excitation);
        if let Some(lift) = lift {
            let x = lift.x_m - self.cg_m;
            // its velocity up across the stream: heave, what pitch lifts it by, and a bow-down attitude at the boat's speed
            let across = [i_w, speed_m_s - i_w * x];
            let orbital = Complex64::i() * omega * (-wave.k * lift.depth_m).exp() * wave.phase(x);
            for (row, lever) in [1.0, -x].into_iter().enumerate() {
                exciting[row] += lever * lift.gust * orbital;
                for (column, velocity) in across.into_iter().enumerate() {
                    resisting[row][column] += lever * lift.own * velocity;
                }
            }
        }
        let [heave, pitch] = solve(self.stiffness_and_inertia(omega_e), resisting, exciting);
        Motions {
            heave,
            pitch,
            omega_e,
            omega,
            excitation,
            speed_m_s,
            convecting_m_s: u,
            radiation,
            wave,
            cg_m: self.cg_m,
        }
    }

    fn sums(&self, wave: &IncidentWave, table: &Interpolated<'_>, diffracted: f64) -> StripSums {
        let mut sums = StripSums::default();
        for (index, section) in self.sections.iter().enumerate() {
            let values = table.section(index);
            let load = wave.load(section, &values);
            let phase = wave.phase(section.x);
            let (c, x, weighted) = (values[0], section.x, section.weight * phase);
            let force = weighted * (G * load.breadth - diffracted * load.diffraction);
            sums.c0 += c * section.weight;
            sums.c1 += c * (section.weight * x);
            sums.c2 += c * (section.weight * x * x);
            sums.force += force;
            sums.moment += force * x;
            sums.diffraction += weighted * load.diffraction;
            if index == 0 {
                sums.aft = Aft { x, c, diffraction: phase * load.diffraction };
            }
        }
        sums
    }

    fn stiffness_and_inertia(&self, omega_e: f64) -> [[f64; 2]; 2] {
        let w2 = omega_e * omega_e;
        let plane = &self.waterplane;
        let heave = G * plane.area_m2 - w2 * self.volume_m3;
        let coupling = -G * plane.first_m3;
        let pitch = G * plane.second_m4 - w2 * self.volume_m3 * self.pitch_radius_m * self.pitch_radius_m;
        [[heave, coupling], [coupling, pitch]].map(|row| row.map(|v| v * self.rho_kg_m3))
    }
}

/// Sums over the length per unit density. `aft` holds the end terms of a transom; they vanish with the aft
/// section's coefficient where the hull closes to a point.
#[derive(Default)]
struct StripSums {
    c0: Complex64,
    c1: Complex64,
    c2: Complex64,
    force: Complex64,
    moment: Complex64,
    diffraction: Complex64,
    aft: Aft,
}

#[derive(Default)]
struct Aft {
    x: f64,
    c: Complex64,
    diffraction: Complex64,
}

fn solve(fixed: [[f64; 2]; 2], radiation: [[Complex64; 2]; 2], force: [Complex64; 2]) -> [Complex64; 2] {
    let m = |i: usize, j: usize| radiation[i][j] + fixed[i][j];
    let determinant = m(0, 0) * m(1, 1) - m(0, 1) * m(1, 0);
    [
        (force[0] * m(1, 1) - m(0, 1) * force[1]) / determinant,
        (m(0, 0) * force[1] - m(1, 0) * force[0]) / determinant,
    ]
}

impl Motions {
    /// Wave number, 1/m.
    pub fn wave_number(&self) -> f64 {
        self.wave.k
    }

    /// Elevation of the undisturbed wave at `x_m`, m/m.
    pub fn wave_elevation(&self, x_m: f64) -> Complex64 {
        self.wave.phase(x_m - self.cg_m)
    }

    /// Orbital velocity of the undisturbed wave at the still surface at `x_m`, along the course, m/s per m: linear theory's
    /// w cos mu times the elevation, forward under the crests of a following sea.
    pub fn orbital_velocity_along(&self, x_m: f64) -> Complex64 {
        self.omega * self.wave.along / self.wave.k * self.wave_elevation(x_m)
    }

    /// Vertical displacement of the hull at `x_m`, m/m, up.
    pub fn displacement(&self, x_m: f64) -> Complex64 {
        self.heave - (x_m - self.cg_m) * self.pitch
    }

    /// Vertical velocity of the hull at `x_m`, m/s per m.
    pub fn velocity(&self, x_m: f64) -> Complex64 {
        Complex64::i() * self.omega_e * self.displacement(x_m)
    }

    /// Vertical acceleration of the hull at `x_m`, m/s² per m.
    pub fn acceleration(&self, x_m: f64) -> Complex64 {
        -self.omega_e * self.omega_e * self.displacement(x_m)
    }

    /// Displacement of the hull less the undisturbed wave at `x_m`, m/m.
    pub fn relative_displacement(&self, x_m: f64) -> Complex64 {
        self.displacement(x_m) - self.wave_elevation(x_m)
    }

    /// Added mass and damping with forward speed; `None` at zero encounter frequency, where they have no meaning.
    pub fn coefficients(&self) -> Option<MotionCoefficients> {
        let w = self.omega_e;
        if w == 0.0 {
            return None;
        }
        let pair = |i: usize, j: usize| {
            let h = self.radiation[i][j];
            (-h.re / (w * w), h.im / w)
        };
        let ((a33, b33), (a35, b35)) = (pair(0, 0), pair(0, 1));
        let ((a53, b53), (a55, b55)) = (pair(1, 0), pair(1, 1));
        Some(MotionCoefficients { a33, b33, a35, b35, a53, b53, a55, b55 })
    }
}
