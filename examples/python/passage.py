# %% [markdown]
# # What the sea takes on the demo passage
#
# An invented boat runs east across the 180th meridian (`examples/south-pacific`). Run it cell by cell in an editor that knows
# `# %%`, or as a program: `python3 examples/python/passage.py`. Needs the package `roughwater` and Polars.
#
# A planning aid, not a safety limit: the skipper, official forecasts and the rules decide.

# %%
from datetime import datetime, timedelta
from pathlib import Path

import polars as pl

import roughwater as rw

ROOT = Path(__file__).resolve().parents[2]
BOAT = ROOT / "examples/boats/sleet-heron-15.toml"
POLAR = ROOT / "polars/sleet-heron-15.csv"

# %% [markdown]
# ## The boat in one sea
# Fourteen knots, two metres of sea from 30 degrees off the bow: what does she do?

# %%
sea = rw.response(BOAT, speed_kn=14.0, hs_m=2.0, tp_s=6.5, wave_angle_deg=150.0)
print(f"added resistance {sea['added_resistance_n']['radiated-energy']:.0f} N, against {sea['calm_resistance_n']:.0f} N in flat water")
print(f"bow {sea['bow_acceleration_rms_g']:.2f} g rms, {sea['hull_borne_share']:.0%} of her weight on the hull")

# %% [markdown]
# ## Corrected polars for every region and twelve hours
# Nothing is written: `output=None`. Tables go to Polars without a copy of their numbers.

# %%
result = rw.derate(
    boat=BOAT,
    polar=POLAR,
    forecast=ROOT / "grids/south-pacific.grib2",
    regions=ROOT / "examples/south-pacific/regions.geojson",
    window=timedelta(hours=12),
    surge="off",
    output=None,
)
for warning in [*result.warnings, *result.gaps]:
    print("-", warning)

# %% [markdown]
# ## Where and when she loses most
# The mean factor of a region and window weighs the polar's columns by how much they blow.

# %%
audit = pl.DataFrame(result.audit).filter(pl.col("factor").is_not_null())
blown = pl.col("factor") * pl.col("wind_share")
worst = (
    audit.filter(pl.col("wind_share") > 0)
    .group_by("region", "window_start")
    .agg((blown.sum() / pl.col("wind_share").sum()).alias("mean_factor"))
    .sort("mean_factor")
)
print(worst.head(5))

# %% [markdown]
# ## What takes it
# The stages multiply to the factor, so their logarithms add.

# %%
stages = [name for name in audit.columns if name.startswith("stage_")]
taken = audit.select((-pl.col(name).log() * pl.col("wind_share")).sum() / pl.col("wind_share").sum() for name in stages)
print(taken.transpose(include_header=True, header_name="stage", column_names=["of ln factor"]).sort("of ln factor", descending=True))

# %% [markdown]
# ## One leg by hand
# Reaching at 100 degrees in 20 knots, south of the Snares, at dawn of the second day: flat and in the forecast sea.

# %%
flat = rw.Polar.read(POLAR).speed(20.0, 100.0)
at_sea = result.polar("South of the Snares", datetime(2024, 1, 16, 6)).speed(20.0, 100.0)
# a wind outside the polar has no speed
assert flat is not None and at_sea is not None
print(f"{flat:.2f} kn in flat water, {at_sea:.2f} kn at sea: {60 * (100 / at_sea - 100 / flat):.0f} minutes over 100 miles")

# %% [markdown]
# ## The same reach wave by wave
# The simulation tells how her speed swings, which a polar does not.

# %%
simulation = rw.simulate(
    BOAT, polar=POLAR, tws_kn=20.0, twa_deg=100.0, hs_m=2.4, tp_s=7.7, duration_s=300.0, seeds=2
)
figures = simulation.figures
print(f"{figures['mean_kn']:.2f} kn in the mean, {figures['p5_kn']:.1f} to {figures['p95_kn']:.1f} kn 90 % of the time")
trace = pl.DataFrame(simulation.trace)
print(trace.select("time_s", "speed_kn", "deck_water_kg").head(3))
