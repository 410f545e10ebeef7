//! What of a boat and her polar is possible but unusual, asked about.

use crate::boat::{BoatModel, believable};
use crate::polar::Polar;
use crate::polar::believable as believable_polar;

/// A question for each figure of a boat and her flat polar that is out of proportion.
pub fn doubts(model: &BoatModel, flat: &Polar) -> Vec<String> {
    let lwl_m = model.hydrostatics.lwl_m;
    let of_boat = believable::doubts(model).into_iter().map(|doubt| format!("boat: {doubt}"));
    let of_polar = believable_polar::doubts(flat);
    // a polar with an axis wrong is wrong beside any boat
    let of_both = if of_polar.is_empty() {
        believable_polar::doubts_of_boat(flat, lwl_m, model.foils.is_some())
    } else {
        Vec::new()
    };
    of_boat.chain(of_polar.into_iter().chain(of_both).map(|doubt| format!("polar: {doubt}"))).collect()
}
