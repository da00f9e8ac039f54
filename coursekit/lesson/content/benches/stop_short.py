"""How far from the line must I stop: what the film on it bears, against how far the hand strays."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.lesson.draw.charts import Line, Mark, Part, chart
from coursekit.lesson.workbench.bench import Bench, Control, Now

OVER = np.linspace(0, 0.4, 81)
MOST = 8.0


class Stopped(NamedTuple):
    stop: sanding.contours.Stop
    bears: float  # film on the line over film taken off


def compute(film_at_line: float, removed: float, block_length: float, hand_error: float) -> Stopped:
    return Stopped(
        sanding.distance_to_line.si(film_at_line, removed, block_length, hand_error), film_at_line / removed
    )


def draw(now: Now) -> str:
    found: Stopped = now.result
    across = now.number(OVER, "overhang")
    ratio = sanding.edge_overhang_pressure.si(OVER)
    bears = min(found.bears, MOST)
    parts: list[Part] = [
        Line(across, np.minimum(ratio, MOST), "pressure at the line"),
        Line(across[[0, -1]], [bears, bears], "what its film bears", "dashed"),
        Mark(now.number(found.stop.overhang, "overhang"), bears, "most overhang"),
    ]
    if now.kept:
        kept = min(now.kept.result.bears, MOST)
        parts.append(Mark(now.number(now.kept.result.stop.overhang, "overhang"), kept, "kept", True))
    return chart(
        now.axis("overhang", 0, 0.4, "of the block stands over the line"),
        now.axis("pressure_ratio", 0, MOST, "times that on the flat"),
        parts,
    )


def say(now: Now) -> str:
    found: Stopped = now.result
    stop = found.stop
    words = f"The line has {now.text('film_at_line')}; the work takes {now.text('removed')} off the flat. "
    if found.bears < 1:
        return words + stop.reason
    words += (
        f"Pressed {found.bears:.2g} times as hard as the flat, the line is through: that is so when "
        f"{now.show(stop.overhang, 'overhang', 2)} of the block, "
        f"{now.show(stop.overhang * now['block_length'], 'stop_distance', 2)}, stands over it. Your hand "
        f"strays {now.text('hand_error')}: "
    )
    if stop.stop_distance > 0:
        return words + f"aim to stop {now.show(stop.stop_distance, 'stop_distance', 2)} short of it, or more."
    return words + (
        "led up to the line it is not quite through, but little is left on it. Look often, and stop "
        "short where film is to stay."
    )


bench = Bench(
    title="Stop short of the line",
    about="Pressure at the line when a rigid block stands over it, from the balance of force and moment alone. The "
    "force acts in the middle of the block: a half over, and it tips.",
    controls={
        "film_at_line": "50 µm",
        "removed": Control("30 µm", slider=(1, 60, 1), slider_us=(0.04, 2.4, 0.04), label="taken off the flat"),
        "block_length": Control(
            "125 mm", label="block, across the line", slider=(50, 400, 5), slider_us=(2, 16, 0.25)
        ),
        "hand_error": "10 mm",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["edge-overhang", "derived-here"],
)
