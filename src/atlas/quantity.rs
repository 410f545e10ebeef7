//! What an atlas keeps of a polar cell in a sea.

use crate::balance::STAGES;
use crate::base::Flags;
use crate::derate::PolarCell;

/// Numbers kept of a cell.
pub const COUNT: usize = 21;

/// Speed that mean forces leave over flat speed, before surge; 1 where flat speed is zero.
pub const MEAN: usize = 0;
/// The first of the stages; the last of them is surge.
pub const STAGE: usize = 1;
/// What surge makes of the speed that mean forces leave.
pub const SURGE: usize = STAGE + STAGES - 1;
/// As [`MEAN`] with the second method of added resistance.
pub const SECOND: usize = STAGE + STAGES;
/// As [`MEAN`] at the slow and the fast end of the model band.
pub const BAND: [usize; 2] = [SECOND + 1, SECOND + 2];
/// Swing of the speed, kn.
pub const SPEED_SD_KN: usize = 10;
/// Part of the time faster than the crests.
pub const RIDING_SHARE: usize = 11;
/// Standard error of the factor by the chance of the drawn waves.
pub const STANDARD_ERROR: usize = 12;
/// Mean water on deck, kg.
pub const DECK_WATER_KG: usize = 13;
/// Part of the time in flight.
pub const AVAILABILITY: usize = 14;
/// Slams an hour.
pub const SLAM_RATE_PER_H: usize = 15;
/// Wet decks an hour; below 0 for a boat without `[deck]`.
pub const WETNESS_RATE_PER_H: usize = 16;
/// Acceleration at the bow, g rms.
pub const BOW_ACCELERATION_G: usize = 17;
/// Reservations, sixteen in each of two numbers, which single precision holds exactly.
pub const FLAGS: [usize; 2] = [18, 19];
/// Cycles an hour of the bow's motion over the water.
pub const BOW_CYCLES_PER_H: usize = 20;

/// Wet decks an hour of a boat that has none.
pub const NO_DECK: f32 = -1.0;

/// What is kept of a cell.
pub type Kept = [f32; COUNT];

/// What the cell of a flat sea would keep.
pub const CALM: Kept = {
    let mut kept = [0.0; COUNT];
    let mut one = 0;
    while one <= BAND[1] {
        kept[one] = 1.0;
        one += 1;
    }
    kept[AVAILABILITY] = 1.0;
    kept
};

/// Keeps a cell.
pub fn keep(cell: &PolarCell) -> Kept {
    let mut kept = CALM;
    let mut set = |place: usize, value: f64| kept[place] = value as f32;
    if let Some(stages) = cell.stages {
        let surge = stages[STAGES - 1];
        // surge came into all of them in the same proportion
        let before = |factor: f64| if surge > 0.0 { factor / surge } else { 0.0 };
        set(MEAN, stages[..STAGES - 1].iter().product());
        for (stage, value) in stages.into_iter().enumerate() {
            set(STAGE + stage, value);
        }
        set(SECOND, before(cell.factor_second_method.unwrap_or(1.0)));
        let band = cell.factor_band.unwrap_or([1.0; 2]);
        BAND.into_iter().zip(band).for_each(|(place, value)| set(place, before(value)));
    }
    if let Some(swing) = cell.swing {
        set(SPEED_SD_KN, swing.speed_sd_kn);
        set(RIDING_SHARE, swing.riding_share);
        set(STANDARD_ERROR, swing.standard_error);
    }
    set(DECK_WATER_KG, cell.deck_water_kg);
    set(AVAILABILITY, cell.availability);
    set(SLAM_RATE_PER_H, cell.advisory.slam_rate_per_h);
    set(WETNESS_RATE_PER_H, cell.advisory.wetness_rate_per_h.unwrap_or(f64::from(NO_DECK)));
    set(BOW_ACCELERATION_G, cell.advisory.bow_acceleration_rms_g);
    set(BOW_CYCLES_PER_H, cell.advisory.bow_cycles_per_h);
    let bits = cell.flags.as_u32_truncated();
    set(FLAGS[0], f64::from(bits & 0xffff));
    set(FLAGS[1], f64::from(bits >> 16));
    kept
}

/// The reservations that two numbers keep.
pub fn flags([low, high]: [f32; 2]) -> Flags {
    Flags::from_u32_truncated((low as u32) | ((high as u32) << 16))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Flag;

    #[test]
    fn all_flags_are_kept() {
        for set in [Flags::empty(), Flags::all(), Flag::NoWay | Flag::NoFoils] {
            let bits = set.as_u32_truncated();
            assert_eq!(flags([(bits & 0xffff) as f32, (bits >> 16) as f32]), set);
        }
    }
}
