"""What speaks against painting in each hour of a day: a row for each thing, under the chart of the day."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import NamedTuple

from coursekit.drawing import text
from coursekit.lesson.draw.charts import LEFT, WIDTH, box
from coursekit.lesson.draw.drawing import FINE, Sketch, label, line
from coursekit.markup import Markup

RIGHT = WIDTH - 14.0  # px, as the chart's plot
HIGH, ROW = 20.0, 23.0  # px of a box, and from row to row
LETTER = 9.4  # px


class Against(NamedTuple):
    """Why an hour is spoken against: in words, and the hatching of its box."""

    words: str
    hatch: str


def hours_against(rows: Sequence[tuple[str, Sequence[Against | None]]]) -> Sketch:
    """A title and 24 hours a row."""
    parts = [part for number, (title, hours) in enumerate(rows) for part in _row(2 + ROW * number, title, hours)]
    return Sketch(parts, WIDTH, ROW * len(rows) + 2)


def _row(top: float, title: str, hours: Sequence[Against | None]) -> list[Markup]:
    hour, foot = (RIGHT - LEFT) / len(hours), top + HIGH
    parts = [
        text(LEFT - 8, top + 15, title, "end"),
        line("M", LEFT, foot, "H", RIGHT, weight=FINE, opacity=0.4),
    ]
    start = 0
    for reason, run in itertools.groupby(hours):
        count = len(list(run))
        if reason is not None:
            left, wide = LEFT + hour * start, hour * count
            parts.append(box(left, top, wide, HIGH, reason.hatch))
            if wide > LETTER * len(reason.words):
                parts.append(label(left + wide / 2, top + 15, reason.words, "middle"))
        start += count
    return parts
