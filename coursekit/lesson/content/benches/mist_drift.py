"""How long a drop stays up, and how far a draught carries it before it lands."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.figure import Figure
from coursekit.lesson.draw.charts import ACCENT
from coursekit.lesson.draw.drawing import HEAVY, Sketch, apart, arrow, here, label, line, lines_of
from coursekit.lesson.draw.garage import Scene, car, floor_scale, walls
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, Row, Span
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.markup import Markup

SIZES = np.geomspace(5e-6, 100e-6, 60)
FURTHEST, LONGEST = 12.0, 20 * 60.0  # of the axes, m and s
DROPS = np.array([10e-6, 20e-6, 50e-6, 100e-6])  # m, whose ways are drawn
HIGH = 2.4  # m, of the demo garage
BOLD = (None, "bold")  # weight of the words of other drops, and of this one
SCENE = Scene(40.0, 212.0, 78.0)
GARAGE = 6.0  # m, length of the demo garage
MIST_DENSITY = 1200.0  # kg/m³, of drops that are drying


@declare(
    "How far the mist goes",
    gives={"far": "drift", "lands": "drift", "long": "fall_time", "distance": "drift", "time": "fall_time"},
    about=lambda units: (
        f"Drops that miss the panel, sinking in air of {units(ROOM_TEMPERATURE, 'temperature')}. Nothing turns or "
        "lifts them here; real air does."
    ),
    sources=["schiller-naumann", "cunningham-slip"],
)
def bench(
    diameter: float = at("20 µm", slider=(5, 100, 1), slider_us=(5, 100, 1)),
    fall_height: float = at("1.2 m", slider=(0.2, 2.2, 0.1), slider_us=(1, 7, 0.5)),
    draught: float = at("0.2 m/s", slider=(0, 1, 0.05), slider_us=(0, 200, 10)),
) -> dict[str, Any]:
    sizes = np.r_[SIZES, DROPS, diameter]
    time = spraying.fall_time.si(fall_height, sizes, MIST_DENSITY)
    distance = spraying.drift_distance.si(fall_height, sizes, draught, MIST_DENSITY)
    return {
        "far": distance[: len(SIZES)],
        "long": time[: len(SIZES)],
        "lands": distance[len(SIZES) : -1],  # of DROPS
        "distance": float(distance[-1]),
        "time": float(time[-1]),
    }


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
    for curve, at_drop, most, name in (
        (now.far, now.distance, FURTHEST, "carried along"),
        (now.long, now.time, LONGEST, "time until it lies"),
    ):
        parts: list[Part] = [Line(sizes, curve, pinned="pinned")]
        if at_drop.si <= most:
            parts.append(Mark(now.diameter, at_drop, "this drop"))
        charts.append(Chart(across, curve.axis(most, name), parts, 400, 232))
    beyond = Span(now.far.of(GARAGE), now.far.of(FURTHEST), "beyond the garage")
    return [ways(now), Row(Chart(across, charts[0].y, [beyond, *charts[0].parts], 400, 232), charts[1])]


def ways(now: Now) -> Sketch:
    """The garage in section, to scale: each drop sinks from the gun and is carried along, in or out of the door."""
    axis = now.distance.axis(GARAGE)
    parts = [
        car(SCENE, 0.1),
        walls(SCENE, -0.3, GARAGE, HIGH),
        floor_scale(SCENE, axis, GARAGE / axis.high),
        label(8, SCENE.floor + 30, axis.label.rpartition("(")[2].rstrip(")")),
    ]
    if now.draught > 0:
        parts.append(arrow(SCENE.x(4.4), SCENE.y(1.9), SCENE.x(4.4 + 1.4 * now.draught.si), SCENE.y(1.9), HEAVY))
        parts.append(label(SCENE.x(4.4), SCENE.y(2.0), f"draught {now.draught}"))
    others = zip(now.diameter.of(DROPS), now.lands, strict=True)
    drops = [(size, far, False) for size, far in others if abs(size.si / now.diameter.si - 1) > 0.01]
    drops.append((now.diameter, now.distance, True))
    for _, far, mine in drops:
        parts += way(now, far, mine)
    leave = [one for one in drops if one[1].si > GARAGE]
    exits = [SCENE.y(begun(now) * (1 - GARAGE / far.si)) for _, far, _ in leave]
    beside = SCENE.x(GARAGE) + 8
    for (size, far, mine), at_exit in zip(leave, apart(exits, 19.0, 76.0, SCENE.floor - 4), strict=True):
        parts.append(label(beside, at_exit, f"{size}: {far:2}", font_weight=BOLD[mine]))
    lie = [one for one in drops if one[1].si <= GARAGE]
    places = apart([SCENE.x(far.si) + 6 for _, far, _ in lie], 66.0, SCENE.x(0) + 6, beside - 60)
    for (size, _, mine), at_floor in zip(lie, places, strict=True):
        parts.append(label(at_floor, SCENE.floor - 10, f"{size}", font_weight=BOLD[mine]))
    parts += [here(SCENE.x(0), SCENE.y(begun(now)), 5), lines_of(beside, 24, ("to scale,", "the door open"))]
    return Sketch(parts, height=SCENE.floor + 36)


def begun(now: Now) -> float:
    """How high the drops begin, m; the room has a ceiling."""
    return min(float(now.fall_height.si), HIGH - 0.05)


def way(now: Now, far: Figure, mine: bool) -> list[Markup]:
    """Of one drop: straight, as it sinks and drifts at one speed each, to where it lies or leaves the garage."""
    end = min(far.si, GARAGE)
    high = begun(now) * (1 - end / far.si) if far.si > 0 else 0.0
    look: dict[str, Any] = {"stroke": ACCENT, "weight": HEAVY} if mine else {"stroke_dasharray": "6 4"}
    drawn = [line("M", SCENE.x(0), SCENE.y(begun(now)), "L", SCENE.x(end), SCENE.y(high), **look)]
    if far.si <= GARAGE:
        drawn.append(here(SCENE.x(end), SCENE.floor, 5 if mine else 3))
    return drawn
