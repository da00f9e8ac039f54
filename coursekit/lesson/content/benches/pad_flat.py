"""The flat that a pad cuts into a curve, by how stiff the pad is and how much it takes off."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.lesson.draw.charts import Line, Mark, Part, chart
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.repair.vocabulary import tools

STIFF = {
    name: float(tools()[tool]["backing"])
    for name, tool in (("hard pad", "machine pad"), ("firm foam", "foam block"), ("soft pad", "soft pad"))
}  # Pa/m
REMOVED = np.linspace(0, 20e-6, 41)
WIDTHS = (0.02, 0.05, 0.1, 0.2)  # m
FORCE_WIDTH = 0.15  # m, of the pad across the curve


class Flats(NamedTuple):
    curves: dict[str, np.ndarray]
    now: dict[str, float]
    bearing: dict[str, float]  # width in contact


def compute(removed: float, crown_radius: float, block_length: float, force: float) -> Flats:
    pressure = force / (block_length * FORCE_WIDTH)
    curves, now, bearing = {}, {}, {}
    for name, stiff in STIFF.items():
        widths = sanding.flat_width.si(np.append(REMOVED, removed), pressure, block_length, crown_radius, stiff)
        curves[name], now[name] = widths[:-1], float(widths[-1])
        bearing[name] = float(sanding.crown_bearing.si(pressure, block_length, crown_radius, stiff).contact_width)
    return Flats(curves, now, bearing)


def draw(now: Now) -> str:
    found: Flats = now.result
    across = now.number(REMOVED, "removed")
    parts: list[Part] = [
        Line(across, now.number(found.curves[name], "flat_width"), name, dash)
        for name, dash in zip(STIFF, ("solid", "dashed", "dotted"), strict=True)
    ]
    at = now.number(now["removed"], "removed")
    parts += [
        Mark(at, now.number(width, "flat_width"), "now" if not number else "")
        for number, width in enumerate(found.now.values())
    ]
    if now.kept:
        parts.append(
            Line(across, now.number(now.kept.result.curves["hard pad"], "flat_width"), "kept, hard pad", "dash-dot")
        )
    end = next((end for end in WIDTHS if end >= found.curves["hard pad"][-1]), WIDTHS[-1])
    return chart(now.axis("removed", 0, 20e-6), now.axis("flat_width", 0, end), parts)


def say(now: Now) -> str:
    found: Flats = now.result
    told = "; ".join(
        f"{name}: a flat of {now.show(found.now[name], 'flat_width', 2)}, bearing on "
        f"{now.show(found.bearing[name], 'contact_width', 2)}"
        for name in STIFF
    )
    return (
        f"Taking {now.text('removed')} off the middle of a curve of {now.text('crown_radius')} with a pad of "
        f"{now.text('block_length')}: {told}. A flat turns a highlight where the curve should; the softer pad "
        "spreads the same work over more of the curve, and levels less."
    )


bench = Bench(
    title="Pad and curve",
    about="A pad that stands on one place of a curve and does not bend. The width is that of a flat which turns a "
    "highlight as far as the curve that was taken away.",
    controls={
        "removed": Control("5 µm", slider=(0, 20, 0.5), slider_us=(0, 0.8, 0.02)),
        "crown_radius": "3 m",
        "block_length": Control("150 mm", slider=(50, 300, 10), slider_us=(2, 12, 0.5), label="pad, along the curve"),
        "force": Control("20 N", measured="hand_force"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["levelling-derived", "assumed-here"],
    measurement="force",
)
