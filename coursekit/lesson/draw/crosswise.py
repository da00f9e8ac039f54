"""A card blocked one way and crosswise: the strokes from above, and the waves that each leaves in section."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from coursekit.figure import Figure
from coursekit.lesson.draw.drawing import (
    FINE,
    HEAVY,
    ROW,
    USUAL,
    Sketch,
    arrow,
    between,
    frame,
    label,
    line,
    material,
)
from coursekit.markup import Markup

WIDTH, HEIGHT, HALF = 640.0, 268.0, 328.0
CARD, TOP = 112.0, 30.0  # px: a side of the card, and where it begins
SECTION, WAVES = 300.0, 3  # px of a section, and waves in it
TALL, DEEP = 15.0, 4.0  # px of the wave at the start, half from crest to hollow; of what lies under it
FIRST = TOP + CARD + 26.0  # px down to the words of the first section


def crosswise(start: Figure, ways: Sequence[tuple[str, Sequence[Figure], bool]]) -> Sketch:
    """Both cards side by side.

    start  height of the waves before
    ways   its title, the waves left along the first strokes and across them, and whether it was crossed
    """
    parts = [
        part
        for number, (title, left, crossed) in enumerate(ways)
        for part in _one(HALF * number, title, left, start, crossed)
    ]
    parts.append(
        label(0, HEIGHT - 4, f"Dashed: the wave of {start} before. Heights of both to one scale, far enlarged.")
    )
    return Sketch(parts, WIDTH, HEIGHT)


def _one(x: float, title: str, left: Sequence[Figure], start: Figure, crossed: bool) -> Iterator[Markup]:
    yield label(x, 16, title, font_weight="700")
    yield material(
        "surfacer", [(x, TOP), (x + CARD, TOP), (x + CARD, TOP + CARD), (x, TOP + CARD)], USUAL, above=True
    )
    for number in range(5):
        y = TOP + CARD * (number + 0.5) / 5
        yield arrow(x + 8, y, x + CARD - 8, y, USUAL)
    if crossed:
        for number in range(5):
            at = x + CARD * (number + 0.5) / 5
            yield arrow(at, TOP + CARD - 8, at, TOP + 8, USUAL, stroke_dasharray="6 3")
    yield frame(x, TOP, CARD, CARD)
    yield label(x + CARD + 10, TOP + 20, "strokes one way" if not crossed else "half this way,")
    yield label(x + CARD + 10, TOP + 20 + ROW, "" if not crossed else "half that way")
    for number, (words, height) in enumerate(zip(("along", "across"), left, strict=True)):
        yield from _section(x, FIRST + 44 * number, f"{words}: {height:2}", height.si / start.si if start.si else 0.0)


def _section(x: float, y: float, words: str, share: float) -> Iterator[Markup]:
    """What is left of the wave in section, beside what it was."""
    begin, wide = x + 138, SECTION - 138
    across = np.linspace(0.0, 1.0, 81)
    wave = -np.cos(2 * np.pi * WAVES * across)
    middle = y - 4
    yield material(
        "surfacer", between(begin + wide * across, middle + TALL * share * wave, np.full(81, middle + DEEP + 8)), 0.0
    )
    was = zip((begin + wide * across).tolist(), (middle + TALL * wave).tolist(), strict=True)
    now = zip((begin + wide * across).tolist(), (middle + TALL * share * wave).tolist(), strict=True)
    yield line("M", begin, middle - TALL, *(m for at in was for m in ("L", *at)), weight=FINE, stroke_dasharray="3 3")
    yield line("M", begin, middle - TALL * share, *(m for at in now for m in ("L", *at)), weight=HEAVY)
    yield label(x, y, words)
