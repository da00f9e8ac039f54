"""The blend area beside a body line: what is left of the clear on the line and on the flat."""

from __future__ import annotations

import numpy as np

from coursekit import panel
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.content.shared.sanded_piece import Cut, Job
from coursekit.lesson.draw.charts import Line, Part, Span, chart
from coursekit.lesson.workbench.bench import Bench, Control, Now

FORCE = 20.0  # N
REACH = 10e-3  # m either way of the line
CLEAR = dict(panel.FACTORY_COATS)["old clear"]


def compute(pad: str, removed: float, at_line: str, stop_distance: float) -> Cut:
    keep_off = None if at_line == "crosses it" else stop_distance
    return sanded_piece.cut(Job(panel.FACTORY_COATS, sanded_piece.PADS[pad], "P600", FORCE, "x", keep_off), removed)


def draw(now: Now) -> str:
    at = now.result
    place = now.number(at.place, "outward")
    parts: list[Part] = [
        Line(place, now.number(at.film, "clear_film"), "clear left"),
        Line(place[[0, -1]], now.number(np.array([CLEAR, CLEAR]), "clear_film"), "before", "dashed"),
    ]
    if now.kept:
        parts.append(Line(place, now.number(now.kept.result.film, "clear_film"), "kept", "dotted"))
    parts.append(Span(0, now.number(CLEAR / 3, "clear_film"), "less than a third left"))
    return chart(
        now.axis("outward", -REACH, REACH, "below ←   body line   → above"), now.axis("clear_film", 0, 50e-6), parts
    )


def say(now: Now) -> str:
    at: Cut = now.result
    words = (
        f"Work that takes {now.text('removed')} off a flat piece leaves {now.show(at.least, 'clear_film', 2)} "
        "of "
        f"{now.show(CLEAR, 'clear_film')} of clear on the body line, and {now.show(at.flat, 'clear_film', 2)} "
        f"on the flat well away from it. "
    )
    if now["at_line"] == "crosses it":
        if at.least < CLEAR / 3:
            return words + (
                "The line carries what the flat beside it does not: it is nearly through, or is. Stop "
                "short and do the line by hand, a few strokes."
            )
        more = (CLEAR - at.least) / max(CLEAR - at.flat, 1e-9)
        return words + f"The line has lost {more:.1f} times as much as the flat: look at it after every round."
    if now["removed"] > 0 and at.least > CLEAR - 0.1 * now["removed"]:
        words += (
            f"Beside the line a strip of {now.text('stop_distance')} stays glossy as well: dull it by hand, "
            "along the line, a few strokes with a worn paper."
        )
    return words


bench = Bench(
    title="Beside a body line",
    about="A piece of a door with a body line, all dulled with P600. What is finer than the map is cut through the "
    "line itself, where the sheet turns by 10° over a radius of 8 mm (5/16 in).",
    controls={
        "pad": "machine, hard pad",
        "removed": Control("5 µm", slider=(1, 15, 0.5), slider_us=(0.04, 0.6, 0.02), label="taken off the flat"),
        "at_line": "crosses it",
        "stop_distance": Control("10 mm", slider=(0, 40, 2), slider_us=(0, 1.5, 0.1), label="stops short by"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["preston-1927", "edge-overhang", "levelling-derived", "assumed-here"],
    measurement="removal",
    beside=True,
)
