"""Patches of colour that touch, so that their difference can be seen, with words beneath for who cannot see it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coursekit.lesson.draw.charts import WIDTH, svg, text


class Patch(NamedTuple):
    """A colour of the screen, what it is, and its numbers."""

    hex: str
    label: str = ""
    numbers: str = ""


def swatches(rows: Sequence[tuple[str, Sequence[Patch]]], width: int = WIDTH, height: int = 74) -> str:
    """Rows of patches that touch, each row with its title above it; patches without words make a strip."""
    body, top = [], 4.0
    for title, patches in rows:
        body.append(text(16, top + 14, title))
        wide = (width - 32) / max(len(patches), 1)
        for number, one in enumerate(patches):
            left = 16 + number * wide
            # A hair wider, its edges on whole pixels: no seam of the page's ground shows between two patches.
            body.append(
                f'<rect x="{left:.1f}" y="{top + 22}" width="{wide + 0.4:.1f}" height="{height}" '
                f'fill="{one.hex}" shape-rendering="crispEdges"/>'
            )
            for line, words in enumerate(words for words in (one.label, one.numbers) if words):
                body.append(text(left, top + height + 40 + 18 * line, words))
        body.append(
            f'<rect x="16" y="{top + 22}" width="{width - 32}" height="{height}" fill="none" stroke="currentColor"/>'
        )
        lines = max((bool(one.label) + bool(one.numbers) for one in patches), default=0)
        top += height + 34 + 18 * lines
    return svg("".join(body), width, int(top + 4))
