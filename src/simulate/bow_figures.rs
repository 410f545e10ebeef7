//! What a bow does in a sea, beyond speed: motion, angle of foil and wind, water, slams.

use crate::base::units::G;
use crate::simulate::forefoot::Reentry;
use serde::Serialize;

/// Figures of a bow over all seeds.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct BowFigures {
    /// Mean trim, degrees, bow down.
    pub trim_mean_deg: f64,
    /// Standard deviation of trim, degrees.
    pub pitch_sd_deg: f64,
    /// Standard deviation of the foil's angle of attack while it carries, degrees; none for a boat that does not fly here.
    pub foil_angle_sd_deg: Option<f64>,
    /// Standard deviation of the apparent wind's angle at the sails by her speed and pitching, degrees.
    pub apparent_wind_sd_deg: f64,
    /// Waves met at the bow an hour.
    pub waves_per_h: f64,
    /// Water shipped a wave met, kg.
    pub shipped_kg_per_wave: f64,
    /// The most shipped from one crest to the next, kg.
    pub shipped_most_kg: f64,
    /// Times an hour that the stem's deck goes under.
    pub bow_under_rate_per_h: f64,
    /// Times an hour that the keel a tenth abaft the stem comes out and meets the water again faster than Ochi's threshold.
    pub slam_rate_per_h: f64,
    /// The highest peak pressure of a re-entry by Wagner, kPa.
    pub slam_pressure_most_kpa: f64,
    /// The greatest force of impact, kN.
    pub impact_most_kn: f64,
    /// Root mean square of the vertical acceleration at the stem, g.
    pub bow_acceleration_rms_g: f64,
    /// The greatest, g.
    pub bow_acceleration_most_g: f64,
    /// Mean force that the sea takes along the course, N.
    pub sea_takes_n: f64,
    /// Re-entries an hour, fast or not, whose peak pressure is that of Ochi's own bow at his threshold, or above: hard slams.
    pub hard_slam_rate_per_h: f64,
    /// Mean peak pressure of all re-entries, kPa; none without any.
    pub slam_pressure_mean_kpa: Option<f64>,
    /// Mean of the greatest tenth of the waves' greatest forces of impact before the centre of gravity, kN, as boats on rough water are compared by the
    /// greatest tenth of their accelerations (Savitsky & Brown 1976, from memory).
    pub bow_impact_tenth_kn: f64,
    /// Mean height of the water at the head of the stem over her waterline, m: how low she goes through the waves.
    pub bow_relative_mean_m: f64,
    /// Its standard deviation, m.
    pub bow_relative_sd_m: f64,
}

/// A moment of these.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct BowMoment {
    pub trim_rad: f64,
    pub foil_angle_rad: Option<f64>,
    pub apparent_rad: f64,
    pub bow_wave_m: f64,
    pub bow_relative_m: f64,
    pub shipped_kg: f64,
    pub bow_under: bool,
    pub reentry: Option<Reentry>,
    pub impact_n: f64,
    /// Of that what acts before the centre of gravity.
    pub bow_impact_n: f64,
    pub bow_acceleration_m_s2: f64,
    /// The greatest by size since the moment before.
    pub bow_acceleration_most_m_s2: f64,
    pub surge_n: f64,
}

/// A mean and what is needed for a deviation.
#[derive(Debug, Clone, Copy, Default)]
struct Spread {
    count: f64,
    sum: f64,
    squares: f64,
}

impl Spread {
    fn add(&mut self, value: f64) {
        self.count += 1.0;
        self.sum += value;
        self.squares += value * value;
    }

    fn join(&mut self, other: &Self) {
        self.count += other.count;
        self.sum += other.sum;
        self.squares += other.squares;
    }

    fn mean(&self) -> f64 {
        self.sum / self.count.max(1.0)
    }

    fn sd(&self) -> f64 {
        (self.squares / self.count.max(1.0) - self.mean().powi(2)).max(0.0).sqrt()
    }
}

/// Sums of one seed.
#[derive(Debug, Clone, Default)]
pub(super) struct BowSums {
    trim: Spread,
    foil: Spread,
    apparent: Spread,
    acceleration: Spread,
    surge: Spread,
    relative: Spread,
    waves: f64,
    shipped_kg: f64,
    since_crest_kg: f64,
    most_shipped_kg: f64,
    under: f64,
    slams: f64,
    hard_slams: f64,
    reentries: f64,
    reentries_pa: f64,
    pressure_pa: f64,
    impact_n: f64,
    since_crest_impact_n: f64,
    /// The greatest of each wave.
    impacts_n: Vec<f64>,
    most_acceleration: f64,
    last_wave_m: f64,
}

impl BowSums {
    pub(super) fn add(&mut self, moment: &BowMoment) {
        self.trim.add(moment.trim_rad);
        if let Some(angle) = moment.foil_angle_rad {
            self.foil.add(angle);
        }
        self.apparent.add(moment.apparent_rad);
        self.acceleration.add(moment.bow_acceleration_m_s2);
        self.surge.add(moment.surge_n);
        self.relative.add(moment.bow_relative_m);
        self.shipped_kg += moment.shipped_kg;
        self.since_crest_kg += moment.shipped_kg;
        // a wave counts from the trough's rise through the still level
        if self.last_wave_m < 0.0 && moment.bow_wave_m >= 0.0 {
            self.waves += 1.0;
            self.most_shipped_kg = self.most_shipped_kg.max(self.since_crest_kg);
            self.since_crest_kg = 0.0;
            self.impacts_n.push(std::mem::take(&mut self.since_crest_impact_n));
        }
        self.last_wave_m = moment.bow_wave_m;
        self.under += f64::from(u8::from(moment.bow_under));
        if let Some(reentry) = moment.reentry {
            self.reentries += 1.0;
            self.slams += f64::from(u8::from(reentry.fast));
            self.hard_slams += f64::from(u8::from(reentry.hard));
            self.reentries_pa += reentry.pressure_pa;
            self.pressure_pa = self.pressure_pa.max(reentry.pressure_pa);
        }
        self.impact_n = self.impact_n.max(moment.impact_n);
        self.since_crest_impact_n = self.since_crest_impact_n.max(moment.bow_impact_n);
        self.most_acceleration = self.most_acceleration.max(moment.bow_acceleration_most_m_s2);
    }

    fn join(mut self, other: &Self) -> Self {
        self.trim.join(&other.trim);
        self.foil.join(&other.foil);
        self.apparent.join(&other.apparent);
        self.acceleration.join(&other.acceleration);
        self.surge.join(&other.surge);
        self.relative.join(&other.relative);
        self.waves += other.waves;
        self.shipped_kg += other.shipped_kg;
        self.most_shipped_kg = self.most_shipped_kg.max(other.most_shipped_kg);
        self.under += other.under;
        self.slams += other.slams;
        self.hard_slams += other.hard_slams;
        self.reentries += other.reentries;
        self.reentries_pa += other.reentries_pa;
        self.impacts_n.extend(&other.impacts_n);
        self.pressure_pa = self.pressure_pa.max(other.pressure_pa);
        self.impact_n = self.impact_n.max(other.impact_n);
        self.most_acceleration = self.most_acceleration.max(other.most_acceleration);
        self
    }

    /// Figures of all seeds, over the hours they cover.
    pub(super) fn figures(seeds: &[Self], hours: f64) -> BowFigures {
        let all = seeds.iter().fold(Self::default(), |sum, seed| sum.join(seed));
        BowFigures {
            trim_mean_deg: all.trim.mean().to_degrees(),
            pitch_sd_deg: all.trim.sd().to_degrees(),
            foil_angle_sd_deg: (all.foil.count > 0.0).then(|| all.foil.sd().to_degrees()),
            apparent_wind_sd_deg: all.apparent.sd().to_degrees(),
            waves_per_h: all.waves / hours,
            shipped_kg_per_wave: all.shipped_kg / all.waves.max(1.0),
            shipped_most_kg: all.most_shipped_kg,
            bow_under_rate_per_h: all.under / hours,
            slam_rate_per_h: all.slams / hours,
            slam_pressure_most_kpa: all.pressure_pa / 1000.0,
            impact_most_kn: all.impact_n / 1000.0,
            bow_acceleration_rms_g: all.acceleration.sd() / G,
            bow_acceleration_most_g: all.most_acceleration / G,
            sea_takes_n: -all.surge.mean(),
            hard_slam_rate_per_h: all.hard_slams / hours,
            slam_pressure_mean_kpa: (all.reentries > 0.0).then(|| all.reentries_pa / all.reentries / 1000.0),
            bow_relative_mean_m: all.relative.mean(),
            bow_relative_sd_m: all.relative.sd(),
            bow_impact_tenth_kn: greatest_tenth(all.impacts_n) / 1000.0,
        }
    }
}

/// Mean of the greatest tenth of some values, at least of one; 0 of none.
fn greatest_tenth(mut values: Vec<f64>) -> f64 {
    values.sort_by(|a, b| b.total_cmp(a));
    let count = values.len().div_ceil(10);
    values[..count].iter().sum::<f64>() / count.max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four waves of a sine, 10 kg shipped in each but 30 in the third; by hand.
    #[test]
    fn waves_are_counted() {
        let mut sums = BowSums::default();
        for i in 0..400 {
            let turn = std::f64::consts::TAU * (f64::from(i) + 0.5) / 100.0;
            let shipped_kg = if i % 100 == 30 { if i / 100 == 2 { 30.0 } else { 10.0 } } else { 0.0 };
            sums.add(&BowMoment {
                bow_wave_m: -turn.sin(),
                shipped_kg,
                trim_rad: turn.cos(),
                ..BowMoment::default()
            });
        }
        let figures = BowSums::figures(&[sums], 0.5);
        assert_eq!(
            (figures.waves_per_h, figures.shipped_kg_per_wave, figures.shipped_most_kg),
            (8.0, 15.0, 30.0)
        );
        assert!((figures.pitch_sd_deg - 0.5_f64.sqrt().to_degrees()).abs() < 1e-9);
        assert_eq!(figures.foil_angle_sd_deg, None);
        assert_eq!(figures.slam_pressure_mean_kpa, None);
    }

    /// By hand: twenty waves with forces of 1 to 20 kN, the greatest tenth 19.5 kN; re-entries of 4 and 12 kPa.
    #[test]
    fn blows_are_counted() {
        let mut sums = BowSums::default();
        for wave in 0..20 {
            let trough = BowMoment { bow_wave_m: -1.0, ..BowMoment::default() };
            let slam = |pressure_pa: f64| Reentry { pressure_pa, fast: true, hard: pressure_pa > 8000.0 };
            let reentry = [(3, slam(4000.0)), (9, slam(12_000.0))]
                .into_iter()
                .find(|(at, _)| *at == wave)
                .map(|at| at.1);
            let bow_impact_n = 1000.0 * f64::from(wave + 1);
            sums.add(&BowMoment { impact_n: 2.0 * bow_impact_n, bow_impact_n, reentry, ..trough });
            sums.add(&BowMoment { bow_wave_m: 1.0, bow_acceleration_most_m_s2: 5.0, ..BowMoment::default() });
        }
        let figures = BowSums::figures(&[sums], 0.5);
        assert_eq!((figures.slam_rate_per_h, figures.hard_slam_rate_per_h), (4.0, 2.0));
        assert_eq!(figures.slam_pressure_mean_kpa, Some(8.0));
        assert_eq!((figures.bow_impact_tenth_kn, figures.impact_most_kn), (19.5, 40.0));
        assert_eq!(figures.bow_acceleration_most_g, 5.0 / G);
    }
}
