"""How far from the line must I stop: what the film on it bears, against how far the hand varies."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import sanding
from coursekit.lesson.draw.overhang import over_line
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, level
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

OVER = np.linspace(0, 0.4, 81)
MOST = 8.0


@declare(
    "Stop short of the line",
    gives={"stop": sanding.distance_to_line, "stands_over": "stop_distance", "pressure": "pressure_ratio"},
    about="Pressure at the line when a rigid block stands over it, from the balance of force and moment alone. The "
    "force acts in the middle of the block: a half over, and it tips.",
    sources=["edge-overhang", "derived-here"],
)
def bench(
    film_at_line: float = at("50 µm"),
    removed: float = at("30 µm", slider=(1, 60, 1), slider_us=(0.04, 2.4, 0.04), label="taken off the flat"),
    block_length: float = at("125 mm", label="block, across the line", slider=(50, 400, 5), slider_us=(2, 16, 0.25)),
    hand_error: float = at("10 mm"),
) -> dict[str, Any]:
    stop = sanding.distance_to_line.si(film_at_line, removed, block_length, hand_error)
    return {
        "stop": stop,
        "stands_over": stop.overhang * block_length,
        "bears": film_at_line / removed,  # film on the line over film taken off
        "pressure": np.minimum(sanding.edge_overhang_pressure.si(OVER), MOST),
    }


@bench.says
def say(now: Now) -> str:
    stop = now.stop
    words = f"The line has {now.film_at_line}; the work takes {now.removed} off the flat. "
    if now.bears < 1:
        return words + str(stop.reason)
    words += (
        f"Pressed {now.bears:.2g} times as hard as the flat, the line is through: that is so when {stop.overhang:2} "
        f"of the block, {now.stands_over:2}, stands over it. Your hand varies {now.hand_error}: "
    )
    if stop.stop_distance > 0:
        return words + f"aim to stop {stop.stop_distance:2} short of it, or more."
    return words + (
        "led up to the line it is not quite through, but little is left on it. Look often, and stop short where "
        "film is to stay."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    over, bears = now.stop.overhang.of(OVER), min(now.bears, MOST)
    across = over.axis(OVER[-1], "of the block stands over the line")
    parts: list[Part] = [
        Line(over, now.pressure, "pressure at the line"),
        level(bears, across, "what its film bears", "dashed"),
        Mark(now.stop.overhang, bears, "most overhang"),
    ]
    chart = Chart(across, now.pressure.axis(MOST, "times that on the flat"), parts, height=250)
    at_line = float(np.interp(now.stop.overhang.si, OVER, now.pressure.si))
    return [over_line(now.stop.overhang, at_line, now.stands_over), chart]
