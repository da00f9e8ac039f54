"""How much a paper takes off: removal goes with pressure and distance, and with the softness of the film."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coursekit.quantities import Real, Value, in_range, public
from coursekit.sanding.blocks import read_block
from coursekit.sanding.grits import Grade, read_grade
from coursekit.sources import coefficient
from coursekit.uncertain import Coefficient

REFERENCE_GRAIN = 100e-6  # m, of the paper that the wear coefficient is told for
DULL_SHARE = 0.3  # of the fresh rate, left in worn paper: assumed
CHANGED_AT = 0.5  # of the fresh rate: then the paper is changed (assumed)
# Times as much dust as dry that a wet paper takes until it is full: water carries it off (assumed; that wet paper
# clogs later is common practice, and no printed figure was found). Grain and force cut as deep wet as dry here.
WET_ROOM = 4.0
_LIFE = math.log((1 - DULL_SHARE) / (CHANGED_AT - DULL_SHARE))  # dulling distances until then
LIFE_SHARPNESS = DULL_SHARE + (1 - CHANGED_AT) / _LIFE  # mean rate over a paper's life, over the fresh one


def wear_rate_of(
    paper: Grade, hardness: Real, wear_coefficient: Real, size_exponent: Real, cutting_ease: Real = 1.0
) -> Real:
    """The law itself, for arrays of any shape."""
    size_effect = (paper.grain_size / REFERENCE_GRAIN) ** np.maximum(size_exponent, 0.0)
    return wear_coefficient * cutting_ease * size_effect / hardness


def ease_of(hardness: Real) -> Real:
    """Cutting ease of a material whose hardness was read by its name; 1 for a bare hardness."""
    key = hardness.key if isinstance(hardness, Coefficient) else ""
    return coefficient(key.replace("hardness_", "cutting_ease_")) if key.startswith("hardness_") else 1.0


def life_of(paper: Grade, pressure: Real, wear_rate: Real, paper_capacity: Real, blunting_distance: Real) -> Real:
    """Distance until the paper cuts half as fast: it is full of dust, or blunt, whichever comes first."""
    loads = LIFE_SHARPNESS * wear_rate * pressure / (paper_capacity * paper.grain_size)
    return 1 / (loads + 1 / blunting_distance)


def mean_sharpness(distance: Real, life: Real) -> Real:
    """Mean rate over the fresh one, while the paper slides that far and is changed at the end of its life."""
    used = np.minimum(distance / life, 1.0) * _LIFE
    return DULL_SHARE + (1 - DULL_SHARE) * np.where(used > 1e-9, -np.expm1(-used) / np.maximum(used, 1e-9), 1.0)


@public(gives="wear_rate")
def wear_rate(
    grade: object,
    hardness: Real,
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Real:
    """Depth taken off per pressure and sliding distance: Preston's coefficient.

    grade: one grade
    Gives (...) 1/Pa. Raises InputError for a wrong unit, paper or name, RangeError out of those ranges.
    Holds within a factor of two, for fresh dry paper.
    Source: preston-1927; practice-sanding-times; sydor-2021; grain-size-effect.
    """
    return wear_rate_of(read_grade(grade), hardness, wear_coefficient, size_exponent, cutting_ease)


@public(gives="removed")
def removal(
    pressure: Real,
    distance: Real,
    grade: object,
    hardness: Real,
    used_distance: Real = 0.0,
    dulling_distance: Real | None = None,
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Real:
    """Depth of film taken off where a block slid over it.

    grade: one grade
    used_distance: that the paper has slid before; matters with a dulling distance
    dulling_distance: over which fresh paper dulls; unless given, it stays fresh
    Gives (...) m; `band` shows how unsure it is. Raises InputError for a wrong unit, paper or name, RangeError out
    of those ranges.
    Holds as an order of magnitude: measure your own by gauge, 50 strokes, gauge.
    Source: preston-1927; practice-sanding-times; sydor-2021; mulhearn-samuels.
    """
    rate = wear_rate_of(read_grade(grade), hardness, wear_coefficient, size_exponent, cutting_ease)
    fresh = rate * pressure * distance
    if dulling_distance is None:
        return fresh
    start, span = used_distance / dulling_distance, distance / dulling_distance
    # The mean of exp(-s) over the distance slid; -expm1(-x)/x keeps its digits where x is small.
    mean = np.exp(-start) * np.where(span > 0, -np.expm1(-span) / np.where(span > 0, span, 1.0), 1.0)
    return fresh * (DULL_SHARE + (1 - DULL_SHARE) * mean)


@public(gives="paper_life")
def paper_life(
    force: Real,
    block: object,
    grade: object,
    hardness: Real,
    paper_capacity: Real = coefficient("paper_capacity"),
    blunting_distance: Real = coefficient("blunting_distance"),
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Real:
    """Distance that a piece of paper slides until it cuts half as fast as fresh: full of dust, or blunt.

    force: 0.1 to 500 N
    block: "70 x 125 mm": the paper on it
    grade: one grade
    Gives (...) m: all strokes of the block end to end. Raises InputError for a wrong unit, block, paper or name,
    RangeError out of those ranges.
    Holds for dry paper that is tapped or vacuumed clean now and then, within a factor of two.
    Source: practice-sanding-times.
    """
    in_range("force", force, 0.1, 500.0, "A block that rests on nothing loads no paper.")
    paper = read_grade(grade)
    rate = wear_rate_of(paper, hardness, wear_coefficient, size_exponent, cutting_ease)
    return life_of(paper, force / read_block(block).area, rate, paper_capacity, blunting_distance)


class Work(NamedTuple):
    """Time at the block, and pieces of paper of its size, the last one begun counted as it is used."""

    time: Value
    pieces: Value


@public(gives={"time": "time", "pieces": "pieces"})
def sanding_work(
    removed: Real,
    area: Real,
    force: Real,
    block: object,
    grade: object,
    hardness: Real,
    hand_speed: Real = coefficient("hand_speed"),
    paper_capacity: Real = coefficient("paper_capacity"),
    blunting_distance: Real = coefficient("blunting_distance"),
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Work:
    """How long it takes to sand so much off by hand, and how many pieces of paper, each changed when it is worn.

    removed: depth to take off, the mean over the area
    area: sanded all over
    force: 0.1 to 500 N
    block: "70 x 125 mm": the paper on it
    grade: one grade
    Gives (...) s, and (...) number. Raises InputError for a wrong unit, block, paper or name, RangeError out of
    those ranges.
    Holds for one material and many pieces, within a factor of two; looking, wiping and changing paper come on top.
    Source: preston-1927; practice-sanding-times.
    """
    in_range("force", force, 0.1, 500.0, "A block that rests on nothing removes nothing.")
    paper, face = read_grade(grade), read_block(block).area
    rate = wear_rate_of(paper, hardness, wear_coefficient, size_exponent, cutting_ease)
    travel = removed * area / (LIFE_SHARPNESS * rate * force)
    full = removed * area / (paper_capacity * paper.grain_size * face)
    return Work(travel / hand_speed, full + travel / blunting_distance)


@public(gives="wear_coefficient")
def wear_coefficient_measured(
    removed: Real,
    pressure: Real,
    distance: Real,
    grade: object,
    hardness: Real,
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Real:
    """Wear coefficient that a gauge before and after sanding says; the way back of `removal`.

    pressure: 1 Pa to 1 MPa
    distance: 1 mm to 1000 km
    removed: film before less film after
    grade: one grade
    Gives (...) number. Raises InputError for a wrong unit, paper or name, RangeError out of those ranges.
    Holds as `removal` does, for fresh paper. Source: preston-1927.
    """
    in_range("pressure", pressure, 1.0, 1e6, "A block that rests on nothing removes nothing.")
    in_range("distance", distance, 1e-3, 1e6)
    rate = wear_rate_of(read_grade(grade), hardness, 1.0, size_exponent, cutting_ease)
    return removed / (rate * pressure * distance)


@public(gives="strokes")
def strokes_to_remove(
    removed: Real,
    force: Real,
    block: object,
    grade: object,
    hardness: Real,
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Real:
    """Strokes over each spot that take a given depth off.

    removed: depth to take off
    force: 0.1 to 500 N
    block: "70 x 125 mm"; its longer side along the stroke
    grade: one grade
    Gives (...) number; a stroke carries the whole block over the place once. Raises InputError for a wrong unit,
    block, paper or name, RangeError out of those ranges.
    Holds as an order of magnitude, for fresh paper. Source: preston-1927; derived-here.
    """
    in_range("force", force, 0.1, 500.0, "A block that rests on nothing removes nothing.")
    size = read_block(block)
    rate = wear_rate_of(read_grade(grade), hardness, wear_coefficient, size_exponent, cutting_ease)
    return removed / (rate * force / size.width)  # pressure times sliding: F/A · A/width


@public(gives="removed_volume")
def removed_volume(
    force: Real,
    travel: Real,
    grade: object,
    hardness: Real,
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Real:
    """Volume of film turned to dust: it depends on force and travel, not on the block.

    grade: one grade
    Gives (...) m³. Raises InputError for a wrong unit, paper or name, RangeError out of those ranges.
    Holds on one material, whatever its shape, while the whole force rests on it. Source: preston-1927; derived-here.
    """
    return wear_rate_of(read_grade(grade), hardness, wear_coefficient, size_exponent, cutting_ease) * force * travel


@public(gives="sliding_speed")
def orbital_speed(orbit: Real, rotation: Real) -> Real:
    """Speed at which the grains of an orbital machine slide.

    orbit: diameter of the orbit: 5 mm for cutting, 2.5 mm for finishing
    Gives (...) m/s.
    Holds for the orbit alone; the slow turn of the pad and the hand's travel add little.
    Source: orbit-sizes; derived-here.
    """
    return np.pi * orbit * rotation


@public(gives="removed")
def machine_removal(
    force: Real,
    block: object,
    orbit: Real,
    rotation: Real,
    time: Real,
    grade: object,
    hardness: Real,
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> Real:
    """Depth that an orbital machine takes off under its pad while it stands on one place.

    force: of the hand and the machine's weight
    block: the pad: "150 mm disc"
    time: on that place
    grade: one grade
    Gives (...) m. Raises InputError for a wrong unit, pad, paper or name, RangeError out of those ranges.
    Holds as an order of magnitude, on a flat, for fresh paper. Source: preston-1927; orbit-sizes; derived-here.
    """
    rate = wear_rate_of(read_grade(grade), hardness, wear_coefficient, size_exponent, cutting_ease)
    return rate * force / read_block(block).area * np.pi * orbit * rotation * time


@public(gives="wear_coefficient")
def cone_wear_coefficient(attack_angle: Real, cutting_share: Real = 1.0) -> Real:
    """Wear coefficient of grains taken as cones, of which a share cuts and the rest plough.

    Gives (...) number.
    Holds for plastic flow without cracks. Source: sliding-cone.
    """
    return 2 / np.pi * np.tan(attack_angle) * cutting_share
