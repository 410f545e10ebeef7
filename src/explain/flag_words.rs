//! What each reservation means and what to do about it, a sentence each, for whoever reads a result: the one table of these
//! words, which report and program share.

use crate::base::Flag;

/// What a reservation means, without a full stop.
pub fn meaning(flag: Flag) -> &'static str {
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
        Flag::LargeWavesLeft => {
            "steeper or longer than the seas in which all of her hull was simulated, or such as she pitch-poled in: what large waves \
             change there is that of the nearest"
        }
        Flag::LargeWavesUncertain => {
            "chance of the simulated seas leaves what large waves change open by more than itself"
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

/// What someone who sails by the result, or made it, can do about a reservation, without a full stop.
pub fn what_to_do(flag: Flag) -> &'static str {
    match flag {
        Flag::SnnmClamped => "weigh the other method's factor: the regression was made for ships",
        Flag::HeldAboveFn045 => "allow for the model band, which is widest at her highest speeds",
        Flag::FollowingSeaNotModelled => "derate with surge, which is the default",
        Flag::BeamSeaNotModelled => {
            "keep a reserve in hand with the sea abeam: she may well be slower than this"
        }
        Flag::CalmWaterOutOfRange => "check length, beam and displacement in the boat file",
        Flag::ThrustMismatch => {
            "hold boat file and polar against each other wind by wind: inspect BOAT --polar FILE"
        }
        Flag::ThrustHeld => "check sail area and righting moment in the boat file: inspect BOAT --polar FILE",
        Flag::NoWay => "don't plan on these angles in this sea: bear away, or wait",
        Flag::PeriodOutOfRange => "take the number as rough: so short or long a sea was not tabulated",
        Flag::TotalSeaUsed => "use a forecast file with wind sea and swells apart, if there is one",
        Flag::PeriodConverted => "use a forecast file that gives peak periods, if there is one",
        Flag::PartlyCovered => {
            "look at the map for where the forecast is missing, and don't rely on this there"
        }
        Flag::FoilStall => "expect her to drop off the foils here now and then",
        Flag::LewisAdjusted => {
            "nothing, unless the sections were drawn wrong: look at them with inspect BOAT"
        }
        Flag::HullSpeedFromBalance => "name a polar with the foils raised in the boat file (foils_up_polar)",
        Flag::OwnTable => "nothing: it is what the job asked for",
        Flag::OwnTableLeft => "widen the table of own responses in speed, angle or period",
        Flag::ImpossibleSteepness => "distrust the forecast's height or period here",
        Flag::ShallowWater => {
            "take local knowledge before this number: the bottom changes a sea more than is said here"
        }
        Flag::SpectrumDropped => "derate from the forecast itself, not from a tally, to keep the spectrum",
        Flag::WindMatchedFallback => "don't rely on this wind here: it hardly blows in the forecast",
        Flag::OutsidePolar => "extend the flat polar to the winds that are forecast",
        Flag::Pinching => "check the polar at its closest angles, or leave them out of the route",
        Flag::TwoBalances => {
            "expect either speed: what puts her on the faster one is a gust, a wave or a good helm"
        }
        Flag::SurgeUncertain => "allow 1 to 2 % either way",
        Flag::LargeWavesLeft => "take the number as rough: so steep or long a sea was not simulated",
        Flag::LargeWavesUncertain => {
            "weigh the same job with body = \"linear\": the two differ by no more than chance"
        }
        Flag::NoDeck => "add [deck] to the boat file, if she ships water",
        Flag::NoAppendages => "add [appendages] to the boat file",
        Flag::NoWindage => "add [windage] to the boat file, if her rig has grown since the polar",
        Flag::NoFoils => "nothing, unless she has foils: then add [foils] to the boat file",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Flags;

    /// A page makes sentences of them: one line, a small first letter, no full stop.
    #[test]
    fn words_can_stand_in_a_sentence() {
        for flag in Flags::all() {
            for words in [meaning(flag), what_to_do(flag)] {
                assert!(
                    words.len() > 10 && !words.ends_with('.') && !words.contains('\n'),
                    "{}: {words}",
                    flag.name()
                );
                assert!(words.starts_with(char::is_lowercase), "{}: {words}", flag.name());
            }
        }
    }
}
