"""What shows in the end: scratches through shrinking film, waves in a reflection, and what may be polished off."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit.belief import band_si
from coursekit.nomenclature import System, load_data
from coursekit.quantities import InputError, Real, Scalar, Value, in_range, one_value, public, shown, shown_band
from coursekit.sanding.blocks import Block, read_block
from coursekit.sanding.grits import Grade
from coursekit.sanding.scratches import grade_that_holds, hand_pressure, scratch_of
from coursekit.sources import coefficient
from coursekit.uncertain import Band

ARC_MINUTE = np.radians(1 / 60)
# Film that a coat must build over the ridges to be a coat at all: one thin coat is sprayed at 10 to 40 µm.
LEAST_COAT, MOST_COAT = 10e-6, 40e-6  # m


class Recoat(NamedTuple):
    """The least dry film that hides the scratches of a paper and bears the paper that follows, and its parts.

    `film` is `fill` (the deepest old scratch) and `sanding` (what the last paper takes and scratches), with margin.
    """

    film: Band
    fill: Band
    sanding: Band
    verdict: str  # "one thin coat" or "more than a thin coat"
    reason: str


class WaveLimit(NamedTuple):
    """The height at which a wave shows to the strictest eye, and to most."""

    strict: Value
    kind: Value


class ClearBudget(NamedTuple):
    """Clear left after polishing and the verdict: "go", "warn" or "fail"."""

    film_left: Value
    verdict: str
    reason: str


@public(gives="scratch_depth")
def dip_left(scratch_depth: Real, volume_solids: Real) -> Real:
    """Dip that a scratch makes in the surface of one coat over it, once the coat has shrunk.

    scratch_depth: under the coat
    volume_solids: of the film when it stops flowing; as sprayed it is less: an upper bound
    Gives (...) m.
    Holds for a film that levels while wet and then shrinks in thickness only; swelling of the scratch by solvent is
    not counted. Source: shrinking-film; derived-here.
    """
    return scratch_depth * (1 - volume_solids)


@public(gives="scratch_depth")
def show_through(
    scratch_depth: Real,
    base_solids: Real = coefficient("base_solids"),
    clear_solids: Real = coefficient("clear_solids"),
) -> Real:
    """Dip that a scratch under base and clear leaves in the clear.

    scratch_depth: under the base
    Gives (...) m; an upper bound with the solids as sprayed.
    Holds as `dip_left` does, one coat of each; a second coat shrinks the dip again.
    Source: shrinking-film; typical-solids; derived-here.
    """
    return scratch_depth * (1 - base_solids) * (1 - clear_solids)


def _recoat(
    force: Real,
    block: Block,
    paper: Grade,
    last: Grade,
    hardness: Real,
    recoat_margin: Real,
    surfacer_solids: Real,
    scratch_factor: Real,
) -> tuple[Real, Real, Real]:
    pressure = force / block.area
    fill = scratch_of(paper, pressure, hardness, scratch_factor).deepest
    sanding = fill * (1 - surfacer_solids) + scratch_of(last, pressure, hardness, scratch_factor).deepest
    return recoat_margin * (fill + sanding), fill, sanding


@public(gives={"film": "film", "fill": "scratch_depth", "sanding": "scratch_depth"})
def thinnest_recoat(
    grade: object,
    finish_grade: object,
    force: Scalar,
    block: object,
    hardness: Scalar,
    recoat_margin: Scalar = 2.0,
    surfacer_solids: Scalar = coefficient("surfacer_solids"),
    scratch_factor: Scalar = coefficient("scratch_factor"),
) -> Recoat:
    """How thin may the recoat be and still hide the scratches of a paper, with a last sanding to come?

    grade: one grade, P30 to P2500; paper whose scratches it must hide, with its scale
    finish_grade: one grade, P30 to P2500; paper that sands the recoat
    force: 0.1 to 500 N
    block: "70 x 125 mm"
    surfacer_solids: volume solids of the recoat when it stops flowing
    Gives bands of m: the dry film over the ridges; what fills the deepest scratch; what the last paper takes (the dip
    over the scratch) and scratches itself; a verdict and its reason. Raises InputError for a wrong unit, block, paper
    or name, RangeError out of those ranges.
    Holds as `scratch_depth` does; what it must level of waves comes on top.
    Source: scratch-calibration; shrinking-film.
    """
    one_value(
        force=force,
        hardness=hardness,
        recoat_margin=recoat_margin,
        surfacer_solids=surfacer_solids,
        scratch_factor=scratch_factor,
    )
    paper, last = grade_that_holds(grade), grade_that_holds(finish_grade, "finish_grade")
    size = read_block(block)
    hand_pressure(force, size)
    film, fill, sanding = band_si(
        _recoat, force, size, paper, last, hardness, recoat_margin, surfacer_solids, scratch_factor
    )
    words = shown_band(film.low, film.high, "film")
    if film.high <= LEAST_COAT:
        return Recoat(
            film,
            fill,
            sanding,
            "one thin coat",
            f"{words} of dry film hide {paper} and bear {last}: the thinnest coat that a gun lays even, "
            f"{shown(LEAST_COAT, 'film')}, is enough.",
        )
    if film.high <= MOST_COAT:
        return Recoat(
            film,
            fill,
            sanding,
            "one thin coat",
            f"{words} of dry film hide {paper} and bear {last}: lay one thin coat of at least "
            f"{shown(film.high, 'film', digits=2)}.",
        )
    return Recoat(
        film,
        fill,
        sanding,
        "more than a thin coat",
        f"It may take {words} of dry film to hide {paper}: sand finer first, or build.",
    )


# --- gloss and waves ---------------------------------------------------------------------------------------


@public(gives="gloss_factor")
def gloss_factor(rq: Real, angle: Real, light_wavelength: Real = 550e-9) -> Real:
    """Share of the mirror reflection that a rough surface keeps.

    rq: root mean square; a quarter of the light's wavelength at most
    angle: between light and upright; gloss is read at 20, 60, 85°
    Gives (...) share.
    Holds for a smooth surface; the length of the roughness is not counted. Source: gloss-roughness.
    """
    in_range("rq", rq, 0.0, float(np.min(light_wavelength)) / 4, "A rougher surface is plainly dull.")
    return mirrored_share(rq, np.cos(angle), light_wavelength)


def mirrored_share(rq: Real, cosine: Real, light_wavelength: Real = 550e-9) -> Real:
    """The same for a surface of any roughness, where the rest is scattered around the mirrored direction."""
    found: Real = np.exp(-((4 * np.pi * rq * cosine / light_wavelength) ** 2))
    return found


@public(gives="rq")
def smooth_limit(angle: Real, light_wavelength: Real = 550e-9) -> Real:
    """Roughness below which a surface counts as smooth at an angle of view: Rayleigh's limit.

    Gives (...) m.
    Holds as a rule of thumb. Source: rayleigh-limit.
    """
    return light_wavelength / (8 * np.cos(angle))


@public(gives={"strict": "amplitude", "kind": "amplitude"})
def visible_wave(wavelength: Real, kindness: Real = 10.0) -> WaveLimit:
    """Height at which a wave shows in a reflection: to the strictest eye, and to most.

    kindness: how many times the strict limit is still "straight"; most people see 10
    Gives (...) m each, from the middle to the crest.
    Holds for a straight line reflected from far away in a glossy surface; with a tube lamp no farther off
    than the eye the strict limit doubles, and ten times it are the 5 arc-minutes of the letters that normal sight
    reads. Source: arc-minute-eye; normal-sight.
    """
    strict = ARC_MINUTE / (4 * np.pi) * wavelength
    return WaveLimit(strict, strict * kindness)


@public()
def wave_verdict(amplitude: Scalar, wavelength: Scalar, kindness: Scalar = 10.0) -> str:
    """Is it straight? Which eye sees a wave.

    kindness: as for `visible_wave`
    Gives text: "straight", "a strict eye sees it" or "most people see it".
    Holds as `visible_wave` does. Source: arc-minute-eye; normal-sight.
    """
    one_value(amplitude=amplitude, wavelength=wavelength, kindness=kindness)
    limit = visible_wave.si(wavelength, kindness)
    if amplitude <= limit.strict:
        return "straight"
    return "a strict eye sees it" if amplitude <= limit.kind else "most people see it"


@public(gives="scratch_width")
def seen_width(lamp: str) -> Real:
    """Width of the finest scratch that a lamp shows.

    Gives m. Raises InputError for another lamp.
    Holds for a clean glossy surface at arm's length. Source: scratch-lamps.
    """
    return {"tubes": 20e-6, "point lamp": 2e-6}[lamp]


# --- polishing ---------------------------------------------------------------------------------------------


@public(gives={"film_left": "film"})
def polishing_budget(clear_film: Scalar, removed: Scalar) -> ClearBudget:
    """May so much clear be sanded and polished off?

    clear_film: clear before; a gauge reads all layers down to the steel together
    removed: by all papers and polishes together
    Gives the clear left in m, "go", "warn" or "fail", and the reason. Raises InputError for a wrong unit or when
    more is removed than there is, RangeError out of those ranges.
    Holds for clear over base; a data sheet goes before it. Source: bulletin-86-10-24; service-information-2000;
    gauge-maker-limit.
    """
    one_value(clear_film=clear_film, removed=removed)
    return budget_in("metric", clear_film, removed)


def budget_in(system: System, clear_film: Scalar, removed: Scalar) -> ClearBudget:
    """The budget with its reason in those units."""
    left = clear_film - removed
    if left < 0:
        raise InputError(
            "removed",
            f"{shown(removed, 'removed', system)} is more than the clear on the panel, "
            f"{shown(clear_film, 'film', system)}.",
            "It goes through to the base: clear it again.",
            kind="impossible",
        )
    limits = {key: row["micrometres"] * 1e-6 for key, row in load_data("polishing_limits").items()}
    close = 1 + 1e-9
    if left * close < limits["keep"]:
        return ClearBudget(
            left,
            "fail",
            f"{shown(left, 'film', system)} of clear are left; less than "
            f"{shown(limits['keep'], 'film', system)} keeps too little ultraviolet out: clear again.",
        )
    if removed > limits["fail"] * close:
        return ClearBudget(
            left,
            "fail",
            f"{shown(removed, 'removed', system)} off is more than "
            f"{shown(limits['fail'], 'removed', system)}: the clear may fail early. Clear it again.",
        )
    if removed > limits["warn"] * close:
        return ClearBudget(
            left,
            "warn",
            f"{shown(removed, 'removed', system)} off is over the stricter limit of "
            f"{shown(limits['warn'], 'removed', system)}: stop here, and measure.",
        )
    return ClearBudget(left, "go", f"{shown(left, 'film', system)} of clear are left.")
