"""The flat that a pad cuts into a curve, by how stiff the pad is and how much it takes off."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import sanding
from coursekit.lesson.draw.picture import Chart, Line, Mark
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.repair.vocabulary import tools

STIFF = {
    name: float(tools()[tool]["backing"])
    for name, tool in (("hard pad", "machine pad"), ("firm foam", "foam block"), ("soft pad", "soft pad"))
}  # Pa/m
REMOVED = np.linspace(0, 20e-6, 41)
WIDTHS = (0.02, 0.05, 0.1, 0.2)  # m
FORCE_WIDTH = 0.15  # m, of the pad across the curve


@declare(
    "Pad and curve",
    gives={"curves": "flat_width", "flats": "flat_width", "bearing": "contact_width"},  # by the pad
    about="A pad that stands on one place of a curve and does not bend. The width is that of a flat which turns a "
    "highlight as far as the curve that was taken away.",
    sources=["levelling-derived", "assumed-here"],
    measurement="force",
)
def bench(
    removed: float = at("5 µm", slider=(0, 20, 0.5), slider_us=(0, 0.8, 0.02)),
    crown_radius: float = at("3 m"),
    block_length: float = at("150 mm", slider=(50, 300, 10), slider_us=(2, 12, 0.5), label="pad, along the curve"),
    force: float = at("20 N", measured="hand_force"),
) -> dict[str, Any]:
    pressure = force / (block_length * FORCE_WIDTH)
    curves, flats, bearing = {}, {}, {}
    for name, stiff in STIFF.items():
        widths = sanding.flat_width.si(np.append(REMOVED, removed), pressure, block_length, crown_radius, stiff)
        curves[name], flats[name] = widths[:-1], float(widths[-1])
        bearing[name] = float(sanding.crown_bearing.si(pressure, block_length, crown_radius, stiff).contact_width)
    return {"curves": curves, "flats": flats, "bearing": bearing}


@bench.says
def say(now: Now) -> str:
    told = " ".join(
        f"{name.capitalize()}: a flat of {now.flats[name]:2}, bearing on {now.bearing[name]:2}." for name in STIFF
    )
    return (
        f"Take {now.removed} off the middle of a curve of {now.crown_radius} with a pad of {now.block_length}. "
        f"{told} A flat turns a highlight where the curve should; the softer pad spreads the same work over more of "
        "the curve, and levels less."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    removed, hard = now.removed.of(REMOVED), now.curves["hard pad"]
    parts = [
        Line(removed, now.curves[name], name, dash, pinned)
        for name, dash, pinned in zip(
            STIFF, ("solid", "dashed", "dotted"), ("pinned, hard pad", None, None), strict=True
        )
    ]
    marks = [Mark(now.removed, flat, "" if number else "now") for number, flat in enumerate(now.flats.values())]
    return Chart(removed.axis(REMOVED[-1]), hard[-1].axis(WIDTHS), [*parts, *marks])
