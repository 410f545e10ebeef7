//! The part of two boats' traces in which they meet the same waves and the worst of those.

use roughwater::simulate::TraceRow;
use std::ops::Range;

/// Time that is drawn, s.
const DRAWN_S: f64 = 120.0;
/// Correlation of the waves at both bows above which they are the same waves (judged).
const ALIKE: f64 = 0.8;
/// Places that are looked at.
const PLACES: usize = 400;

/// Rows of both traces, of equal times, around the water that stands highest at a stem while both meet the same waves; where the
/// boats have drawn apart everywhere, those in which the waves are most alike.
pub(super) fn worst_together(a: &[TraceRow], b: &[TraceRow]) -> Range<usize> {
    let count = a.len().min(b.len());
    let step_s = if count > 1 { (a[count - 1].time_s - a[0].time_s) / (count - 1) as f64 } else { 1.0 };
    let drawn = ((DRAWN_S / step_s) as usize).clamp(1, count.max(1));
    let last = count.saturating_sub(drawn);
    let stand = |index: usize| a[index].bow_relative_m.max(b[index].bow_relative_m);
    let mut places: Vec<(f64, usize)> = (0..count)
        .collect::<Vec<usize>>()
        .chunks(count.div_ceil(PLACES).max(1))
        .filter_map(|part| {
            let stands = part.iter().map(|index| (stand(*index), *index));
            stands.max_by(|x, y| x.0.total_cmp(&y.0))
        })
        .collect();
    places.sort_by(|x, y| y.0.total_cmp(&x.0));
    let around = |index: usize| {
        let from = index.saturating_sub(drawn / 2).min(last);
        from..(from + drawn).min(count)
    };
    let alike = |rows: &Range<usize>| correlation(&a[rows.clone()], &b[rows.clone()]);
    let windows = || places.iter().map(|(_, index)| around(*index));
    windows()
        .find(|rows| alike(rows) >= ALIKE)
        .or_else(|| windows().max_by(|x, y| alike(x).total_cmp(&alike(y))))
        .unwrap_or(0..count)
}

/// Correlation of the waves at two bows; 1 where there are none.
fn correlation(a: &[TraceRow], b: &[TraceRow]) -> f64 {
    let mean = |rows: &[TraceRow]| rows.iter().map(|row| row.bow_wave_m).sum::<f64>() / rows.len() as f64;
    let (mean_a, mean_b) = (mean(a), mean(b));
    let pairs = || a.iter().zip(b).map(|(a, b)| (a.bow_wave_m - mean_a, b.bow_wave_m - mean_b));
    let together: f64 = pairs().map(|(a, b)| a * b).sum();
    let (own_a, own_b): (f64, f64) = pairs().fold((0.0, 0.0), |sum, (a, b)| (sum.0 + a * a, sum.1 + b * b));
    if own_a * own_b > 0.0 { together / (own_a * own_b).sqrt() } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(time_s: f64, bow_wave_m: f64, bow_relative_m: f64) -> TraceRow {
        TraceRow {
            time_s,
            speed_kn: 10.0,
            position_m: 0.0,
            bow_wave_m,
            bow_relative_m,
            surge_force_n: 0.0,
            deck_water_kg: 0.0,
            foil_angle_deg: None,
            flying: false,
            pitch_deg: 0.0,
            bow_acceleration_g: 0.0,
        }
    }

    /// Ten minutes: the highest water stands where the waves are contrary, the next highest, at 150 s, where they are the same.
    #[test]
    fn the_worst_of_the_same_waves() {
        let of = |late: f64| -> Vec<TraceRow> {
            (0..6000)
                .map(|i| {
                    let time = f64::from(i) / 10.0;
                    let wave = if time < 300.0 { time.sin() } else { late * time.sin() };
                    let stands = if i == 5000 {
                        3.0
                    } else if i == 1500 {
                        2.0
                    } else {
                        0.0
                    };
                    row(time, wave, stands)
                })
                .collect()
        };
        assert_eq!(worst_together(&of(1.0), &of(-1.0)), 900..2100);
        let apart = worst_together(&of(1.0), &of(1.0));
        assert_eq!(apart, 4400..5600);
        assert_eq!(worst_together(&of(1.0)[..300], &of(1.0)[..300]), 0..300);
    }
}
