//! Waves that feel the bottom, cell by cell of a file that states depths.

use std::f64::consts::TAU;

use crate::common::files::data;
use roughwater::base::Flag;
use roughwater::forecast::{CellSea, Forecast};
use roughwater::hydro::wind_frame::WindFrameSea;

const G: f64 = 9.80665;

/// Wave number by bisection of omega² = g k tanh(k h): another way than the library's.
fn wave_number(omega: f64, depth_m: f64) -> f64 {
    let (mut low, mut high) = (0.0, 10.0);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if G * middle * (middle * depth_m).tanh() < omega * omega { low = middle } else { high = middle }
    }
    high
}

#[test]
fn each_system_gets_the_period_of_its_length_and_deep_ones_stay_as_they_are() {
    let sea = Forecast::open(&[data("ww3.nc")]).unwrap().read_step(0).unwrap();
    let (mut shoal, mut deep) = (0, 0);
    for (index, cell) in sea.cells().enumerate() {
        let CellSea::Sea(state) = cell else { continue };
        let depth_m = sea.depth_m(index).unwrap();
        let before = WindFrameSea::of(&state);
        let after = before.clone().in_depth(Some(depth_m));
        for (before, after) in before.systems.iter().zip(&after.systems) {
            let k = wave_number(TAU / before.tp_s, depth_m);
            if depth_m < 0.5 * G * before.tp_s.powi(2) / TAU {
                let length_m = G * after.tp_s.powi(2) / TAU;
                assert!((length_m * k / TAU - 1.0).abs() < 1e-9, "{length_m} {}", TAU / k);
                shoal += 1;
            } else {
                assert_eq!(before, after);
                // left alone, its length is right within 0.4 %
                assert!((k * G * (before.tp_s / TAU).powi(2) - 1.0).abs() < 0.004);
                deep += 1;
            }
        }
        let changed = before.systems != after.systems;
        assert_eq!(after.flags.contains(Flag::ShallowWater), changed, "every system here has energy");
    }
    assert!(shoal > 3 && deep > 40, "{shoal} {deep}");
}
