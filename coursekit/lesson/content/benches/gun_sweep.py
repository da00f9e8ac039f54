"""One control of the gun swept from end to end, all others held: losses and texture as bands, and a table out."""

from __future__ import annotations

import functools
from typing import Any, NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import quantiles
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.draw.charts import Line, Part, Shade, chart, side_by_side
from coursekit.lesson.workbench.bench import Bench, Now
from coursekit.nomenclature import names
from coursekit.spraying.setting import SprayResult
from coursekit.uncertain import Band, Coefficient

ENDS = {
    "fluid knob": ("turns", 1.0, 4.0),
    "air at the gun": ("gun_inlet_pressure", 0.5e5, 3.5e5),
    "fan": ("fan_opening", 0.2, 1.0),
    "gun distance": ("gun_distance", 0.12, 0.25),
    "gun speed": ("gun_speed", 0.2, 0.8),
    "overlap": ("overlap", 0.3, 0.75),
    "trigger": ("trigger", 0.5, 1.0),
    "viscosity": ("kinematic_viscosity", 20e-6, 120e-6),
    "solids": ("volume_solids", 0.2, 0.7),
    "fluid tip": ("tip_bore", 1.0e-3, 1.8e-3),
    "air temperature": ("air_temperature", 283.15, 308.15),
    "solvent speed": ("volatility", 0.1, 3.0),
}
POINTS = 7
DRAWS = 1000  # of equal weight; the ends they give hold against all draws (tests/test_draws.py)
LOSSES = (0.5, 1.0, 2.0, 5.0, 20.0)  # over what lands; the axes stay put until the next one is needed
TEXTURES = [1e-6 * 2**n for n in range(8)]  # m


class Sweep(NamedTuple):
    field: str
    places: np.ndarray
    mist: Band
    missed: Band
    texture: Band
    middle: SprayResult


def compute(swept: str, **setting: float) -> Sweep:
    field, low, high = ENDS[swept]
    # Another tip is another gun to the measurements: each place of a sweep over tips has its own.
    tips = np.linspace(low, high, POINTS) if field == "tip_bore" else [setting["tip_bore"]]
    known = [one_coat.mine(float(tip)) for tip in tips]
    return sweep(
        swept,
        tuple({**one_coat.job(), **setting}.items()),
        tuple(tuple(one.coefficients.items()) for one in known),
        tuple(known[0].section.items()),
    )


@functools.lru_cache(maxsize=16)
def sweep(
    swept: str,
    setting: tuple[tuple[str, float], ...],
    known: tuple[tuple[tuple[str, Coefficient], ...], ...],
    section: tuple[tuple[str, Any], ...],
) -> Sweep:
    field, low, high = ENDS[swept]
    places = np.linspace(low, high, POINTS)
    places_drawn = [one_coat.draws(one, DRAWS) for one in known]
    drawn: dict[str, Any] = {
        name: np.stack([np.broadcast_to(one[name], DRAWS + 1) for one in places_drawn], 1) for name in places_drawn[0]
    }
    given: dict[str, Any] = {**dict(setting), **dict(section), **drawn, field: places}
    found = spraying.spray_setting.si(**given)
    told = (found.mist_per_landed, found.past_edge_per_landed, found.texture)
    mist, missed, texture = (quantiles(np.broadcast_to(one, (DRAWS + 1, POINTS))[1:]) for one in told)
    return Sweep(field, places, mist, missed, texture, one_coat.each(found, first))


def first(value: Any) -> np.ndarray:
    """The first sample: the coefficients at their middle, at each place."""
    whole: np.ndarray = np.broadcast_to(value, (DRAWS + 1, POINTS))
    found: np.ndarray = whole[0]
    return found


def draw(now: Now) -> str:
    found: Sweep = now.result
    label = names()[found.field].label
    x = now.axis(found.field, found.places[0], found.places[-1], label)
    across = now.number(found.places, found.field)
    now_at = now.number(now[found.field], found.field)
    most = max(found.mist.high.max(), found.missed.high.max())
    top = next(end for end in LOSSES if end >= most or end == LOSSES[-1])
    coarse = next(end for end in TEXTURES if end >= found.texture.high.max() or end == TEXTURES[-1])
    losses: list[Part] = [
        Shade(across, 100 * found.mist.low, 100 * found.mist.high, "mist, your gun"),
        Line(across, 100 * found.mist.middle, "mist"),
        Line(across, 100 * found.missed.middle, "past the edge", "dashed"),
        Line([now_at, now_at], [0, 100 * top], "set now", "dotted"),
    ]
    texture = now.number(found.texture, "texture")
    grain: list[Part] = [
        Shade(across, texture.low, texture.high, "your gun"),
        Line(across, texture.middle, "middle"),
        Line([now_at, now_at], [0, now.number(coarse, "texture")], "set now", "dotted"),
    ]
    if now.kept and now.kept.result.field == found.field:
        losses.append(Line(across, 100 * now.kept.result.mist.middle, "mist, kept", "dash-dot"))
        grain.append(Line(across, now.number(now.kept.result.texture, "texture").middle, "kept", "dash-dot"))
    per_landed = now.axis("film_ratio", 0, 100 * top, "lost for 100 that land")
    upright = now.axis("texture", 0, coarse)
    return side_by_side(chart(x, per_landed, losses, 345, 360), chart(x, upright, grain, 345, 360))


def say(now: Now) -> str:
    found: Sweep = now.result
    low, high = (now.show(found.places[n], found.field, 2) for n in (0, -1))
    return (
        f"{names()[found.field].label.capitalize()} {low}: mist {parts(found.mist, 0)} per 100 landed, "
        f"texture {now.show(at(found.texture, 0), 'texture')}. At {high}: mist {parts(found.mist, -1)}, texture "
        f"{now.show(at(found.texture, -1), 'texture')}."
    )


def at(band: Band, place: int) -> Band:
    return Band(*(float(end[place]) for end in band))


def parts(band: Band, place: int) -> str:
    low, _, high = at(band, place)
    return f"{100 * low:.0f} to {100 * high:.0f}"


def table(now: Now) -> tuple[list[str], list[list[float]]]:
    """A row a place, in the units that are shown; bands as their three numbers."""
    found: Sweep = now.result
    columns = {
        now.axis(found.field, 0, 1, names()[found.field].label).label: now.number(found.places, found.field),
        **{f"mist to 100 landed, {end}": 100 * getattr(found.mist, end) for end in Band._fields},
        **{f"past the edge to 100 landed, {end}": 100 * getattr(found.missed, end) for end in Band._fields},
        **{
            f"{now.axis('texture', 0, 1).label}, {end}": getattr(now.number(found.texture, "texture"), end)
            for end in Band._fields
        },
        **{
            now.axis(name, 0, 1).label: now.number(getattr(found.middle, key), name)
            for key, name in (
                ("dry_film", "dry_film"),
                ("wet_film", "wet_film"),
                ("evenness", "evenness"),
                ("time", "coat_time"),
            )
        },
    }
    return list(columns), [[float(value) for value in row] for row in zip(*columns.values(), strict=True)]


bench = Bench(
    title="One control from end to end",
    controls={"swept": "air at the gun", **one_coat.CONTROLS},
    compute=compute,
    draw=draw,
    say=say,
    beside=True,
    table=table,
    sources=[*one_coat.UNCERTAIN, "impactor-notes", "random-landing", "derived-here"],
    measurement="turns",
)
