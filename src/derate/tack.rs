//! The tack sailed.

/// The tack sailed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tack {
    /// Wind over the starboard side.
    Starboard,
    /// Wind over the port side.
    Port,
}

impl Tack {
    /// Both, in the order of all outputs.
    pub const ALL: [Tack; 2] = [Tack::Starboard, Tack::Port];

    /// The tack of a signed true wind angle.
    pub fn of(signed_twa_deg: f64) -> Self {
        if signed_twa_deg < 0.0 { Tack::Port } else { Tack::Starboard }
    }

    /// The signed true wind angle of an unsigned one.
    pub fn signed(self, twa_deg: f64) -> f64 {
        match self {
            Tack::Starboard => twa_deg,
            Tack::Port => -twa_deg,
        }
    }

    /// The tack's name in files.
    pub fn name(self) -> &'static str {
        match self {
            Tack::Starboard => "starboard",
            Tack::Port => "port",
        }
    }
}
