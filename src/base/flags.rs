//! What a result must own up to: every way in which a number leaves a method's range or leaves something out.

use enumset::{EnumSet, EnumSetType};

/// One reservation about a number. Names (see [`Flag::name`]) are written to the audit and stay as they are.
#[derive(Debug, EnumSetType, PartialOrd, Ord)]
pub enum Flag {
    /// SNNM got clamped block coefficient, beam-draught ratio or Froude number: the boat is not a merchant ship.
    SnnmClamped,
    /// Above Fn 0.45 the radiated-energy response is held at its Fn 0.45 value.
    HeldAboveFn045,
    /// Most of the sea comes from abaft the beam: waves that overtake her add no resistance, and no surfing.
    FollowingSeaNotModelled,
    /// Most of the sea comes within 20 degrees of the beam: roll, yaw and steering losses are not modelled.
    BeamSeaNotModelled,
    /// Calm-water resistance was used outside its formula's range.
    CalmWaterOutOfRange,
    /// Flat-water resistance over the sails' thrust at the polar's speed lies outside 0.7 to 1.3: boat file and polar do
    /// not belong together there, and a power of the speed stands in for the sails' curve.
    ThrustMismatch,
    /// The sails' curve would not let her hold the speed that the polar says she holds: a flatter power of the speed
    /// stands in for it.
    ThrustHeld,
    /// No speed balances: the boat makes no way in this sea.
    NoWay,
    /// A period lies outside the response table: the nearest tabulated one was used.
    PeriodOutOfRange,
    /// The total sea stood in for missing partitions.
    TotalSeaUsed,
    /// The mean-to-peak period ratio of an assumed spectrum was used.
    PeriodConverted,
    /// Part of the region has no usable forecast.
    PartlyCovered,
    /// The foil lift was reduced by stall in this sea.
    FoilStall,
    /// Hull sections that no Lewis form fits were replaced by the nearest that does.
    LewisAdjusted,
    /// A foil is raised or missing and no foils-up polar is given: hull-borne speed comes from the balance.
    HullSpeedFromBalance,
    /// A response of the user's own table was used.
    OwnTable,
    /// The sea or the speed lies outside the user's own table: a built-in method stood in there.
    OwnTableLeft,
    /// Steeper than a sea can be.
    ImpossibleSteepness,
    /// Water shallower than half a wave length: the responses are those of deep-water waves of the same length.
    ShallowWater,
    /// A tally file kept the wave systems of seas that came with a directional spectrum, and not the spectrum.
    SpectrumDropped,
    /// Too few seas came with a wind like the column's: those of the nearest winds that have enough were used.
    WindMatchedFallback,
    /// The wind lies outside the flat polar, for some or all angles: there is no factor there.
    OutsidePolar,
    /// The apparent wind is closer to the bow than sails drive in: the polar's speed there is doubtful.
    Pinching,
    /// She can hold two speeds in flat water, or falls from one to another in some sea: small changes decide which.
    TwoBalances,
    /// The mean speed after surge is known to no better than 1 %: chance of the drawn seas.
    SurgeUncertain,
    /// The boat file has no `[deck]`: water on deck is not counted.
    NoDeck,
    /// It has no `[appendages]`: their drag and that of the side force are not counted.
    NoAppendages,
    /// It has no `[windage]`: nothing stands in the wind that the flat polar does not hold.
    NoWindage,
    /// It has no `[foils]`: no loss of theirs is counted.
    NoFoils,
    /// The sea lies outside the table of large waves: its end stands in.
    LargeWavesLeft,
    /// Chance leaves what large waves add open by more than itself.
    LargeWavesUncertain,
}

/// A set of reservations.
pub type Flags = EnumSet<Flag>;

impl Flag {
    /// The flag's name in files.
    pub fn name(self) -> &'static str {
        match self {
            Flag::SnnmClamped => "snnm-clamped",
            Flag::HeldAboveFn045 => "held-above-fn-0.45",
            Flag::FollowingSeaNotModelled => "following-sea-not-modelled",
            Flag::BeamSeaNotModelled => "beam-sea-not-modelled",
            Flag::CalmWaterOutOfRange => "calm-water-out-of-range",
            Flag::ThrustMismatch => "thrust-mismatch",
            Flag::ThrustHeld => "thrust-held",
            Flag::NoWay => "no-way",
            Flag::PeriodOutOfRange => "period-out-of-range",
            Flag::TotalSeaUsed => "total-sea-used",
            Flag::PeriodConverted => "period-converted",
            Flag::PartlyCovered => "partly-covered",
            Flag::FoilStall => "foil-stall",
            Flag::LewisAdjusted => "lewis-adjusted",
            Flag::HullSpeedFromBalance => "hull-speed-from-balance",
            Flag::OwnTable => "own-table",
            Flag::OwnTableLeft => "own-table-left",
            Flag::ImpossibleSteepness => "impossible-steepness",
            Flag::ShallowWater => "shallow-water",
            Flag::SpectrumDropped => "spectrum-dropped",
            Flag::WindMatchedFallback => "wind-matched-fallback",
            Flag::OutsidePolar => "outside-polar",
            Flag::Pinching => "pinching",
            Flag::TwoBalances => "two-balances",
            Flag::SurgeUncertain => "surge-uncertain",
            Flag::NoDeck => "no-deck",
            Flag::NoAppendages => "no-appendages",
            Flag::NoWindage => "no-windage",
            Flag::NoFoils => "no-foils",
            Flag::LargeWavesLeft => "large-waves-left",
            Flag::LargeWavesUncertain => "large-waves-uncertain",
        }
    }
}

/// The names of a set, separated by `;`, in the order of [`Flag`].
pub fn names(flags: Flags) -> String {
    flags.iter().map(Flag::name).collect::<Vec<_>>().join(";")
}
