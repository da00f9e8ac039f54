"""One control of the gun swept from end to end, all others held: losses and texture as bands, and a table out."""

from __future__ import annotations

import functools
from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.belief import quantiles
from coursekit.figure import Figure
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.content.shared.my_gun import share_words
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.gun import GunDrawn, fan_face_on, gun_cut_open
from coursekit.lesson.draw.gun import names as gun_parts
from coursekit.lesson.draw.picture import Chart, Line, Row, shaded
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.nomenclature import names
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
MIST, MOST_AIR = 90, 4e5  # drops drawn at most; Pa that the gauge drawn reaches
MIDDLES = ("dry_film", "wet_film", "evenness", "time")  # of the table


@declare(
    "One control from end to end",
    controls=one_coat.CONTROLS,
    gives={"texture": "texture", "dry": "dry_spray", "middle": spraying.spray_setting},
    sources=[*one_coat.UNCERTAIN, "impactor-notes", "random-landing", "derived-here"],
    measurement="turns",
)
def bench(swept: str = at("air at the gun"), **setting: float) -> dict[str, Any]:
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
) -> dict[str, Any]:
    field, low, high = ENDS[swept]
    places = np.linspace(low, high, POINTS)
    places_drawn = [one_coat.draws(one, DRAWS) for one in known]
    drawn: dict[str, Any] = {
        name: np.stack([np.broadcast_to(one[name], DRAWS + 1) for one in places_drawn], 1) for name in places_drawn[0]
    }
    given: dict[str, Any] = {**dict(setting), **dict(section), **drawn, field: places}
    found = spraying.spray_setting.si(**given)
    told = (found.mist_per_landed, found.past_edge_per_landed, found.texture, found.dry_spray)
    mist, missed, texture, dry = (quantiles(np.broadcast_to(one, (DRAWS + 1, POINTS))[1:]) for one in told)
    return {
        "field": field,
        "places": places,
        "mist": mist,
        "missed": missed,
        "texture": texture,
        "dry": dry,
        "middle": one_coat.each(found, first),
    }


def first(value: Any) -> np.ndarray:
    """The first sample: the coefficients at their middle, at each place."""
    whole: np.ndarray = np.broadcast_to(value, (DRAWS + 1, POINTS))
    found: np.ndarray = whole[0]
    return found


def across(now: Now) -> Figure:
    return now.figure(now.places, now.field)


@bench.says
def say(now: Now) -> str:
    x = across(now)
    return (
        f"{names()[now.field].label.capitalize()} {x[0]:2}: mist {parts(now.mist, 0)} per 100 landed, "
        f"{laid(now, 0)}. At {x[-1]:2}: mist {parts(now.mist, -1)}, {laid(now, -1)}."
    )


def parts(band: Band, place: int) -> str:
    return f"{100 * band.low[place]:.0f} to {100 * band.high[place]:.0f}"


def laid(now: Now, place: int) -> str:
    return f"texture {now.texture[place]}, {share_words(now.dry[place])} too dry to flow"


def percent(band: Band) -> Band:
    return Band(*(100 * end for end in band))


@bench.draws
def draw(now: Now) -> Drawn:
    x = across(now)
    here, along = getattr(now, now.field), x.axis(x[-1].si, names()[now.field].label, x[0].si)
    most = max(now.mist.high.max(), now.missed.high.max())
    per_landed = now.figure(0.0, "film_ratio").axis(
        100 * next((end for end in LOSSES if end >= most), LOSSES[-1]), "lost for 100 that land"
    )
    upright = now.texture.axis(TEXTURES)
    losses = [
        *shaded(x, percent(now.mist), "mist, your gun", "mist", pinned="mist, pinned"),
        Line(x, percent(now.missed).middle, "past the edge", "dashed"),
        Line([here, here], [0, per_landed.high], "set now", "dotted"),
    ]
    grain = [
        *shaded(x, now.texture, "your gun", "middle"),
        Line([here, here], [0, upright.high], "set now", "dotted"),
    ]
    charts = Row(Chart(along, per_landed, losses, 345, 300), Chart(along, upright, grain, 345, 300))
    return [gun_as_set(now), charts]


def gun_as_set(now: Now) -> Sketch:
    """The gun cut open with its knobs as they are set, and its fan as the panel sees it."""
    mist = round(MIST * float(now.trigger) * min(now.turns.si / 4, 1.0))
    air = now.gun_inlet_pressure.si / MOST_AIR
    gun = GunDrawn(6 * now.turns, now.turns, air, float(now.trigger), float(now.fan_opening), mist=mist)
    width = now.figure(spraying.fan_width.si(now.fan_opening.si, now.gun_distance.si), "width")
    deep = float(spraying.fan_depth.si(now.gun_distance.si))
    face = fan_face_on((540.0, 112.0), width, deep, (f"fan {now.fan_opening} open:", f"{width:2} wide"))
    return Sketch([*gun_cut_open(gun, f"{now.gun_inlet_pressure}"), *gun_parts(), *face], height=246)


@bench.tabulates
def table(now: Now) -> tuple[list[str], list[list[float]]]:
    """A row a place, in the units that are shown; bands as their three numbers."""
    x, middle = across(now), now.middle
    columns = {
        x.axis(1.0, names()[now.field].label).label: x.shown,
        **{f"mist to 100 landed, {end}": 100 * getattr(now.mist, end) for end in Band._fields},
        **{f"past the edge to 100 landed, {end}": 100 * getattr(now.missed, end) for end in Band._fields},
        **{f"{now.texture.axis(1.0).label}, {end}": getattr(now.texture, end).shown for end in Band._fields},
        **{f"{now.dry.axis(1.0).label}, {end}": getattr(now.dry, end).shown for end in Band._fields},
        **{getattr(middle, key).axis(1.0).label: getattr(middle, key).shown for key in MIDDLES},
    }
    return list(columns), [[float(value) for value in row] for row in zip(*columns.values(), strict=True)]
