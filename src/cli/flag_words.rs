//! What each reservation means, in a sentence for whoever reads a result.

use roughwater::base::Flag;

/// What a reservation means.
pub(super) fn meaning(flag: Flag) -> &'static str {
    match flag {
        Flag::SnnmClamped => {
            "the regression for added resistance got main dimensions at the end of its range"
        }
        Flag::HeldAboveFn045 => {
            "she sails faster than added resistance was validated for (Froude number 0.45): held there"
        }
        Flag::FollowingSeaNotModelled => {
            "most of the sea from abaft the beam and surge left out: waves that overtake her take and give nothing"
        }
        Flag::BeamSeaNotModelled => {
            "most of the sea within 20 degrees of the beam: losses by roll, yaw and steering are left out, and foils moved by roll \
             (4 degrees move a tip 3.5 m out by 0.24 m)"
        }
        Flag::CalmWaterOutOfRange => "flat-water resistance was used outside its formula's range",
        Flag::ThrustMismatch => {
            "the sails of the boat file drive her much more or much less than the polar's speed takes (by over 0.7 to 1.3): \
             boat file or polar is off here, and a power of the speed stands in for the sails' curve"
        }
        Flag::ThrustHeld => {
            "by the sails' curve she could not hold the polar's speed: a flatter power of the speed stands in"
        }
        Flag::Pinching => {
            "the apparent wind is under 22 degrees off the bow: no sail drives well there, so the polar's speed is doubtful"
        }
        Flag::TwoBalances => {
            "she can hold two speeds here, or falls from one to another in some sea: which one hangs on little"
        }
        Flag::SurgeUncertain => {
            "chance of the drawn seas leaves the mean speed after surge open by over 1 % (standard error)"
        }
        Flag::NoDeck => "the boat file has no [deck]: water on deck is not counted",
        Flag::NoAppendages => {
            "the boat file has no [appendages]: the drag of keel and side force is not counted"
        }
        Flag::NoWindage => {
            "the boat file has no [windage]: nothing in the wind is counted beside the polar's own"
        }
        Flag::NoFoils => "the boat file has no [foils]: no loss of foils is counted",
        Flag::NoWay => "no speed balances: she makes no way in some of these seas",
        Flag::PeriodOutOfRange => "a wave period outside the response table: the nearest one stood in",
        Flag::TotalSeaUsed => "the total sea stood in for wind sea and swells",
        Flag::PeriodConverted => "a mean period was turned into a peak period by an assumed spectrum",
        Flag::PartlyCovered => "the forecast does not cover the whole region and window",
        Flag::FoilStall => "the foil lost lift by stalling",
        Flag::LewisAdjusted => "hull sections were replaced by the nearest that the method can take",
        Flag::HullSpeedFromBalance => {
            "no polar with the foils raised: the speed without them comes from the balance"
        }
        Flag::OwnTable => "the user's own responses were used",
        Flag::OwnTableLeft => "outside the user's own responses: a built-in method stood in",
        Flag::ImpossibleSteepness => "steeper than a sea can be",
        Flag::ShallowWater => {
            "water depth changes the waves: responses of deep-water waves of the same length were used"
        }
        Flag::SpectrumDropped => "the tally kept wave systems in place of the measured or modelled spectrum",
        Flag::WindMatchedFallback => {
            "too few seas with such a wind: those of the nearest wind stood in, with the wind sea that this one would raise"
        }
        Flag::OutsidePolar => "a wind outside the flat polar: no factor",
    }
}
