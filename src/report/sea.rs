//! The distribution of the seas of one region and window: area and time weigh.

use crate::report::numbers::rounded;
use serde_json::{Value, json};

/// Width of a bin of wave height, m.
const HS_STEP_M: f64 = 0.5;
/// Width of a bin of peak period, s.
const PERIOD_STEP_S: f64 = 1.0;
/// Sectors of the rose, centred on the compass points.
const SECTORS: usize = 16;
/// Upper ends of the rose's classes of wave height but the last, m.
const ROSE_HS_M: [f64; 4] = [1.0, 2.0, 3.0, 4.0];

/// Shares of the weight, collected a sea at a time.
#[derive(Debug, Clone, Default)]
pub(super) struct Seas {
    hs: Vec<f64>,
    period: Vec<f64>,
    rose: [[f64; ROSE_HS_M.len() + 1]; SECTORS],
    weight: f64,
    hs2: f64,
}

impl Seas {
    /// Adds a sea; a flat one has neither period nor direction.
    pub(super) fn add(&mut self, weight: f64, hs_m: f64, period_s: Option<f64>, from_deg: Option<f64>) {
        self.weight += weight;
        self.hs2 += weight * hs_m * hs_m;
        add_to(&mut self.hs, hs_m / HS_STEP_M, weight);
        if let Some(period_s) = period_s {
            add_to(&mut self.period, period_s / PERIOD_STEP_S, weight);
        }
        if let Some(from_deg) = from_deg {
            let sector = (from_deg / 360.0 * SECTORS as f64).round().rem_euclid(SECTORS as f64) as usize;
            self.rose[sector][ROSE_HS_M.iter().filter(|&&end| hs_m >= end).count()] += weight;
        }
    }

    /// As the page takes it: shares in per cent.
    pub(super) fn to_json(&self) -> Value {
        let share = |weight: &f64| rounded(100.0 * weight / self.weight, 2);
        let shares = |weights: &[f64]| weights.iter().map(share).collect::<Vec<_>>();
        json!({
            "hs_step_m": HS_STEP_M,
            "hs": shares(&self.hs),
            "period_step_s": PERIOD_STEP_S,
            "period": shares(&self.period),
            "rose_hs_m": ROSE_HS_M,
            "rose": self.rose.iter().map(|sector| shares(sector)).collect::<Vec<_>>(),
            "hs_rms_m": rounded((self.hs2 / self.weight).sqrt(), 2),
        })
    }
}

/// Heights and periods of the sea stay far below this many bins; a file with more is not of the sea.
const MOST_BINS: usize = 200;

fn add_to(bins: &mut Vec<f64>, place: f64, weight: f64) {
    let place = (place.max(0.0) as usize).min(MOST_BINS);
    if bins.len() <= place {
        bins.resize(place + 1, 0.0);
    }
    bins[place] += weight;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: weights 3 and 1; 352 degrees lies in the northern sector, 348.7 in the one before it.
    #[test]
    fn shares_are_of_the_weight() {
        let mut seas = Seas::default();
        seas.add(3.0, 1.2, Some(7.9), Some(352.0));
        seas.add(1.0, 4.0, Some(8.0), Some(348.7));
        let json = seas.to_json();
        assert_eq!(json["hs"], json!([0, 0, 75, 0, 0, 0, 0, 0, 25]));
        assert_eq!(json["period"], json!([0, 0, 0, 0, 0, 0, 0, 75, 25]));
        assert_eq!(json["rose"][0], json!([0, 75, 0, 0, 0]));
        assert_eq!(json["rose"][15], json!([0, 0, 0, 0, 25]));
        // sqrt((3 * 1.44 + 16) / 4) = 2.254
        assert_eq!(json["hs_rms_m"], json!(2.25));
    }
}
