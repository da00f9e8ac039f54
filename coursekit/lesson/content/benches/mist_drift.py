"""How long a drop stays up, and how far a draught carries it before it lands."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.lesson.draw.picture import Chart, Line, Mark, Row, Span
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

SIZES = np.geomspace(5e-6, 100e-6, 60)
FURTHEST, LONGEST = 12.0, 20 * 60.0  # of the axes, m and s
GARAGE = 6.0  # m, length of the demo garage
MIST_DENSITY = 1200.0  # kg/m³, of drops that are drying


@declare(
    "How far the mist goes",
    gives={"far": "drift", "long": "fall_time", "distance": "drift", "time": "fall_time"},
    about=lambda units: (
        f"Drops that miss the panel, sinking in air of {units(ROOM_TEMPERATURE, 'temperature')}. Nothing turns or "
        "lifts them here; real air does."
    ),
    sources=["schiller-naumann", "cunningham-slip"],
)
def bench(
    diameter: float = at("20 µm", slider=(5, 100, 1), slider_us=(5, 100, 1)),
    fall_height: float = at("1.2 m"),
    draught: float = at("0.2 m/s", slider=(0, 1, 0.05), slider_us=(0, 200, 10)),
) -> dict[str, Any]:
    sizes = np.append(SIZES, diameter)
    time = spraying.fall_time.si(fall_height, sizes, MIST_DENSITY)
    distance = spraying.drift_distance.si(fall_height, sizes, draught, MIST_DENSITY)
    return {"far": distance[:-1], "long": time[:-1], "distance": float(distance[-1]), "time": float(time[-1])}


@bench.says
def say(now: Now) -> str:
    words = f"A drop of {now.diameter} takes {now.time:2} to sink {now.fall_height} through still air"
    if now.draught > 0:
        words += f". A draught of {now.draught} carries it {now.distance:2} along in that time"
        words += (
            ", further than the garage of the demo is long. It lands everywhere, also on the other side of the car."
            if now.distance > GARAGE
            else "."
        )
    else:
        words += ". Without a draught it lands about where it was."
    return words + (
        " Half as large, a drop sinks four times as slowly. What misses the panel as coarse drops lies within a "
        "step or two. What misses it as fine mist is dry dust by the time it comes down."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    sizes = now.diameter.of(SIZES)
    across = sizes.axis(SIZES[-1], "diameter of the drop")
    charts = []
    for curve, here, most, label in (
        (now.far, now.distance, FURTHEST, "carried along"),
        (now.long, now.time, LONGEST, "time until it lies"),
    ):
        drop = Mark(now.diameter, here.of(min(here.si, most)), "this drop")
        charts.append(Chart(across, curve.axis(most, label), [Line(sizes, curve, kept="pinned"), drop], 400, 330))
    beyond = Span(now.far.of(GARAGE), now.far.of(FURTHEST), "beyond the garage")
    return Row(Chart(across, charts[0].y, [beyond, *charts[0].parts], 400, 330), charts[1])
