"""How many strokes sand out the scratches of the paper before, and whether the film stands them."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import sanding
from coursekit.lesson.content.shared.sanding_hand import (
    BLOCK_LENGTH,
    BLOCK_WIDTH,
    FORCE,
    SANDED,
    SANDED_OUT,
    axis_end,
    block,
    ease,
    hardness,
)
from coursekit.lesson.draw.picture import Chart, Span, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

STROKES = np.linspace(0, 200, 21)


@declare(
    "Strokes that sand out the last scratch",
    gives={
        "strokes": sanding.strokes_between,
        "old": "scratch_depth",  # deepest scratch of the paper before
        "taken": "removed",  # over STROKES
    },
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
def bench(
    previous_grade: str = at("P180"),
    grade: str = at("P320"),
    force: float = FORCE,
    block_length: float = BLOCK_LENGTH,
    block_width: float = BLOCK_WIDTH,
    sanded: str = SANDED,
    film: float = at("60 µm"),
) -> dict[str, Any]:
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
    pressure = float(sanding.block_pressure.si(force, held))
    return {
        "strokes": sanding.strokes_between.si(**{**mine, **given}),
        "old": own.band_si(sanding.scratch, grade=previous_grade, pressure=pressure, hardness=hard).deepest,
        "taken": own.band_si(
            sanding.removal,
            pressure=pressure,
            distance=STROKES * held.sliding,
            grade=grade,
            hardness=hard,
            cutting_ease=ease(sanded),
        ),
        "coarser": bool(sanding.grain_size.si(grade) > sanding.grain_size.si(previous_grade)),
    }


@bench.says
def say(now: Now) -> str:
    strokes = now.strokes
    words = (
        f"The deepest scratches of {now.previous_grade} are {now.old} deep. {now.grade} under {now.force} sands "
        f"them out in {strokes.least} over each spot; there and back is two. The {now.film} of film lasts for "
        f"{strokes.ratio} times as many. {SANDED_OUT[strokes.verdict]}"
    )
    if now.coarser:
        words += f" But {now.grade} is coarser: it leaves deeper scratches of its own."
    if own.coefficient("wear_coefficient").kind == "measured by you":
        return words + " What your paper takes off was measured by you."
    return words + f" Gauge, {now.figure(50.0, 'strokes')}, gauge: that makes the number of strokes your own."


@bench.draws
def draw(now: Now) -> Drawn:
    scratch = now.taken.of(now.old)
    parts = [
        Span(scratch.low, scratch.high, f"deepest scratch of {now.previous_grade}"),
        *shaded(STROKES, now.taken, f"what {now.grade} may have taken off", "best estimate", pinned="pinned, best"),
    ]
    across = now.figure(STROKES, "strokes").axis(200.0, "strokes over each spot")
    return Chart(across, now.taken.axis(axis_end([2.0 * now.old.most])), parts)
