//! A directional wave spectrum, and what follows from it: height, periods, direction, spread.
//!
//! Integrals run over frequency by the trapezoidal rule and over direction by the sum of equal or unequal sectors; no
//! tail is added beyond the last frequency, so heights come out slightly below a model's own.

use std::f64::consts::TAU;
use std::sync::Arc;

use crate::base::DirectionFrom;
use crate::base::bearing::wrap180;
use crate::base::units::G;
use crate::sea::partition::{Partition, PartitionKind, Partitions, Period, PeriodKind, Wind};

/// Wind sea is what travels slower than this times the wind's component along it (Hanson and Phillips 2001, J. Atmos.
/// Oceanic Technol. 18, 277, from memory).
pub const WIND_SEA_FACTOR: f64 = 1.5;

/// Systems below this height, m, are left out where a spectrum is split (as WAVEWATCH III leaves out partitions).
pub const LEAST_HS_M: f64 = 0.05;

/// Variance density over frequency and direction at one place and time.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum2d {
    /// Frequencies, Hz, ascending.
    pub frequency_hz: Arc<[f64]>,
    /// Where the waves of each sector come from; the sectors go all the way round.
    pub from: Arc<[DirectionFrom]>,
    /// Variance density, m2/(Hz rad): index = frequency x number of directions + direction.
    pub density: Vec<f64>,
}

/// Integrals over part of a spectrum.
#[derive(Debug, Clone, Copy, Default)]
struct Moments {
    m0: f64,
    /// Of orders -1, 1 and 2.
    inverse: f64,
    first: f64,
    second: f64,
    /// The first Fourier pair over direction, of where the waves come from.
    north: f64,
    east: f64,
}

impl Spectrum2d {
    /// Variance density at a frequency and a direction, m2/(Hz rad).
    pub fn at(&self, frequency: usize, direction: usize) -> Option<f64> {
        if direction >= self.from.len() {
            return None;
        }
        self.density.get(frequency * self.from.len() + direction).copied()
    }

    /// Weights of the frequencies for an integral by the trapezoidal rule, Hz.
    pub fn frequency_widths_hz(&self) -> Vec<f64> {
        let f = &self.frequency_hz;
        let half_gap = |a: usize, b: usize| f.get(a).zip(f.get(b)).map_or(0.0, |(a, b)| (b - a) / 2.0);
        (0..f.len()).map(|i| half_gap(i, i + 1) + i.checked_sub(1).map_or(0.0, |h| half_gap(h, i))).collect()
    }

    /// Widths of the directions, rad: half-way to each neighbour. They add up to a turn.
    pub fn direction_widths_rad(&self) -> Vec<f64> {
        let degrees: Vec<f64> = self.from.iter().map(|d| d.deg()).collect();
        sector_widths_deg(&degrees).into_iter().map(f64::to_radians).collect()
    }

    /// Variance of the surface, m2.
    pub fn m0(&self) -> f64 {
        self.moments(|_, _| true).m0
    }

    /// Significant wave height 4 sqrt(m0), m.
    pub fn hs_m(&self) -> f64 {
        4.0 * self.m0().sqrt()
    }

    /// A period of the whole spectrum; none without energy.
    pub fn period(&self, kind: PeriodKind) -> Option<Period> {
        self.period_where(kind, |_, _| true)
    }

    /// Where the waves come from on average, by energy; none without energy or direction.
    pub fn mean_from(&self) -> Option<DirectionFrom> {
        self.moments(|_, _| true).from()
    }

    /// Directional spread, degrees: sqrt(2(1 - r)) with r the length of the mean vector (Kuik et al. 1988, J. Phys.
    /// Oceanogr. 18, 1020, eq. 34, from memory).
    pub fn spread_deg(&self) -> Option<f64> {
        self.moments(|_, _| true).spread_deg()
    }

    /// Splits the spectrum into wind sea and one swell: a fallback for what needs systems and can't use a spectrum.
    ///
    /// A component of frequency f from a direction within 90 degrees of the wind's is wind sea where its deep-water
    /// speed g/(2 pi f) is at most [`WIND_SEA_FACTOR`] x wind speed x cos(angle between); all the rest is swell, however
    /// many systems it has. Each has its height, peak period, mean direction and spread.
    pub fn split(&self, wind: Wind) -> Partitions {
        let is_wind_sea = |i: usize, j: usize| {
            let along = wrap180(self.from[j].off_deg(wind.from)).to_radians().cos();
            along > 0.0 && G / (TAU * self.frequency_hz[i]) <= WIND_SEA_FACTOR * wind.tws_m_s * along
        };
        let mut systems = Partitions::new();
        systems.extend(self.system(PartitionKind::WindSea, is_wind_sea));
        systems.extend(self.system(PartitionKind::Swell, |i, j| !is_wind_sea(i, j)));
        systems
    }

    fn system(&self, kind: PartitionKind, within: impl Fn(usize, usize) -> bool) -> Option<Partition> {
        let moments = self.moments(&within);
        let hs_m = 4.0 * moments.m0.sqrt();
        Some(Partition {
            kind,
            hs_m: Some(hs_m).filter(|hs| *hs >= LEAST_HS_M)?,
            period: self.period_where(PeriodKind::Peak, within)?,
            from: moments.from()?,
            spread_deg: moments.spread_deg(),
        })
    }

    fn period_where(&self, kind: PeriodKind, within: impl Fn(usize, usize) -> bool) -> Option<Period> {
        let seconds = match kind {
            PeriodKind::Peak => 1.0 / self.peak_frequency_hz(within)?,
            _ => {
                let m = self.moments(within);
                match kind {
                    PeriodKind::Tm10 => m.inverse / m.m0,
                    PeriodKind::Tm01 => m.m0 / m.first,
                    _ => (m.m0 / m.second).sqrt(),
                }
            }
        };
        (seconds.is_finite() && seconds > 0.0).then_some(Period { seconds, kind })
    }

    /// The top of the parabola through the greatest density over frequency and its two neighbours.
    fn peak_frequency_hz(&self, within: impl Fn(usize, usize) -> bool) -> Option<f64> {
        let widths = self.direction_widths_rad();
        let line = |i: usize| -> f64 {
            (0..self.from.len())
                .filter(|j| within(i, *j))
                .map(|j| self.density[i * self.from.len() + j] * widths[j])
                .sum()
        };
        let line: Vec<f64> = (0..self.frequency_hz.len()).map(line).collect();
        let (top, greatest) = line.iter().copied().enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
        if greatest <= 0.0 {
            return None;
        }
        let f = &self.frequency_hz;
        if top == 0 || top + 1 == f.len() {
            return Some(f[top]);
        }
        let (x0, x1, x2) = (f[top - 1], f[top], f[top + 1]);
        let (below, above) =
            ((line[top] - line[top - 1]) / (x1 - x0), (line[top + 1] - line[top]) / (x2 - x1));
        let curvature = (above - below) / (x2 - x0);
        if curvature >= 0.0 {
            return Some(x1);
        }
        Some(((x0 + x1) / 2.0 - below / (2.0 * curvature)).clamp(x0, x2))
    }

    fn moments(&self, within: impl Fn(usize, usize) -> bool) -> Moments {
        let (df, dd) = (self.frequency_widths_hz(), self.direction_widths_rad());
        let mut sum = Moments::default();
        for (i, (&f, &df)) in self.frequency_hz.iter().zip(&df).enumerate() {
            for (j, (from, &dd)) in self.from.iter().zip(&dd).enumerate() {
                if !within(i, j) {
                    continue;
                }
                let energy = self.density[i * self.from.len() + j] * df * dd;
                let (east, north) = from.deg().to_radians().sin_cos();
                sum.m0 += energy;
                sum.inverse += energy / f;
                sum.first += energy * f;
                sum.second += energy * f * f;
                sum.north += energy * north;
                sum.east += energy * east;
            }
        }
        sum
    }
}

impl Moments {
    fn from(self) -> Option<DirectionFrom> {
        let length = self.north.hypot(self.east);
        (length > 1e-9 * self.m0).then(|| DirectionFrom::from_deg(self.east.atan2(self.north).to_degrees()))
    }

    fn spread_deg(self) -> Option<f64> {
        let r = self.north.hypot(self.east) / self.m0;
        r.is_finite().then(|| (2.0 * (1.0 - r)).max(0.0).sqrt().to_degrees())
    }
}

/// Half-way to each neighbour around the circle, whatever the order.
fn sector_widths_deg(degrees: &[f64]) -> Vec<f64> {
    let n = degrees.len();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| degrees[*a].total_cmp(&degrees[*b]));
    let mut widths = vec![360.0; n];
    for k in 0..n {
        let gap = |a: usize, b: usize| (degrees[b] - degrees[a]).rem_euclid(360.0);
        let (before, here, after) = (order[(k + n - 1) % n], order[k], order[(k + 1) % n]);
        if n > 1 {
            widths[here] = (gap(before, here) + gap(here, after)) / 2.0;
        }
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// One swell of 2 m, 10 s from 300 as a narrow block, and a wind sea of 1 m, 5 s from 200.
    fn two_systems() -> Spectrum2d {
        let frequency_hz: Arc<[f64]> = (1..=40).map(|i| f64::from(i) * 0.01).collect();
        let from: Arc<[DirectionFrom]> =
            (0..36).map(|j| DirectionFrom::from_deg(f64::from(j) * 10.0)).collect();
        let mut density = vec![0.0; 40 * 36];
        // m0 = (Hs/4)^2 in one bin of 0.01 Hz and 10 degrees
        let bin = 0.01 * 10f64.to_radians();
        density[9 * 36 + 30] = (2.0f64 / 4.0).powi(2) / bin;
        density[19 * 36 + 20] = (1.0f64 / 4.0).powi(2) / bin;
        Spectrum2d { frequency_hz, from, density }
    }

    #[test]
    fn height_and_periods_come_out_by_hand() {
        let spectrum = two_systems();
        // sqrt(2^2 + 1^2); Tm01 = m0/m1 = 0.3125 / (0.25 x 0.1 + 0.0625 x 0.2)
        assert_relative_eq!(spectrum.hs_m(), 5f64.sqrt(), epsilon = 1e-12);
        assert_relative_eq!(
            spectrum.period(PeriodKind::Tm01).unwrap().seconds,
            0.3125 / 0.0375,
            epsilon = 1e-12
        );
        assert_relative_eq!(spectrum.period(PeriodKind::Peak).unwrap().seconds, 10.0, epsilon = 1e-12);
        assert_relative_eq!(spectrum.direction_widths_rad().iter().sum::<f64>(), TAU, epsilon = 1e-12);
    }

    /// The 5 s waves run at 7.8 m/s, slower than 1.5 x 10 m/s; the 10 s waves come from 100 degrees off the wind.
    #[test]
    fn a_split_tells_wind_sea_from_swell() {
        let wind = Wind { tws_m_s: 10.0, from: DirectionFrom::from_deg(200.0) };
        let systems = two_systems().split(wind);
        let found: Vec<_> =
            systems.iter().map(|s| (s.kind, s.hs_m, s.period.seconds, s.from.deg())).collect();
        assert_eq!(found.len(), 2);
        assert_eq!((found[0].0, found[1].0), (PartitionKind::WindSea, PartitionKind::Swell));
        assert_relative_eq!(found[0].1, 1.0, epsilon = 1e-12);
        assert_relative_eq!(found[0].2, 5.0, epsilon = 1e-12);
        assert_relative_eq!(found[1].1, 2.0, epsilon = 1e-12);
        assert_relative_eq!(found[1].3, 300.0, epsilon = 1e-9);
    }
}
