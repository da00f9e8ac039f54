"""How deep a paper scratches: grains as cones of uneven height, as many of them bearing as the hand's force takes."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coursekit.belief import band_si
from coursekit.errors import InUnits
from coursekit.quantities import InputError, Real, Scalar, Value, in_range, one_value, public
from coursekit.sanding.blocks import Block, block_pressure, read_block
from coursekit.sanding.grits import Grade, read_grade
from coursekit.sources import coefficient

ATTACK_ANGLE = np.radians(30.0)
GRAIN_SPREAD = 0.44  # standard deviation of the grains' heights over the grain size: Sa of papers is 0.35 of it
GRAIN_DENSITY = 1.0  # grains per square of the grain size (assumed)
DEEPEST_SHARE = 0.3  # of the grain: beyond it the grain lies buried or breaks out
LEAST_PRESSURE, MOST_PRESSURE = 100.0, 100e3  # Pa; a hand on a long board is below 1 kPa
FINEST_GRAIN, COARSEST_GRAIN = 8e-6, 650e-6  # m


class Scratch(NamedTuple):
    """Mean depth of the grooves, and of the deepest ones, which the largest grains cut."""

    mean: Value
    deepest: Value


class Roughness(NamedTuple):
    """Mean roughness and peak-to-valley roughness."""

    ra: Value
    rz: Value


def grade_that_holds(grade: object, argument: str = "grade") -> Grade:
    """The paper, refused when its grain lies outside what the law of scratches was compared with."""
    paper = read_grade(grade, argument)
    if not FINEST_GRAIN * 0.999 <= paper.grain_size <= COARSEST_GRAIN:
        raise InputError(
            argument,
            (
                f"{paper} has a grain of ",
                InUnits(paper.grain_size, "grain_size"),
                "; this holds from ",
                InUnits(FINEST_GRAIN, "grain_size"),
                " to ",
                InUnits(COARSEST_GRAIN, "grain_size"),
                ".",
            ),
            "Take a paper from P30 to P2500.",
            kind="not computed",
        )
    return paper


def checked_block(force: Scalar, block: object, hardness: Scalar, film: Scalar, **wear: Scalar) -> Block:
    """The block of a hand that sands a film, once all that is given is one value each and within its range."""
    one_value(force=force, hardness=hardness, film=film, **wear)
    in_range("film", film, 1e-7, 5e-3)
    size = read_block(block)
    hand_pressure(force, size)
    return size


def hand_pressure(force: Real, block: Block) -> Real:
    """Pressure under the block, refused in terms of the force when the law of scratches does not reach there."""
    pressure = block_pressure.si(force, block)
    area = block.area
    in_range(
        "force",
        force,
        LEAST_PRESSURE * area,
        MOST_PRESSURE * area,
        "Press harder or take a smaller block; a hand gives 10 to 40 N.",
    )
    found: Real = pressure
    return found


@public(gives={"mean": "scratch_depth", "deepest": "scratch_depth"})
def scratch(
    grade: object, pressure: Real, hardness: Real, scratch_factor: Real = coefficient("scratch_factor")
) -> Scratch:
    """Depth of the scratches a paper leaves, mean and deepest, with the coefficients at their middle.

    grade: one grade, P30 to P2500
    pressure: 100 to 100 000 Pa
    Gives (...) m each; `scratch_depth` gives the band. Raises InputError for a wrong unit, paper or name,
    RangeError out of those ranges.
    Holds for fresh paper, within a factor of three; below 1 kPa nobody has compared it. Depth goes with the grain,
    and little with pressure and hardness: twice the force makes about twice as many grains bear.
    Source: sliding-cone; grain-population; paper-texture-2018; scratch-calibration.
    """
    paper = grade_that_holds(grade)
    in_range("pressure", pressure, LEAST_PRESSURE, MOST_PRESSURE, "A hand on a block gives 0.4 to 5 kPa.")
    return scratch_of(paper, pressure, hardness, scratch_factor)


def _bearing() -> tuple[np.ndarray, np.ndarray]:
    """Load that grains of Gaussian heights carry, and their mean depth, each as the paper comes nearer.

    With the surface at t standard deviations over the grains' mean: depths h − t of those that reach it, their mean,
    and the mean square over all grains, which is what cones carry.
    """
    t = np.linspace(6.5, -2.0, 400)
    density = np.exp(-(t**2) / 2) / math.sqrt(2 * math.pi)
    reach = np.array([math.erfc(x / math.sqrt(2)) / 2 for x in t])
    return np.log((1 + t**2) * reach - t * density), density / reach - t


_LOAD, _DEPTH = _bearing()


def scratch_of(paper: Grade, pressure: Real, hardness: Real, scratch_factor: Real) -> Scratch:
    """The law itself, for arrays of any shape that are known to be in range."""
    carried = np.pi / 2 * hardness / np.tan(ATTACK_ANGLE) ** 2 * GRAIN_DENSITY * GRAIN_SPREAD**2
    share = GRAIN_SPREAD * np.interp(np.log(pressure / carried), _LOAD, _DEPTH) * scratch_factor
    mean = np.minimum(share, DEEPEST_SHARE) * paper.grain_size
    return Scratch(mean, mean * paper.outlier_ratio)


@public(gives={"mean": "scratch_depth", "deepest": "scratch_depth"})
def scratch_depth(
    grade: object, pressure: Real, hardness: Real, scratch_factor: Real = coefficient("scratch_factor")
) -> Scratch:
    """Depth of the scratches a paper leaves, mean and deepest, each as a band.

    grade: one grade, P30 to P2500
    pressure: 100 to 100 000 Pa; under the block; `block_pressure` gives it from the hand's force
    Gives (...) m, 5, 50 and 95 % of the mean and of the deepest. Raises InputError for a wrong unit, paper or name,
    RangeError out of those ranges.
    Holds for fresh paper; below 1 kPa nobody has compared it.
    Source: sliding-cone; grain-population; scratch-calibration.
    """
    paper = grade_that_holds(grade)
    in_range("pressure", pressure, LEAST_PRESSURE, MOST_PRESSURE, "A hand on a block gives 0.4 to 5 kPa.")
    result: Scratch = band_si(scratch_of, paper, pressure, hardness, scratch_factor)
    return result


@public(gives={"ra": "roughness", "rz": "roughness"})
def roughness(
    grade: object,
    pressure: Real,
    hardness: Real,
    scratch_factor: Real = coefficient("scratch_factor"),
    rz_to_ra: Real = coefficient("rz_to_ra"),
) -> Roughness:
    """Roughness across the scratches of a sanded film, from the depth of the grooves.

    grade: one grade, P30 to P2500
    pressure: 100 to 100 000 Pa
    Gives (...) m each. Raises InputError for a wrong unit, paper or name, RangeError out of those ranges.
    Holds as `scratch` does. Source: scratch-calibration; ecv-schleifkoernung.
    """
    depth = scratch.si(grade, pressure, hardness, scratch_factor).mean
    return Roughness(depth / rz_to_ra, depth)


@public(gives="roughness")
def usual_roughness(grade: object, roughness_per_grain: Real = coefficient("roughness_per_grain")) -> Real:
    """Mean roughness Ra that a paper usually leaves, whatever the material: a wide share of its grain.

    grade: one grade, P30 to P2500
    Gives (...) m. Raises InputError for no paper, RangeError out of that range.
    Holds for metal and wood that were measured; not measured on paint. Source: ecv-schleifkoernung; belt-chart.
    """
    return grade_that_holds(grade).grain_size * roughness_per_grain


_STEEL = {"across": ((0.00508, 1.064), (0.00510, 1.341)), "along": ((0.00473, 0.992), (0.00955, 1.124))}


@public(gives={"ra": "roughness", "rz": "roughness"})
def steel_roughness(grade: object, lay: str = "across") -> Roughness:
    """Roughness of ground stainless steel by grit: the one good table in print, as a fit.

    grade: one grade with a grain of 40 to 642 µm; paper with its scale, P30 to P360
    Gives m each. Raises InputError for no paper or one outside the table.
    Holds for steel only, within 35 % of the table across the scratches, 55 % along them.
    Source: ecv-schleifkoernung.
    """
    paper = read_grade(grade)
    grain = paper.grain_size * 1e6
    if not 40 <= grain <= 643:
        raise InputError(
            "grade", f"{paper} is not in the table of ground steel.", "Take a paper from P30 to P360.", kind="unknown"
        )
    ra, rz = (factor * grain**power * 1e-6 for factor, power in _STEEL[lay])
    return Roughness(ra, rz)


@public(gives="scratch_depth")
def cone_scratch_depth(grain_force: Real, hardness: Real, half_angle: Real) -> Real:
    """Depth to which one loaded cone sinks while it slides: only its front half carries.

    Gives (...) m.
    Holds for a cone that flows the film aside without cracks. Source: sliding-cone.
    """
    return np.sqrt(2 * grain_force / (np.pi * hardness)) / np.tan(half_angle)


@public(gives="grain_force")
def cone_force(scratch_width: Real, hardness: Real) -> Real:
    """Load on one grain that cut a scratch of a given width.

    Gives (...) N.
    Holds as `cone_scratch_depth` does. Source: sliding-cone.
    """
    return hardness * np.pi * scratch_width**2 / 8


@public(gives="half_angle")
def cone_half_angle(scratch_width: Real, scratch_depth: Real) -> Real:
    """Half angle of the cone that cut a scratch of a given width and depth; 90° less it is the attack angle.

    scratch_width: 1 nm to 5 mm
    scratch_depth: 1 nm to 1 mm; of the same scratch
    Gives (...) rad.
    Holds for a groove of triangular section. Source: nist-clearcoat-scratch; derived-here.
    """
    in_range("scratch_width", scratch_width, 1e-9, 5e-3)
    in_range("scratch_depth", scratch_depth, 1e-9, 1e-3)
    return np.arctan(scratch_width / (2 * scratch_depth))


@public(gives="scratch_width")
def scratch_width(scratch_depth: Real, half_angle: Real = np.pi / 2 - ATTACK_ANGLE) -> Real:
    """Width at the surface of a scratch of a given depth: what a lamp shows.

    Gives (...) m.
    Holds for a groove of triangular section. Source: derived-here.
    """
    return 2 * scratch_depth * np.tan(half_angle)
