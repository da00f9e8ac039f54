"""A cleared card, flattened and polished on the computed panel, with a gauge before and after."""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from coursekit import panel as acts
from coursekit import repair, sanding
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.repair.demo_recipes import moved
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.repair import Recipe, Replay

CARD = """
format = 2
title = "A cleared card"
[panel]
shape = "test card"
cell = "20 mm"
[[step]]
do = "clean"
[[step]]
do = "hand sand"
paper = "P600"
strokes = 60
[[step]]
do = "clean"
wipes = 3
[[step]]
do = "spray"
material = "base"
coats = 2
[[step]]
do = "wait"
time = "25 min"
[[step]]
do = "spray"
material = "clear"
coats = 2
fluid_delivery = "280 mL/min"
flash = "15 min"
[[step]]
do = "wait"
time = "24 h"
[[step]]
do = "hand sand"
tool = "foam block"
paper = "P1500"
force = "10 N"
strokes = 20
overhang = "0 %"
[[step]]
do = "polish"
compound = "medium"
time = "3 min"
overhang = "0 %"
"""
DRY, SAND, POLISH = 7, 8, 9


class Found(NamedTuple):
    before: float  # gauge, all layers, m
    after: float
    clear: float  # mean film of clear before, m
    removed: float  # true, where most went, m
    texture: tuple[float, float]  # amplitude, before and after, m
    verdict: str


@functools.lru_cache(maxsize=1)
def card() -> Recipe:
    return repair.loads(CARD, "card")


def compute(
    grade: str, strokes: float, force: float, polish_time: float, seed: float, preview: bool = False
) -> Found:
    recipe = moved(card(), SAND, paper=grade, strokes=strokes, force=force)
    played: Replay = repair.replay(moved(recipe, POLISH, time=polish_time), preview=preview)
    before, after = played[DRY - 1].panel, played[POLISH - 1].panel
    middle = (0.1, 0.3, 0.1, 0.3)
    where = acts.cells_of(after, middle)
    clear, left = (panel.film("clear")[where] for panel in (before, after))
    removed = float((clear - left).max())
    peel = [
        float(np.hypot(*(np.sqrt((band[where] ** 2).mean()) for band in panel.texture[2:])))
        for panel in (before, after)
    ]
    readings = [acts.gauge(panel, middle, seed=round(seed)).mean or 0.0 for panel in (before, after)]
    mean = float(clear.mean())
    return Found(
        readings[0],
        readings[1],
        mean,
        removed,
        (peel[0], peel[1]),
        sanding.polishing_budget.si(mean, min(removed, mean)).verdict,
    )


def draw(now: Now) -> str:
    found: Found = now.result
    rows = [
        Bar(
            "gauge before, all layers down to the steel",
            now.number(found.before, "film"),
            now.show(found.before, "film"),
        ),
        Bar("gauge after", now.number(found.after, "film"), now.show(found.after, "film")),
        Bar("clear before", now.number(found.clear, "film"), now.show(found.clear, "film"), "slant"),
        Bar(
            "clear left where most went",
            now.number(found.clear - found.removed, "film"),
            now.show(found.clear - found.removed, "film"),
            "slant",
        ),
    ]
    return bars(now.axis("film", 0, 1e-3).label, rows, now.number(250e-6, "film"), 700)


def say(now: Now) -> str:
    found: Found = now.result
    gone = found.before - found.after
    read = (
        f"its difference says {now.show(gone, 'removed', 2)} gone"
        if gone >= 0
        else "it reads more after than before: its error is larger than what went"
    )
    left = found.texture[1] / found.texture[0] if found.texture[0] else 0.0
    return (
        f"The gauge reads {now.show(found.before, 'film')} before and {now.show(found.after, 'film')} after: "
        f"{read}. The computed panel lost {now.show(found.removed, 'removed', 2)} where most went. "
        f"{now.show(left, 'remaining', 2)} of the orange peel is left. {verdict(now, found)}"
    )


def verdict(now: Now, found: Found) -> str:
    """Whether a published limit is passed, in the units shown."""
    left = now.show(found.clear - found.removed, "film")
    told = {
        "go": "No published limit is passed yet",
        "warn": "That is over the stricter limit: stop, and measure",
        "fail": "A published limit is passed: clear again",
    }[found.verdict]
    return f"{left} of clear are left there. {told}."


bench = Bench(
    title="Gauge before, gauge after",
    about="A card with base and two coats of clear on the old paint, a day old in the computation. Sanded by hand, "
    "then polished. Each reading of the gauge strays by 3 %; try another set of readings.",
    controls={
        "grade": Control("P1500", label="paper"),
        "strokes": Control("20", slider=(0, 300, 5)),
        "force": Control("10 N", slider=(4, 30, 1), slider_us=(1, 7, 0.25)),
        "polish_time": Control(
            "3 min", name="step_time", label="polishing", slider=(0, 20, 0.5), slider_us=(0, 20, 0.5)
        ),
        "seed": Control("1", name="seed", label="another set of readings", slider=(1, 20, 1), slider_us=(1, 20, 1)),
    },
    compute=compute,
    rough=functools.partial(compute, preview=True),
    draw=draw,
    say=say,
    sources=["wear_coefficient", "preston-1927", "bulletin-86-10-24", "service-information-2000", "assumed-here"],
    measurement="removal",
)
