//! An explanation in words and numbers, each line with what was multiplied or summed.

use roughwater::balance::Closing;
use roughwater::derate::Tack;
use roughwater::explain::flag_words;
use roughwater::explain::{BalanceAccount, Explanation, FoilAccount, SeaAccount, SystemAccount};
use std::fmt::Write;

/// The explanation as text, with the heaviest seas in full.
pub(super) fn text(explanation: &Explanation, seas: usize) -> String {
    let mut out = String::new();
    // writing to a string does not fail
    let _ = head(&mut out, explanation)
        .and_then(|()| stopping(&mut out, explanation))
        .and_then(|()| listed_seas(&mut out, explanation, seas))
        .and_then(|()| flags(&mut out, explanation));
    out
}

fn head(out: &mut String, e: &Explanation) -> std::fmt::Result {
    writeln!(
        out,
        "{}, {} to {}: {} tack, TWS {} kn, TWA {}\n",
        e.region,
        e.window.window_start,
        e.window.window_end,
        e.tack.name(),
        e.tws_kn,
        e.twa_deg
    )?;
    let Some(factor) = e.factor else {
        return writeln!(out, "The flat polar has no speed here, so there is nothing to derate.");
    };
    writeln!(out, "flat {:.4} kn x factor {factor:.6} = {:.4} kn", e.flat_kn, e.corrected_kn)?;
    writeln!(
        out,
        "  {:.4} kn = distance over time, sum of weight / sum of (weight / speed), in those of {} seas ({} sea states) in \
         which she moves\n",
        e.corrected_kn,
        e.seas.len(),
        e.sea_states
    )?;
    writeln!(out, "Stages: each is the ratio of the mean speeds after and before it")?;
    for (index, stage) in e.stages.iter().enumerate() {
        let (name, factor) = (stage.stage.replace('_', " "), stage.value);
        let [before, after] = [e.mean_speeds_kn[index], e.mean_speeds_kn[index + 1]];
        writeln!(out, "  {name:<18}{factor:.6} = {after:.4} / {before:.4} kn")?;
    }
    writeln!(
        out,
        "  product           {factor:.6}; most is taken by {}\n",
        e.dominant_stage.replace('_', " ")
    )?;
    writeln!(
        out,
        "Factor with added resistance by {}: {factor:.6}; by {}: {:.6}",
        e.methods[0],
        e.methods[1],
        e.factor_second_method.unwrap_or(factor)
    )?;
    let [slow, fast] = e.factor_band.unwrap_or([factor; 2]);
    writeln!(out, "Model band: {slow:.6} with added resistance x 1.649, {fast:.6} with x 0.607\n")
}

/// Which part of the sea stops her, and what that does to the mean.
fn stopping(out: &mut String, e: &Explanation) -> std::fmt::Result {
    if e.stopped_share <= 0.0 || e.factor.is_none() {
        return Ok(());
    }
    let stopped: Vec<f64> =
        e.seas.iter().filter(|sea| sea.corrected_kn() <= 0.0).map(|sea| sea.hs_m).collect();
    writeln!(
        out,
        "No way: {} of {} seas, with {:.2} % of area and time, stop her (Hs {:.2} to {:.2} m).",
        stopped.len(),
        e.seas.len(),
        100.0 * e.stopped_share,
        stopped.iter().copied().fold(f64::INFINITY, f64::min),
        stopped.iter().copied().fold(0.0, f64::max)
    )?;
    match e.without_stopping_kn {
        Some(speed) if e.corrected_kn > 0.0 => {
            writeln!(out, "The speed above is that over the others, {speed:.4} kn.\n")
        }
        Some(speed) => writeln!(
            out,
            "That is more than half, so she counts as stopped; over the others she makes {speed:.4} kn.\n"
        ),
        None => writeln!(out, "There are no others.\n"),
    }
}

fn listed_seas(out: &mut String, e: &Explanation, count: usize) -> std::fmt::Result {
    let shown = &e.seas[..count.min(e.seas.len())];
    let weight: f64 = shown.iter().map(|sea| sea.weight).sum();
    writeln!(
        out,
        "Seas: the {} heaviest of {}, with {:.1} % of area and time; --format json holds all",
        shown.len(),
        e.seas.len(),
        100.0 * weight
    )?;
    let sign = if e.tack == Tack::Port { "-" } else { "+" };
    writeln!(
        out,
        "  wave angle = |angle off the wind + 180 {sign} {}|, within 180: 0 following, 90 beam, 180 head",
        e.twa_deg
    )?;
    shown.iter().enumerate().try_for_each(|(index, sea)| one_sea(out, e, index + 1, sea))?;
    writeln!(out)
}

fn one_sea(out: &mut String, e: &Explanation, number: usize, sea: &SeaAccount) -> std::fmt::Result {
    writeln!(
        out,
        "\n{number}. {:.3} % of area and time, mean of {} sea states, Hs {:.2} m, met in {:.1} kn of wind",
        100.0 * sea.weight,
        sea.sea_states,
        sea.hs_m,
        sea.tws_kn
    )?;
    sea.systems.iter().try_for_each(|system| one_system(out, e, system))?;
    let speeds: Vec<String> = sea
        .speeds_kn
        .iter()
        .map(|speed| format!("{} {:.4}", speed.stage.replace('_', " "), speed.value))
        .collect();
    writeln!(out, "   speeds, kn: {}", speeds.join(" > "))?;
    if let Some(swing) = &sea.swing {
        writeln!(
            out,
            "   swings by {:.2} kn (standard deviation), {:.1} % of the time faster than the crests; mean known to {:.2} kn",
            swing.speed_sd_kn,
            100.0 * swing.riding_share,
            swing.standard_error_kn
        )?;
    }
    writeln!(
        out,
        "   by {} {:.4} kn; band {:.4} to {:.4} kn",
        e.methods[1], sea.second_method_kn, sea.band_kn[0], sea.band_kn[1]
    )?;
    sea.balances.iter().try_for_each(|balance| one_balance(out, e, balance))?;
    if let [flying, fallen] = sea.balances.as_slice() {
        writeln!(
            out,
            "   shared time: {:.4} x {:.4} + {:.4} x {:.4} = {:.4} kn",
            flying.time_share,
            flying.speed_kn,
            fallen.time_share,
            fallen.speed_kn,
            sea.corrected_kn()
        )?;
    }
    writeln!(out, "   flags: {}", if sea.flags.is_empty() { "none".to_owned() } else { sea.flags.join(", ") })
}

fn one_system(out: &mut String, e: &Explanation, system: &SystemAccount) -> std::fmt::Result {
    writeln!(
        out,
        "   {}: Hs {:.3} m, Tp {:.2} s ({:.0} m long), {:+.1} degrees off the wind, wave angle {:.1}; adds {:.1} N by {}, \
         {:.1} N by {}",
        system.kind.name().replace('-', " "),
        system.hs_m,
        system.peak_period_s,
        system.wave_length_m,
        system.off_wind_deg,
        system.wave_angle_deg,
        system.added_resistance_n,
        e.methods[0],
        system.second_added_resistance_n,
        e.methods[1]
    )
}

fn one_balance(out: &mut String, e: &Explanation, balance: &BalanceAccount) -> std::fmt::Result {
    let forces = &balance.forces;
    let way = match (e.foil_recovery_s, balance.foils_in_use) {
        (None, _) => "hull-borne",
        (Some(_), true) => "foils in use",
        (Some(_), false) => "without foil lift",
    };
    writeln!(out, "   {way}, {:.2} % of the time, {:.4} kn:", 100.0 * balance.time_share, balance.speed_kn)?;
    writeln!(
        out,
        "     thrust     {:.1} N = drive {:.1} - drag of the side force {:.1} {:+.1} by pitching",
        forces.thrust_n(),
        forces.drive_n,
        forces.side_drag_n,
        forces.pitching_thrust_n
    )?;
    writeln!(
        out,
        "     resistance {:.1} N = flat water {:.1} + foil {:.1} + added {:.4} x {:.1} {:+.1} windage {:+.1} by water that \
         comes aboard",
        forces.resistance_n(),
        forces.calm_resistance_n,
        forces.foil_drag_n,
        forces.hull_borne_share,
        balance.sea_added_resistance_n,
        forces.windage_n,
        forces.deck_water_n
    )?;
    if forces.large_waves_n != 0.0 {
        writeln!(
            out,
            "                of that {:+.1} N by large waves, as all of her hull takes them in time (body exact)",
            forces.large_waves_n
        )?;
    }
    let closing = match balance.closing {
        Closing::Balanced => "they balance",
        Closing::Held => "thrust is left over: no cause of loss makes her faster than she was before it",
        Closing::Stopped => "no speed balances: she makes no way",
    };
    writeln!(out, "     {closing}")?;
    writeln!(
        out,
        "     bow {:.3} m rms against a freeboard of {}, {:.3} g rms; pitch rate {:.2} degrees/s rms; {:.1} kg of water on \
         deck, so the weight is {:.1} kg",
        balance.bow_motion_rms_m,
        balance.effective_freeboard_m.map_or("(unknown)".to_owned(), |m| format!("{m:.3} m")),
        balance.bow_acceleration_rms_g,
        balance.pitch_rate_rms_deg_s,
        balance.deck_water_kg,
        e.displacement_kg + balance.deck_water_kg
    )?;
    match (&balance.foil, e.foil_recovery_s) {
        (Some(foil), Some(recovery_s)) => one_foil(out, foil, recovery_s),
        _ => Ok(()),
    }
}

fn one_foil(out: &mut String, foil: &FoilAccount, recovery_s: f64) -> std::fmt::Result {
    writeln!(
        out,
        "     foil: {:.4} of the weight, angle {:.2} degrees, standard deviation {:.2}, lift x {:.4}; {:.2} stalls + {:.2} \
         broaches/h x {recovery_s} s to recover: in flight {:.2} %",
        foil.weight_share,
        foil.mean_angle_deg,
        foil.angle_sd_deg,
        foil.lift_ratio,
        foil.stall_rate_per_h,
        foil.broach_rate_per_h,
        100.0 * foil.availability
    )
}

fn flags(out: &mut String, e: &Explanation) -> std::fmt::Result {
    if e.flags.is_empty() {
        return Ok(());
    }
    writeln!(out, "Reservations, with the share of area and time that each holds for")?;
    for flag in &e.flags {
        let share = flag.share.map_or("      ".to_owned(), |share| format!("{:5.1}%", 100.0 * share));
        writeln!(out, "  {share} {}: {}", flag.flag.name(), flag_words::meaning(flag.flag))?;
    }
    writeln!(out)
}
