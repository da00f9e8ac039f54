"""Patches of colour that touch, so that their difference can be seen, with words beneath for who cannot see it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coursekit.drawing import rect, text
from coursekit.lesson.draw.charts import OUTLINE, WIDTH, svg
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
