"""The rim of a coat as it will show: the image of a tube lamp, in colour over it, bent by the slope of the rim."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from coursekit.drawing import corners, window
from coursekit.lesson.draw.drawing import Sketch, frame, label, material, outline
from coursekit.markup import Markup

WIDTH, LEFT, RIGHT = 640.0, 64.0, 632.0  # px; the strips lie over the plot of the chart below them
STRIP, DOWN, LAMP = 44.0, 68.0, 14.0  # px: a strip, from one to the next, the lamp's image
ROUND = 1e-3  # m, assumed
AWAY = 0.5  # m from panel to lamp: the image moves by twice the slope times this


def rims(rows: Sequence[tuple[str, np.ndarray, np.ndarray]], reach: float) -> Sketch:
    """Rims under each other: what was done, places across it (m) and film there (m)."""
    parts = [
        part
        for number, (title, place, film) in enumerate(rows)
        for part in _strip(DOWN * number, title, place, film, reach)
    ]
    high = DOWN * len(rows)
    return Sketch(
        [*parts, label(LEFT, high + 12, "A lamp an arm's length away, to the scale below.")], WIDTH, high + 18
    )


def _strip(over: float, title: str, place: np.ndarray, film: np.ndarray, reach: float) -> Iterator[Markup]:
    scale = (RIGHT - LEFT) / (2 * reach)
    x = LEFT + scale * (place + reach)
    top = over + 20
    near = top + STRIP / 2 - LAMP / 2 + scale * 2 * AWAY * slope(place, film)
    near = np.clip(near, top - 2 * STRIP, top + 3 * STRIP)  # out of the strip, it does not matter how far
    points = [*zip(x.tolist(), near.tolist(), strict=True)]
    points += [(a, b + LAMP) for a, b in points[::-1]]
    yield label(LEFT, over + 14, f"{title}, in colour under a tube lamp")
    yield material("clear", corners(LEFT, top, RIGHT - LEFT, STRIP), 0.0, above=True)
    yield window(LEFT, top, RIGHT - LEFT, STRIP, outline(points, 0.0, fill="#fff", stroke="none", class_="ck-lamp"))
    yield frame(LEFT, top, RIGHT - LEFT, STRIP)


def slope(place: np.ndarray, film: np.ndarray) -> np.ndarray:
    """Of the film from half of `ROUND` before to half after: what is narrower, colour and clear round off."""
    low, high = (np.interp(place + side * ROUND / 2, place, film) for side in (-1, 1))
    found: np.ndarray = (high - low) / ROUND
    return found
