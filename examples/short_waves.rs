//! Prints what the methods give for added resistance in short waves, and what the swell's shape is worth, as Markdown tables.

use roughwater::base::units::{G, RHO_WATER, kn_to_m_s};
use roughwater::boat::{Boat, BoatModel};
use roughwater::hydro::added_resistance::{radiated_energy, snnm};
use roughwater::hydro::response::{Method, direct};
use roughwater::hydro::spectrum::{SpectrumShape, swell_exponent};
use roughwater::hydro::wave_shape::WaveShape;
use roughwater::sea::PartitionKind;
use std::f64::consts::{PI, TAU};

fn main() -> roughwater::base::Result<()> {
    let boats = ["sleet-heron-15", "oat-plover-10"].map(|name| {
        Ok((
            name,
            BoatModel::new(
                Boat::read(format!("examples/boats/{name}.toml").as_ref())?,
                Method::RadiatedEnergy,
                None,
            )?,
        ))
    });
    let boats: Vec<(&str, BoatModel)> = boats.into_iter().collect::<roughwater::base::Result<_>>()?;
    println!("Bluntness B_f by the angle off the bow, degrees:\n");
    println!("| boat | 0 | 15 | 30 | 45 | 60 | 75 | 90 |\n|---|---|---|---|---|---|---|---|");
    for (name, model) in &boats {
        let blunt = |off: f64| format!("{:.3}", model.waves.waterline.bluntness(PI - off.to_radians()));
        let row: Vec<String> = [0.0, 15.0, 30.0, 45.0, 60.0, 75.0, 90.0].map(blunt).into();
        println!("| {name} | {} |", row.join(" | "));
    }
    println!("\nAdded resistance over rho g a² B²/L:\n");
    println!(
        "| boat | off bow deg | kn | lambda/L | radiated energy | wall | SNNM reflection | Kuroda | used |"
    );
    println!("|---|---|---|---|---|---|---|---|---|");
    for (name, model) in &boats {
        for off_deg in [0.0, 45.0] {
            for speed_kn in [0.0, 3.0, 5.0, 9.0] {
                for relative in [0.25, 0.35, 0.5, 0.6, 0.7, 0.8, 0.89, 0.9] {
                    coefficients(name, model, off_deg, speed_kn, relative);
                }
            }
        }
    }
    println!("\nAdded resistance in swell, 30 degrees off head, N, by L:\n");
    println!("| boat | kn | Hs m | Tp s | L by rule | 1.5 | rule | 3 |\n|---|---|---|---|---|---|---|---|");
    for (name, model) in &boats {
        for (hs_m, tp_s) in [(1.5, 6.0), (2.0, 8.0), (3.5, 13.0), (1.0, 12.0)] {
            let speed_kn = if model.foils.is_some() { 10.0 } else { 6.0 };
            let rule = swell_exponent(hs_m, tp_s);
            let force = |l: f64| {
                let shape = WaveShape {
                    spectrum: SpectrumShape::OchiHubble { l },
                    ..WaveShape::of(PartitionKind::Swell, hs_m, tp_s)
                };
                direct(&model.waves, kn_to_m_s(speed_kn), 150f64.to_radians(), hs_m, tp_s, shape)
                    .added_resistance
            };
            println!(
                "| {name} | {speed_kn} | {hs_m} | {tp_s} | {rule:.2} | {:.0} | {:.0} | {:.0} |",
                force(1.5),
                force(rule),
                force(3.0)
            );
        }
    }
    Ok(())
}

fn coefficients(name: &str, model: &BoatModel, off_deg: f64, speed_kn: f64, relative: f64) {
    let (length, beam) = (model.hydrostatics.lwl_m, model.hydrostatics.bwl_m);
    let unit = RHO_WATER * G * beam * beam / length;
    let (speed, mu) = (kn_to_m_s(speed_kn), PI - off_deg.to_radians());
    let omega = (TAU * G / (relative * length)).sqrt();
    let waves = &model.waves;
    let motions = waves.motions(speed, omega, mu);
    let forces = [
        radiated_energy::held_from_motions(&waves.strip, &motions, mu, |speed| {
            waves.motions(speed, omega, mu)
        })
        .per_amplitude_squared,
        waves.waterline.wall(speed, omega, mu),
        snnm::reflected(&waves.dimensions, speed, omega, mu),
        waves.waterline.reflected(speed, omega, mu),
        waves.added_resistance(&motions, mu).per_amplitude_squared,
    ];
    let forces = forces.map(|force| format!("{:.2}", force / unit));
    println!("| {name} | {off_deg} | {speed_kn} | {relative} | {} |", forces.join(" | "));
}
