"""What moves a loss: each uncertain number with its thing drawn, and how far the loss moves with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coursekit.drawing import corners
from coursekit.figure import Axis
from coursekit.lesson.draw.charts import ACCENT, clear_ticks
from coursekit.lesson.draw.drawing import FINE, HEAVY, PAGE, ROW, USUAL, Sketch, ground, label, line, outline, specks
from coursekit.markup import Markup, together

WIDTH, LEFT, RIGHT = 640.0, 70.0, 620.0
HIGH, BAR, FOOT = 62.0, 18.0, 48.0  # px of a row, of its bar, and under the last one


class Lever(NamedTuple):
    """A number, its words, and the loss at both of its ends, in the unit shown."""

    key: str
    words: str
    low: float
    high: float


def levers(rows: Sequence[Lever], now: float, told: str, axis: Axis, pinned: float | None = None) -> Sketch:
    """Bars from end to end about the loss as it is best known; the widest is worth measuring first."""
    foot = 34 + HIGH * len(rows)

    def at(value: float) -> float:
        return LEFT + (RIGHT - LEFT) * min(max((value - axis.low) / (axis.high - axis.low), 0.0), 1.0)

    parts: list[Markup] = [label(LEFT, 16, told)]
    for number, row in enumerate(rows):
        top = 34 + HIGH * number
        x, end = at(row.low), max(at(row.high), at(row.low) + 2)
        parts += [
            _thing(row.key, 8.0, top + 4),
            label(LEFT, top + 13, row.words),
            outline(corners(x, top + ROW + 3, end - x, BAR), USUAL, fill=ACCENT, fill_opacity="0.35"),
            line("M", x, top + ROW, "v", BAR + 6, "M", end, top + ROW, "v", BAR + 6, weight=HEAVY),
        ]
        parts.append(line("M", at(now), top + ROW - 1, "v", BAR + 8, weight=USUAL))
        if pinned is not None:
            parts.append(line("M", at(pinned), top + ROW - 1, "v", BAR + 8, weight=USUAL, stroke_dasharray="3 3"))
    parts.append(line("M", LEFT, foot, "H", RIGHT, weight=FINE))
    for value in clear_ticks(axis.low, axis.high, RIGHT - LEFT):
        parts += [
            line("M", at(value), foot, "v", 6, weight=FINE),
            label(at(value), foot + 21, f"{value:g}", "middle"),
        ]
    parts.append(label((LEFT + RIGHT) / 2, foot + 42, axis.label, "middle"))
    return Sketch(parts, WIDTH, foot + FOOT)


def _thing(key: str, x: float, y: float) -> Markup:
    """The thing that the number belongs to, 44 px wide."""
    if key == "transfer_efficiency":  # a gun's spray, some of it past the panel
        gun = [(x, y + 8), (x + 14, y + 8), (x + 14, y + 14), (x + 6, y + 14), (x + 4, y + 26), (x, y + 26)]
        fan = [(x + 15, y + 10), (x + 40, y - 4), (x + 40, y + 26), (x + 15, y + 12)]
        return together(
            (
                ground(gun),
                outline(fan, FINE, fill=ACCENT, fill_opacity="0.18"),
                line("M", x + 41, y + 2, "V", y + 34, weight=5),
                specks(6, corners(x + 44, y - 8, 6, 12), 1.2),
            )
        )
    if key == "left_in_cup":  # a cup with a little in it
        cup = [(x + 8, y), (x + 36, y), (x + 30, y + 34), (x + 14, y + 34)]
        left = [(x + 12.5, y + 25), (x + 31.5, y + 25), (x + 30, y + 34), (x + 14, y + 34)]
        return outline(left, 0.0, fill="currentColor", opacity=0.5) + outline(cup, USUAL)
    if key == "left_in_strainer":  # a paper cone with a mesh at its foot
        cone = [(x + 4, y), (x + 40, y), (x + 26, y + 32), (x + 18, y + 32)]
        mesh = [(x + 13, y + 20), (x + 31, y + 20), (x + 26, y + 32), (x + 18, y + 32)]
        return outline(cone, USUAL) + ground(mesh, "cross", FINE, 5.0)
    can = [(x + 8, y + 6), (x + 36, y + 6), (x + 36, y + 36), (x + 8, y + 36)]  # the can that the wash goes into
    lid = [(x + 16, y), (x + 28, y), (x + 28, y + 6), (x + 16, y + 6)]
    return together((ground(can, "level", pitch=8.0), outline(lid, USUAL, fill=PAGE)))
