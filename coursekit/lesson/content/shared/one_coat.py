"""The chosen gun, paint and panel for the what-if benches; each setting tried on all that the gun may be."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit import panel, spraying
from coursekit.belief import drawn, quantiles
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Control
from coursekit.panel.spraying import Fan, Passes, deposit
from coursekit.spraying.choose import gun_coefficients
from coursekit.spraying.setting import SprayResult
from coursekit.uncertain import Band, Coefficient

DRAWS = 500  # of equal weight; the ends they give hold against all draws within an eighth
MOST_CELLS = 40_000  # of the map
JOB = ("tip_bore", "kinematic_viscosity", "density", "volume_solids", "volatility", "panel_width", "panel_height")
COMPRESSOR = "compressor_delivery"
HIGH_AIR = {"gun_inlet_pressure": "2 bar", "fan_opening": "100 %", "trigger": "100 %"}


def _mine(start: str, **more: Any) -> Control:
    return Control(start, outfit=True, **more)


CONTROLS: dict[str, Control] = {
    "turns": _mine("2", slider=(1, 4, 0.25)),
    "gun_inlet_pressure": _mine("0.8 bar", slider=(0.5, 3.5, 0.1), slider_us=(7, 50, 1)),
    "fan_opening": _mine("75 %", slider=(20, 100, 5)),
    "gun_distance": _mine("175 mm", slider=(120, 250, 5), slider_us=(4.75, 9.75, 0.25)),
    "gun_speed": _mine("0.4 m/s", slider=(0.2, 0.8, 0.01), slider_us=(40, 160, 5)),
    "overlap": _mine("50 %", slider=(30, 75, 1)),
    "trigger": _mine("75 %", slider=(50, 100, 5)),
    "tip_bore": _mine("1.6 mm", slider=(0.8, 2.2, 0.1), seldom=True),
    "kinematic_viscosity": _mine("60 mm²/s", label="viscosity (flow cup)", seldom=True),
    "volume_solids": _mine("42 %", label="solids as sprayed", seldom=True),
    "volatility": _mine("1", seldom=True),
    "air_temperature": Control("20 °C", seldom=True),
}
UNCERTAIN = (
    "drop_calibration",
    "cut_factor",
    "passage_ratio",
    "delivery_scale",
    "suction_share",
    "open_fan",
    "texture_factor",
)


class Bands(NamedTuple):
    """What is told of a coat, over all that the gun may be; mist and what follows it are solids over those landed."""

    wet_film: Band
    mist: Band
    missed: Band
    sprayed: Band
    on_masks: Band
    past_edge: Band
    settling: Band
    airborne: Band
    fluid_delivery: Band
    air_use: Band
    dry_spray: Band
    duty: Band


class Coat(NamedTuple):
    """One coat on the door: with the coefficients at their middle, over all samples, and its wet film as a map.

    `duty` is the air used over what the compressor gives, trigger held, over all samples of both.
    """

    middle: SprayResult
    samples: SprayResult
    duty: np.ndarray
    bands: Bands
    wet: np.ndarray


class Mine(NamedTuple):
    """The learner's own numbers of the gun, what their compressor gives, the section of their fan – the bell until it
    is measured – and what was measured with another tip or paint: what of it counts, in words."""

    coefficients: dict[str, Coefficient]
    compressor: Coefficient
    section: dict[str, Any]
    carried: tuple[str, ...]


_MINE: tuple[object, dict[float, Mine]] = (None, {})


def mine(tip_bore: float | None = None) -> Mine:
    """What the measurements say of the chosen gun, with another tip when one is given.

    Worked out again only when the garage file or the chosen gun has changed: a slider asks at each move.
    """
    global _MINE
    file, tip = own.garage_file(), own.my_outfit().si["tip_bore"] if tip_bore is None else tip_bore
    if _MINE[0] is not file:
        _MINE = (file, {})
    if tip not in _MINE[1]:
        used = file.used._replace(at={**file.used.at, "tip_bore": tip})
        there = file.with_(used)
        shape = there.coefficients().get("fan_shape")
        section = {"profile": "gaussian"} if shape is None else {"profile": "beta", "shape": float(shape)}
        numbers = gun_coefficients(there.using(spraying.spray_setting))
        _MINE[1][tip] = Mine(numbers, there.coefficient(COMPRESSOR), section, tuple(there.carried()))
    return _MINE[1][tip]


def job(setting: Mapping[str, Any] | None = None) -> dict[str, float]:
    """Tip, paint and panel that the benches spray (SI): the chosen ones, where the setting does not say another."""
    known = own.my_outfit().si
    return {key: float((setting or {}).get(key, known.get(key, 1.0))) for key in JOB}


def coat(setting: Mapping[str, float]) -> Coat:
    """That setting (SI; tip, paint and panel with it where they are moved), computed once."""
    known = mine(setting.get("tip_bore"))
    given = {**job(), **setting}
    return _coat(
        tuple(given.items()), tuple(known.coefficients.items()), tuple(known.section.items()), known.compressor
    )


@functools.lru_cache(maxsize=64)
def _coat(
    setting: tuple[tuple[str, float], ...],
    known: tuple[tuple[str, Coefficient], ...],
    profile: tuple[tuple[str, Any], ...],
    compressor: Coefficient,
) -> Coat:
    given: dict[str, Any] = dict(setting)
    section = dict(profile)
    found = spraying.spray_setting.si(**given, **section, **draws(known))
    middle, samples = each(found, first), each(found, others)
    delivery = others(draws(((COMPRESSOR, compressor),))[COMPRESSOR])  # apart: it says nothing of the gun
    duty = spraying.duty.si(samples.air_use, 1.0, delivery)
    return Coat(middle, samples, duty, bands(samples, duty), wet_map(middle, given, dict(known), section))


def bands(samples: SprayResult, duty: np.ndarray) -> Bands:
    solids = samples.account.solids
    told = [
        samples.wet_film,
        samples.mist_per_landed,
        samples.past_edge_per_landed,
        *(
            part / solids.landed
            for part in (solids.mixed, solids.on_masks, solids.past_edge, solids.settling, solids.airborne)
        ),
        samples.fluid_delivery,
        samples.air_use,
        samples.dry_spray,
        duty,
    ]
    ends = quantiles(np.stack(np.broadcast_arrays(*told), axis=-1))
    return Bands(*(Band(*band) for band in zip(*(end.tolist() for end in ends), strict=True)))


@functools.lru_cache(maxsize=8)
def draws(known: tuple[tuple[str, Coefficient], ...], count: int = DRAWS) -> dict[str, Any]:
    """Each uncertain number of the gun: at its middle, then its draws."""
    return {name: np.r_[np.median(many), many] for name, many in drawn(dict(known), count).items()}


def first(value: Any) -> Any:
    """The coefficients at their middle."""
    return value[0] if isinstance(value, np.ndarray) else value


def others(value: Any) -> Any:
    """The samples."""
    return value[1:] if isinstance(value, np.ndarray) else value


def each(value: Any, pick: Any) -> Any:
    if isinstance(value, tuple):
        return type(value)(*(each(part, pick) for part in value))
    return pick(value)


@functools.lru_cache(maxsize=4)
def door(width: float, height: float) -> panel.Shape:
    """A door of that size, in cells so large that its map stays quick."""
    return panel.door(width, height, max(5e-3, (width * height / MOST_CELLS) ** 0.5))


def wet_map(
    middle: SprayResult, given: Mapping[str, float], known: Mapping[str, Coefficient], section: Mapping[str, Any]
) -> np.ndarray:
    """Wet film on the panel, by the panel's own closed form."""
    gun_distance, across_it = given["gun_distance"], given["panel_width"]
    spot = float(known.get("spot_depth", own.coefficient("spot_depth")))
    depth, width, count = float(spraying.fan_depth.si(gun_distance, spot)), float(middle.width), int(middle.passes)
    lead = float(spraying.least_lead.si(depth))
    passes = Passes(
        np.arange(count) * float(middle.pitch),
        np.full(count, -lead),
        np.full(count, across_it + lead),
        np.full(count, float(middle.wet_film * middle.pitch)),
    )
    shape = door(across_it, given["panel_height"])

    def share(across: np.ndarray) -> np.ndarray:
        found: np.ndarray = spraying.fan_share.si(across=across, width=width, gun_distance=gun_distance, **section)
        return found

    return deposit(passes, shape.y, shape.x, shape.cell, Fan.seen(width, depth, share))
