"""A setting of the gun as one thing, and two of them set against each other per gram landed and at equal film."""

import inspect
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit.belief import drawn
from coursekit.quantities import InputError, Scalar, Value, public, read
from coursekit.spraying.setting import SprayResult, spray_setting
from coursekit.uncertain import Band, Coefficient

DRAWS = 2000  # of equal weight, standing evenly for all
ALIKE = 1e-9  # of a ratio: what rounding makes of two equal settings


class Setting(NamedTuple):
    """What a hand sets at the gun and keeps while spraying: quantities, or text with units."""

    turns: Value = 2
    gun_inlet_pressure: Value = "2 bar"
    fan_opening: Value = "100 %"
    gun_distance: Value = "175 mm"
    gun_speed: Value = "0.45 m/s"
    overlap: Value = "50 %"
    trigger: Value = "100 %"


class Compared(NamedTuple):
    """Ratios of the first setting over the second as bands, and the share of the samples on each side."""

    mist: Band
    past_edge: Band
    passes: Band
    texture: Band
    less_mist: float
    less_past_edge: float
    less_of_both: float
    more_passes: float
    coarser: float
    same: float  # share of the samples in which neither mist nor past the edge differ


def read_setting(value: object, argument: str) -> Setting:
    """A Setting in SI from a Setting or a mapping of its fields; what is left out keeps its usual value."""
    given = value._asdict() if isinstance(value, Setting) else value
    if not isinstance(given, Mapping):
        raise InputError(
            argument, "is not a setting of the gun.", 'Give Setting(turns=2, trigger="75 %").', kind="other type"
        )
    known_fields(given, argument)
    filled = Setting()._asdict() | dict(given)
    read_ones = {field: read(filled[field], field) for field in Setting._fields}
    for field, number in read_ones.items():
        if np.ndim(number):
            raise InputError(
                field, "is a list: a setting has one value of each.", "Compare them in turn.", kind="list"
            )
    return Setting(**read_ones)


def known_fields(given: Mapping[Any, Any], argument: str) -> None:
    for field in given:
        if field not in Setting._fields:
            raise InputError(
                argument,
                f"has no {str(field)[:40]!r} to set.",
                "It has: " + ", ".join(Setting._fields) + ".",
                kind="unknown",
            )


def gun_coefficients(measured: object) -> dict[str, Any]:
    """The uncertain numbers of `spray_setting`, with the learner's own in their place."""
    ours = {
        name: p.default
        for name, p in inspect.signature(spray_setting.si).parameters.items()
        if isinstance(p.default, Coefficient)
    }
    if measured is None:
        return ours
    if not isinstance(measured, Mapping):
        raise InputError(
            "measured", "is not a table of measured coefficients.", "Give {name: coefficient}.", kind="other type"
        )
    for name, value in measured.items():
        if name not in ours:
            raise InputError(
                "measured",
                f"{str(name)[:40]!r} is not a coefficient of the gun.",
                "It takes: " + ", ".join(ours) + ".",
                kind="unknown",
            )
        ours[name] = value if isinstance(value, Coefficient) else read(value, name)
        if np.ndim(ours[name]):
            raise InputError("measured", f"{name} is a list.", "Give one value.", kind="list")
    return ours


@public(
    gives={
        "mist": "film_ratio",
        "past_edge": "film_ratio",
        "passes": "film_ratio",
        "texture": "film_ratio",
        "less_mist": "sample_share",
        "less_past_edge": "sample_share",
        "less_of_both": "sample_share",
        "more_passes": "sample_share",
        "coarser": "sample_share",
        "same": "sample_share",
    }
)
def compare_settings(
    first: object,
    second: object,
    tip_bore: Scalar,
    kinematic_viscosity: Scalar,
    density: Scalar,
    volume_solids: Scalar,
    panel_width: Scalar,
    panel_height: Scalar,
    measured: object = None,
) -> Compared:
    """Two settings with one gun and paint, per gram landed and at equal dry film, over all the gun may be.

    first: a Setting, or a mapping of its fields
    kinematic_viscosity: 15 to 150 mm²/s
    volume_solids: 1 % to 99 %; of the paint as sprayed
    Gives (...) ratios first over second as bands – mist and paint past the edge per gram landed, passes for the same
    film, texture of that film – and the shares of 2000 samples in which the first has less mist, less past the
    edge, both, more passes, coarser texture, and neither more nor less of either. Both settings share every sample:
    it is one gun.
    Raises InputError for a wrong unit, an unknown field or a list, RangeError out of those ranges.
    Holds as `spray_setting` does. Source: derived-here.
    """
    one_of_each(
        tip_bore=tip_bore,
        kinematic_viscosity=kinematic_viscosity,
        density=density,
        volume_solids=volume_solids,
        panel_width=panel_width,
        panel_height=panel_height,
    )
    gun = sampled(measured)
    paint: dict[str, Any] = {
        "tip_bore": tip_bore,
        "kinematic_viscosity": kinematic_viscosity,
        "density": density,
        "volume_solids": volume_solids,
        "panel_width": panel_width,
        "panel_height": panel_height,
    }
    a, b = (
        spray_setting.si(**read_setting(value, argument)._asdict(), **paint, **gun)
        for value, argument in ((first, "first"), (second, "second"))
    )
    return compared(a, b)


def sampled(measured: object = None, draws: int = DRAWS) -> dict[str, Any]:
    """The gun's uncertain numbers, (draws,) each, and as they are where they are certain."""
    return drawn(gun_coefficients(measured), draws)


def compared(first: SprayResult, second: SprayResult) -> Compared:
    """Two results that share their samples, one axis of them."""
    a, b = first, second
    mist, past = a.mist_per_landed / b.mist_per_landed, a.past_edge_per_landed / b.past_edge_per_landed
    passes = (a.passes / a.dry_film) / (b.passes / b.dry_film)
    # Texture grows with the root of the film: both are brought to the same one.
    texture = (a.texture / np.sqrt(a.dry_film)) / (b.texture / np.sqrt(b.dry_film))
    less_mist, less_past = mist < 1 - ALIKE, past < 1 - ALIKE
    same = (np.abs(mist - 1) <= ALIKE) & (np.abs(past - 1) <= ALIKE)
    sides = (less_mist, less_past, less_mist & less_past, passes > 1 + ALIKE, texture > 1 + ALIKE, same)
    ratios = np.stack(np.broadcast_arrays(mist, past, passes, texture)).reshape(4, -1)
    bands = [Band(*ends) for ends in np.percentile(ratios, [5, 50, 95], axis=1).T.tolist()]
    return Compared(bands[0], bands[1], bands[2], bands[3], *(float(np.mean(side)) for side in sides))


def one_of_each(**values: Any) -> None:
    for argument, value in values.items():
        if np.ndim(value):
            raise InputError(argument, "is a list.", "Give one value.", kind="list")
