"""How many strokes bury the scratches of the paper before, and whether the film bears them."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.lesson.content.shared.sanding_hand import HAND, axis_end, block, ease, hardness
from coursekit.lesson.draw.charts import Line, Part, Shade, Span, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Now
from coursekit.sanding.burying import Strokes
from coursekit.uncertain import Band

STROKES = np.linspace(0, 200, 21)
VERDICTS = {
    "go": "On a flat the film is there; edges and body lines go first.",
    "doubtful": "It may go through before they are gone.",
    "no": "It goes through before they are gone: spray more film first, or begin with a finer paper.",
}


class Found(NamedTuple):
    strokes: Strokes
    old: Band  # deepest scratch of the paper before
    taken: Band  # over STROKES
    coarser: bool


def compute(
    previous_grade: str, grade: str, force: float, block_length: float, block_width: float, sanded: str, film: float
) -> Found:
    held, hard = block(block_length, block_width), hardness(sanded)
    mine = own.garage_file().using(sanding.strokes_between)
    given: dict[str, Any] = {
        "previous_grade": previous_grade,
        "grade": grade,
        "force": force,
        "block": held,
        "hardness": hard,
        "film": film,
        "cutting_ease": ease(sanded),
    }
    strokes = sanding.strokes_between.si(**{**mine, **given})
    pressure = float(sanding.block_pressure.si(force, held))
    old = own.banded(sanding.scratch, grade=previous_grade, pressure=pressure, hardness=hard).deepest
    taken = own.banded(
        sanding.removal,
        pressure=pressure,
        distance=STROKES * held.sliding,
        grade=grade,
        hardness=hard,
        cutting_ease=ease(sanded),
    )
    coarser = sanding.grain_size.si(grade) > sanding.grain_size.si(previous_grade)
    return Found(strokes, old, taken, bool(coarser))


def draw(now: Now) -> str:
    found = now.result
    old, taken = now.number(found.old, "removed"), now.number(found.taken, "removed")
    parts: list[Part] = [
        Span(old.low, old.high, f"deepest scratch of {now['previous_grade']}"),
        Shade(STROKES, taken.low, taken.high, f"what {now['grade']} may have taken off"),
        Line(STROKES, taken.middle, "its middle"),
    ]
    if now.kept:
        parts.append(Line(STROKES, now.number(now.kept.result.taken.middle, "removed"), "kept, middle", "dashed"))
    end = axis_end([2.0 * found.old.high])
    return chart(now.axis("strokes", 0, 200, "strokes over each place"), now.axis("removed", 0, end), parts)


def say(now: Now) -> str:
    found, strokes = now.result, now.result.strokes
    words = (
        f"The deepest scratches of {now['previous_grade']} lie {now.show(found.old, 'scratch_depth')} deep. "
        f"{now['grade']} under {now.text('force')} buries them in {now.show(strokes.least, 'strokes')} over each "
        f"place; there and back is two. The {now.text('film')} of film bear "
        f"{now.show(strokes.ratio, 'stroke_ratio')} times as many. {VERDICTS[strokes.verdict]}"
    )
    if found.coarser:
        words += f" But {now['grade']} is coarser: it leaves deeper scratches of its own."
    if own.coefficient("wear_coefficient").kind == "measured by you":
        return words + " What your paper takes off was measured by you."
    return words + " Gauge, 50 strokes, gauge: that makes the number of strokes your own."


bench = Bench(
    title="Strokes that bury the last scratch",
    controls={"previous_grade": "P180", "grade": "P320", **HAND, "film": "60 µm"},
    compute=compute,
    draw=draw,
    say=say,
    sources=[
        "wear_coefficient",
        "size_exponent",
        "scratch_factor",
        "hardness_surfacer",
        "preston-1927",
        "ecv-grind",
        "scratch-calibration",
    ],
    measurement="removal",
)
