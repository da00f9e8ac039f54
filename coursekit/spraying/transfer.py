"""How much of the spray sticks: what is aimed at the panel, and which drops the air carries past it.

More air makes finer drops, and finer drops land less. It does not throw them harder: in the published study of drop
transport (Hicks) only the distance changes what lands of a size, and turbulence lands a part of the finest. So the
cut knows the distance and not the air; a floor and a ceiling bound what lands.
"""

import math
from typing import NamedTuple

import numpy as np

from coursekit.constants import AIR_DENSITY, AIR_VISCOSITY
from coursekit.quantities import Real, Value, in_range, public
from coursekit.sources import coefficient
from coursekit.special import erf, normal_share
from coursekit.spraying.drops import volume_below
from coursekit.spraying.pattern import REFERENCE_DISTANCE

STOKES_50 = {"round": 0.24, "slot": 0.59}
AIRBORNE = 10e-6  # a dried drop of this size takes more than ten minutes to fall 2 m
CLASS_ENDS = (30e-6, 60e-6)
USUAL_PLUME_SPEED, USUAL_PLUME_DEPTH = 10.0, 0.072  # m/s, m: the plume of a usual gun at the reference distance
_POINTS, _POINT_WEIGHTS = (np.polynomial.legendre.leggauss(16) + np.array([[1.0], [0.0]])) / 2  # within each class


class Captured(NamedTuple):
    share: Value
    airborne: Value
    class_sprayed: Value
    class_landed: Value
    class_size: Value


@public(gives="solids_share")
def edge_share(inset: Real, width: Real) -> Real:
    """Part of a bell-shaped fan that lands on the part, when its middle runs inside one edge.

    inset: middle of the fan inside the edge; negative when it runs outside
    width: full visible width of the fan, four standard deviations
    Gives (...) share.
    Holds when the far edge is out of the fan's reach. Source: moving-bell.
    """
    found: Real = normal_share(4 * np.divide(inset, width))
    return found


@public(gives="solids_share")
def strip_share(strip_width: Real, width: Real) -> Real:
    """Part of a bell-shaped fan that lands on a strip along which its middle runs.

    width: full visible width of the fan, four standard deviations
    Gives (...) share.
    Holds for a strip in the middle of the fan. Source: moving-bell.
    """
    found: Real = erf(np.sqrt(2) * np.divide(strip_width, width))
    return found


@public(gives="plume_speed")
def plume_speed(air_flow: Real, jet_speed: Real, width: Real, fan_depth: Real) -> Real:
    """Speed of the air that arrives at the panel: the jet's momentum spread over the whole fan.

    Gives (...) m/s, a mean over the fan: it falls as the fan and the distance grow.
    Holds for a free jet that keeps its momentum. Source: jet-momentum.
    """
    area = math.pi / 4 * width * fan_depth
    return np.sqrt(air_flow * jet_speed / (AIR_DENSITY * np.asarray(area)))


@public(gives="diameter")
def cut_diameter(
    plume_speed: Real, plume_width: Real, plume: str = "slot", density: Real = 1000.0, cut_factor: Real = 1.0
) -> Real:
    """Drop of which half reaches a plate that a jet of air blows at; smaller ones follow the air past it.

    plume_speed: 0.5 to 100 m/s; of the air at the plate
    density: of the drop
    cut_factor: a spray is no impactor: what a weighed card says over this law
    Gives (...) m. Raises InputError for a wrong unit or word, RangeError out of those ranges.
    Holds without the correction for slip, which matters below 2 µm. Source: impactor-notes.
    """
    in_range("plume_speed", plume_speed, 0.5, 100)
    stokes = STOKES_50[plume]
    return cut_factor * np.sqrt(9 * AIR_VISCOSITY * np.asarray(plume_width) * stokes / (density * plume_speed))


@public(gives="solids_share")
def impaction(diameter: Real, cut_diameter: Real, cut_sharpness: Real = coefficient("cut_sharpness")) -> Real:
    """Share of drops of one size, aimed at the panel, that reach it.

    Gives (...) share.
    Holds for wet drops, which do not bounce. Source: impactor-notes, assumed-here.
    """
    return _impaction(np.log(np.divide(cut_diameter, diameter)), cut_sharpness)


def _impaction(cut_over_size: Real, cut_sharpness: Real) -> Real:
    """By the logarithm of the cut over a size."""
    return 1 / (1 + np.exp(np.minimum(2 * cut_sharpness * cut_over_size, 600.0)))


@public(gives="diameter")
def spray_cut(
    gun_distance: Real,
    density: Real = 1000.0,
    cut_factor: Real = coefficient("cut_factor"),
    distance_power: Real = coefficient("distance_power"),
) -> Real:
    """Drop of which half reaches the panel by its own momentum, by the distance of the gun.

    density: of the drop
    distance_power: how fast the cut grows with the distance; 1 in a free jet
    Gives (...) m. It does not hang on the air: pressure acts through the size of the drops.
    Holds between 120 and 300 mm. Source: drop-transport, impactor-notes, assumed-here.
    """
    at_reference = cut_diameter.si(USUAL_PLUME_SPEED, USUAL_PLUME_DEPTH, "slot", density, cut_factor)
    found: Real = at_reference * np.divide(gun_distance, REFERENCE_DISTANCE) ** distance_power
    return found


@public(gives="solids_share")
def landing_share(
    diameter: Real,
    cut_diameter: Real,
    cut_sharpness: Real = coefficient("cut_sharpness"),
    turbulent_floor: Real = coefficient("turbulent_floor"),
    capture_ceiling: Real = coefficient("capture_ceiling"),
) -> Real:
    """Share of drops of one size, aimed at the panel, that stay on it: by momentum, or by turbulence close to it.

    cut_diameter: of which half arrive by momentum
    Gives (...) share.
    Holds for wet drops. Source: drop-transport, transfer-trials, assumed-here.
    """
    momentum = impaction.si(diameter, cut_diameter, cut_sharpness)
    found: Real = capture_ceiling * (turbulent_floor + (1 - turbulent_floor) * momentum)
    return found


@public(
    gives={
        "share": "solids_share",
        "airborne": "airborne_share",
        "class_sprayed": "solids_share",
        "class_landed": "solids_share",
        "class_size": "diameter",
    }
)
def capture(
    median_diameter: Real,
    cut_diameter: Real,
    volume_solids: Real,
    spread_exponent: Real = coefficient("spread_exponent"),
    cut_sharpness: Real = coefficient("cut_sharpness"),
    turbulent_floor: Real = coefficient("turbulent_floor"),
    capture_ceiling: Real = coefficient("capture_ceiling"),
) -> Captured:
    """Share of the spray aimed at the panel that reaches it, drop class by drop class.

    volume_solids: of the paint as sprayed
    Gives (...) the share that lands and the share of the rest that stays in the air; and for four classes – drops
    that dry to less than 10 µm and stay up, then to 30, to 60 and over 60 µm – on a last axis, the share of the
    spray in it, the share of the spray that lands from it, and the mean size.
    Holds for a Rosin-Rammler spray of wet drops. Source: drop-transport, impactor-notes, rosin-rammler,
    assumed-here.
    """
    floats = AIRBORNE / np.cbrt(volume_solids)
    ends = np.stack(np.broadcast_arrays(floats, np.maximum(floats, CLASS_ENDS[0]), CLASS_ENDS[1]), axis=-1)
    sprayed, landed, size = _by_class(
        ends, median_diameter, cut_diameter, spread_exponent, cut_sharpness, turbulent_floor, capture_ceiling
    )
    missed = sprayed - landed
    airborne = missed[..., 0] / np.maximum(missed.sum(axis=-1), 1e-300)
    return Captured(landed.sum(axis=-1)[()], airborne[()], sprayed, landed, size)


def landed_below(
    size: Real,
    median_diameter: Real,
    cut_diameter: Real,
    spread_exponent: Real,
    cut_sharpness: Real,
    turbulent_floor: Real,
    capture_ceiling: Real,
) -> Real:
    """Of the paint that lands, the share in drops smaller than a size (SI)."""
    _, landed, _ = _by_class(
        np.asarray(size)[..., None],
        median_diameter,
        cut_diameter,
        spread_exponent,
        cut_sharpness,
        turbulent_floor,
        capture_ceiling,
    )
    found: Real = (landed[..., 0] / np.maximum(landed.sum(axis=-1), 1e-300))[()]
    return found


def _by_class(ends: np.ndarray, *spray: Real) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Between ends (last axis): share of the spray, share that lands, mean size. They add up to the whole spray."""
    shape = np.broadcast_shapes(ends.shape[:-1], *(np.shape(value) for value in spray))
    median, cut, exponent, sharp, floor, ceiling = (np.broadcast_to(value, shape)[..., None] for value in spray)
    ends = np.broadcast_to(ends, (*shape, ends.shape[-1]))
    below = volume_below.si(ends, median, exponent)
    none = np.zeros((*shape, 1))
    low, high = np.concatenate([none, below], axis=-1), np.concatenate([below, none + 1], axis=-1)
    # An empty class at either end would ask for the size of no drop or of every drop.
    share = np.clip(low[..., None] + (high - low)[..., None] * _POINTS, 1e-15, 1 - 1e-15)
    over_median = np.log(-np.log1p(-share) / math.log(2)) / exponent[..., None]  # the logarithm of a size over it
    momentum = _impaction(np.log(cut / median)[..., None] - over_median, sharp[..., None]) @ _POINT_WEIGHTS
    sprayed, size = high - low, median * (np.exp(over_median) @ _POINT_WEIGHTS)
    return sprayed, sprayed * ceiling * (floor + (1 - floor) * momentum), size
