"""Body lines and edges go first: the surfacer across a fold while the flat beside it is blocked."""

from __future__ import annotations

from typing import Any

from coursekit import sanding
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.content.shared.sanded_piece import Job
from coursekit.lesson.draw.line_cut import over_line
from coursekit.lesson.draw.picture import Chart, Line, level
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel.sanding import PREVIEW
from coursekit.sanding import Block

FORCE = 20.0  # N
REACH = 10e-3  # m of the section that is drawn
SURFACER = 80e-6
COATS = (("old primer", 50e-6), ("surfacer", SURFACER))
LINES = {"body line": "body line", "folded edge": "bottom edge"}
ALONG = {"along": "along it", "up and down": "across it", "cross-hatch": "both ways"}
REACHES = {"body line": (-REACH, REACH), "folded edge": (-REACH, 0.0)}  # m across the line
THROUGH = 0.005  # share of the line's length: less is not told
OVER = 0.45  # share of the block that hangs over an edge at most, when it crosses it


@declare(
    "The line goes first",
    gives={
        "place": "outward",
        "left": "film",  # of surfacer, across the line
        "least": "film",
        "flat": "film",
        "through": "remaining",  # share of the line's length
        "strokes": "strokes",
    },
    about=lambda units: (
        f"A piece of a door with {units(SURFACER, 'film')} of surfacer everywhere; sprayed film is thinner on a line "
        "than this, so yours goes sooner. The distance counts beside a body line; over an edge the block hangs by "
        f"up to {units(OVER, 'overhang')} of its length, or not at all."
    ),
    sources=[
        "wear_coefficient",
        "hardness_surfacer",
        "preston-1927",
        "edge-overhang",
        "levelling-derived",
        "assumed-here",
    ],
    measurement="removal",
)
def bench(
    held: str = at("hand block", options=("hand block", "foam block", "soft pad")),
    line_kind: str = at("body line"),
    stroke_direction: str = at("cross-hatch", label="strokes run, the line lying level"),
    at_line: str = at("crosses it"),
    stop_distance: float = at("10 mm", slider=(0, 40, 5), slider_us=(0, 1.5, 0.25), label="if it stops short, by"),
    removed: float = at("15 µm", slider=(0, 40, 1), slider_us=(0, 1.6, 0.05), label="taken off the flat"),
    *,
    preview: bool = False,
) -> dict[str, Any]:
    crosses, edge = at_line == "crosses it", line_kind == "folded edge"
    job = Job(
        COATS,
        held,
        "P320",
        FORCE,
        sanded_piece.WAYS[stroke_direction],
        None if crosses or edge else stop_distance,
        (OVER if crosses else 0.0) if edge else 0.25,
        PREVIEW if preview else 1.0,
    )
    tool = sanded_piece.tool(held)
    cut = sanded_piece.cut(job, removed, LINES[line_kind])
    return {
        "place": cut.place,
        "left": cut.film,
        "least": cut.least,
        "flat": cut.flat,
        "through": cut.through,
        "relief": cut.relief,
        "strokes": own.band_si(
            sanding.strokes_to_remove,
            removed=removed,
            force=FORCE,
            block=Block(tool.length, tool.width),
            grade="P320",
            hardness=own.coefficient("hardness_surfacer"),
        ),
    }


@bench.says
def say(now: Now) -> str:
    words = (
        f"{now.strokes} of P320 with the {now.held}, strokes {ALONG[now.stroke_direction]}, take {now.removed} off a "
        f"flat. Then {now.flat:2} of {now.left.of(SURFACER)} is left far from the {now.line_kind}, and on it "
        f"{now.least:2}, the mean along its length. "
    )
    if now.through > THROUGH:
        words += f"On {now.through:2} of its length it is through: there breakthrough begins. "
    gone, flat = float(SURFACER - now.least), float(SURFACER - now.flat)
    if flat > 0 and gone > 1.2 * flat:
        words += f"It has lost {gone / flat:.1f} times as much as the flat. "
    elif now.line_kind == "folded edge" and now.at_line == "crosses it" and gone < flat:
        words += "The door falls away towards its edge: the block bears less there. "
    if now.at_line == "crosses it":
        return words.rstrip()
    return words + (
        "The strip that the block never reached waits for a soft pad and a light hand."
        if now.line_kind == "folded edge"
        else f"The strip of {now.stop_distance} waits for a soft pad and a light hand."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    low, high = REACHES[now.line_kind]
    words = "below ←   body line   → above" if now.line_kind == "body line" else "panel ←   its folded edge"
    across = now.place.axis(high, words, low)
    parts = [
        Line(now.place, now.left, "surfacer left", pinned="pinned"),
        level(now.left.of(SURFACER), across, "before"),
        level(now.flat, across, "on the flat", "dashed"),
    ]

    broken = f"through on {now.through:2}" if now.through > THROUGH else ""
    return [
        over_line(
            now.place, (now.left.of(SURFACER), now.left), ("surfacer", "old paint"), now.relief, (low, high), broken
        ),
        Chart(across, now.left.axis(1e-4, "surfacer"), parts, height=230),
    ]
