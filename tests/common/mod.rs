//! What several tests share: the invented boats and a small seeded generator.
#![allow(dead_code)]

use roughwater::boat::Boat;
use roughwater::boat::BoatModel;
use roughwater::hydro::response::Method;

pub const FOILER: &str = "sleet-heron-15";
pub const CRUISER: &str = "oat-plover-10";

pub fn boat(name: &str) -> Boat {
    Boat::read(format!("examples/boats/{name}.toml").as_ref()).unwrap()
}

pub fn model(name: &str) -> BoatModel {
    BoatModel::new(boat(name), Method::RadiatedEnergy, None).unwrap()
}

/// SplitMix64 (Steele, Lea & Flood 2014): a fixed seed gives a fixed sequence.
pub struct SplitMix(pub u64);

impl SplitMix {
    /// Uniform in (0, 1).
    pub fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64 + f64::EPSILON / 4.0
    }

    /// Exponential with a mean.
    pub fn exponential(&mut self, mean: f64) -> f64 {
        -mean * self.uniform().ln()
    }
}
