"""How many strokes sand out the scratches of the paper before, and how many go through the film."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit.belief import band_si
from coursekit.quantities import Real, Scalar, public, shown_band
from coursekit.sanding.blocks import Block, read_block
from coursekit.sanding.grits import Grade
from coursekit.sanding.scratches import checked_block, grade_that_holds, hand_pressure, scratch_of
from coursekit.sanding.wear import wear_rate_of
from coursekit.sources import coefficient
from coursekit.uncertain import Band


class Strokes(NamedTuple):
    """Strokes that sand out the old scratches, strokes that go through, and the second over the first.

    The ratio is far better known than either: wear and hardness of the film drop out of it.
    """

    least: Band
    most: Band
    ratio: Band
    verdict: str  # "go", "doubtful" or "no"
    reason: str


@public(gives="strokes")
def strokes_to_sand_out(
    previous_grade: object,
    grade: object,
    force: Real,
    block: object,
    hardness: Real,
    sanding_out_margin: Real | None = None,
    scratch_factor: Real = coefficient("scratch_factor"),
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Real:
    """Strokes over each spot until the scratches of the paper before are gone to their bottom.

    previous_grade: one grade, P30 to P2500; paper that left the scratches, with its scale
    grade: one grade, P30 to P2500; paper that removes them
    force: 0.1 to 500 N
    block: "70 x 125 mm"; its longer side along the stroke
    sanding_out_margin: times the mean scratch depth; unless given, down to the deepest
    Gives (...) number. Raises InputError for a wrong unit, block, paper or name, RangeError out of those ranges.
    Holds as an order of magnitude, for fresh paper: `band` shows it.
    Source: ecv-grind; preston-1927; scratch-calibration.
    """
    before, paper = grade_that_holds(previous_grade, "previous_grade"), grade_that_holds(grade)
    size = read_block(block)
    pressure = hand_pressure(force, size)
    depth = scratch_of(before, pressure, hardness, scratch_factor)
    to_take = depth.deepest if sanding_out_margin is None else depth.mean * sanding_out_margin
    rate = wear_rate_of(paper, hardness, wear_coefficient, size_exponent, cutting_ease)
    found: Real = to_take / (rate * pressure * size.sliding)
    return found


@public(gives={"least": "strokes", "most": "strokes", "ratio": "stroke_ratio"})
def strokes_between(
    previous_grade: object,
    grade: object,
    force: Scalar,
    block: object,
    hardness: Scalar,
    film: Scalar,
    scratch_factor: Scalar = coefficient("scratch_factor"),
    wear_coefficient: Scalar = coefficient("wear_coefficient"),
    size_exponent: Scalar = coefficient("size_exponent"),
    cutting_ease: Scalar = 1.0,
) -> Strokes:
    """How many strokes sand out the scratches of the paper before without going through the film?

    previous_grade: one grade, P30 to P2500; paper that left the scratches, with its scale
    grade: one grade, P30 to P2500; paper that removes them
    force: 0.1 to 500 N
    block: "70 x 125 mm"; its longer side along the stroke
    film: 0.1 µm to 5 mm
    Gives bands of numbers: the strokes that sand out the deepest old scratch, the strokes until the deepest new one
    is through, the second over the first; a verdict and its reason. Raises InputError for a wrong unit, block, paper
    or name, RangeError out of those ranges.
    Holds for fresh paper on a flat; edges and crowns go first. Source: ecv-grind; preston-1927; scratch-calibration.
    """
    wear: dict[str, Any] = {
        "scratch_factor": scratch_factor,
        "wear_coefficient": wear_coefficient,
        "size_exponent": size_exponent,
        "cutting_ease": cutting_ease,
    }
    size = checked_block(force, block, hardness, film, **wear)
    before, paper = grade_that_holds(previous_grade, "previous_grade"), grade_that_holds(grade)
    least, most, ratio = band_si(_between, before, paper, force, size, hardness, film, **wear)
    if ratio.middle < 1:
        verdict, reason = "no", f"{paper} goes through before the scratches of {before} are gone."
    elif ratio.low < 1:
        verdict, reason = "doubtful", f"{paper} may go through before the scratches of {before} are gone."
    else:
        verdict, reason = (
            "go",
            (
                f"{shown_band(least.low, least.high, 'strokes')} sand out {before}; the film stands "
                f"{shown_band(ratio.low, ratio.high, 'stroke_ratio')} times as many."
            ),
        )
    return Strokes(least, most, ratio, verdict, reason)


def _between(
    before: Grade,
    paper: Grade,
    force: Real,
    block: Block,
    hardness: Real,
    film: Real,
    scratch_factor: Real,
    wear_coefficient: Real,
    size_exponent: Real,
    cutting_ease: Real,
) -> tuple[Real, Real, Real]:
    pressure = force / block.area
    rate = wear_rate_of(paper, hardness, wear_coefficient, size_exponent, cutting_ease) * pressure * block.sliding
    old = scratch_of(before, pressure, hardness, scratch_factor).deepest
    bears = np.maximum(film - scratch_of(paper, pressure, hardness, scratch_factor).deepest, 0.0)
    return old / rate, bears / rate, bears / old
