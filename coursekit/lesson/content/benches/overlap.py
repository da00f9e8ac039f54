"""How far to step from pass to pass: what is best for this fan, and what half a fan does to it."""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.lesson.draw.charts import Line, Mark, Part, chart, side_by_side
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.spraying.pattern import BestOverlap, Stripes
from coursekit.uncertain import Band

OVERLAPS = np.linspace(0, 0.8, 65)
MOST = 0.6  # more overlap than that costs more passes than it evens out
WORST = 0.4  # of the axis
PASSES = np.arange(-3, 4)
PLACES = np.linspace(-1.2, 1.2, 193)  # in widths of the fan


class Overlap(NamedTuple):
    pitch: float
    stripes: Stripes
    curve: np.ndarray
    best: BestOverlap
    half: float
    fans: Band | None  # best overlap of the fans that yours may be, when it is not measured
    one: np.ndarray  # film of one pass over the mean of all
    all: np.ndarray


@functools.lru_cache(maxsize=32)
def of_shape(shape: float) -> tuple[np.ndarray, BestOverlap, float]:
    """What hangs on the fan alone: unevenness over overlap, the best overlap, the unevenness of half a fan."""
    curve = spraying.evenness.si("beta", 1 - OVERLAPS, 1.0, shape)
    best = spraying.best_overlap.si("beta", shape, MOST)
    half = float(spraying.evenness.si("beta", 0.5, 1.0, shape))
    return curve, BestOverlap(float(best.overlap), float(best.evenness)), half


@functools.lru_cache(maxsize=2)
def best_of_fans(low: float, high: float) -> Band:
    """The best overlap of fans from one shape to another: it jumps, so the ends are not those of the shapes."""
    found = spraying.best_overlap.si("beta", np.linspace(low, high, 26), MOST).overlap
    return Band(float(found.min()), float(np.median(found)), float(found.max()))


def compute(shape: float, width: float, overlap: float) -> Overlap:
    pitch = width * (1 - overlap)
    curve, best, half = of_shape(shape)
    known = own.coefficient("fan_shape")
    fans = None if known.kind == "measured by you" else best_of_fans(known.low, known.high)
    apart = PLACES - PASSES[:, None] * (pitch / width)
    passes = spraying.profile_height.si("beta", apart * width, width, shape) * (pitch / width)
    return Overlap(
        pitch,
        spraying.stripes.si("beta", pitch, width, shape),
        curve,
        best,
        half,
        fans,
        passes[3],
        passes.sum(axis=0),
    )


def draw(now: Now) -> str:
    across = now.number(OVERLAPS, "overlap")
    best = now.number(now.result.best.overlap, "overlap")
    parts: list[Part] = [
        Line(across, now.number(now.result.curve, "evenness"), "your fan"),
        Line([best, best], [0, now.number(WORST, "evenness")], f"best up to {now.show(MOST, 'overlap')}", "dotted"),
    ]
    if now.kept:
        parts += [
            Line(across, now.number(now.kept.result.curve, "evenness"), "kept fan", "dashed"),
            mark(now.kept, "", kept=True),
        ]
    parts.append(mark(now, "now"))
    evenness = chart(now.axis("overlap", 0, 0.8), now.axis("evenness", 0, WORST, "unevenness"), parts, 430, 320)
    return side_by_side(evenness, stripes(now))


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    evenness = now.number(now.result.stripes.evenness, "evenness")
    return Mark(now.number(now["overlap"], "overlap"), evenness, label, kept)


def stripes(now: Now) -> str:
    """The film of passes side by side, over its mean, and one pass of it."""
    y = now.number(PLACES * now["width"], "across")
    end = now.number(0.7 * now["width"], "across")
    axis = now.axis("across", -0.7 * now["width"], 0.7 * now["width"], "across the passes")
    here = np.abs(y) <= end
    parts = [
        Line(y[here], now.result.all[here], "all passes"),
        Line(y[here], now.result.one[here], "one pass", "dotted"),
    ]
    return chart(axis, now.axis("film_ratio", 0, 2, "film over its mean"), parts, 370, 320)


def say(now: Now) -> str:
    found = now.result
    words = (
        f"With {now.text('overlap')} overlap the passes lie {now.show(found.pitch, 'pitch')} apart, and the film "
        f"varies by {now.show(found.stripes.evenness, 'evenness', 2)} about its mean: from "
        f"{found.stripes.least:.2f} to {found.stripes.most:.2f} times it. Half a fan (50\N{NARROW NO-BREAK SPACE}%) "
        f"would give {now.show(found.half, 'evenness', 2)}. For this fan the most even overlap up to "
        f"{now.show(MOST, 'overlap')} is {now.show(found.best.overlap, 'overlap', 2)}, "
        f"{now.show(now['width'] * (1 - found.best.overlap), 'pitch')} from pass to pass: "
        f"{now.show(found.best.evenness, 'evenness', 2)}."
    )
    if found.fans:
        words += (
            " You have not measured your fan yet: the best overlap of common fans lies anywhere from "
            f"{now.show(found.fans, 'overlap')}."
        )
    return words


bench = Bench(
    title="How far to step",
    about="Shape 1 is a fan that lays the same film over its whole width, 2 a parabola, 4 almost a bell. One pass "
    "over a card tells which is yours.",
    controls={
        "shape": Control("2.5", measured="fan_shape"),
        "width": Control("200 mm", slider_us=(2, 14, 0.25)),
        "overlap": Control("50 %", outfit=True),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["fan_shape", "beta-profile", "superposition-of-passes", "parabola-overlap"],
    measurement="pattern",
)
