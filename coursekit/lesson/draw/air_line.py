"""The air on its way from the compressor to the gun, with a gauge at each place. Lengths are not to scale."""

from __future__ import annotations

from typing import Any, NamedTuple

from coursekit.drawing import circle, corners
from coursekit.lesson.draw.charts import inside
from coursekit.lesson.draw.drawing import (
    FINE,
    HEAVY,
    NOT_TO_SCALE,
    PAGE,
    ROW,
    USUAL,
    arrow,
    gauge,
    ground,
    label,
    line,
    lines_of,
    outline,
    specks,
)
from coursekit.markup import Markup, together

PIPE = 132.0  # height of the line in the drawing
DENSE = 22  # dots in the receiver for each bar
PUMP, USED = 0.14, 0.14  # px of arrow for each L/min


class Supply(NamedTuple):
    """The line at one moment: pressures as shares of what its gauges reach, flows in L/min, the words for each."""

    receiver: float
    volume: float  # px of the receiver's length
    dots: int  # as many as there is air in the receiver
    regulator: float
    inlet: float
    cap: float
    given: float
    used: float
    bore: float  # px
    words: dict[str, Any]


def air_line(now: Supply) -> list[Markup]:
    """640 by 190: compressor and receiver outside, then wall, regulator, trap, hose, gun and cap."""
    words = now.words
    return [
        _receiver(now),
        ground(corners(202, 20, 9, 158), "slant", pitch=6.0),
        label(196, 186, "outside", "end"),
        label(217, 186, "garage"),
        _pipe(now),
        _regulator(now),
        _gun(now),
        label(18, 14, words["given"]),
        label(250, 40, words["regulator"], "middle"),
        label(300, PIPE + 52, "trap"),
        label(430, PIPE + 26, words["hose"], "middle"),
        lines_of(506, 22, ("at the gun", words["inlet"]), "middle"),
        *(
            label(inside(602, one, 636), 22 + ROW * n, one, "middle")
            for n, one in enumerate(("at the cap", words["cap"]))
        ),
        label(634, 186, NOT_TO_SCALE, "end"),
    ]


def _receiver(now: Supply) -> Markup:
    """The compressor on its receiver: dots as dense as the air in it."""
    left, top, high = 18.0, 96.0, 62.0
    end = left + now.volume
    vessel = [(left + 8, top), (end - 8, top), (end, top + 14), (end, top + high - 14), (end - 8, top + high)]
    vessel += [(left + 8, top + high), (left, top + high - 14), (left, top + 14)]
    pump = [(left + 14, top - 40), (left + 52, top - 40), (left + 52, top), (left + 14, top)]
    inside = corners(left + 6, top + 6, now.volume - 12, high - 12)
    return together(
        (
            outline(vessel, HEAVY, fill="currentColor", fill_opacity="0.05"),
            specks(now.dots, inside, 1.2),
            ground(pump, "upright", pitch=7.0),
            arrow(left + 33, top - 74, left + 33, top - 74 + max(PUMP * now.given, 10), USUAL),
            line("M", end - 18, top, "V", top - 14, weight=FINE),
            gauge(end - 18, top - 31, now.receiver),
            label(left + 4, top + high + 20, now.words["receiver"]),
            line("M", left + 12, top + high, "v", 6, "M", end - 12, top + high, "v", 6, weight=HEAVY),
        )
    )


def _pipe(now: Supply) -> Markup:
    """The stiff pipe to regulator and trap, then the hose, as wide as its bore."""
    begin = 18.0 + now.volume
    hose = ("M", 318, PIPE, "C", 350, PIPE, 350, PIPE - 34, 386, PIPE - 34, "S", 430, PIPE, 470, PIPE, "H", 514)
    bowl = [(288, PIPE + 4), (312, PIPE + 4), (312, PIPE + 26), (300, PIPE + 36), (288, PIPE + 26)]
    water = [(288, PIPE + 24), (312, PIPE + 24), (312, PIPE + 26), (300, PIPE + 36), (288, PIPE + 26)]
    return together(
        (
            line("M", begin, PIPE, "H", 318, weight=5),
            line(*hose, weight=now.bore + 3),
            line(*hose, weight=now.bore, stroke=PAGE),
            arrow(390, PIPE - 34, 390 + max(USED * now.used, 10), PIPE - 34 + 0.2 * now.used * USED, USUAL),
            outline(bowl, USUAL, fill=PAGE),
            outline(water, 0.0, fill="currentColor", opacity=0.5),
            label(352, PIPE - 48, now.words["used"]),
        )
    )


def _regulator(now: Supply) -> Markup:
    return together(
        (
            outline(corners(236, PIPE - 14, 28, 28), USUAL, fill=PAGE),
            line("M", 243, PIPE + 14, "v", 12, "h", 14, "v", -12, weight=USUAL),
            line("M", 250, PIPE - 14, "V", 86, weight=FINE),
            gauge(250, 68, now.regulator),
        )
    )


def _gun(now: Supply) -> Markup:
    """The gun, small, with its two gauges."""
    body = [(526, 96), (604, 96), (604, 116), (550, 116), (540, 150), (520, 150), (530, 116), (526, 116)]
    return together(
        (
            ground(body, "plain"),
            line("M", 514, PIPE, "Q", 520, PIPE, 524, 146, weight=5),
            outline([(604, 92), (614, 98), (614, 114), (604, 120)], USUAL, fill="currentColor", fill_opacity="0.3"),
            outline([(564, 96), (560, 80), (590, 80), (586, 96)], USUAL, fill=PAGE),
            line("M", 520, 122, "V", 84, weight=FINE),
            gauge(520, 66, now.inlet),
            line("M", 609, 92, "V", 84, weight=FINE),
            gauge(604, 66, now.cap),
            circle(520, 122, 2.4, fill="currentColor"),
        )
    )
