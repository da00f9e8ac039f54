"""How far to step from pass to pass: what is best for this fan, and what half a fan does to it."""

from __future__ import annotations

import functools
from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, Row, upright
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.spraying.pattern import BestOverlap
from coursekit.uncertain import Band

OVERLAPS = np.linspace(0, 0.8, 65)
MOST = 0.6  # more overlap than that costs more passes than it evens out
WORST = 0.4  # of the axis
PASSES = np.arange(-3, 4)
PLACES = np.linspace(-1.2, 1.2, 193)  # in widths of the fan


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


@declare(
    "How far to step",
    gives={
        "pitch": "pitch",
        "stripes": spraying.stripes,
        "curve": "evenness",
        "best": spraying.best_overlap,
        "best_pitch": "pitch",
        "half": "evenness",
        "fans": "overlap",  # best overlap of the fans that yours may be, when it is not measured
    },
    about="Shape 1 is a fan that lays the same film over its whole width, 2 a parabola, 4 almost a bell. One pass "
    "over a card tells which is yours.",
    sources=["fan_shape", "beta-profile", "superposition-of-passes", "parabola-overlap"],
    measurement="pattern",
)
def bench(
    shape: float = at("2.5", measured="fan_shape"),
    width: float = at("200 mm", measured="open_fan", slider_us=(2, 14, 0.5)),
    overlap: float = at("50 %", outfit=True),
) -> dict[str, Any]:
    pitch = width * (1 - overlap)
    curve, best, half = of_shape(shape)
    known = own.coefficient("fan_shape")
    apart = PLACES - PASSES[:, None] * (pitch / width)
    passes = spraying.profile_height.si("beta", apart * width, width, shape) * (pitch / width)
    return {
        "pitch": pitch,
        "stripes": spraying.stripes.si("beta", pitch, width, shape),
        "curve": curve,
        "best": best,
        "best_pitch": width * (1 - best.overlap),
        "half": half,
        "fans": None if known.kind == "measured by you" else best_of_fans(known.low, known.high),
        "one": passes[3],  # film of one pass over the mean of all
        "all": passes.sum(axis=0),
    }


@bench.says
def say(now: Now) -> str:
    least, most = now.stripes.plain.least, now.stripes.plain.most
    words = (
        f"With {now.overlap} overlap the passes lie {now.pitch} apart, and the film varies by "
        f"{now.stripes.evenness:2} about its mean: from {least:.2f} to {most:.2f} times it. Half a fan "
        f"({now.overlap.of(0.5)}) would give {now.half:2}. For this fan the most even overlap up to "
        f"{now.overlap.of(MOST)} is {now.best.overlap:2}, {now.best_pitch} from pass to pass: {now.best.evenness:2}."
    )
    if now.fans is not None:
        words += (
            " You have not gauged the shape of your fan yet: the best overlap of common fans lies anywhere from "
            f"{now.fans}."
        )
    return words


@bench.draws
def draw(now: Now) -> Drawn:
    overlaps, unevenness = now.overlap.of(OVERLAPS), now.curve.axis(WORST, "unevenness")
    parts: list[Part] = [
        Line(overlaps, now.curve, "your fan", pinned="pinned fan"),
        upright(now.best.overlap, unevenness, f"best up to {now.overlap.of(MOST)}"),
        Mark(now.overlap, now.stripes.evenness, "now"),
    ]
    return Row(Chart(overlaps.axis(OVERLAPS[-1]), unevenness, parts, 430, 320), stripes(now))


def stripes(now: Now) -> Chart:
    """The film of passes side by side, over its mean, and one pass of it."""
    y, end = now.figure(PLACES * now.width.si, "across"), 0.7 * now.width.si
    here = np.abs(y.si) <= end
    parts = [Line(y[here], now.all[here], "all passes"), Line(y[here], now.one[here], "one pass", "dotted")]
    film = now.figure(0.0, "film_ratio").axis(2.0, "film over its mean")
    return Chart(y.axis(end, "across the passes", -end), film, parts, 370, 320)
