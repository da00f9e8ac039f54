"""The gun before the panel, from the side, and the way of the hand over it: both to scale."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from coursekit.drawing import Point, circle, corners
from coursekit.lesson.draw.charts import ACCENT
from coursekit.lesson.draw.drawing import (
    FINE,
    HEAVY,
    PAGE,
    USUAL,
    arrow,
    frame,
    here,
    label,
    line,
    lines_of,
    material,
    measure,
    outline,
)
from coursekit.markup import Markup, tag, together

SIDE = 420.0  # px for each m, of the side view, at most
OVER, UNDER = 80.0, 24.0  # px that half the fan, and the tip of a gun held low, may stand from where it is aimed
FACE, AIM = 226.0, 104.0  # where the panel stands in it, and how high it is aimed at
BUMP = 34.0  # px of the film's highest place, drawn over the panel
MOST_PASSES = 40
WAY = (300.0, 28.0, 330.0, 140.0)  # left, top, width and height of the place for the hand's way


class Stroke(NamedTuple):
    """How the gun is held and moved, m and radians; `film` is one pass over the places `across` it."""

    distance: float
    tilt: float
    across: np.ndarray
    film: np.ndarray
    width: float
    deep: float  # of the fan, along the stroke
    step: float
    lead: float
    panel: tuple[float, float]


def gun_at(place: Point, turned: float = 0.0) -> Markup:
    """A gun from its side that points to the right, its tip at that place, turned by so many degrees."""
    body = [(0, -4), (-7, -7), (-58, -7), (-58, 6), (-56, 34), (-44, 34), (-41, 8), (-7, 7), (0, 4)]
    cup = [(-24, -7), (-27, -20), (-32, -28), (-8, -28), (-13, -20), (-16, -7)]
    return tag(
        "g",
        outline(body, USUAL, fill="currentColor", fill_opacity="0.15"),
        outline(cup, USUAL, fill=PAGE),
        transform=f"translate({place[0]:.1f} {place[1]:.1f}) rotate({turned:.1f})",
    )


def from_the_side(stroke: Stroke, distance: Any, tilt: Any) -> list[Markup]:
    """Gun, rays of the fan and the film that one pass leaves over its width."""
    back, low = stroke.distance * math.cos(stroke.tilt), stroke.distance * math.sin(stroke.tilt)
    film = np.asarray(stroke.film) / max(float(np.max(stroke.film)), 1e-12)
    hit = np.flatnonzero(film > 0.01)
    first, last = float(stroke.across[hit[0]]), float(stroke.across[hit[-1]])
    # Smaller where the fan would reach over the words or the gun below the drawing.
    scale = min(SIDE, OVER / max(abs(first), abs(last), 1e-9), UNDER / max(low, 1e-9))
    gun = (FACE - scale * back, AIM + scale * low)
    ends = [AIM - scale * place for place in (first, last)]
    bump = [
        (FACE - BUMP * f, AIM - scale * a)
        for a, f in zip(stroke.across[hit[0] : hit[-1] + 1 : 6], film[hit[0] : hit[-1] + 1 : 6], strict=True)
    ]
    fan = [gun, (FACE, ends[0]), (FACE, ends[1])]
    held = gun_at(gun, -math.degrees(stroke.tilt))
    square = "square to the panel" if stroke.tilt == 0 else f"leans {tilt}"
    return [
        outline(fan, 0.0, fill=ACCENT, fill_opacity="0.18", stroke="none"),
        line("M", *gun, "L", *fan[1], "M", *gun, "L", *fan[2], weight=FINE),
        material("surfacer", [(FACE, ends[0]), *bump, (FACE, ends[1])], FINE),
        outline(corners(FACE, 24, 8, 164), USUAL, fill="currentColor", fill_opacity="0.3"),
        line("M", *gun, "L", FACE, AIM, weight=FINE, stroke_dasharray="4 3"),
        held,
        label(8, 16, f"{distance} away, {square}"),
    ]


def way_of_the_hand(stroke: Stroke, words: tuple[Any, Any, Any]) -> list[Markup]:
    """The panel from before it: passes as they overlap, trigger on and off, the fan on the second pass.

    words  for the step, the lead and the number of passes
    """
    left, top, wide, high = WAY
    scale = min((wide - 60) / (stroke.panel[0] + 2 * stroke.lead), high / (stroke.panel[1] + stroke.width))
    begin, end = left, left + (stroke.panel[0] + 2 * stroke.lead) * scale
    panel_left, panel_wide, panel_high = begin + stroke.lead * scale, stroke.panel[0] * scale, stroke.panel[1] * scale
    bottom = top + high - stroke.width * scale / 2
    count = round(stroke.panel[1] / stroke.step) + 1
    drawn = min(count, MOST_PASSES)
    fan = stroke.width * scale
    parts = [frame(panel_left, bottom - panel_high, panel_wide, panel_high, HEAVY)]
    for number in range(drawn):
        y = bottom - number * stroke.step * scale
        parts.append(
            outline(corners(begin, y - fan / 2, end - begin, fan), 0.0, fill=ACCENT, opacity=0.13, stroke="none")
        )
    for number in range(drawn):
        y, there = bottom - number * stroke.step * scale, number % 2 == 0
        on, off = (begin, end) if there else (end, begin)
        parts.append(arrow(on, y, off, y, FINE))
        parts.append(circle(on, y, 3, fill="currentColor"))
        parts.append(circle(off, y, 3, fill=PAGE, stroke="currentColor", stroke_width=FINE))
    second = bottom - min(1, drawn - 1) * stroke.step * scale
    deep = max(stroke.deep * scale, 3)
    spot = panel_left + 0.62 * panel_wide
    parts += [
        outline(_ellipse(spot, second, deep / 2, fan / 2), HEAVY, fill=ACCENT, fill_opacity="0.5"),
        here(spot, second, 4),
        measure(end + 10, second, end + 10, bottom, words[0]) if drawn > 1 else Markup(""),
        label(left - 4, 16, f"{words[2]}, lead {words[1]}"),
        lines_of(left - 4, top + high + 18, ("● trigger on   ○ trigger off",)),
    ]
    return [together(parts)]


def _ellipse(x: float, y: float, across: float, up: float) -> list[tuple[float, float]]:
    turns = np.linspace(0, 2 * math.pi, 33)[:-1]
    return [(x + across * math.cos(turn), y + up * math.sin(turn)) for turn in turns.tolist()]
