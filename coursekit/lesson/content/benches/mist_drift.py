"""How long a drop stays up, and how far a draught carries it before it lands."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.lesson.draw.charts import Line, Mark, Part, Span, chart, side_by_side
from coursekit.lesson.workbench.bench import Bench, Control, Now

SIZES = np.geomspace(5e-6, 100e-6, 60)
FURTHEST, LONGEST = 12.0, 20 * 60.0  # of the axes, m and s
GARAGE = 6.0  # m, length of the demo garage
MIST_DENSITY = 1200.0  # kg/m³, of drops that are drying


class Drift(NamedTuple):
    distance: np.ndarray
    time: np.ndarray
    distance_now: float
    time_now: float


def compute(diameter: float, fall_height: float, draught: float) -> Drift:
    sizes = np.append(SIZES, diameter)
    time = spraying.fall_time.si(fall_height, sizes, MIST_DENSITY)
    distance = spraying.drift_distance.si(fall_height, sizes, draught, MIST_DENSITY)
    return Drift(distance[:-1], time[:-1], float(distance[-1]), float(time[-1]))


def draw(now: Now) -> str:
    size = now.axis("diameter", 0, SIZES[-1], "diameter of the drop")
    far = curve(now, "distance", "drift", FURTHEST)
    end, top = (now.number(value, "drift") for value in (GARAGE, FURTHEST))
    return side_by_side(
        chart(
            size,
            now.axis("drift", 0, FURTHEST, "carried along"),
            [Span(end, top, "beyond the garage"), *far],
            400,
            330,
        ),
        chart(
            size,
            now.axis("fall_time", 0, LONGEST, "time until it lies"),
            curve(now, "time", "fall_time", LONGEST),
            400,
            330,
        ),
    )


def curve(now: Now, field: str, name: str, most: float) -> list[Part]:
    x = now.number(SIZES, "diameter")
    found: list[Part] = []
    if now.kept:
        found.append(Line(x, now.number(getattr(now.kept.result, field), name), "kept", "dashed"))
    found.append(Line(x, now.number(getattr(now.result, field), name)))
    value = min(getattr(now.result, f"{field}_now"), most)
    return [*found, Mark(now.number(now["diameter"], "diameter"), now.number(value, name), "this drop")]


def say(now: Now) -> str:
    found = now.result
    words = (
        f"A drop of {now.text('diameter')} takes {now.show(found.time_now, 'fall_time', 2)} to sink "
        f"{now.text('fall_height')} through still air"
    )
    if now["draught"] > 0:
        words += (
            f"; a draught of {now.text('draught')} carries it {now.show(found.distance_now, 'drift', 2)} "
            "along in that time"
        )
        words += (
            ", further than the garage of the demo is long: it lands everywhere, also on the other side of the car."
            if found.distance_now > GARAGE
            else "."
        )
    else:
        words += ". Without a draught it lands about where it was."
    return words + (
        " Half as large, a drop sinks four times as slowly. What misses the panel as coarse drops lies within a "
        "step or two; what misses it as fine mist is dry dust by the time it comes down."
    )


bench = Bench(
    title="How far the mist goes",
    about="Drops that miss the panel, sinking in air of 20 °C (68 °F). Nothing turns or lifts them here; real air "
    "does.",
    controls={
        "diameter": Control("20 µm", slider=(5, 100, 1), slider_us=(5, 100, 1)),
        "fall_height": "1.2 m",
        "draught": Control("0.2 m/s", slider=(0, 1, 0.05), slider_us=(0, 200, 10)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["schiller-naumann", "cunningham-slip"],
)
