//! The tally of one region and one forecast step, by areas alone: what a step's sea states come to whatever the time they
//! stand for, and its bytes.

use crate::base::{Flag, Flags, Result};
use crate::sea::{MAX_PARTITIONS, PartitionKind};
use crate::tally::bins::{BinKey, Bins, ShapedBy, SystemKey};
use crate::tally::set::WindowTally;
use crate::tally::step::TalliedStep;
use crate::tally::sums::{BinSums, Coverage, SystemSums, Tally};
use arrayvec::ArrayVec;
use std::collections::BTreeMap;

/// The number of this layout, which rises with every change of what a step's tally holds or of how it is written.
pub const LAYOUT: u32 = 1;

const KINDS: [PartitionKind; 3] = [PartitionKind::WindSea, PartitionKind::Swell, PartitionKind::Total];

/// One region at one step.
#[derive(Debug, Clone, PartialEq)]
pub struct StepTally {
    /// The seas; weights are areas, m².
    pub tally: Tally,
    /// What sea cells lack, in words, and how many do.
    pub lacks: BTreeMap<String, u64>,
}

impl StepTally {
    /// Nothing tallied yet.
    pub fn new(bins: Bins) -> Self {
        Self { tally: Tally::new(bins), lacks: BTreeMap::new() }
    }

    /// Adds the step to a window, for the time it stands for where that is known.
    ///
    /// # Errors
    /// Different bin widths.
    pub fn add_to(&self, part: &mut WindowTally, step: TalliedStep) -> Result<()> {
        let into = part.tally_of(step, self.tally.widths());
        match step.span {
            Some(span) => into.merge_scaled(&self.tally, span.as_secs_f64())?,
            None => into.merge(&self.tally)?,
        }
        *part.step_times.entry(step).or_default() += 1;
        part.steps += 1;
        for (lack, count) in &self.lacks {
            *part.lacks.entry(lack.clone()).or_default() += count;
        }
        Ok(())
    }

    /// The bytes of a step's regions; none where a sea has a spectrum, which they have no place for.
    pub fn to_bytes(regions: &[Self]) -> Option<Vec<u8>> {
        let mut bytes = Vec::new();
        put_count(&mut bytes, regions.len());
        regions.iter().try_for_each(|region| region.write(&mut bytes))?;
        Some(bytes)
    }

    /// The regions that bytes hold; none where they are no such bytes.
    pub fn from_bytes(bytes: &[u8], bins: Bins) -> Option<Vec<Self>> {
        let mut bytes = Bytes(bytes);
        let regions =
            (0..bytes.count()?).map(|_| Self::read(&mut bytes, bins)).collect::<Option<Vec<_>>>()?;
        bytes.0.is_empty().then_some(regions)
    }

    fn write(&self, bytes: &mut Vec<u8>) -> Option<()> {
        let Coverage { sea, gap, land, outside } = self.tally.coverage;
        [sea, gap, land, outside].iter().for_each(|area| bytes.extend(area.to_le_bytes()));
        put_count(bytes, self.tally.flags.len());
        self.tally.flags.iter().for_each(|flag| put_text(bytes, flag.name()));
        put_count(bytes, self.lacks.len());
        for (lack, count) in &self.lacks {
            put_text(bytes, lack);
            bytes.extend(count.to_le_bytes());
        }
        put_count(bytes, self.tally.bin_count());
        self.tally.bins().try_for_each(|(key, sums)| write_bin(bytes, key, sums))
    }

    fn read(bytes: &mut Bytes, bins: Bins) -> Option<Self> {
        let mut read = Self::new(bins);
        let [sea, gap, land, outside] = bytes.numbers()?;
        read.tally.coverage = Coverage { sea, gap, land, outside };
        for _ in 0..bytes.count()? {
            let name = bytes.text()?;
            read.tally.flags |= Flags::all().iter().find(|flag: &Flag| flag.name() == name)?;
        }
        for _ in 0..bytes.count()? {
            let lack = bytes.text()?.to_owned();
            read.lacks.insert(lack, u64::from_le_bytes(bytes.take()?));
        }
        for _ in 0..bytes.count()? {
            let (key, sums) = read_bin(bytes)?;
            read.tally.add_sums(key, &sums);
        }
        Some(read)
    }
}

fn write_bin(bytes: &mut Vec<u8>, key: &BinKey, sums: &BinSums) -> Option<()> {
    if key.shape != ShapedBy::Systems || sums.systems.len() != key.systems.len() {
        return None;
    }
    bytes.extend(key.tws.to_le_bytes());
    bytes.push(key.systems.len() as u8);
    for (system, sums) in key.systems.iter().zip(&sums.systems) {
        bytes.push(KINDS.iter().position(|kind| *kind == system.kind)? as u8);
        for bin in [system.period, system.off_wind, system.height] {
            bytes.push(bin.is_some().into());
            bytes.extend(bin.unwrap_or_default().to_le_bytes());
        }
        let SystemSums { hs2, hs2_tp, hs2_cos, hs2_sin } = sums;
        [hs2, hs2_tp, hs2_cos, hs2_sin].iter().for_each(|sum| bytes.extend(sum.to_le_bytes()));
    }
    bytes.extend(sums.count.to_le_bytes());
    [sums.weight, sums.tws].iter().for_each(|sum| bytes.extend(sum.to_le_bytes()));
    Some(())
}

fn read_bin(bytes: &mut Bytes) -> Option<(BinKey, BinSums)> {
    let tws = i16::from_le_bytes(bytes.take()?);
    let [systems] = bytes.take()?;
    let mut keys = ArrayVec::<SystemKey, MAX_PARTITIONS>::new();
    let mut sums = BinSums::default();
    for _ in 0..systems {
        let [kind] = bytes.take()?;
        let kind = *KINDS.get(usize::from(kind))?;
        let [period, off_wind, height] = [bytes.bin()?, bytes.bin()?, bytes.bin()?];
        keys.try_push(SystemKey { kind, period, off_wind, height }).ok()?;
        let [hs2, hs2_tp, hs2_cos, hs2_sin] = bytes.numbers()?;
        sums.systems.try_push(SystemSums { hs2, hs2_tp, hs2_cos, hs2_sin }).ok()?;
    }
    sums.count = u64::from_le_bytes(bytes.take()?);
    [sums.weight, sums.tws] = bytes.numbers()?;
    Some((BinKey { tws, systems: keys, shape: ShapedBy::Systems }, sums))
}

fn put_count(bytes: &mut Vec<u8>, count: usize) {
    bytes.extend((count as u64).to_le_bytes());
}

fn put_text(bytes: &mut Vec<u8>, text: &str) {
    put_count(bytes, text.len());
    bytes.extend(text.as_bytes());
}

/// Bytes that are left to read.
struct Bytes<'b>(&'b [u8]);

impl<'b> Bytes<'b> {
    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (taken, left) = self.0.split_first_chunk()?;
        self.0 = left;
        Some(*taken)
    }

    /// A count of things of a byte or more each.
    fn count(&mut self) -> Option<usize> {
        let count = u64::from_le_bytes(self.take()?);
        usize::try_from(count).ok().filter(|count| *count <= self.0.len())
    }

    fn numbers<const N: usize>(&mut self) -> Option<[f64; N]> {
        let mut numbers = [0.0; N];
        for number in &mut numbers {
            *number = f64::from_le_bytes(self.take()?);
        }
        Some(numbers)
    }

    fn text(&mut self) -> Option<&'b str> {
        let length = self.count()?;
        let (text, left) = self.0.split_at_checked(length)?;
        self.0 = left;
        std::str::from_utf8(text).ok()
    }

    fn bin(&mut self) -> Option<Option<i16>> {
        let [is_there] = self.take()?;
        let bin = i16::from_le_bytes(self.take()?);
        Some((is_there != 0).then_some(bin))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};

    fn sea(tws_m_s: f64, hs_m: &[f64]) -> WindFrameSea {
        let system = |(k, hs): (usize, &f64)| WaveSystem {
            kind: KINDS[k % 3],
            hs2_m2: hs * hs,
            tp_s: 7.0 + k as f64,
            off_wind_deg: 40.0 * k as f64 - 30.0,
        };
        let flags = if hs_m.len() > 1 { Flag::TotalSeaUsed.into() } else { Flags::empty() };
        WindFrameSea {
            tws_m_s,
            systems: hs_m.iter().enumerate().map(system).collect(),
            spectrum: None,
            flags,
        }
    }

    fn regions() -> Vec<StepTally> {
        let mut some = StepTally::new(Bins::default());
        some.tally.add(&sea(8.1, &[2.0, 0.1, 1.3]), 3.7e9);
        some.tally.add(&sea(12.0, &[]), 1.1e9);
        some.tally.add(&sea(0.2, &[0.4]), 0.1);
        some.tally.coverage.gap = 7.0;
        some.lacks.insert("the wind".into(), 3);
        vec![some, StepTally::new(Bins::default())]
    }

    #[test]
    fn steps_come_back_as_they_went_or_not_at_all() {
        let regions = regions();
        let bytes = StepTally::to_bytes(&regions).unwrap();
        assert_eq!(StepTally::from_bytes(&bytes, Bins::default()), Some(regions));
        for cut in 0..bytes.len() {
            assert_eq!(StepTally::from_bytes(&bytes[..cut], Bins::default()), None, "{cut}");
        }
        assert_eq!(StepTally::from_bytes(&[&bytes[..], &[0]].concat(), Bins::default()), None);
        assert_eq!(StepTally::from_bytes(&[0xff; 64], Bins::default()), None);
    }

    /// By hand: weights are areas times 10 800 s, or areas where the time is open.
    #[test]
    fn a_step_is_added_for_the_time_it_stands_for() {
        let [step, _] = &regions()[..] else { unreachable!() };
        let valid = "2030-03-01T06:00:00Z".parse().unwrap();
        let mut part = WindowTally::new(Bins::default());
        step.add_to(&mut part, TalliedStep::new(valid, Some(10_800.0))).unwrap();
        let open = TalliedStep { valid: "2030-03-01T09:00:00Z".parse().unwrap(), span: None };
        step.add_to(&mut part, open).unwrap();
        assert_eq!(part.tally.coverage.gap, 7.0 * 10_800.0);
        assert_eq!(part.ends[&open.valid], step.tally);
        assert_eq!((part.steps, part.lacks["the wind"], part.tally.count()), (2, 6, 3));
    }
}
