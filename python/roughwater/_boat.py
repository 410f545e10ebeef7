"""`response`, `simulate`, `compare`, `compare_in_time`: one boat or two in one sea."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias, TypedDict, overload

from . import _native
from ._native import Table
from ._paths import StrPath, path, several

System: TypeAlias = Literal["wind-sea", "swell"]
Foil: TypeAlias = Literal["port", "starboard"]


class AdvisoryLimits(TypedDict):
    """Published limits to hold the advisories against: NORDFORSK 1987, fast small craft."""

    bow_acceleration_g: float
    bridge_acceleration_g: float
    bridge_lateral_acceleration_g: float
    roll_deg: float
    slam_probability: float
    wetness_probability: float


class Irregular(TypedDict):
    """A boat in a sea. What her file says nothing about is None."""

    wave_length_m: float
    """Length of a wave of the peak period in deep water, m."""
    phase_speed_m_s: float
    """Its phase speed, m/s."""
    encounter_period_s: float | None
    """Time between two such crests on board, s; None where the boat keeps pace with them."""
    significant_steepness: float
    """Significant height over that length."""
    froude: float
    """Speed over sqrt(g lwl)."""
    calm_resistance_n: float
    """Flat-water resistance, N."""
    added_resistance_n: dict[str, float]
    """Mean added resistance by method, N, for the whole weight hull-borne."""
    hull_borne_share: float
    """Share of the weight that the hull bears in flat water at this speed."""
    relative_bow_rms_m: float
    """Relative motion at the bow, root mean square, m."""
    effective_freeboard_m: float | None
    """Effective freeboard at the bow, m."""
    deck_water_kg: float | None
    """Mean water on deck, kg."""
    deck_water_n: float | None
    """Mean force that brings that water to her speed, N; below zero where it pushes."""
    foil_mean_angle_deg: float | None
    """Mean angle of attack of the foil, degrees."""
    foil_angle_sd_deg: float | None
    """Its standard deviation, degrees."""
    ventilation_margin_sd: float | None
    """Ventilation angle less mean angle, in standard deviations."""
    foil_immersion_sd_m: float | None
    """Standard deviation of the foil's immersion, m."""
    foil_lift_ratio: float | None
    """Mean foil lift over lift without stall."""
    stall_rate_per_h: float | None
    """Stalls per hour of flight."""
    broach_rate_per_h: float | None
    """Times per hour of flight that the foil leaves the water."""
    availability: float | None
    """Part of the time in flight."""
    slam_rate_per_h: float
    """Slams an hour (advisory)."""
    wetness_rate_per_h: float | None
    """Wet decks an hour (advisory)."""
    bow_acceleration_rms_g: float
    """Vertical acceleration at the bow, root mean square, g (advisory)."""
    bow_cycles_per_h: float
    """Cycles an hour of the bow's motion over the water, of which slams and wet decks are a share."""
    slam_probability: float
    """Probability that a cycle of the motion at the forefoot slams (advisory)."""
    wetness_probability: float | None
    """Probability that a cycle of the motion at the bow wets the deck (advisory)."""
    advisory_limits: AdvisoryLimits
    """Published limits to hold the advisories against."""
    flags: list[str]
    """Reservations."""
    warnings: list[str]
    """What cannot be right about the sea, in words."""


class Regular(TypedDict):
    """A boat in a regular wave of unit amplitude."""

    wave_length_m: float
    """Length of the wave in deep water, m."""
    phase_speed_m_s: float
    """Its phase speed, m/s."""
    encounter_period_s: float | None
    """Time between two crests on board, s; None where the boat keeps pace with them."""
    froude: float
    """Speed over sqrt(g lwl)."""
    heave_m_per_m: float
    """Heave amplitude, m/m."""
    heave_phase_deg: float
    """Heave phase before the wave's crest at the centre of gravity, degrees."""
    pitch_rad_per_m: float
    """Pitch amplitude, rad/m."""
    pitch_phase_deg: float
    """Phase of bow-down pitch before the crest at the centre of gravity, degrees."""
    relative_bow_m_per_m: float
    """Relative motion at the bow, m/m."""
    added_resistance_coefficient: dict[str, float]
    """Added resistance over rho g a² B²/L, by method."""
    a33_kg: float | None
    """Added mass in heave, kg; None at zero encounter frequency, as the next three."""
    b33_kg_s: float | None
    """Damping in heave, kg/s."""
    a55_kg_m2: float | None
    """Added inertia in pitch, kg m²."""
    b55_kg_m2_s: float | None
    """Damping in pitch, kg m²/s."""
    flags: list[str]
    """Reservations."""
    warnings: list[str]
    """What cannot be right about the wave, in words."""


class Books(TypedDict):
    """What should be zero, and is but for the steps of time."""

    energy: float
    water: float


class _Linear(TypedDict):
    flat_kn: float
    """Speed in flat water, kn."""
    mean_kn: float
    """Mean speed, kn."""
    mean_se_kn: float
    """Its standard error, kn."""
    sd_kn: float
    """Standard deviation of the speed, kn."""
    p5_kn: float
    """Speed that she is slower than in 5 % of the time, kn."""
    p95_kn: float
    """Speed that she is faster than in 5 % of the time, kn."""
    derate_kn: float
    """What `derate` gives for this sea, kn."""
    derate_sd_kn: float | None
    """Its standard deviation of the speed, kn."""
    derate_se_kn: float | None
    """Standard error of `derate_kn`, kn."""
    riding_share: float
    """Part of the time faster than the crests of the largest waves run along the course."""
    stall_rate_per_h: float
    """Stalls of the foil, and air drawn down to it, an hour."""
    broach_rate_per_h: float
    """Times an hour that the foil leaves the water."""
    drop_rate_per_h: float
    """Times an hour that she becomes too slow to fly."""
    flying_share: float | None
    """Part of the time on her foils; None for a boat that does not fly here."""
    nose_dive_rate_per_h: float
    """Times an hour that the bow goes under as she outruns the waves."""
    deck_water_kg: float
    """Mean water on deck, kg."""
    deck_water_most_kg: float
    """The most water on deck at once, kg."""
    shipped_kg_per_h: float
    """Water that came over an hour, kg."""
    recovery_mean_s: float | None
    """Mean time from the least speed of a slowing by over 5 % until it is made good, s; None without any."""
    simulated_s: float
    """Simulated time over all seeds, s."""
    books: Books
    """How well the books close, as parts of what flows through them."""
    flags: list[str]
    """Reservations."""


class Simulated(_Linear, total=False):
    """A boat in a sea in time. What follows `flags` is there with body "exact" alone."""

    trim_mean_deg: float
    """Mean trim, degrees, positive bow down."""
    pitch_sd_deg: float
    """Standard deviation of pitch, degrees."""
    foil_angle_sd_deg: float | None
    """Standard deviation of the foil's angle, degrees."""
    apparent_wind_sd_deg: float
    """Standard deviation of the apparent wind angle, degrees."""
    waves_per_h: float
    """Waves met an hour."""
    shipped_kg_per_wave: float
    """Water that comes over a wave, kg."""
    shipped_most_kg: float
    """The most in one wave, kg."""
    bow_under_rate_per_h: float
    """Times an hour that the stem goes under."""
    slam_rate_per_h: float
    """Re-entries of the forefoot an hour that are faster than Ochi's threshold."""
    slam_pressure_most_kpa: float
    """The highest peak pressure of a re-entry, kPa."""
    impact_most_kn: float
    """The largest impact, kN."""
    bow_acceleration_rms_g: float
    """Vertical acceleration at the bow, root mean square, g."""
    bow_acceleration_most_g: float
    """The largest, g."""
    sea_takes_n: float
    """Mean force that the sea takes, N."""
    hard_slam_rate_per_h: float
    """Re-entries an hour, fast or not, whose peak pressure is that of Ochi's own bow at his threshold, or above."""
    slam_pressure_mean_kpa: float | None
    """Mean peak pressure of all re-entries, kPa; None without any."""
    bow_impact_tenth_kn: float
    """Mean of the greatest tenth of the waves' greatest impacts on the bow, kN."""
    bow_relative_mean_m: float
    """Mean height of the water at the head of the stem over her waterline, m."""
    bow_relative_sd_m: float
    """Its standard deviation, m."""


@dataclass(frozen=True)
class Simulation:
    """What `simulate` gives.

    figures   means, swing and events over all drawings, as the command's JSON
    trace     the first drawing step by step, with the columns of the command's `--trace`
    """

    figures: Simulated
    trace: Table


@overload
def response(
    boat: StrPath,
    *,
    speed_kn: float | None = None,
    froude: float | None = None,
    hs_m: float,
    tp_s: float,
    wave_angle_deg: float = 180.0,
    kind: System = "wind-sea",
    long_crested: bool = False,
    wave_length_m: float | None = None,
    without_foil: Foil | Sequence[Foil] = (),
) -> Irregular: ...


@overload
def response(
    boat: StrPath,
    *,
    speed_kn: float | None = None,
    froude: float | None = None,
    wave_angle_deg: float = 180.0,
    regular: Literal[True],
    period_s: float,
    wave_length_m: float | None = None,
    without_foil: Foil | Sequence[Foil] = (),
) -> Regular: ...


def response(
    boat: StrPath,
    *,
    speed_kn: float | None = None,
    froude: float | None = None,
    hs_m: float | None = None,
    tp_s: float | None = None,
    wave_angle_deg: float = 180.0,
    kind: System = "wind-sea",
    long_crested: bool = False,
    regular: bool = False,
    period_s: float | None = None,
    wave_length_m: float | None = None,
    without_foil: Foil | Sequence[Foil] = (),
) -> Irregular | Regular:
    """Says what one boat does in one sea: every intermediate number, its unit in its name.

    boat             boat file
    speed_kn         speed through the water, kn; or froude, a Froude number on the waterline length
    hs_m, tp_s       significant height, m, and peak period, s, of a sea
    wave_angle_deg   angle between the course and where the waves go, degrees: 0 following, 90 beam, 180 head
    kind             what the waves of the sea are
    long_crested     all waves from one direction
    regular          one regular wave of unit amplitude instead, with period_s, s
    wave_length_m    wave length that a sheet states beside the period, m: checked against what such a wave has
    without_foil     foils that she sails without

    Raises RoughwaterError with the words of the command.
    """
    answer = _native.response(
        path(boat),
        speed_kn,
        froude,
        hs_m,
        tp_s,
        wave_angle_deg,
        kind,
        long_crested,
        regular,
        period_s,
        wave_length_m,
        several(without_foil),
    )
    told: Irregular | Regular = json.loads(answer)
    return told


def simulate(
    boat: StrPath,
    *,
    polar: StrPath,
    tws_kn: float,
    twa_deg: float,
    hs_m: float,
    tp_s: float,
    off_wind_deg: float = 0.0,
    kind: System = "wind-sea",
    regular: bool = False,
    body: Literal["linear", "exact"] = "linear",
    duration_s: float = 1800.0,
    dt_s: float = 0.1,
    seed: int = 1,
    seeds: int = 4,
    without_foil: Foil | Sequence[Foil] = (),
) -> Simulation:
    """Sails a boat through one sea in time, wave by wave: how her speed swings, how often her foils fall, what lies on deck.

    boat           boat file
    polar          flat polar
    tws_kn         true wind speed, kn
    twa_deg        true wind angle, degrees; below zero on port tack
    hs_m, tp_s     significant height, m, and peak period, s; of a regular wave its height from trough to crest and its period
    off_wind_deg   direction the waves come from less the wind's, degrees, positive clockwise
    kind           what the waves are
    regular        one regular wave instead of a drawn sea
    body           how her hull answers the waves: "linear" by her responses, "exact" by all of her hull up to the deck
    duration_s     time that is counted for each drawing, s; two minutes before it are not
    dt_s           step of time, s, up to 0.5
    seed, seeds    seed of the first drawing, and number of drawings; equal seeds give equal numbers
    without_foil   foils that she sails without

    Raises RoughwaterError with the words of the command.
    """
    figures, trace = _native.simulate(
        path(boat),
        path(polar),
        tws_kn,
        twa_deg,
        hs_m,
        tp_s,
        off_wind_deg,
        kind,
        regular,
        body,
        duration_s,
        dt_s,
        seed,
        seeds,
        several(without_foil),
    )
    return Simulation(json.loads(figures), trace)


def compare(
    a: StrPath,
    b: StrPath,
    *,
    polar: StrPath | None = None,
    polar_b: StrPath | None = None,
    without_foil_a: Foil | Sequence[Foil] = (),
    without_foil_b: Foil | Sequence[Foil] = (),
    job: StrPath | None = None,
    region: str | None = None,
    hs_m: float | None = None,
    tp_s: float | None = None,
    off_wind_deg: float = 0.0,
    kind: System = "wind-sea",
    tws_kn: float | None = None,
) -> Table:
    """Compares two boats, or one boat in two configurations, in one sea or in a job's seas.

    a, b                             boat files
    polar                            flat polar of the first boat, and of the second where polar_b is not given; with a job, the
                                     job's
    without_foil_a, without_foil_b   foils that they sail without
    job                              job file: compare in all its seas, or in those of one region, instead of one sea
    hs_m, tp_s                       significant height, m, and peak period, s, of one sea
    off_wind_deg                     direction the waves come from less the wind's, degrees, positive clockwise
    kind                             what the waves are
    tws_kn                           true wind speed, kn, a column of the polar; without it, all columns

    Gives one row a cell and tack, with the columns of the command's CSV.

    Raises RoughwaterError with the words of the command.
    """
    return _native.compare(
        path(a),
        path(b),
        None if polar is None else path(polar),
        None if polar_b is None else path(polar_b),
        several(without_foil_a),
        several(without_foil_b),
        None if job is None else path(job),
        region,
        hs_m,
        tp_s,
        off_wind_deg,
        kind,
        tws_kn,
    )


def compare_in_time(
    a: StrPath,
    b: StrPath,
    *,
    polar: StrPath,
    polar_b: StrPath | None = None,
    without_foil_a: Foil | Sequence[Foil] = (),
    without_foil_b: Foil | Sequence[Foil] = (),
    tws_kn: float,
    twa_deg: float,
    hs_m: float,
    tp_s: float,
    off_wind_deg: float = 0.0,
    kind: System = "wind-sea",
    duration_s: float = 600.0,
    dt_s: float = 0.1,
    seed: int = 1,
    seeds: int = 8,
) -> Table:
    """Sails two boats wave by wave through the same drawings of one sea, with all of their hulls.

    a, b                             boat files
    polar                            flat polar of the first boat, and of the second where polar_b is not given
    without_foil_a, without_foil_b   foils that they sail without
    tws_kn                           true wind speed, kn, within the polar
    twa_deg                          true wind angle, degrees; below zero on port tack
    hs_m, tp_s                       significant height, m, and peak period, s, of the sea
    off_wind_deg                     direction the waves come from less the wind's, degrees, positive clockwise
    kind                             what the waves are
    duration_s                       time that is counted in each drawing, s; two minutes before it are not
    dt_s                             step of time, s, up to 0.5
    seed, seeds                      seed of the first drawing, and number of drawings; equal seeds give equal numbers

    Gives one row a figure, with the columns of the command's CSV: `quantity` (named as in `simulate`, its unit in its name), `a` and
    `b`, `difference` (of b less a, drawing by drawing) with its standard error `difference_se`, `chance` (the probability of at least
    such a difference by chance alone), `stands_out` (whether that is below 0.05).

    Raises RoughwaterError with the words of the command.
    """
    return _native.compare_in_time(
        path(a),
        path(b),
        path(polar),
        None if polar_b is None else path(polar_b),
        several(without_foil_a),
        several(without_foil_b),
        tws_kn,
        twa_deg,
        hs_m,
        tp_s,
        off_wind_deg,
        kind,
        duration_s,
        dt_s,
        seed,
        seeds,
    )
