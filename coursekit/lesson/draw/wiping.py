"""Paint in section on its way through cloths and paper: wax on its surface, and what is rubbed into its scratches."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from coursekit.drawing import Point, corners
from coursekit.lesson.draw.drawing import FINE, USUAL, Sketch, label, line, material, outline
from coursekit.markup import Markup

WIDTH, COLUMN, PAINT = 640.0, 160.0, 142.0  # px; a column, and the paint in it
LINE, WAX, THICK = (
    132.0,
    10.0,
    30.0,
)  # px: a row; all the wax that was on the surface, far thicker than it is; the paint
SCRATCHES, DEEP, OPEN = 7, 15.0, 6.0  # in a column; px: their depth, half of their width
LEAST = 0.35  # px: thinner is not drawn


class Stage(NamedTuple):
    """What was done, whether paper has been over it, and shares of the wax on the surface and in the scratches."""

    done: str
    sanded: bool
    surface: float
    rubbed_in: float
    told: Sequence[str]


def orders(rows: Sequence[tuple[str, Sequence[Stage]]]) -> Sketch:
    """One order of work a row, in its stages; the last of a row ends at the right."""
    parts = [
        part
        for number, (title, stages) in enumerate(rows)
        for part in (
            label(4, 16 + LINE * number, title, font_weight="700"),
            *(
                drawn
                for place, stage in enumerate(stages)
                for drawn in _stage(4 + COLUMN * (4 - len(stages) + place if place else 0), LINE * number, stage)
            ),
        )
    ]
    foot = LINE * len(rows)
    parts.append(label(4, foot + 14, "Solid: wax and silicone, far thicker than they are."))
    return Sketch(parts, WIDTH, foot + 20)


def _stage(left: float, over: float, stage: Stage) -> Iterator[Markup]:
    top = over + 38 + WAX + 4
    lands = list(_surface(left, top, DEEP)) if stage.sanded else [(left, top), (left + PAINT, top)]
    yield label(left, over + 36, stage.done)
    yield material("old paint", [*lands, (left + PAINT, top + THICK), (left, top + THICK)], FINE)
    solid = {"fill": "currentColor", "stroke": "none"}
    if stage.sanded and (full := DEEP * math.sqrt(stage.rubbed_in)) > LEAST:  # of a groove's area
        for x in _middles(left):
            half = OPEN * full / DEEP
            low = top + DEEP
            yield outline([(x - half, low - full), (x, low), (x + half, low - full)], 0.0, class_="ck-wax", **solid)
    if (thick := WAX * stage.surface) > LEAST:  # on the lands between the scratches
        edges = [left, *(x + side * OPEN for x in _middles(left) for side in (-1, 1)), left + PAINT]
        for start, end in zip(edges[::2], edges[1::2], strict=True) if stage.sanded else [(left, left + PAINT)]:
            yield outline(corners(start, top - thick, end - start, thick), 0.0, class_="ck-wax", **solid)
    yield line("M", *lands[0], *(move for at in lands[1:] for move in ("L", *at)), weight=USUAL)
    for number, words in enumerate(stage.told):
        yield label(left, top + THICK + 16 + 17 * number, words)


def _middles(left: float) -> Iterator[float]:
    return (left + PAINT * (number + 0.5) / SCRATCHES for number in range(SCRATCHES))


def _surface(left: float, top: float, deep: float) -> Iterator[Point]:
    yield (left, top)
    for x in _middles(left):
        yield from ((x - OPEN, top), (x, top + deep), (x + OPEN, top))
    yield (left + PAINT, top)
