"""One gun, one paint and one door for the what-if benches; each setting tried on all that the gun may be."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit import panel, spraying
from coursekit.belief import drawn, quantiles
from coursekit.lesson import own
from coursekit.lesson.bench import Control
from coursekit.panel.spraying import Passes, deposit
from coursekit.spraying.setting import SprayResult
from coursekit.uncertain import Band, Coefficient

WIDTH, HEIGHT = 1.2, 0.8  # m; the door of the demo repair
DRAWS = 1000  # of equal weight; their ends hold against all draws within a twentieth
PAINT: dict[str, Any] = {"tip_bore": 1.6e-3, "kinematic_viscosity": 60e-6, "density": 1300.0, "volume_solids": 0.42}
LOW_AIR = {"turns": "2", "gun_inlet_pressure": "0.8 bar", "fan_opening": "75 %", "gun_distance": "175 mm",
           "gun_speed": "0.4 m/s", "overlap": "50 %", "trigger": "75 %"}  # fmt: skip
HIGH_AIR = {"gun_inlet_pressure": "2 bar", "fan_opening": "100 %", "trigger": "100 %"}
CONTROLS: dict[str, str | Control] = {
    **LOW_AIR, "gun_speed": Control(LOW_AIR["gun_speed"], slider=(0.2, 0.8, 0.01), slider_us=(40, 160, 5)),
    "turns": Control(LOW_AIR["turns"], slider=(1, 4, 0.25)),
    "overlap": Control(LOW_AIR["overlap"], slider=(30, 75, 1)),
    "trigger": Control(LOW_AIR["trigger"], slider=(50, 100, 5)),
    "fan_opening": Control(LOW_AIR["fan_opening"], slider=(20, 100, 5)),
    "gun_distance": Control(LOW_AIR["gun_distance"], slider=(120, 250, 5), slider_us=(4.75, 9.75, 0.25)),
    "gun_inlet_pressure": Control(LOW_AIR["gun_inlet_pressure"], slider=(0.5, 3.5, 0.1), slider_us=(7, 50, 1)),
}  # fmt: skip
UNCERTAIN = ("drop_calibration", "cut_factor", "passage_ratio", "delivery_scale", "suction_share", "open_fan",
             "texture_factor")  # fmt: skip


class Bands(NamedTuple):
    """What is told of a coat, over all that the gun may be; the last six are solids over those that landed."""

    wet_film: Band
    mist: Band
    missed: Band
    sprayed: Band
    on_masks: Band
    past_edge: Band
    settling: Band
    airborne: Band


class Coat(NamedTuple):
    """One coat on the door: with the coefficients at their middle, over all samples, and its wet film as a map."""

    middle: SprayResult
    samples: SprayResult
    bands: Bands
    wet: np.ndarray


class Mine(NamedTuple):
    """The learner's own numbers of the gun, and the section of their fan; the bell until it is measured."""

    coefficients: dict[str, Coefficient]
    section: dict[str, Any]


_MINE: tuple[object, Mine] | None = None


def mine() -> Mine:
    """Worked out again only when the garage file has changed: a slider asks at each move."""
    global _MINE
    file = own.garage_file()
    if _MINE is None or _MINE[0] is not file:
        shape = file.coefficients().get("fan_shape")
        section = {"profile": "gaussian"} if shape is None else {"profile": "beta", "shape": float(shape)}
        _MINE = (file, Mine(own.gun(), section))
    return _MINE[1]


def coat(setting: Mapping[str, float]) -> Coat:
    """That setting (SI; tip, viscosity and solids with it where they are moved), computed once."""
    known = mine()
    return _coat(tuple(setting.items()), tuple(known.coefficients.items()), tuple(known.section.items()))


@functools.lru_cache(maxsize=64)
def _coat(setting: tuple[tuple[str, float], ...], known: tuple[tuple[str, Coefficient], ...],
          profile: tuple[tuple[str, Any], ...]) -> Coat:  # fmt: skip
    given: dict[str, Any] = {**PAINT, **dict(setting)}
    section = dict(profile)
    found = spraying.spray_setting.si(**given, **section, panel_width=WIDTH, panel_height=HEIGHT,
                                      **draws(known))  # fmt: skip
    middle, samples = each(found, first), each(found, others)
    return Coat(middle, samples, bands(samples), wet_map(middle, given["gun_distance"], dict(known), section))


def bands(samples: SprayResult) -> Bands:
    solids = samples.account.solids
    told = [samples.wet_film, samples.mist_per_landed, samples.past_edge_per_landed,
            *(part / solids.landed for part in (solids.mixed, solids.on_masks, solids.past_edge, solids.settling,
                                                solids.airborne))]  # fmt: skip
    return Bands(*(Band(*(float(end) for end in quantiles(one))) for one in np.broadcast_arrays(*told)))


@functools.lru_cache(maxsize=8)
def draws(known: tuple[tuple[str, Coefficient], ...]) -> dict[str, Any]:
    """Each uncertain number of the gun: at its middle, then its draws."""
    return {name: np.r_[np.median(many), many] for name, many in drawn(dict(known), DRAWS).items()}


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


@functools.lru_cache(maxsize=1)
def door() -> panel.Shape:
    return panel.door(WIDTH, HEIGHT)


def wet_map(middle: SprayResult, gun_distance: float, known: Mapping[str, Coefficient],
            section: Mapping[str, Any]) -> np.ndarray:  # fmt: skip
    """Wet film on the door, by the panel's own closed form."""
    spot = float(known.get("spot_depth", own.coefficient("spot_depth")))
    depth, width, count = float(spraying.fan_depth.si(gun_distance, spot)), float(middle.width), int(middle.passes)
    lead = float(spraying.least_lead.si(depth))
    passes = Passes(np.arange(count) * float(middle.pitch), np.full(count, -lead), np.full(count, WIDTH + lead),
                    np.full(count, float(middle.wet_film * middle.pitch)))  # fmt: skip
    shape = door()

    def share(across: np.ndarray) -> np.ndarray:
        found: np.ndarray = spraying.fan_share.si(across=across, width=width, gun_distance=gun_distance, **section)
        return found

    return deposit(passes, shape.y, shape.x, shape.cell, depth / 4, share)
