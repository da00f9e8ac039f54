"""Clear left while it is sanded, as a band, against what has to stay."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import sanding
from coursekit.lesson.draw.picture import Chart, Mark, Span, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.nomenclature import load_data
from coursekit.sources import coefficient
from coursekit.uncertain import Band

STROKES = np.linspace(0, 400, 41)
LENGTH, WIDTH = 0.125, 0.070  # m, of the block
KEEP, FAIL, WARN = (load_data("polishing_limits")[key]["micrometres"] * 1e-6 for key in ("keep", "fail", "warn"))
ENDS = (60e-6, 120e-6, 5e-3)  # m


@declare(
    "How much clear may go",
    gives={"left": "clear_left", "gone": "removed", "left_here": "clear_left"},
    about=lambda units: (
        f"A rubber block, {units(WIDTH, 'block_width')} by {units(LENGTH, 'block_length')}, fresh paper. Strokes are "
        "passes of the whole block over a place."
    ),
    sources=[
        "wear_coefficient",
        "size_exponent",
        "bulletin-86-10-24",
        "service-information-2000",
        "gauge-maker-limit",
    ],
    measurement="removal",
)
def bench(
    clear_film: float = at("50 µm", start_us="2 mil", label="clear on the panel"),
    grade: str = at("P2000", label="paper"),
    strokes: float = at("30", slider=(0, 400, 5)),
    force: float = at("10 N", slider=(2, 40, 1), slider_us=(0.5, 9, 0.25)),
    polished: float = at(
        "3 µm", name="removed", label="allowed for polishing", slider=(0, 10, 0.5), slider_us=(0, 0.4, 0.02)
    ),
) -> dict[str, Any]:
    paper = sanding.read_grade(grade)
    along = own.band_si(
        sanding.removal,
        pressure=force / (LENGTH * WIDTH),
        distance=np.append(STROKES, strokes) * LENGTH,
        grade=str(paper),
        hardness=float(coefficient("hardness_clear")),
        cutting_ease=coefficient("cutting_ease_clear"),
    )
    gone = [np.minimum(polished + end, clear_film) for end in along]
    here = Band(*(float(end[-1]) for end in gone))
    return {
        "left": Band(*(clear_film - end[:-1] for end in reversed(gone))),  # along STROKES
        "gone": here,
        "left_here": Band(*(clear_film - end for end in reversed(here))),
        # of the least, the middle and the most that may have gone
        "verdicts": tuple(str(sanding.polishing_budget.si(clear_film, end).verdict) for end in here),
    }


@bench.says
def say(now: Now) -> str:
    words = (
        f"{now.strokes} of {now.grade} under {now.force} take off {now.gone} with the {now.polished} you allow for "
        f"polishing, and leave {now.left_here} of {now.clear_film}. Published limits: no more than "
        f"{now.gone.of(FAIL)} off (a stricter one says {now.gone.of(WARN)}), and {now.left.of(KEEP)} or more left. "
    )
    first, last = now.verdicts[0], now.verdicts[-1]
    told = {"go": "short of the limits", "warn": "over the stricter limit", "fail": "over a limit"}
    if first == last:
        return words + f"All of this band is {told[first]}. Only the gauge on your own panel can say what went."
    return words + (
        f"The band runs from {told[first]} to {told[last]}: take the worse for true, and read the gauge after "
        f"{now.strokes.of(20.0)}."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    upright = now.clear_film.axis(ENDS)._replace(label=now.left.axis(1.0).label)
    must = now.left.of(max(KEEP, now.clear_film.si - FAIL))
    parts = [
        Span(0, min(must.shown, upright.high), "must stay"),
        *shaded(STROKES, now.left, "band of what is left", "middle"),
        Mark(now.strokes, now.left_here, "your strokes"),
    ]
    return Chart(now.strokes.axis(STROKES[-1]), upright, parts, height=350)
