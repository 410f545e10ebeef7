//! A bin's key as text, so that it groups by equality in any engine: `5|swell:22:-1:3|wind-sea:minor`.
//!
//! Wind bin, then each system in the key's order: kind, and bins of period, angle off the wind and height, or `minor`.
//! Text, because engines differ in how they group missing values and a minor system has no bins. Bins of seas that keep
//! their spectrum have none: rows hold systems alone.

use crate::sea::PartitionKind;
use crate::tally::bins::{BinKey, ShapedBy, SystemKey};
use arrayvec::ArrayVec;

const MINOR: &str = "minor";

pub(super) fn write(key: &BinKey) -> String {
    let systems = key.systems.iter().map(|system| {
        let kind = kind_name(system.kind);
        match (system.period, system.off_wind, system.height) {
            (Some(period), Some(off_wind), Some(height)) => format!("|{kind}:{period}:{off_wind}:{height}"),
            _ => format!("|{kind}:{MINOR}"),
        }
    });
    key.tws.to_string() + &systems.collect::<String>()
}

/// The key a text stands for, if it is one that [`write`] makes.
pub(super) fn parse(text: &str) -> Option<BinKey> {
    let mut parts = text.split('|');
    let tws = parts.next()?.parse().ok()?;
    let mut systems = ArrayVec::new();
    for part in parts {
        systems.try_push(parse_system(part)?).ok()?;
    }
    systems.is_sorted().then_some(BinKey { tws, systems, shape: ShapedBy::Systems })
}

fn parse_system(text: &str) -> Option<SystemKey> {
    let (kind, bins) = text.split_once(':')?;
    let kind = [PartitionKind::WindSea, PartitionKind::Swell, PartitionKind::Total]
        .into_iter()
        .find(|known| kind_name(*known) == kind)?;
    if bins == MINOR {
        return Some(SystemKey { kind, period: None, off_wind: None, height: None });
    }
    let bins: Vec<i16> = bins.split(':').map(|bin| bin.parse().ok()).collect::<Option<_>>()?;
    let &[period, off_wind, height] = bins.as_slice() else { return None };
    Some(SystemKey { kind, period: Some(period), off_wind: Some(off_wind), height: Some(height) })
}

fn kind_name(kind: PartitionKind) -> &'static str {
    match kind {
        PartitionKind::WindSea => "wind-sea",
        PartitionKind::Swell => "swell",
        PartitionKind::Total => "total",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_come_back_as_they_went() {
        let minor = SystemKey { kind: PartitionKind::WindSea, period: None, off_wind: None, height: None };
        let swell =
            SystemKey { kind: PartitionKind::Swell, period: Some(22), off_wind: Some(23), height: Some(-3) };
        let key = BinKey { tws: 5, systems: [minor, swell].into_iter().collect(), shape: ShapedBy::Systems };
        assert_eq!(write(&key), "5|wind-sea:minor|swell:22:23:-3");
        for key in [key, BinKey { tws: 0, systems: ArrayVec::new(), shape: ShapedBy::Systems }] {
            assert_eq!(parse(&write(&key)), Some(key));
        }
    }

    #[test]
    fn other_texts_are_no_keys() {
        for text in
            ["", "x", "5|", "5|swell", "5|swell:1:2", "5|ripple:1:2:3", "5|swell:1:2:3|wind-sea:minor"]
        {
            assert_eq!(parse(text), None, "{text:?}");
        }
        assert_eq!(parse(&("1".to_owned() + &"|swell:minor".repeat(7))), None);
    }
}
