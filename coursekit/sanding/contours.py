"""Crowns, edges and pads: where the block rests on less than its face, and cuts more there."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit.quantities import Real, Scalar, Value, in_range, one_value, public


class Bearing(NamedTuple):
    """Width of the strip on which a block bears on a crown, and how much the pressure there exceeds the mean."""

    contact_width: Value
    pressure_ratio: Value


class Stop(NamedTuple):
    """How far from a body line the block's edge must stop, and the overhang that the film there would bear."""

    stop_distance: Value
    overhang: Value
    reason: str


@public(gives="conformity")
def crown_conformity(
    force: Real, block_length: Real, block_width: Real, bending_stiffness: Real, crown_radius: Real
) -> Real:
    """Can the hand bend the block to the crown? The moment of the hand over the moment that it takes.

    force: of the hand, spread evenly over the back
    Gives (...) number: below 1 the block rides on a strip; above it, its middle lies on the sheet, and 1/√ of this
    of its length stands off, half at each end.
    Holds for a free beam on hard ground; a soft backing lets more of it bear. Source: derived-here.
    """
    return force * block_length / 8 * crown_radius / (bending_stiffness * block_width)


@public(gives={"contact_width": "contact_width", "pressure_ratio": "pressure_ratio"})
def crown_bearing(pressure: Real, block_length: Real, crown_radius: Real, backing_stiffness: Real) -> Bearing:
    """Strip on which a rigid block bears on a crown, and the pressure there over the mean of the whole face.

    pressure: 1 Pa to 1 MPa
    backing_stiffness: of paper, hook-and-loop, foam or interface pad
    Gives (...) m, at most the block's length, and (...) number.
    Holds for a block that does not bend, force in its middle. Source: levelling-derived.
    """
    in_range("pressure", pressure, 1.0, 1e6)
    width, _ = _bearing(pressure, block_length, crown_radius, backing_stiffness)
    return Bearing(width, block_length / width)


def _bearing(pressure: Real, block_length: Real, crown_radius: Real, backing_stiffness: Real) -> tuple[Real, Real]:
    """Width in contact, and how far the backing yields at the middle of it, of a rigid block on a crown."""
    strip = (3 * pressure * block_length / (4 * backing_stiffness * np.sqrt(2 * crown_radius))) ** (2 / 3)
    width = 2 * np.sqrt(2 * crown_radius * strip)
    whole = pressure / backing_stiffness + block_length**2 / (24 * crown_radius)
    return np.minimum(width, block_length), np.where(width < block_length, strip, whole)[()]


@public(gives="flat_width")
def flat_width(
    removed: Real, pressure: Real, block_length: Real, crown_radius: Real, backing_stiffness: Real
) -> Real:
    """Width of the flat that a pad cuts into a crown while it takes a given film off at the middle.

    pressure: 1 Pa to 1 MPa; force over the whole face of the pad
    removed: at the middle of the pad
    block_length: of the pad along the curve
    backing_stiffness: of the pad: hard 1e9 and more, soft interface pad 1e8 and less
    Gives (...) m: the flat that turns a highlight by as much as the curvature that the pad took. A hard pad cuts a
    true flat; a soft one takes little curvature over a wide strip.
    Holds for a pad that does not bend, worked over one place, as an estimate. Source: levelling-derived.
    """
    in_range("pressure", pressure, 1.0, 1e6)
    width, sink = _bearing(pressure, block_length, crown_radius, backing_stiffness)
    chord = 2 * np.sqrt(2 * crown_radius * removed)  # what a perfectly hard pad cuts
    found: Real = np.minimum(chord, width * removed / sink)
    return found


@public(gives="pressure_ratio")
def edge_overhang_pressure(overhang: Real) -> Real:
    """Pressure at an edge that a block overhangs, over the pressure of the block on the flat.

    Gives (...) number. Raises InputError for a wrong unit, RangeError out of that range: at a half it tips.
    Holds for a rigid block, force in its middle; beyond a quarter its far end lifts.
    Source: derived-here; edge-overhang.
    """
    rest = 1 - overhang
    whole = (1 + 3 * overhang / rest) / rest
    lifted = 4 / (3 * (1 - 2 * overhang))
    return np.where(np.asarray(overhang) <= 0.25, whole, lifted)[()]


@public(gives="overhang")
def overhang_allowed(pressure_ratio: Real) -> Real:
    """Overhang at which the pressure at the edge reaches a given multiple; the way back of `edge_overhang_pressure`.

    pressure_ratio: 1 to 60; pressure at the edge over that on the flat
    Gives (...) share of the block's length. Raises InputError for no number, RangeError out of that range.
    Holds as `edge_overhang_pressure` does. Source: derived-here.
    """
    in_range("pressure_ratio", pressure_ratio, 1.0, 60.0)
    # ratio (1-f)² = 1 + 2f, the root between 0 and 1/4; beyond it, ratio = 4/(3 (1-2f)).
    r = pressure_ratio
    whole = (r + 1 - np.sqrt(3 * r + 1)) / r
    return np.where(np.asarray(r) <= 8 / 3, whole, 0.5 - 2 / (3 * np.asarray(r)))[()]


@public(gives={"stop_distance": "stop_distance", "overhang": "overhang"})
def distance_to_line(film_at_line: Scalar, removed: Scalar, block_length: Scalar, hand_error: Scalar = 0.01) -> Stop:
    """How far from a body line or edge must the block's edge stop, so that the film on the line lasts?

    removed: 0.1 µm to 5 mm; to be taken off on the flat
    block_length: across the line
    Gives m, the overhang in share, and the reason.
    Holds for a rigid block that reaches over the line in every stroke. Source: derived-here; edge-overhang.
    """
    one_value(film_at_line=film_at_line, removed=removed, block_length=block_length, hand_error=hand_error)
    in_range("removed", removed, 1e-7, 5e-3)
    bears = film_at_line / removed
    if bears < 1:
        return Stop(
            hand_error,
            0.0,
            "The film on the line is thinner than what you take off: tape the line, stop "
            "short of it by all that your hand varies, and finish it by hand.",
        )
    overhang = float(overhang_allowed.si(min(bears, 60.0)))
    distance = max(hand_error - overhang * block_length, 0.0)
    if distance > 0:
        reason = "The film on the line stands a little overhang, less than your hand varies: stop short by the rest."
    else:
        reason = (
            f"The film on the line stands an overhang of the block of {overhang:.0%} of its length, more than "
            "your hand varies. The edge still goes first: look often."
        )
    return Stop(distance, overhang, reason)
