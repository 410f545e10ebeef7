//! Bin widths, and the key of the bin a sea state falls into.

use crate::base::bearing::wrap180;
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::sea::{MAX_PARTITIONS, PartitionKind};
use arrayvec::ArrayVec;

/// Widths of the bins. Heights and periods are binned by ratio, since the boat answers to ratios.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Bins {
    /// Width in true wind speed, m/s.
    pub tws_m_s: f64,
    /// Ratio of the upper to the lower edge in significant height.
    pub hs_ratio: f64,
    /// Ratio of the upper to the lower edge in peak period.
    pub tp_ratio: f64,
    /// Width in the angle off the wind, degrees; divides 360.
    pub off_wind_deg: f64,
    /// A wave system with less than this part of the sea's energy is binned by kind alone; its sums stay exact.
    pub minor_energy: f64,
}

impl Default for Bins {
    /// In wind about a quarter as wide as the columns of a polar are apart, and in height so that laying bins otherwise moves no
    /// cell of the examples by over 1 % (`tests/physics/rebinned.rs`); else as wide as costs about what rounding a polar to
    /// 0.01 kn does (`tests/physics/tally_quantising.rs` measures it), more in a wind far below the one that raised the sea.
    fn default() -> Self {
        Self { tws_m_s: 0.5, hs_ratio: 1.3, tp_ratio: 1.2, off_wind_deg: 30.0, minor_energy: 0.05 }
    }
}

/// The bin of one wave system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SystemKey {
    /// Wind sea, swell or total.
    pub kind: PartitionKind,
    /// Logarithmic bin of the peak period; none for a minor system.
    pub period: Option<i16>,
    /// Bin of the angle off the wind, centred on multiples of the width.
    pub off_wind: Option<i16>,
    /// Logarithmic bin of the significant height.
    pub height: Option<i16>,
}

/// What the waves of a sea state are shaped by; seas of one bin are of one kind, so that their shapes add.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ShapedBy {
    /// The spectra that its systems are assumed to have.
    Systems,
    /// Its own directional spectrum.
    Spectrum,
}

/// The bin of a sea state: wind speed, and its systems in a fixed order.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct BinKey {
    /// Bin of the true wind speed.
    pub tws: i16,
    /// Bins of the systems, sorted, so that swells that swap rank from cell to cell share a bin.
    pub systems: ArrayVec<SystemKey, MAX_PARTITIONS>,
    /// What shapes its waves.
    pub shape: ShapedBy,
}

impl Bins {
    /// The key of a sea state, and which of its systems stands at each place of the key.
    pub fn key(&self, sea: &WindFrameSea) -> (BinKey, ArrayVec<usize, MAX_PARTITIONS>) {
        let energy: f64 = sea.systems.iter().map(|system| system.hs2_m2).sum();
        let mut keyed: ArrayVec<(SystemKey, usize), MAX_PARTITIONS> = sea
            .systems
            .iter()
            .enumerate()
            .map(|(index, system)| (self.system_key(system, energy), index))
            .collect();
        keyed.sort_unstable();
        let key = BinKey {
            tws: floor_i16(sea.tws_m_s / self.tws_m_s),
            systems: keyed.iter().map(|(key, _)| *key).collect(),
            shape: if sea.spectrum.is_some() { ShapedBy::Spectrum } else { ShapedBy::Systems },
        };
        (key, keyed.iter().map(|(_, index)| *index).collect())
    }

    /// Sectors of the angle off the wind.
    pub fn sectors(&self) -> i16 {
        floor_i16(360.0 / self.off_wind_deg + 0.5)
    }

    fn system_key(&self, system: &WaveSystem, energy: f64) -> SystemKey {
        if system.hs2_m2 < self.minor_energy * energy {
            return SystemKey { kind: system.kind, period: None, off_wind: None, height: None };
        }
        SystemKey {
            kind: system.kind,
            period: Some(floor_i16(system.tp_s.ln() / self.tp_ratio.ln())),
            off_wind: Some(self.off_wind(system.off_wind_deg)),
            height: Some(floor_i16(0.5 * system.hs2_m2.ln() / self.hs_ratio.ln())),
        }
    }

    /// An angle on the edge of two bins falls into the one further off the wind on either side, so that mirrored seas fall into
    /// mirrored bins.
    fn off_wind(&self, off_wind_deg: f64) -> i16 {
        let angle = wrap180(off_wind_deg);
        let from_wind = floor_i16(angle.abs() / self.off_wind_deg + 0.5);
        let around = floor_i16(360.0 / self.off_wind_deg + 0.5);
        if angle < 0.0 { (around - from_wind).rem_euclid(around) } else { from_wind.rem_euclid(around) }
    }
}

impl BinKey {
    /// A number for the bin and its mirror image alike, on a circle of so many sectors.
    pub fn draw(&self, sectors: i16) -> u64 {
        let mirrored = |system: &SystemKey| SystemKey {
            off_wind: system.off_wind.map(|sector| (sectors - sector).rem_euclid(sectors)),
            ..*system
        };
        let mut mirror: ArrayVec<SystemKey, MAX_PARTITIONS> = self.systems.iter().map(mirrored).collect();
        mirror.sort_unstable();
        let numbers = |system: &SystemKey| {
            let number = |bin: Option<i16>| bin.map_or(u64::MAX, |bin| bin as u64);
            [system.kind as u64, number(system.period), number(system.off_wind), number(system.height)]
        };
        let systems = self.systems.clone().min(mirror);
        // FNV-1a (Fowler, Noll & Vo), word by word
        let words = [self.tws as u64, self.shape as u64].into_iter().chain(systems.iter().flat_map(numbers));
        words.fold(0xcbf2_9ce4_8422_2325, |hash: u64, word| (hash ^ word).wrapping_mul(0x0100_0000_01b3))
    }
}

/// Rounds down to a bin number; the cast saturates, and no sea has bins beyond its range.
fn floor_i16(value: f64) -> i16 {
    value.floor() as i16
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, bins of 30 degrees: 15 begins the bin about 30, as -15 does that about -30, which is the twelfth.
    #[test]
    fn angles_fall_into_mirrored_bins() {
        let bins = Bins::default();
        for (angle, bin) in
            [(0.0, 0), (14.9, 0), (15.0, 1), (44.9, 1), (165.0, 6), (180.0, 6), (-180.0, 6), (-165.0, 6)]
        {
            assert_eq!(bins.off_wind(angle), bin, "{angle}");
        }
        for angle in 0..=180 {
            let [one, other] = [angle, -angle].map(|angle| bins.off_wind(f64::from(angle)));
            assert_eq!((12 - one) % 12, other, "{angle}");
        }
    }
}
