//! The keel a tenth of her length abaft the stem as it comes out of the water and meets it again: how fast, and with what blow.

use crate::base::units::RHO_WATER;
use crate::hull::Decked;
use crate::hydro::body::SectionNow;
use crate::hydro::body::impact::peak_pressure_pa;
use crate::hydro::rates::{hard_slam_pressure_pa, slam_velocity_m_s};

/// Of the section's height above its keel, how far up its deadrise is taken, as a body in time does.
const DEADRISE_UP_TO: f64 = 0.25;

/// The section and what makes a slam there.
pub(super) struct Forefoot {
    index: usize,
    keel_m: f64,
    deadrise_rad: f64,
    fast_m_s: f64,
    hard_pa: f64,
}

/// The keel meets the water again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reentry {
    /// Peak pressure by Wagner, Pa.
    pub(super) pressure_pa: f64,
    /// Whether it is faster than Ochi's threshold.
    pub(super) fast: bool,
    /// Whether the pressure is that of Ochi's own bow there, or above.
    pub(super) hard: bool,
}

impl Forefoot {
    /// The forefoot of a hull so long at the waterline.
    pub(super) fn new(decked: &Decked, length_m: f64) -> Self {
        let sections = decked.sections();
        let index = sections.partition_point(|section| section.x_m < 0.9 * length_m).min(sections.len() - 1);
        let section = &sections[index];
        let keel = section.points[0];
        let rise = DEADRISE_UP_TO * (section.edge().z_m - keel.z_m);
        let breadth = section.half_breadth_at(keel.z_m + rise) - keel.y_m;
        Self {
            index,
            keel_m: keel.z_m,
            deadrise_rad: rise.atan2(breadth),
            fast_m_s: slam_velocity_m_s(length_m),
            hard_pa: hard_slam_pressure_pa(RHO_WATER, length_m),
        }
    }

    /// Whether it is out of the water now, and a re-entry if it was before and no longer is.
    pub(super) fn meets(&self, was_out: bool, met: &[SectionNow]) -> (bool, Option<Reentry>) {
        let section = &met[self.index];
        let out = section.level_m <= self.keel_m;
        let enters = was_out && !out && section.entry_m_s > 0.0;
        let reentry = enters.then(|| {
            let pressure_pa = peak_pressure_pa(RHO_WATER, section.entry_m_s, self.deadrise_rad);
            Reentry {
                pressure_pa,
                fast: section.entry_m_s > self.fast_m_s,
                hard: pressure_pa >= self.hard_pa,
            }
        });
        (out, reentry)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::{DeckedSection, Point};

    /// Wedges of 30 degrees, 0.4 m deep, 10 m at the waterline. By hand: Ochi's 0.093 sqrt(g 10) = 0.921 m/s, hard from 5.39 kPa;
    /// at 1 m/s the wedge meets 3.79 kPa, at 1.2 m/s 5.46.
    #[test]
    fn fast_and_hard() {
        let rise = 30f64.to_radians().tan();
        let section = |x_m: f64| {
            let points = vec![Point { z_m: -0.4, y_m: 0.0 }, Point { z_m: -0.4 + 3.0 * rise, y_m: 3.0 }];
            DeckedSection { x_m, points }
        };
        let decked = Decked::new((0..11).map(|i| section(f64::from(i))).collect()).unwrap();
        let forefoot = Forefoot::new(&decked, 10.0);
        let at = |was_out: bool, level_m: f64, entry_m_s: f64| {
            let mut met = vec![SectionNow::default(); 11];
            met[9] = SectionNow { level_m, entry_m_s, ..SectionNow::default() };
            forefoot.meets(was_out, &met)
        };
        assert_eq!(at(false, -0.5, -1.0), (true, None));
        assert_eq!(at(true, -0.5, 1.0), (true, None));
        assert_eq!(at(false, -0.3, 2.0), (false, None));
        for (entry, fast, hard, kpa) in
            [(0.9, false, false, 3.07), (1.0, true, false, 3.79), (1.2, true, true, 5.46)]
        {
            let reentry = at(true, -0.3, entry).1.unwrap();
            assert_eq!((reentry.fast, reentry.hard), (fast, hard), "{reentry:?}");
            assert!((reentry.pressure_pa / 1000.0 - kpa).abs() < 0.01, "{reentry:?}");
        }
    }
}
