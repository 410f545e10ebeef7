//! The seas that stand in for a wind that hardly blows: those of the nearest winds, their wind sea as the column's wind would
//! have raised it over the same fetch.
//!
//! Over a fetch heights go with the wind and peak periods with its third root (Hasselmann et al. 1973, JONSWAP: variance
//! 1.6e-7 x and peak frequency 3.5 x^-0.33, both made without units by the wind, x the fetch). Swell came from elsewhere, and a
//! total sea or a spectrum tells no wind sea apart: those stay as they are.

use crate::base::units::{kn_to_m_s, m_s_to_kn};
use crate::derate::wind_match::ColumnSeas;
use crate::hydro::wind_frame::WindFrameSea;
use crate::sea::PartitionKind;
use crate::tally::SeaBin;

/// A wind that raises nothing, kn (judged, no source).
const LEAST_KN: f64 = 1.0;
/// Peak period over wind at one fetch.
const PERIOD_POWER: f64 = 1.0 - 2.0 * 0.33;

/// The seas with those that stand in behind them, and the share that each column has of each.
pub(super) fn with_stand_ins(
    columns_kn: &[f64],
    mut seas: Vec<SeaBin>,
    mut columns: Vec<ColumnSeas>,
) -> (Vec<SeaBin>, Vec<ColumnSeas>) {
    let known = seas.len();
    for column in 0..columns.len() {
        if !columns[column].fallback {
            continue;
        }
        for index in 0..known {
            let share = columns[column].shares[index];
            let Some(sea) = raised_by(&seas[index].sea, columns_kn[column]).filter(|_| share > 0.0) else {
                continue;
            };
            seas.push(SeaBin { sea, ..seas[index].clone() });
            columns.iter_mut().for_each(|other| other.shares.push(0.0));
            columns[column].shares[index] = 0.0;
            columns[column].shares[seas.len() - 1] = share;
        }
    }
    (seas, columns)
}

/// A sea in another wind, where it has a wind sea of its own.
fn raised_by(sea: &WindFrameSea, tws_kn: f64) -> Option<WindFrameSea> {
    let raised = |kind: PartitionKind| kind == PartitionKind::WindSea;
    let has_wind_sea = sea.spectrum.is_none() && sea.systems.iter().any(|system| raised(system.kind));
    if !has_wind_sea || m_s_to_kn(sea.tws_m_s) < LEAST_KN || tws_kn < LEAST_KN {
        return None;
    }
    let mut sea = sea.clone();
    let ratio = kn_to_m_s(tws_kn) / sea.tws_m_s;
    for system in sea.systems.iter_mut().filter(|system| raised(system.kind)) {
        system.hs2_m2 *= ratio * ratio;
        system.tp_s *= ratio.powf(PERIOD_POWER);
    }
    Some(sea)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Flags;
    use crate::hydro::wind_frame::WaveSystem;
    use approx::assert_relative_eq;

    fn bin(tws_kn: f64, systems: &[(PartitionKind, f64, f64)]) -> SeaBin {
        let system = |&(kind, hs, tp_s): &(PartitionKind, f64, f64)| WaveSystem {
            kind,
            hs2_m2: hs * hs,
            tp_s,
            off_wind_deg: 20.0,
        };
        let systems = systems.iter().map(system).collect();
        let sea = WindFrameSea { tws_m_s: kn_to_m_s(tws_kn), systems, spectrum: None, flags: Flags::empty() };
        SeaBin { sea, weight: 7.0, count: 3, tws_bin: 1, draw: 5 }
    }

    /// By hand: half the wind raises half the height, a quarter of the energy, and 0.5^0.34 = 0.790 of the period; its swell stays.
    #[test]
    fn half_the_wind_raises_half_the_wind_sea() {
        let seas = vec![bin(8.0, &[(PartitionKind::WindSea, 0.5, 4.0), (PartitionKind::Swell, 2.0, 12.0)])];
        let seen = |fallback| ColumnSeas { shares: vec![0.6], fallback };
        let (seas, columns) = with_stand_ins(&[4.0, 8.0], seas, vec![seen(true), seen(false)]);
        assert_eq!(columns[0].shares, [0.0, 0.6]);
        assert_eq!(columns[1].shares, [0.6, 0.0]);
        let [raised, swell] = seas[1].sea.systems[..] else { panic!("two systems") };
        assert_relative_eq!(raised.hs2_m2.sqrt(), 0.25, max_relative = 1e-12);
        assert_relative_eq!(raised.tp_s, 4.0 * 0.790, max_relative = 1e-3);
        assert_eq!((swell.hs2_m2, swell.tp_s), (4.0, 12.0));
        assert_eq!((seas[1].weight, seas[1].count, seas[1].draw), (7.0, 3, 5));
    }

    /// What a total sea owes to the wind is not known, and a column that blows sees what there is.
    #[test]
    fn a_sea_without_a_wind_sea_of_its_own_stands_in_as_it_is() {
        let seas = vec![bin(8.0, &[(PartitionKind::Total, 2.0, 8.0)])];
        let seen = ColumnSeas { shares: vec![1.0], fallback: true };
        let (seas, columns) = with_stand_ins(&[4.0], seas, vec![seen]);
        assert_eq!((seas.len(), columns[0].shares.as_slice()), (1, [1.0].as_slice()));
    }
}
