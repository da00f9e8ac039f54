"""A sequence of papers, judged step by step from strokes and film; the ratio of grains is only a hint."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, NamedTuple

from coursekit.belief import band_si
from coursekit.nomenclature import System
from coursekit.quantities import InputError, Real, Scalar, Value, in_range, one_value, public, read, shown, shown_band
from coursekit.sanding.blocks import Block
from coursekit.sanding.grits import Grade, read_grade
from coursekit.sanding.scratches import checked_block, grade_that_holds, scratch_of
from coursekit.sanding.wear import wear_rate_of
from coursekit.sources import coefficient
from coursekit.uncertain import Band

EASY, NORMAL, SHAPING = 1.5, 2.0, 2.5  # grain of the paper before over this one's
LADDER = ("P40", "P80", "P180", "P320", "P600", "P1000", "P1500", "P2500")  # common practice
MOST_STROKES = 400  # over one place before hand and paper are worn out: assumed
MOST_STEPS = 40
_COAT = re.compile(r"^coat\b[ :,]*(.*)$", re.IGNORECASE)


class SequenceStep(NamedTuple):
    """One paper of a sequence, or a coat between two.

    `film` is what this step takes so that the deepest scratch of the paper before is gone, `film_left` what then
    remains of the coat, less this paper's own deepest scratch.
    """

    paper: str
    strokes: Band
    film: Band
    film_left: Band
    scratch_left: Band
    grain_ratio: Value  # None where nothing was sanded before
    hint: str
    verdict: str  # "go", "doubtful" or "no"
    reason: str


class Cost(NamedTuple):
    """What a whole sequence takes off, how many strokes over each spot, and the volume turned to dust."""

    film: Band
    strokes: Band
    removed_volume: Band


class _Work(NamedTuple):
    strokes: Value
    film: Value
    film_left: Value
    scratch_left: Value


Entry = Grade | float  # a paper, or the film of a coat in m


def read_sequence(value: object, film: float, argument: str = "grades") -> list[Entry]:
    """Papers and coats from a list, or from text with commas: "P180, P320, coat 40 µm, P600"."""
    if isinstance(value, str):
        if len(value) > 500:
            raise InputError(argument, f"text of {len(value)} characters is too long.", _SEQUENCE, kind="too long")
        value = [part for part in re.split(r"[,;→>]+", value) if part.strip()]
    if not isinstance(value, (list, tuple)) or hasattr(value, "_fields"):
        raise InputError(
            argument, f"a {type(value).__name__} is not a sequence of papers.", _SEQUENCE, kind="other type"
        )
    if not 1 <= len(value) <= MOST_STEPS:
        raise InputError(argument, f"has {len(value)} entries; it takes 1 to {MOST_STEPS}.", _SEQUENCE, kind="count")
    return [_entry(one, film, argument) for one in value]


_SEQUENCE = 'Give the papers in order, ["P320", "coat", "P600"]; "coat 30 µm" says how thick the coat is.'


def _entry(one: object, film: float, argument: str) -> Entry:
    match = _COAT.match(one.strip()) if isinstance(one, str) else None
    if match is None:
        return grade_that_holds(one, argument)
    if not match[1]:
        return film
    thickness = float(read(match[1], "film", argument))
    in_range(argument, thickness, 1e-7, 5e-3, "A coat is 0.1 µm to 5 mm thick.")
    return thickness


def _work(
    entries: list[Entry],
    force: Real,
    block: Block,
    hardness: Real,
    film: Real,
    scratch_factor: Real = coefficient("scratch_factor"),
    wear_coefficient: Real = coefficient("wear_coefficient"),
    size_exponent: Real = coefficient("size_exponent"),
    cutting_ease: Real = 1.0,
) -> list[_Work]:
    """Strokes and film of each step, on drawn coefficients of any shape."""
    done = []
    pressure = force / block.area
    drawn = force + hardness + film + scratch_factor + wear_coefficient + size_exponent + cutting_ease
    nothing = 0.0 * drawn  # of their shape
    before, left = None, film + nothing
    laid, under = 0.0, nothing  # coats one upon the other since the last paper, and the scratch under them
    for entry in entries:
        if not isinstance(entry, Grade):
            laid, under = laid + entry, before.deepest if before else under
            done.append(_Work(nothing, nothing, laid - under, under))
            before, left = None, laid + nothing
            continue
        laid, under = 0.0, nothing
        scratch = scratch_of(entry, pressure, hardness, scratch_factor)
        taken = before.deepest if before else nothing
        rate = wear_rate_of(entry, hardness, wear_coefficient, size_exponent, cutting_ease) * pressure * block.sliding
        left = left - taken
        done.append(_Work(taken / rate, taken, left - scratch.deepest, scratch.deepest + nothing))
        before = scratch
    return done


_GIVES = {
    "strokes": "strokes",
    "film": "film",
    "film_left": "film",
    "scratch_left": "scratch_depth",
    "grain_ratio": "size_ratio",
}


@public(gives=_GIVES)
def judge_sequence(
    grades: object,
    force: Scalar,
    block: object,
    hardness: Scalar,
    film: Scalar,
    scratch_factor: Scalar = coefficient("scratch_factor"),
    wear_coefficient: Scalar = coefficient("wear_coefficient"),
    size_exponent: Scalar = coefficient("size_exponent"),
    cutting_ease: Scalar = 1.0,
) -> list[SequenceStep]:
    """Judge papers in order: how many strokes sand out the deepest scratch of the paper before, and is there film?

    grades: list of one grade each; ["P320", "P600"], with "coat" or "coat 30 µm" between two papers
    force: 0.1 to 500 N
    block: "70 x 125 mm"; its longer side along the stroke
    film: 0.1 µm to 5 mm; there to be sanded; of each coat that does not say its own
    Gives one SequenceStep for each entry: strokes, film it takes, film left and scratch left as bands, a hint from
    the ratio of grains, a verdict and its reason. A coat between two papers starts anew: what it must do is cover;
    coats one upon the other add up.
    Raises InputError for a wrong unit, block, paper or name, RangeError out of those ranges.
    Holds for fresh paper on one material; the strokes are an order of magnitude: gauge, 50 strokes, gauge.
    Source: ecv-grind; preston-1927; scratch-calibration; derived-here.
    """
    wear = {"scratch_factor": scratch_factor, "wear_coefficient": wear_coefficient, "size_exponent": size_exponent}
    return judged("metric", grades, force, block, hardness, film, **wear, cutting_ease=cutting_ease)


def judged(
    system: System,
    grades: object,
    force: Scalar,
    block: object,
    hardness: Scalar,
    film: Scalar,
    **wear: Scalar,
) -> list[SequenceStep]:
    """`judge_sequence` in SI, past the door, its reasons in metric or US."""
    entries, work = _worked(_work, grades, force, block, hardness, film, **wear)
    steps: list[SequenceStep] = []
    before = under = None  # the paper just before, and the one under the coats since
    for entry, one in zip(entries, work, strict=True):
        if isinstance(entry, Grade):
            steps.append(_paper(entry, before, one, system))
            before = under = entry
        else:
            steps.append(_coat(entry, under, one, system))
            before = None
    return steps


@public(gives={"film": "film", "strokes": "strokes", "removed_volume": "removed_volume"})
def sequence_cost(
    grades: object,
    force: Scalar,
    block: object,
    hardness: Scalar,
    film: Scalar,
    area: Scalar,
    scratch_factor: Scalar = coefficient("scratch_factor"),
    wear_coefficient: Scalar = coefficient("wear_coefficient"),
    size_exponent: Scalar = coefficient("size_exponent"),
    cutting_ease: Scalar = 1.0,
) -> Cost:
    """What a sequence of papers costs: film off, strokes over each spot, volume of dry film turned to dust.

    grades: list of one grade each; as for `judge_sequence`
    force: 0.1 to 500 N
    block: "70 x 125 mm"; its longer side along the stroke
    film: 0.1 µm to 5 mm; there to be sanded; of each coat that does not say its own
    area: sanded all over
    Gives bands of m, number and m³, over all papers. What levelling takes comes on top. Raises as `judge_sequence`.
    Holds as `judge_sequence` does. Source: ecv-grind; preston-1927; scratch-calibration; derived-here.
    """
    one_value(area=area)
    wear = {"scratch_factor": scratch_factor, "wear_coefficient": wear_coefficient, "size_exponent": size_exponent}
    given = {**wear, "cutting_ease": cutting_ease}
    _, (taken, strokes) = _worked(_sums, grades, force, block, hardness, film, **given)
    return Cost(taken, strokes, Band(*(end * area for end in taken)))


def _worked(
    work: Callable[..., Any],
    grades: object,
    force: Scalar,
    block: object,
    hardness: Scalar,
    film: Scalar,
    **wear: Scalar,
) -> tuple[list[Entry], Any]:
    """Check the arguments of a sequence; its entries, and bands of what is worked out from them."""
    size = checked_block(force, block, hardness, film, **wear)
    entries = read_sequence(grades, film)
    numbers: dict[str, Any] = wear
    return entries, band_si(work, entries, force, size, hardness, film, **numbers)


def _sums(
    entries: list[Entry],
    force: Real,
    block: Block,
    hardness: Real,
    film: Real,
    scratch_factor: Real,
    wear_coefficient: Real,
    size_exponent: Real,
    cutting_ease: Real,
) -> tuple[Real, Real]:
    wear = {"scratch_factor": scratch_factor, "wear_coefficient": wear_coefficient, "size_exponent": size_exponent}
    steps = _work(entries, force, block, hardness, film, **wear, cutting_ease=cutting_ease)
    return sum(step.film for step in steps), sum(step.strokes for step in steps)


# --- verdicts ----------------------------------------------------------------------------------------------


def _words(band: Band, name: str, system: System) -> str:
    return shown_band(band.low, band.high, name, system)


def _coat(film: float, before: Grade | None, work: _Work, system: System) -> SequenceStep:
    scratch, spare = work.scratch_left, work.film_left
    text = f"coat {shown(film, 'film', system)}"
    if before is None:
        verdict, reason = "go", "There is no scratch under it; the papers after it start anew."
    elif spare.middle < 0:
        verdict, reason = (
            "no",
            (f"It does not fill the scratches of {before}, {_words(scratch, 'scratch_depth', system)} deep."),
        )
    elif spare.low < 0:
        verdict, reason = (
            "doubtful",
            (
                f"It may not fill the deepest scratches of {before}, up to "
                f"{shown(scratch.high, 'scratch_depth', system)}."
            ),
        )
    else:
        deep = _words(scratch, "scratch_depth", system)
        verdict, reason = "go", f"It covers the scratches of {before}, {deep} deep; the papers after it start anew."
    return SequenceStep(text, work.strokes, work.film, spare, Band(0.0, 0.0, 0.0), None, "", verdict, reason)


def papers_between(before: object, paper: object) -> list[str]:
    """The papers of the trade's ladder to put between two whose grains are too far apart: no more than it takes."""
    now, end = (read_grade(one).grain_size for one in (before, paper))
    found: list[str] = []
    while now / end > SHAPING:
        rungs = [one for one in LADDER if now / SHAPING <= read_grade(one).grain_size < now]
        if not rungs:
            break
        found.append(rungs[-1])
        now = read_grade(rungs[-1]).grain_size
    return found


def _hint(ratio: float) -> str:
    if ratio < 0.97:
        return "coarser than the paper before"
    if ratio <= EASY:
        return "easy step"
    if ratio <= NORMAL:
        return "normal step"
    return "step for shaping" if ratio <= SHAPING else "large step"


def _paper(paper: Grade, before: Grade | None, work: _Work, system: System) -> SequenceStep:
    ratio = before.grain_size / paper.grain_size if before else None
    hint = _hint(ratio) if ratio is not None else "first paper"
    left = work.film_left
    strokes, film = _words(work.strokes, "strokes", system), _words(work.film, "film", system)
    own = _words(work.scratch_left, "scratch_depth", system)
    if left.middle < 0:
        verdict, reason = (
            "no",
            (f"The film is not there: {film} for the old scratches and {own} for its own go through."),
        )
    elif ratio is not None and ratio > SHAPING:
        between = " and ".join(papers_between(before, paper))
        verdict, reason = (
            "no",
            (
                f"The step is too large, {ratio:.1f} times in grain: some deep scratches of "
                f"{before} stay easily. Put {between} between."
            ),
        )
    elif left.low < 0:
        verdict, reason = "doubtful", f"It may go through: {film} of film for the old scratches."
    elif before is None or ratio is None:
        verdict, reason = (
            "go",
            "It finds no scratch to sand out; how long it works depends on the waves it must flatten.",
        )
    elif ratio < 0.97:
        verdict, reason = "doubtful", f"It is coarser than {before}: it puts deeper scratches back."
    elif work.strokes.middle > MOST_STROKES:
        verdict, reason = "doubtful", f"It takes {strokes} over each spot to sand out {before}: put a paper between."
    else:
        verdict, reason = "go", f"{strokes} over each spot sand out {before} and take {film}."
    return SequenceStep(str(paper), work.strokes, work.film, left, work.scratch_left, ratio, hint, verdict, reason)
