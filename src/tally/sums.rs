//! The tally: the weighted distribution of sea states in one region and window, binned in the wind's frame.
//!
//! What a polar feels of a sea is the wind speed and, of each wave system, height, period and angle off the wind.
//! Thousands of cells and hours fall into few bins. A bin keeps sums, not counts, so it yields its own mean state:
//! quantising costs second order only. Seas that come with a directional spectrum are binned by the systems it splits
//! into, and the bin keeps the sum of their spectra about the wind. Sums add, so tallies of different files, days or machines merge.

use crate::base::{Flag, Flags};
use crate::hydro::response::DirectionalSpectrum;
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::sea::{MAX_PARTITIONS, PartitionKind};
use crate::tally::bins::BinKey;
use crate::tally::bins::Bins;
use crate::tally::bins::ShapedBy;
use arrayvec::ArrayVec;
use std::collections::BTreeMap;

/// Sums of one wave system over the sea states of a bin. Weights are area x time, m² s.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct SystemSums {
    /// Sum of weight x Hs², m² x weight.
    pub hs2: f64,
    /// Sum of weight x Hs² x Tp.
    pub hs2_tp: f64,
    /// Sum of weight x Hs² x cos(angle off the wind).
    pub hs2_cos: f64,
    /// Sum of weight x Hs² x sin(angle off the wind).
    pub hs2_sin: f64,
}

/// Sums over the sea states of a bin.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BinSums {
    /// Sum of the weights, m² s.
    pub weight: f64,
    /// Number of sea states.
    pub count: u64,
    /// Sum of weight x TWS.
    pub tws: f64,
    /// One entry a wave system, in the order of the key.
    pub systems: ArrayVec<SystemSums, MAX_PARTITIONS>,
    /// Sum of weight x spectrum, in a bin of seas that come with one.
    pub spectrum: Option<DirectionalSpectrum>,
}

/// How much of a region and window the forecast covers, as area x time in m² s.
#[derive(Debug, Clone, Copy, Default, PartialEq, serde::Serialize)]
pub struct Coverage {
    /// Usable sea.
    pub sea: f64,
    /// Sea that lacks what the model needs, or of which the forecast has nothing.
    pub gap: f64,
    /// Land by the coastline, without a sea in the forecast.
    pub land: f64,
    /// Part of the region outside the forecast's grid.
    pub outside: f64,
}

impl Coverage {
    /// Usable sea as a fraction of all that is not land; none where all is land.
    pub fn fraction(&self) -> Option<f64> {
        let wanted = self.sea + self.gap + self.outside;
        (wanted > 0.0).then(|| self.sea / wanted)
    }

    /// Whether there is land and nothing else.
    pub fn is_land(&self) -> bool {
        self.land > 0.0 && self.fraction().is_none()
    }

    fn scaled(&self, factor: f64) -> Self {
        let Coverage { sea, gap, land, outside } = self;
        Self { sea: factor * sea, gap: factor * gap, land: factor * land, outside: factor * outside }
    }

    fn merge(&mut self, other: &Coverage) {
        self.sea += other.sea;
        self.gap += other.gap;
        self.land += other.land;
        self.outside += other.outside;
    }
}

/// The mean sea state of one bin.
#[derive(Debug, Clone, PartialEq)]
pub struct SeaBin {
    /// The mean sea.
    pub sea: WindFrameSea,
    /// Weight (area x time), m² s.
    pub weight: f64,
    /// Number of sea states in the bin.
    pub count: u64,
    /// The bin of true wind speed.
    pub tws_bin: i16,
    /// What the random seas that stand for it are drawn from: the same for a bin and its mirror image, whatever else is tallied.
    pub draw: u64,
}

/// The tally of one region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct Tally {
    widths: Bins,
    sums: BTreeMap<BinKey, BinSums>,
    /// How much of the region and window is covered.
    pub coverage: Coverage,
    /// Reservations that hold for some of the sea states.
    pub flags: Flags,
}

impl Tally {
    /// An empty tally with the given bin widths.
    pub fn new(bins: Bins) -> Self {
        Self { widths: bins, sums: BTreeMap::new(), coverage: Coverage::default(), flags: Flags::empty() }
    }

    /// Adds one sea state with its weight (area x time, m² s).
    pub fn add(&mut self, sea: &WindFrameSea, weight: f64) {
        let (key, order) = self.widths.key(sea);
        let sums = self.sums.entry(key).or_default();
        sums.weight += weight;
        sums.count += 1;
        sums.tws += weight * sea.tws_m_s;
        sums.systems.extend((sums.systems.len()..order.len()).map(|_| SystemSums::default()));
        for (system, &index) in sums.systems.iter_mut().zip(&order) {
            system.add(&sea.systems[index], weight);
        }
        if let Some(spectrum) = &sea.spectrum {
            add_spectrum(&mut sums.spectrum, spectrum, weight);
        }
        self.flags |= sea.flags;
        self.coverage.sea += weight;
    }

    /// Adds another tally made with the same bin widths.
    ///
    /// # Errors
    /// When the bin widths differ: such sums don't belong together.
    pub fn merge(&mut self, other: &Tally) -> crate::base::error::Result<()> {
        if self.widths != other.widths {
            return Err(crate::base::error::Error::new("tallies with different bin widths cannot be added")
                .found(format!("{:?} and {:?}", self.widths, other.widths))
                .remedy("make both tallies with the same version and options"));
        }
        for (key, sums) in &other.sums {
            self.sums.entry(key.clone()).or_default().merge(sums);
        }
        self.coverage.merge(&other.coverage);
        self.flags |= other.flags;
        Ok(())
    }

    /// Adds another tally with all its weights times a factor.
    ///
    /// # Errors
    /// As [`Tally::merge`].
    pub(super) fn merge_scaled(&mut self, other: &Tally, factor: f64) -> crate::base::error::Result<()> {
        let sums = other.sums.iter().map(|(key, sums)| (key.clone(), sums.scaled(factor))).collect();
        self.merge(&Tally { sums, coverage: other.coverage.scaled(factor), ..*other })
    }

    /// The same seas by their systems alone; [`Flag::SpectrumDropped`] tells where a spectrum is lost by that.
    pub fn without_spectra(&self) -> Self {
        let mut tally = Self { sums: BTreeMap::new(), ..self.clone() };
        for (key, sums) in &self.sums {
            if key.shape == ShapedBy::Spectrum {
                tally.flags |= Flag::SpectrumDropped;
            }
            tally.add_sums(
                BinKey { shape: ShapedBy::Systems, ..key.clone() },
                &BinSums { spectrum: None, ..sums.clone() },
            );
        }
        tally
    }

    /// Adds sums to a bin; coverage stays as it is.
    pub(super) fn add_sums(&mut self, key: BinKey, sums: &BinSums) {
        self.sums.entry(key).or_default().merge(sums);
    }

    /// The widths of its bins.
    pub fn widths(&self) -> Bins {
        self.widths
    }

    /// Number of sea states added.
    pub fn count(&self) -> u64 {
        self.sums.values().map(|sums| sums.count).sum()
    }

    /// Number of bins in use.
    pub fn bin_count(&self) -> usize {
        self.sums.len()
    }

    /// Whether no sea state was added.
    pub fn is_empty(&self) -> bool {
        self.sums.is_empty()
    }

    /// Keys and sums, in the order of the keys.
    pub fn bins(&self) -> impl Iterator<Item = (&BinKey, &BinSums)> {
        self.sums.iter()
    }

    /// The mean sea state of every bin with its weight, in the order of the keys.
    pub fn seas(&self) -> impl Iterator<Item = (WindFrameSea, f64)> {
        self.sums.iter().map(|(key, sums)| (sums.mean(key), sums.weight))
    }

    /// As [`Tally::seas`], with the count and the bin of wind speed.
    pub fn bin_seas(&self) -> impl Iterator<Item = SeaBin> {
        self.sums.iter().map(|(key, sums)| SeaBin {
            sea: sums.mean(key),
            weight: sums.weight,
            count: sums.count,
            tws_bin: key.tws,
            draw: key.draw(self.widths.sectors()),
        })
    }
}

impl SystemSums {
    fn add(&mut self, system: &WaveSystem, weight: f64) {
        let energy = weight * system.hs2_m2;
        let (sin, cos) = system.off_wind_deg.to_radians().sin_cos();
        self.hs2 += energy;
        self.hs2_tp += energy * system.tp_s;
        self.hs2_cos += energy * cos;
        self.hs2_sin += energy * sin;
    }

    fn merge(&mut self, other: &SystemSums) {
        self.hs2 += other.hs2;
        self.hs2_tp += other.hs2_tp;
        self.hs2_cos += other.hs2_cos;
        self.hs2_sin += other.hs2_sin;
    }

    fn mean(&self, kind: PartitionKind, weight: f64) -> WaveSystem {
        WaveSystem {
            kind,
            hs2_m2: self.hs2 / weight,
            tp_s: self.hs2_tp / self.hs2,
            off_wind_deg: self.hs2_sin.atan2(self.hs2_cos).to_degrees(),
        }
    }
}

impl BinSums {
    fn scaled(&self, factor: f64) -> Self {
        let of_system = |sums: &SystemSums| SystemSums {
            hs2: factor * sums.hs2,
            hs2_tp: factor * sums.hs2_tp,
            hs2_cos: factor * sums.hs2_cos,
            hs2_sin: factor * sums.hs2_sin,
        };
        Self {
            weight: factor * self.weight,
            count: self.count,
            tws: factor * self.tws,
            systems: self.systems.iter().map(of_system).collect(),
            spectrum: self.spectrum.as_ref().map(|sum| sum.scaled(factor)),
        }
    }

    fn merge(&mut self, other: &BinSums) {
        self.weight += other.weight;
        self.count += other.count;
        self.tws += other.tws;
        self.systems.extend((self.systems.len()..other.systems.len()).map(|_| SystemSums::default()));
        for (system, other) in self.systems.iter_mut().zip(&other.systems) {
            system.merge(other);
        }
        if let Some(spectrum) = &other.spectrum {
            add_spectrum(&mut self.spectrum, spectrum, 1.0);
        }
    }

    fn mean(&self, key: &BinKey) -> WindFrameSea {
        WindFrameSea {
            tws_m_s: self.tws / self.weight,
            systems: self
                .systems
                .iter()
                .zip(&key.systems)
                .map(|(sums, key)| sums.mean(key.kind, self.weight))
                .collect(),
            spectrum: self.spectrum.as_ref().map(|sum| sum.scaled(1.0 / self.weight)),
            flags: Flags::empty(),
        }
    }
}

pub(super) fn add_spectrum(
    sum: &mut Option<DirectionalSpectrum>,
    spectrum: &DirectionalSpectrum,
    weight: f64,
) {
    match sum {
        Some(sum) => sum.add(spectrum, weight),
        None => *sum = Some(spectrum.scaled(weight)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::DirectionFrom;
    use crate::sea::{SeaState, Spectrum2d, Wind};
    use approx::assert_relative_eq;

    fn sea(tws_m_s: f64, systems: &[(f64, f64, f64)]) -> WindFrameSea {
        WindFrameSea {
            tws_m_s,
            systems: systems
                .iter()
                .map(|&(hs, tp_s, off_wind_deg)| WaveSystem {
                    kind: PartitionKind::Swell,
                    hs2_m2: hs * hs,
                    tp_s,
                    off_wind_deg,
                })
                .collect(),
            spectrum: None,
            flags: Flags::empty(),
        }
    }

    /// By hand: weights 1 and 3, Hs 2.00 and 2.02 m, so mean Hs² = (4 + 3 x 4.0804)/4 = 4.0603.
    #[test]
    fn a_bin_yields_the_mean_of_what_was_added() {
        let mut tally = Tally::new(Bins::default());
        tally.add(&sea(10.02, &[(2.0, 10.1, 42.0)]), 1.0);
        tally.add(&sea(10.06, &[(2.02, 10.1, 42.0)]), 3.0);
        assert_eq!((tally.bin_count(), tally.count()), (1, 2));
        let (mean, weight) = tally.seas().next().unwrap();
        assert_relative_eq!(weight, 4.0);
        assert_relative_eq!(mean.systems[0].hs2_m2, 4.0603, epsilon = 1e-12);
        assert_relative_eq!(mean.systems[0].off_wind_deg, 42.0, epsilon = 1e-9);
        assert_relative_eq!(mean.tws_m_s, 10.05, epsilon = 1e-12);
    }

    /// By hand: spectra of Hs 2 m and 2.02 m with weights 1 and 3: mean Hs² = 4.0603, from wherever the wind blows.
    #[test]
    fn a_bin_keeps_the_mean_spectrum_apart_from_seas_without_one() {
        let with_spectrum = |hs: f64, wind_from_deg: f64| {
            let from: Vec<_> =
                (0..24).map(|j| DirectionFrom::from_deg(15.0 * f64::from(j) + wind_from_deg)).collect();
            let mut density = vec![0.0; 30 * 24];
            let turn_each = 15f64.to_radians();
            density[10 * 24 + 3] = (hs / 4.0).powi(2) / (0.01 * turn_each);
            let frequency_hz = (1..=30).map(|i| f64::from(i) * 0.01).collect();
            let spectrum = Spectrum2d { frequency_hz, from: from.into(), density };
            let wind = Wind { tws_m_s: 10.0, from: DirectionFrom::from_deg(wind_from_deg) };
            WindFrameSea::of(&SeaState { wind, partitions: spectrum.split(wind), spectrum: Some(spectrum) })
        };
        let mut tally = Tally::new(Bins::default());
        tally.add(&with_spectrum(2.0, 350.0), 1.0);
        tally.add(&with_spectrum(2.02, 20.0), 3.0);
        assert_eq!(tally.bin_count(), 1);
        let (mean, _) = tally.seas().next().unwrap();
        assert_relative_eq!(mean.systems[0].off_wind_deg, 45.0, epsilon = 1e-9);
        assert_relative_eq!(mean.spectrum.unwrap().hs_m().powi(2), 4.0603, epsilon = 1e-5);
        let mut bare = with_spectrum(2.0, 0.0);
        bare.spectrum = None;
        tally.add(&bare, 4.0);
        assert_eq!(tally.bin_count(), 2);
        let systems = tally.without_spectra();
        assert_eq!((systems.bin_count(), systems.count()), (1, 3));
        assert_eq!(systems.flags, Flag::SpectrumDropped);
        assert!(systems.seas().all(|(sea, weight)| sea.spectrum.is_none() && weight == 8.0));
    }

    #[test]
    fn swells_that_swap_rank_share_a_bin() {
        let mut tally = Tally::new(Bins::default());
        tally.add(&sea(8.0, &[(2.0, 13.0, 30.0), (1.0, 8.0, -60.0)]), 1.0);
        tally.add(&sea(8.0, &[(1.0, 8.0, -60.0), (2.0, 13.0, 30.0)]), 1.0);
        assert_eq!(tally.bin_count(), 1);
    }

    #[test]
    fn tallies_add() {
        let (a, b) = (sea(8.0, &[(2.0, 13.0, 30.0)]), sea(12.0, &[(3.0, 9.0, -10.0)]));
        let mut whole = Tally::new(Bins::default());
        whole.add(&a, 1.0);
        whole.add(&b, 2.0);
        let mut first = Tally::new(Bins::default());
        first.add(&a, 1.0);
        let mut second = Tally::new(Bins::default());
        second.add(&b, 2.0);
        first.merge(&second).unwrap();
        assert_eq!(first, whole);
        assert!(first.merge(&Tally::new(Bins { off_wind_deg: 45.0, ..Bins::default() })).is_err());
    }

    #[test]
    fn angles_average_across_the_seam() {
        let mut tally = Tally::new(Bins { off_wind_deg: 30.0, ..Bins::default() });
        tally.add(&sea(8.0, &[(2.0, 13.0, 179.0)]), 1.0);
        tally.add(&sea(8.0, &[(2.0, 13.0, -179.0)]), 1.0);
        let (mean, _) = tally.seas().next().unwrap();
        assert_eq!(tally.bin_count(), 1);
        assert_relative_eq!(mean.systems[0].off_wind_deg.abs(), 180.0, epsilon = 1e-9);
    }
}
