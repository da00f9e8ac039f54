"""Patches of colour that touch, so that their difference can be seen, with words beneath for who cannot see it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coursekit.drawing import path, rect, text
from coursekit.lesson.draw.charts import OUTLINE, WIDTH, svg
from coursekit.lesson.draw.drawing import Sketch
from coursekit.markup import Markup


class Patch(NamedTuple):
    """A colour of the screen, what it is, and its numbers."""

    hex: str
    label: str = ""
    numbers: str = ""


def swatches(rows: Sequence[tuple[str, Sequence[Patch]]], width: int = WIDTH, height: int = 74) -> Markup:
    """Rows of patches that touch, each row with its title above it; patches without words make a strip."""
    body: list[Markup] = []
    top = 4.0
    for title, patches in rows:
        body.append(text(16, top + 14, title))
        wide = (width - 32) / max(len(patches), 1)
        for number, one in enumerate(patches):
            left = 16 + number * wide
            # A hair wider, its edges on whole pixels: no seam of the page's ground shows between two patches.
            body.append(rect(left, top + 22, wide + 0.4, height, fill=one.hex, shape_rendering="crispEdges"))
            for line, words in enumerate(words for words in (one.label, one.numbers) if words):
                body.append(text(left, top + height + 40 + 18 * line, words))
        body.append(rect(16, top + 22, width - 32, height, **OUTLINE))
        lines = max((bool(one.label) + bool(one.numbers) for one in patches), default=0)
        top += height + 34 + 18 * lines
    return svg(body, width, int(top + 4))


def under_a_tube(patches: Sequence[Patch], title: str) -> Sketch:
    """Patches that touch, base alone above and clear on it below: only clear mirrors the tube lamp over them."""
    left, top, half, lamp = 16.0, 26.0, 50.0, 14.0
    wide = (WIDTH - 2 * left) / len(patches)
    body: list[Markup] = [text(left, 16, title)]
    for number, one in enumerate(patches):
        x = left + number * wide
        body.append(rect(x, top, wide + 0.4, 2 * half, fill=one.hex, shape_rendering="crispEdges"))
        body += [text(x, top + 2 * half + 18 * row, words) for row, words in ((1, one.label), (2, one.numbers))]
    body += [
        rect(left, top + half + 6, WIDTH - 2 * left, lamp, fill="#fff", opacity=0.85),
        rect(left, top, WIDTH - 2 * left, 2 * half, **OUTLINE),
        path("M", left, top + half, "H", WIDTH - left, **OUTLINE),
        text(left + 6, top + 20, "base alone: no lamp to be seen", class_="ck-on"),
        text(left + 6, top + 2 * half - 8, "clear on it: it mirrors the lamp", class_="ck-on"),
    ]
    return Sketch(body, WIDTH, top + 2 * half + 44)
