"""Body lines and edges go first: the surfacer across a fold while the flat beside it is blocked."""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.content.shared.sanded_piece import Cut, Job
from coursekit.lesson.draw.charts import Line, Part, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.panel.sanding import PREVIEW
from coursekit.sanding import Block
from coursekit.uncertain import Band

FORCE = 20.0  # N
REACH = 10e-3  # m of the section that is drawn
SURFACER = 80e-6
COATS = (("old primer", 50e-6), ("surfacer", SURFACER))
LINES = {"body line": "body line", "folded edge": "bottom edge"}
ALONG = {"along": "along it", "up and down": "across it", "cross-hatch": "both ways"}
REACHES = {"body line": (-REACH, REACH), "folded edge": (-REACH, 0.0)}  # m across the line
OVER = 0.45  # share of the block that hangs over an edge at most, when it crosses it


class Blocked(NamedTuple):
    cut: Cut
    strokes: Band


def compute(
    held: str,
    line_kind: str,
    stroke_direction: str,
    at_line: str,
    stop_distance: float,
    removed: float,
    preview: bool = False,
) -> Blocked:
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
    strokes = own.banded(
        sanding.strokes_to_remove,
        removed=removed,
        force=FORCE,
        block=Block(tool.length, tool.width),
        grade="P320",
        hardness=own.coefficient("hardness_surfacer"),
    )
    return Blocked(sanded_piece.cut(job, removed, LINES[line_kind]), strokes)


def draw(now: Now) -> str:
    cut: Cut = now.result.cut
    low, high = REACHES[now["line_kind"]]
    place = now.number(cut.place, "outward")
    parts: list[Part] = [
        Line(place, now.number(cut.film, "film"), "surfacer left"),
        Line(place[[0, -1]], now.number(np.array([SURFACER, SURFACER]), "film"), "before", "dotted"),
        Line(place[[0, -1]], now.number(np.array([cut.flat, cut.flat]), "film"), "on the flat", "dashed"),
    ]
    if now.kept:
        kept: Cut = now.kept.result.cut
        parts.append(Line(now.number(kept.place, "outward"), now.number(kept.film, "film"), "kept", "dash-dot"))
    words = "below ←   body line   → above" if now["line_kind"] == "body line" else "panel ←   its folded edge"
    return chart(now.axis("outward", low, high, words), now.axis("film", 0, 1e-4, "surfacer"), parts)


def say(now: Now) -> str:
    cut, strokes = now.result
    edge = now["line_kind"] == "folded edge"
    words = (
        f"{now.show(strokes, 'strokes')} of P320 with the {now['held']}, strokes "
        f"{ALONG[now['stroke_direction']]}, "
        f"take {now.text('removed')} off a flat. Then {now.show(cut.flat, 'film', 2)} of "
        f"{now.show(SURFACER, 'film')} are left far from the {now['line_kind']}, and on it "
        f"{now.show(cut.least, 'film', 2)}, the mean along its length. "
    )
    if cut.through > 0.005:
        words += (
            f"On {now.show(cut.through, 'remaining', 2)} of its length it is through: there breakthrough begins. "
        )
    gone, flat = SURFACER - cut.least, SURFACER - cut.flat
    if flat > 0 and gone > 1.2 * flat:
        words += f"It has lost {gone / flat:.1f} times as much as the flat. "
    if now["at_line"] == "crosses it":
        return words
    return words + (
        "The strip that the block never reached waits for a soft pad and a light hand."
        if edge
        else f"The strip of {now.text('stop_distance')} waits for a soft pad and a light hand."
    )


bench = Bench(
    title="The line goes first",
    about="A piece of a door with 80 µm (3 mil) of surfacer everywhere; sprayed film is thinner on a line than "
    "this, so "
    "yours goes sooner. The distance counts beside a body line; over an edge the block hangs by up to 45 % of "
    "its "
    "length, or not at all.",
    controls={
        "held": Control("hand block", options=("hand block", "foam block", "soft pad")),
        "line_kind": "body line",
        "stroke_direction": Control("cross-hatch", label="strokes run, the line lying level"),
        "at_line": "crosses it",
        "stop_distance": Control("10 mm", slider=(0, 40, 5), slider_us=(0, 1.5, 0.25), label="stops short by"),
        "removed": Control("15 µm", slider=(0, 40, 1), slider_us=(0, 1.6, 0.05), label="taken off the flat"),
    },
    compute=compute,
    rough=partial(compute, preview=True),
    draw=draw,
    say=say,
    sources=[
        "wear_coefficient",
        "hardness_surfacer",
        "preston-1927",
        "edge-overhang",
        "levelling-derived",
        "assumed-here",
    ],
    measurement="removal",
    beside=True,
)
