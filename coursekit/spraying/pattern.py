"""The fan on the panel: its width and profile, how even passes side by side are, tilt, distance and arc."""

import math
from typing import NamedTuple

import numpy as np

from coursekit.quantities import InputError, Real, Value, in_range, public
from coursekit.sources import coefficient
from coursekit.special import normal_share

REFERENCE_DISTANCE = 0.2
_SQRT_PI = math.sqrt(math.pi)
# Tanh-sinh rule on 0 to 1: keeps its accuracy where a profile ends in a root.
_STEPS = np.arange(-20, 21) * 0.16
_NODES = 0.5 * (1 + np.tanh(math.pi / 2 * np.sinh(_STEPS)))
_WEIGHTS = np.cosh(_STEPS) / np.cosh(math.pi / 2 * np.sinh(_STEPS)) ** 2
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()
_ARC, _ARC_WEIGHTS = (np.polynomial.legendre.leggauss(24) + np.array([[1.0], [0.0]])) / 2  # on 0 to 1
_LEVEL = math.pi / 2 - 1e-9  # a ray that runs along the panel


class Stripes(NamedTuple):
    evenness: Value
    least: Value
    most: Value


class BestOverlap(NamedTuple):
    overlap: Value
    evenness: Value


class TiltRatio(NamedTuple):
    stroke: Value
    spot: Value


class DistanceRatio(NamedTuple):
    distance: Value
    film: Value


@public(gives="width")
def fan_width(
    fan_opening: Real,
    gun_distance: Real,
    open_fan: Real = coefficient("open_fan"),
    closed_fan: Real = coefficient("closed_fan"),
) -> Real:
    """Full visible width of the fan on the panel; it grows in proportion to the distance.

    fan_opening: of the way from the closed fan (round) to wide open
    Gives (...) m.
    Holds between 120 and 300 mm, where the rays are straight. Source: fan-geometry, assumed-here.
    """
    return (closed_fan + fan_opening * (open_fan - closed_fan)) * gun_distance / REFERENCE_DISTANCE


@public(gives="fan_depth")
def fan_depth(gun_distance: Real, spot_depth: Real = coefficient("spot_depth")) -> Real:
    """The fan's other extent, along the stroke (four standard deviations); it grows with the distance.

    Gives (...) m.
    Holds between 120 and 300 mm. Source: fan-geometry, assumed-here.
    """
    return spot_depth * gun_distance / REFERENCE_DISTANCE


def _shape_of(profile: str, shape: Real | None) -> Real:
    if profile == "beta":
        if shape is None:
            raise InputError(
                "shape",
                'is missing: the profile "beta" needs it.',
                "Give shape=2 for the parabola, more for a fan that thins out towards its ends.",
                kind="missing",
            )
        return shape
    if shape is not None:
        raise InputError(
            "shape", f'goes with the profile "beta", not with "{profile}".', "Leave it out.", kind="together"
        )
    return 2.0


def _log_gamma(x: Real) -> Real:
    found: Real = np.vectorize(math.lgamma, otypes=[float])(x)
    return found


def density(profile: str, place: Real, shape: Real) -> Real:
    """Film at `place` (in widths from the middle) of a fan of width one and content one."""
    if profile == "gaussian":
        bell: Real = 4 / math.sqrt(2 * math.pi) * np.exp(-8 * np.square(place))
        return bell
    if profile == "triangle":
        found: Real = 2 * np.maximum(0, 1 - 2 * np.abs(place))
        return found
    peak = 2 / _SQRT_PI * np.exp(_log_gamma(np.add(shape, 0.5)) - _log_gamma(shape))
    inside = np.abs(place) <= 0.5
    return peak * np.where(inside, np.maximum(0, 1 - 4 * np.square(place)) ** np.subtract(shape, 1), 0)


@public(gives="film_ratio")
def profile_height(profile: str, across: Real, width: Real, shape: Real | None = None) -> Real:
    """Film of one pass at a distance across from its middle, over its mean across the full width.

    width: full visible width; four standard deviations of the bell
    shape: of the profile "beta" only
    Gives (...) number. Raises InputError for a wrong unit or word, RangeError out of those ranges.
    Holds on a flat panel square to the gun. Source: beta-profile.
    """
    return density(profile, np.divide(across, width), _shape_of(profile, shape))


@public(gives={"evenness": "evenness", "least": "film_ratio", "most": "film_ratio"})
def stripes(profile: str, pitch: Real, width: Real, shape: Real | None = None) -> Stripes:
    """Unevenness of infinitely many passes side by side: spread, thinnest and thickest over the mean.

    pitch: step from one pass to the next, at least 1/100 of the width
    width: full visible width; four standard deviations of the bell
    shape: of the profile "beta" only
    Gives (...) evenness as in `evenness`, least and most as numbers.
    Raises InputError for a wrong unit or word, RangeError out of those ranges.
    Holds away from the first and last pass. Source: superposition-of-passes.
    """
    shape = _shape_of(profile, shape)
    step = np.asarray(np.divide(pitch, width), dtype=float)  # in widths
    if np.any(step < 0.01):
        in_range("pitch", pitch, float(np.max(width)) / 100, 10, "Take larger steps.")
    if profile == "gaussian":
        spread, film = _bell_stripes(step)
        return Stripes(spread, film.min(axis=-1)[()], film.max(axis=-1)[()])
    # The sum is even about 0 and step/2; in between it has one knot, where a fan's end lies.
    half = step / 2
    knot = np.minimum(np.abs(0.5 - step * np.rint(0.5 / step)), half)  # rounding may put it past the middle
    places = np.concatenate([knot[..., None] * _NODES, knot[..., None] + (half - knot)[..., None] * _NODES], axis=-1)
    weights = np.concatenate([(knot / half)[..., None] * _WEIGHTS, (1 - knot / half)[..., None] * _WEIGHTS], axis=-1)
    shapes = np.asarray(shape, dtype=float)[..., None]
    total: Real = 0.0
    reach = math.ceil(0.5 / float(step.min()) + 0.5)
    for pass_number in range(-reach, reach + 1):
        total = total + density(profile, places - pass_number * step[..., None], shapes)
    film = np.asarray(step[..., None] * total)
    spread = np.sqrt(np.sum(weights * (film - 1) ** 2, axis=-1))
    # The outermost nodes round onto a fan's end, where a pass would count twice.
    film = np.where(weights > 1e-9, film, 1)
    return Stripes(spread[()], film.min(axis=-1)[()], film.max(axis=-1)[()])


def _bell_stripes(step: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The bell's waves fall off at once, so its spread is a short sum: over waves if close, over passes if far."""
    order = np.arange(1, 7)
    ratio = 4 * step[..., None]  # step in standard deviations
    waves = 2 * np.sum(np.exp(-((2 * math.pi * order / np.minimum(ratio, 4)) ** 2)), axis=-1)
    far = ratio[..., 0]
    close = np.exp(-2 * (math.pi * order / np.minimum(ratio, 4)) ** 2)
    signs = np.stack([np.ones(6), (-1.0) ** order])
    near_film = 1 + 2 * np.sum(close[..., None, :] * signs, axis=-1)
    if np.all(far < 4):
        return np.sqrt(waves)[()], near_film
    apart = far / (2 * _SQRT_PI) * (1 + 2 * np.sum(np.exp(-((order * np.maximum(ratio, 4)) ** 2) / 4), axis=-1)) - 1
    spread = np.sqrt(np.where(far < 4, waves, apart))
    passes = np.arange(-8, 9)
    places = np.stack([passes, passes + 0.5]) * np.maximum(ratio, 4)[..., None]
    far_film = far[..., None] / math.sqrt(2 * math.pi) * np.sum(np.exp(-(places**2) / 2), axis=-1)
    return spread[()], np.where((far < 4)[..., None], near_film, far_film)


@public(gives="evenness")
def evenness(profile: str, pitch: Real, width: Real, shape: Real | None = None) -> Real:
    """Standard deviation over mean of the film of infinitely many passes side by side; 0 is perfectly even.

    pitch: step from one pass to the next, at least 1/100 of the width
    width: full visible width; four standard deviations of the bell
    shape: of the profile "beta" only; 2 is the parabola
    Gives (...) share of the mean. Raises InputError for a wrong unit or word, RangeError out of those ranges.
    Holds away from the first and last pass. Source: superposition-of-passes.
    """
    found: Real = stripes.si(profile, pitch, width, shape).evenness
    return found


@public(gives={"overlap": "overlap", "evenness": "evenness"})
def best_overlap(profile: str, shape: Real | None = None, most_overlap: Real = 0.6) -> BestOverlap:
    """The overlap with the most even film, of those up to a largest one (more overlap costs time).

    shape: of the profile "beta" only
    Gives (...) overlap, as a share of the width, and its evenness.
    Raises InputError for a wrong unit or word, RangeError out of those ranges.
    Holds as `evenness` does. Source: superposition-of-passes.
    """
    most, rows = np.broadcast_arrays(np.asarray(most_overlap, dtype=float), np.nan if shape is None else shape)
    low, high = np.zeros(most.shape), most
    given = None if shape is None else np.asarray(rows, dtype=float)[..., None]
    for _ in range(4):  # a grid of 61, then thrice a finer one about its best place
        overlaps = low[..., None] + (high - low)[..., None] * np.linspace(0, 1, 61)
        spreads = np.asarray(stripes.si(profile, 1 - overlaps, 1.0, given).evenness)
        best = np.argmin(spreads, axis=-1)[..., None]
        found = np.take_along_axis(overlaps, best, axis=-1)[..., 0]
        spread = np.take_along_axis(spreads, best, axis=-1)[..., 0]
        reach = (high - low) / 60
        low, high = np.maximum(0, found - reach), np.minimum(most, found + reach)
    return BestOverlap(found[()], spread[()])


@public(gives="shape")
def fan_shape(middle_film: Real, quarter_film: Real) -> Real:
    """Shape of the fan's profile from two films of one pass on a card: in its middle and halfway to its end.

    quarter_film: 0.1 µm to 1 mm
    Gives (...) number: 1 is flat, 2 the parabola, more a fan that thins out towards its ends.
    Raises InputError for a wrong unit, RangeError out of those ranges or when the fan is thin in its middle.
    Holds for a fan that is alike on both sides. Source: beta-profile.
    """
    ratio = np.divide(quarter_film, middle_film)
    in_range(
        "quarter_film",
        quarter_film,
        float(np.min(middle_film)) * 0.75**19,
        float(np.max(middle_film)),
        "A fan thicker at its ends is split: clean the cap, or take less air or more fluid.",
    )
    return 1 + np.log(np.minimum(ratio, 1)) / math.log(0.75)


@public(gives={"stroke": "film_ratio", "spot": "film_ratio"})
def tilt_ratio(tilt: Real, fan_half_angle: Real) -> TiltRatio:
    """Film at the near end of the fan over film at the far end, for a gun tilted in the plane of its fan.

    Gives (...) numbers: of a moving stroke and of a spot sprayed standing still.
    Holds for straight rays from a point. Source: ray-geometry.
    """
    ratio = np.cos(np.subtract(fan_half_angle, tilt)) / np.cos(np.add(fan_half_angle, tilt))
    return TiltRatio(ratio**2, ratio**3)


@public(gives="solids_share")
def fan_share(
    profile: str, across: Real, width: Real, gun_distance: Real, tilt: Real = 0.0, shape: Real | None = None
) -> Real:
    """Share of one pass that lands on the near side of a line along it, by a gun that may lean in its fan's plane.

    profile: shape of the fan's section, of a gun held square
    across: the line, from the place aimed at; negative on the side the gun leans to
    width: full visible width of the fan, of a gun held square
    gun_distance: gun to panel, along the gun's axis
    shape: of the profile "beta" only
    Gives (...) share, from 0 far on the near side to 1 far on the other. Raises InputError for a wrong unit or word,
    RangeError out of those ranges. Holds for straight rays from a point. Source: ray-geometry, beta-profile.
    """
    shape = _shape_of(profile, shape)
    ray = np.arctan2(across + gun_distance * np.sin(tilt), gun_distance * np.cos(tilt)) - tilt
    place = gun_distance * np.tan(np.clip(ray, -_LEVEL, _LEVEL)) / width  # where the same ray lands square, in widths
    if profile == "gaussian":
        bell: Real = normal_share(4 * place)
        return bell
    inside = np.clip(2 * place, -1, 1)
    if profile == "triangle":
        return 0.5 + inside - inside * np.abs(inside) / 2
    # With inside = sin of an arc the profile is a power of its cosine, smooth for Gauss's rule.
    arc = np.arcsin(inside)
    power = 2 * np.asarray(shape, dtype=float) - 1
    content = arc * np.sum(_ARC_WEIGHTS * np.cos(arc[..., None] * _ARC) ** power[..., None], axis=-1)
    peak = 2 / _SQRT_PI * np.exp(_log_gamma(np.add(shape, 0.5)) - _log_gamma(shape))
    found: Real = np.clip(0.5 + peak * content / 2, 0, 1)[()]
    return found


@public(gives={"distance": "film_ratio", "film": "film_ratio"})
def arc_ratio(swing: Real, gun_distance: Real, pivot: Real = 0.5) -> DistanceRatio:
    """What swinging the gun from the elbow does at the end of the swing, against its middle.

    swing: from the middle, where the gun is square
    gun_distance: gun to panel in the middle
    Gives (...) numbers: the distance over that in the middle, and the film over that in the middle.
    Holds for a swing across the fan, with the same transfer at both places. Source: ray-geometry.
    """
    further = (np.add(pivot, gun_distance) / np.cos(swing) - pivot) / gun_distance
    # The fan is wider there, and the spot runs faster over the panel.
    return DistanceRatio(further, np.cos(swing) ** 2 / further)
