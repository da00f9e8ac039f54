"""A repair as a ribbon of time: a row a day, hands at work against films that harden."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from coursekit.drawing import corners
from coursekit.lesson.draw.charts import ACCENT, box
from coursekit.lesson.draw.drawing import FINE, HEAVY, Sketch, label, line, outline
from coursekit.markup import Markup

WIDTH, LEFT, RIGHT, TOP = 640.0, 62.0, 632.0, 14.0
DAY = 24.0  # h of a row
MOST = 12  # rows


class Stretch(NamedTuple):
    """So many hours of one thing: its words, and its hatching; "work" is the hand's."""

    words: str
    hours: float
    look: str


def days(stretches: Sequence[Stretch], pinned: float | None = None) -> Sketch:
    """The stretches one after another; each is named once, in the key; a dashed line where a pinned one ends."""
    whole = sum(one.hours for one in stretches)
    rows = min(max(2, int(whole // DAY) + 1), MOST)
    deep = min(34.0, 190.0 / rows)
    parts: list[Markup] = []
    at = 0.0
    for one in stretches:
        parts += _pieces(at, at + one.hours, one.look, deep, rows)
        at += one.hours
    foot = TOP + deep * rows
    for row in range(rows):
        parts.append(label(LEFT - 8, TOP + deep * (row + 0.5) + 5, f"day {row + 1}", "end"))
        parts.append(outline(corners(LEFT, TOP + deep * row, RIGHT - LEFT, deep), FINE, opacity=0.5))
    if pinned is not None and pinned < DAY * rows:
        x, row = LEFT + (RIGHT - LEFT) * (pinned % DAY) / DAY, int(pinned // DAY)
        parts.append(line("M", x, TOP + deep * row - 3, "v", deep + 6, weight=HEAVY, stroke_dasharray="4 3"))
    for hour in range(0, 25, 4):
        x = LEFT + (RIGHT - LEFT) * hour / DAY
        parts += [line("M", x, foot, "v", 5, weight=FINE), label(min(x, RIGHT - 8), foot + 21, hour, "middle")]
    parts.append(label(LEFT - 8, foot + 21, "hours", "end"))
    known = list(dict.fromkeys((one.words, one.look) for one in stretches))
    for number, (words, look) in enumerate(known):
        y = foot + 36 + 24 * number
        parts += [_block(LEFT, y, 26, 15, look), label(LEFT + 33, y + 13, words)]
    return Sketch(parts, WIDTH, foot + 40 + 24 * len(known))


def _pieces(begin: float, end: float, look: str, deep: float, rows: int) -> Iterator[Markup]:
    for row in range(rows):
        low, high = max(begin, DAY * row) - DAY * row, min(end, DAY * (row + 1)) - DAY * row
        if high > low:
            x, wide = LEFT + (RIGHT - LEFT) * low / DAY, (RIGHT - LEFT) * (high - low) / DAY
            yield _block(x, TOP + deep * row + 2, wide, deep - 4, look)


def _block(x: float, y: float, wide: float, high: float, look: str) -> Markup:
    if look == "work":
        return outline(corners(x, y, wide, high), HEAVY, fill=ACCENT)
    return box(x, y, wide, high, look)
