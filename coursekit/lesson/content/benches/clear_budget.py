"""Clear left while it is sanded, as a band, against what has to stay."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, Span, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.nomenclature import load_data
from coursekit.sources import coefficient
from coursekit.uncertain import Band

STROKES = np.linspace(0, 400, 41)
LENGTH, WIDTH = 0.125, 0.070  # m, of the block
KEEP, FAIL, WARN = (load_data("polishing_limits")[key]["micrometres"] * 1e-6 for key in ("keep", "fail", "warn"))


class Found(NamedTuple):
    removed: Band  # along STROKES, m
    here: Band
    verdicts: tuple[str, str, str]  # of the least, the middle and the most that may have gone


def compute(clear_film: float, grade: Any, strokes: float, force: float, polished: float) -> Found:
    paper = sanding.read_grade(grade)
    along = own.banded(
        sanding.removal,
        pressure=force / (LENGTH * WIDTH),
        distance=np.append(STROKES, strokes) * LENGTH,
        grade=str(paper),
        hardness=float(coefficient("hardness_clear")),
        cutting_ease=coefficient("cutting_ease_clear"),
    )
    gone = [np.minimum(polished + end, clear_film) for end in along]
    here = Band(*(float(end[-1]) for end in gone))
    verdicts = tuple(str(sanding.polishing_budget.si(clear_film, end).verdict) for end in here)
    return Found(Band(*(end[:-1] for end in gone)), here, verdicts)  # type: ignore[arg-type]


def draw(now: Now) -> str:
    clear, found = now["clear_film"], now.result
    low, middle, high = (now.number(clear - end, "clear_left") for end in found.removed)
    most = next(end for end in (60e-6, 120e-6, 5e-3) if end >= clear)
    must = max(KEEP, clear - FAIL)
    parts: list[Part] = [
        Span(0, now.number(min(must, most), "clear_left"), "must stay"),
        Shade(STROKES, high, low, "band of what is left"),
        Line(STROKES, middle, "middle"),
        Mark(
            now["strokes"],
            now.number(clear - found.here.middle, "clear_left"),
            "your strokes",
            low=now.number(clear - found.here.high, "clear_left"),
            high=now.number(clear - found.here.low, "clear_left"),
        ),
    ]
    if now.kept:
        kept = now.number(now.kept["clear_film"] - now.kept.result.removed.middle, "clear_left")
        parts.append(Line(STROKES, kept, "kept", "dashed"))
    return chart(now.axis("strokes", 0, STROKES[-1]), now.axis("clear_left", 0, most), parts, 700, 350)


def say(now: Now) -> str:
    found: Found = now.result
    left = Band(*(now["clear_film"] - end for end in reversed(found.here)))
    limits = (
        f"Published limits: no more than {now.show(FAIL, 'removed')} off (a stricter one says "
        f"{now.show(WARN, 'removed')}), and {now.show(KEEP, 'clear_left')} or more left. "
    )
    words = (
        f"{now.text('strokes')} of {now['grade']} under {now.text('force')} take off "
        f"{now.show(found.here, 'removed')} with the {now.text('polished')} you allow for polishing, and leave "
        f"{now.show(left, 'clear_left')} of {now.text('clear_film')}. {limits}"
    )
    first, last = found.verdicts[0], found.verdicts[-1]
    told = {"go": "short of the limits", "warn": "over the stricter limit", "fail": "over a limit"}
    if first == last:
        return words + f"All of this band is {told[first]}. Only the gauge on your own panel can say what went."
    return words + (
        f"The band runs from {told[first]} to {told[last]}: take the worse for true, and read the gauge "
        "after 20 strokes."
    )


bench = Bench(
    title="How much clear may go",
    about="A rubber block, 70 × 125 mm (2.75 × 5 in), fresh paper. Strokes are passes of the whole block over a "
    "place.",
    controls={
        "clear_film": Control("50 µm", label="clear there"),
        "grade": Control("P2000", label="paper"),
        "strokes": Control("30", slider=(0, 400, 5)),
        "force": Control("10 N", slider=(2, 40, 1), slider_us=(0.5, 9, 0.25)),
        "polished": Control(
            "3 µm", name="removed", label="allowed for polishing", slider=(0, 10, 0.5), slider_us=(0, 0.4, 0.02)
        ),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[
        "wear_coefficient",
        "size_exponent",
        "bulletin-86-10-24",
        "service-information-2000",
        "gauge-maker-limit",
    ],
    measurement="removal",
)
