"""The edge of the film along a mask: a step at flat tape, a ramp under an edge that stands up."""

import math
from typing import NamedTuple

import numpy as np

from coursekit.quantities import InputError, Real, Scalar, Value, in_range, public
from coursekit.sources import coefficient
from coursekit.special import erf, normal_share

_TEN_TO_NINETY = 2.5631031310892007  # standard deviations between the 10 % and the 90 % place
STEP_REACH = 0.1e-3  # over which a step is felt: the finest section that is drawn


class MaskEdge(NamedTuple):
    ramp_width: Value
    ramp_ratio: Value
    step: Value


class Section(NamedTuple):
    place: Value
    film: Value


@public(gives="angle_spread")
def edge_angle_spread(fan_extent: Real, gun_distance: Real) -> Real:
    """How far the directions differ from which drops arrive at an edge: the tangent's standard deviation.

    fan_extent: of the fan across that edge: its width for an edge along the stroke, its depth for an edge along the
        fan
    Gives (...) number: about 0.35 and 0.1.
    Holds for straight rays, the extent being four standard deviations. Source: ray-geometry.
    """
    return np.divide(fan_extent, 4) / gun_distance


@public(gives="solids_share")
def edge_film(
    outward: Real,
    lip_height: Real,
    angle_spread: Real = coefficient("angle_spread"),
    width_factor: Real = coefficient("width_factor"),
) -> Real:
    """Film near a mask's lip over the film far from it.

    Gives (...) share.
    Holds for a lip square to the panel; no measured profile was found. Source: ray-geometry, assumed-here.
    """
    found: Real = normal_share(outward / (lip_height * np.asarray(angle_spread) * width_factor))
    return found


@public(gives="ramp_width")
def ramp_width(
    lip_height: Real,
    angle_spread: Real = coefficient("angle_spread"),
    width_factor: Real = coefficient("width_factor"),
) -> Real:
    """Width over which the film rises from 10 % to 90 % at a mask.

    Gives (...) m.
    Holds as `edge_film` does. Source: ray-geometry, assumed-here.
    """
    return _TEN_TO_NINETY * lip_height * np.asarray(angle_spread) * width_factor


@public(gives="edge_shift")
def edge_shift(lip_height: Real, tilt: Real) -> Real:
    """How far a tilted gun moves the edge of the film from the lip.

    tilt: of the gun, across the edge
    Gives (...) m: under the lip or away from it, as the gun leans. Holds for straight rays. Source: ray-geometry.
    """
    return lip_height * np.tan(tilt)


def _spread(tape: str, lip_height: Real, tape_thickness: Real, angle_spread: Real, width_factor: Real) -> Real:
    """Standard deviation of the edge in m. Air curls under a lip that stands up; flat tape gives it no room."""
    if tape == "flat":
        return tape_thickness * np.asarray(angle_spread)
    return lip_height * np.asarray(angle_spread) * width_factor


@public(gives={"ramp_width": "ramp_width", "ramp_ratio": "film_ratio", "step": "step"})
def mask_edge(
    tape: str,
    dry_film: Real,
    lip_height: Real = coefficient("lip_height"),
    tape_thickness: Real = coefficient("tape_thickness"),
    angle_spread: Real = coefficient("angle_spread"),
    width_factor: Real = coefficient("width_factor"),
) -> MaskEdge:
    """The edge a mask leaves: how wide its ramp is, against the film, and the step a finger meets.

    dry_film: far from the edge; more than nothing
    Gives (...) width of the ramp from 10 % to 90 %, that over the film, and the steepest rise within 0.1 mm.
    Raises InputError for a wrong unit or word, RangeError out of those ranges.
    Holds as `edge_film` does. Source: ray-geometry, assumed-here.
    """
    in_range("dry_film", dry_film, 1e-7, 5e-3)
    sigma = _spread(tape, lip_height, tape_thickness, angle_spread, width_factor)
    ramp = _TEN_TO_NINETY * sigma
    return MaskEdge(ramp, ramp / dry_film, dry_film * erf(STEP_REACH / 2 / (math.sqrt(2) * sigma)))


@public(gives={"place": "outward", "film": "dry_film"})
def edge_section(
    tape: str,
    dry_film: Scalar,
    coats: Scalar = 1.0,
    step_back: Scalar = 0.0,
    lip_height: Scalar = coefficient("lip_height"),
    tape_thickness: Scalar = coefficient("tape_thickness"),
    angle_spread: Scalar = coefficient("angle_spread"),
    width_factor: Scalar = coefficient("width_factor"),
) -> Section:
    """Section of the film across a mask's edge, drawn at 0.1 mm or finer; coats may end in steps of their own.

    dry_film: of one coat far from the edge
    coats: each adds the same film
    Gives (n,) places outward from the first lip, and the film there. Raises InputError for a wrong unit or word or
    a list, RangeError out of those ranges. Holds as `edge_film` does. Source: ray-geometry, assumed-here.
    """
    for argument, value in (
        ("dry_film", dry_film),
        ("coats", coats),
        ("step_back", step_back),
        ("lip_height", lip_height),
        ("tape_thickness", tape_thickness),
        ("angle_spread", angle_spread),
        ("width_factor", width_factor),
    ):
        if np.ndim(value):
            raise InputError(argument, "is a list: one section has one edge.", "Ask for each in turn.", kind="list")
    sigma = float(_spread(tape, lip_height, tape_thickness, angle_spread, width_factor))
    count = round(float(coats))
    reach, back = max(4 * sigma, 1e-3), float(step_back) * (count - 1)
    cells = math.ceil((2 * reach + back) / min(STEP_REACH, max(sigma / 4, 5e-6)))
    place = np.linspace(-reach - back, reach, min(cells, 200_000) + 1)
    film = sum(normal_share((place + number * step_back) / sigma) for number in range(count))
    return Section(place, dry_film * film)
