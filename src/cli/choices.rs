//! The library's choices as the command line offers them: a line of help for each.

use crate::cli::named::{Choice, Named, offered};
use clap::builder::TypedValueParser;
use roughwater::atlas::Fineness;
use roughwater::base::Alignment;
use roughwater::boat::{OnOff, Side};
use roughwater::derate::Tack;
use roughwater::files::TableFormat;
use roughwater::forecast::MemberChoice;
use roughwater::hydro::response::Method;
use roughwater::job::{CellAuditWord, Split};
use roughwater::passage::LegKind;
use roughwater::polar::{Decimal, Delimiter, Layout, LineEnd, Smoothing, TackChoice};
use roughwater::result::GroupKey;
use roughwater::sea::PartitionKind;
use roughwater::simulate::BodyChoice;

/// A kind of value that knows `ALL` and `name`, with the help of each.
macro_rules! choice {
    ($kind:ty: $($value:ident $help:literal)+) => {
        impl Named for $kind {
            fn name(self) -> &'static str {
                <$kind>::name(self)
            }
        }

        impl Choice for $kind {
            const ALL: &'static [Self] = &<$kind>::ALL;

            fn help(self) -> &'static str {
                match self {
                    $(Self::$value => $help,)+
                }
            }
        }
    };
}

choice!(Alignment:
    Midnight "At multiples of their length from midnight UTC (default)"
    FirstStep "At the first step of the forecast"
    Epoch "At multiples of their length since 1970-01-01: windows of days agree between files"
);

choice!(CellAuditWord:
    Csv "CSV"
    Parquet "Apache Parquet"
    None "Not at all"
);

choice!(Decimal:
    Point "A point"
    Comma "A comma, beside semicolons or tabs"
);

choice!(Delimiter:
    Comma "Commas"
    Semicolon "Semicolons"
    Tab "Tabs"
);

choice!(Fineness:
    Coarse "Some hundred seas"
    Medium "About a thousand seas"
    Fine "Some three thousand seas"
);

choice!(GroupKey:
    Region "Region"
    Window "Time window"
    Tack "Tack"
    Tws "True wind speed"
    Twa "True wind angle"
    Stage "Stage that takes most"
    Flag "Each flag; a cell with several counts for each"
);

choice!(Layout:
    Matrix "TWS in the first row, TWA in the first column"
    Long "A row for each cell: tws_kn,twa_deg,speed_kn"
);

choice!(LineEnd:
    Crlf "CR LF, as RFC 4180 has it"
    Lf "LF alone"
);

choice!(LegKind:
    Geodesic "The shortest line on the WGS 84 ellipsoid"
    GreatCircle "The shortest line on a sphere"
    Rhumb "The line of one course, on a sphere"
);

choice!(MemberChoice:
    Together "One polar over all members"
    Each "One polar over all members, and one of each"
);

choice!(Method:
    RadiatedEnergy "Strip theory and the energy that the hull radiates"
    Snnm "Regression on main dimensions"
    Table "The job's own responses"
);

choice!(BodyChoice:
    Linear "Her linear responses, each wave by itself"
    Exact "All of her hull up to the deck, as far as it is wetted at the moment"
);

choice!(OnOff:
    On "Counted (default)"
    Off "Left out"
);

choice!(Side:
    Port "Left, looking forward"
    Starboard "Right, looking forward"
);

choice!(Smoothing:
    None "Each cell as it was computed"
    Binomial "Each factor averaged with those one row and column away"
);

choice!(Split:
    Given "A polar for every region and window"
    Auto "A polar for every group that is alike"
);

choice!(TableFormat:
    Csv "CSV, which is always there"
    Parquet "Apache Parquet"
);

choice!(Tack:
    Starboard "Wind over the starboard side"
    Port "Wind over the port side"
);

choice!(TackChoice:
    Mean "0 to 180 degrees, mean time of both tacks"
    Slower "0 to 180 degrees, the slower tack of each cell"
    Starboard "Starboard tack"
    Port "Port tack"
    Signed "-180 to 180 degrees, starboard tack positive"
);

impl Named for PartitionKind {
    fn name(self) -> &'static str {
        PartitionKind::name(self)
    }
}

/// What the waves of one system are: not a total sea, which is two of them.
pub(super) fn one_system() -> impl TypedValueParser<Value = PartitionKind> {
    offered([
        (PartitionKind::WindSea, "Raised by the local wind: broad in direction"),
        (PartitionKind::Swell, "Come from afar: narrow in direction"),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Serialize;

    fn check<T: Named + Serialize>(all: &[T]) {
        for value in all {
            assert_eq!(serde_json::to_value(value).unwrap(), value.name());
        }
    }

    /// A word means the same on the command line and in files.
    #[test]
    fn names_are_those_in_files() {
        check(&Alignment::ALL);
        check(&Decimal::ALL);
        check(&Delimiter::ALL);
        check(&Layout::ALL);
        check(&LineEnd::ALL);
        check(&Smoothing::ALL);
        check(&LegKind::ALL);
        check(&MemberChoice::ALL);
        check(&Method::ALL);
        check(&PartitionKind::ALL);
        check(&OnOff::ALL);
        check(&BodyChoice::ALL);
        check(&Side::ALL);
        check(&Split::ALL);
        check(&TableFormat::ALL);
        check(&Tack::ALL);
        check(&TackChoice::ALL);
    }
}
