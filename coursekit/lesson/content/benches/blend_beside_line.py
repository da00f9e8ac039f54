"""The blend area beside a body line: what is left of the clear on the line and on the flat."""

from __future__ import annotations

from typing import Any

from coursekit import panel
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.content.shared.sanded_piece import Job
from coursekit.lesson.draw.line_cut import over_line
from coursekit.lesson.draw.picture import Chart, Line, Part, Span, level
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel.sanding import PREVIEW

FORCE = 20.0  # N
REACH = 10e-3  # m either way of the line
CLEAR = dict(panel.FACTORY_COATS)["old clear"]
MOST = 50e-6  # m


@declare(
    "Beside a body line",
    gives={"place": "outward", "film": "clear_film", "flat": "clear_film", "least": "clear_film"},
    about=lambda units: (
        "A piece of a door with a body line, all scuffed with P600. What is finer than the map is cut through the "
        f"line itself, where the sheet turns by {units('10 °', 'angle')} over a radius of "
        f"{units('8 mm', 'lip_height'):2}."
    ),
    sources=["preston-1927", "edge-overhang", "levelling-derived", "assumed-here"],
    measurement="removal",
)
def bench(
    pad: str = at("machine, hard pad"),
    removed: float = at("5 µm", slider=(1, 15, 0.5), slider_us=(0.04, 0.6, 0.02), label="taken off the flat"),
    at_line: str = at("crosses it"),
    stop_distance: float = at("10 mm", slider=(0, 40, 2), slider_us=(0, 1.5, 0.1), label="if it stops short, by"),
    *,
    preview: bool = False,
) -> dict[str, Any]:
    keep_off = None if at_line == "crosses it" else stop_distance
    job = Job(
        panel.FACTORY_COATS, sanded_piece.PADS[pad], "P600", FORCE, "x", keep_off, finer=PREVIEW if preview else 1.0
    )
    cut = sanded_piece.cut(job, removed)
    return {"place": cut.place, "film": cut.film, "flat": cut.flat, "least": cut.least, "relief": cut.relief}


@bench.says
def say(now: Now) -> str:
    words = (
        f"Work that takes {now.removed} off a flat piece leaves {now.least:2} of {now.film.of(CLEAR):2} of clear on "
        f"the body line. Well away from it, {now.flat:2} is left on the flat. "
    )
    if now.at_line == "crosses it":
        if now.least < CLEAR / 3:
            return words + (
                "The line carries what the flat beside it does not: it is nearly through, or is. Stop short and do "
                "the line by hand, a few strokes."
            )
        more = float(CLEAR - now.least) / max(float(CLEAR - now.flat), 1e-9)
        return words + f"The line has lost {more:.1f} times as much as the flat: look at it after every round."
    if now.removed > 0 and now.least > CLEAR - 0.1 * now.removed:
        words += (
            f"Beside the line a strip of {now.stop_distance} stays glossy as well: scuff it by hand, along the line, "
            "a few strokes with a worn paper."
        )
    return words


@bench.draws
def draw(now: Now) -> Drawn:
    across = now.place.axis(REACH, "below ←   body line   → above", -REACH)
    parts: list[Part] = [
        Line(now.place, now.film, "clear left", pinned="pinned"),
        level(now.film.of(CLEAR), across, "before", "dashed"),
        Span(0, now.film.of(CLEAR / 3), "less than a third left"),
    ]
    before = now.film.of(CLEAR)
    return [
        over_line(now.place, (before, now.film), ("clear", "base"), now.relief, (-REACH, REACH)),
        Chart(across, now.film.axis(MOST), parts, height=230),
    ]
