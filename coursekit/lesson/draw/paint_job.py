"""The panel to coat, and the cups of paint that it takes."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from coursekit.drawing import Point
from coursekit.lesson.draw.charts import box, ticks
from coursekit.lesson.draw.drawing import FINE, HEAVY, USUAL, box_of, line, material, outline
from coursekit.markup import Markup

CUPS = (50e-6, 250e-6, 1e-3, 5e-3, 25e-3, 125e-3)  # m³ that a cup drawn holds: the next where one is passed
LARGEST = 2.0  # m² that the largest door drawn stands for
DOOR = 150.0  # px of its height
MARK = 8.0  # px of a mark on a cup
# A door and its window: shares of its height.
BODY = ((0, 0.1), (0.06, 0), (0.94, 0), (1.04, 0.2), (1.02, 0.6), (0, 0.6))
GLASS = ((0, 0.6), (0.16, 1.0), (0.9, 0.98), (1.02, 0.6))
HANDLE, CREASE = ((0.8, 0.47), (0.94, 0.47)), ((0.02, 0.32), (1.03, 0.34))


def door(area: float, left: float, ground: float) -> list[Markup]:
    """A door in outline, as large as its area (m²); its lower edge stands at `ground`."""
    scale = DOOR * min(area / LARGEST, 1) ** 0.5

    def at(places: Sequence[Point]) -> list[Point]:
        return [(left + x * scale, ground - y * scale) for x, y in places]

    return [
        material("surfacer", at(BODY), HEAVY),
        outline(at(GLASS), USUAL),
        line("M", *at(HANDLE)[0], "L", *at(HANDLE)[1], weight=HEAVY),
        line("M", *at(CREASE)[0], "L", *at(CREASE)[1], weight=FINE),
    ]


def cup(
    place: tuple[float, float, float, float], most: float, parts: Sequence[tuple[float, str]]
) -> tuple[list[Markup], list[float]]:
    """A straight cup with its marks, and how high (px down the drawing) each of its parts begins and ends.

    place  left, ground, width and height of the cup, px
    most   what it holds
    parts  from the ground up: how much, and its material or hatching
    """
    left, ground, wide, tall = place
    full = [0.0, *itertools.accumulate(size for size, _ in parts)]
    heights = [ground - tall * min(each / most, 1.0) for each in full]
    marks: list[str | float] = []
    for value in ticks(0.0, most, 8)[1:]:
        marks += ["M", left, ground - tall * value / most, "h", MARK]
    body = [
        box_of(look, left, above, wide, below - above)
        if look == "surfacer"
        else box(left, above, wide, below - above, look)
        for (below, above), (_, look) in zip(itertools.pairwise(heights), parts, strict=True)
    ]
    rim = ground - tall - 6
    wall = line("M", left, rim, "V", ground, "H", left + wide, "V", rim, weight=HEAVY)
    return [*body, line(*marks, weight=FINE), wall], heights
