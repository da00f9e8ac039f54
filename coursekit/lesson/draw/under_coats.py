"""A scratch under base and clear, in section, and beside it which lamp shows a dip of that width."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from coursekit.drawing import Point, circle, rect
from coursekit.figure import Figure
from coursekit.lesson.draw.drawing import FINE, HEAVY, Sketch, label, line, material
from coursekit.markup import Markup

WIDTH, HEIGHT = 640.0, 172.0
LEFT, RIGHT, GROUND, FOOT = 4.0, 282.0, 92.0, 142.0  # px; the section, the surface that was sanded and its lower end
DEEP, COAT, MOST = 36.0, 9.0, 240.0  # px: the scratch, a coat as thick as it is drawn, the widest scratch
RULED, END, TOP, ROW = 392.0, 632.0, 44.0, 34.0  # px; the scale of widths, and its rows
WIDTHS = (1e-9, 1e-4)  # m; both ends of the scale, in even steps of tenfold


def under_coats(
    sanded: str,
    dips: Sequence[tuple[str, Figure]],
    coats: tuple[int, int],
    widths: tuple[Figure, Figure],
    lamps: tuple[Figure, Figure],
) -> Sketch:
    """The scratch as it is, under base and under clear.

    dips    what each is called and how wide it is: the scratch, the dip in the base, the dip in the clear
    coats   of base and of clear
    widths  of the scratch by the best estimate: its depth and how wide it is
    lamps   the finest width that a point lamp shows, and tubes
    """
    middles = [width.middle.si for _, width in dips]
    depth, width = (one.si for one in widths)
    across = min(width / depth * DEEP, MOST) / 2
    shares = [middle / middles[0] for middle in middles]
    parts = [*_section(sanded, coats, across, shares)]
    parts += _lamps(lamps)
    for number, (name, one) in enumerate(dips):
        parts += _width(TOP + ROW * number, name, one, bold=number == len(dips) - 1)
    return Sketch(parts, WIDTH, HEIGHT)


def _section(sanded: str, coats: tuple[int, int], across: float, shares: Sequence[float]) -> Iterator[Markup]:
    """Each coat levels and sinks: its dip is so much of the one under it as all of them leave together."""
    low = [(RIGHT, FOOT), (LEFT, FOOT)]
    under = _dipped(GROUND, across, 1.0)
    yield material(sanded, [*under, *low])
    top, share = GROUND, 1.0
    for name, count, end in (("base", coats[0], shares[1]), ("clear", coats[1], shares[2])):
        one = (end / share) ** (1 / count) if share > 0 else 0.0
        for _ in range(count):
            top, share = top - COAT, share * one
            over = _dipped(top, across, share)
            yield material(name, [*over, *under[::-1]])
            under = over
    yield label(LEFT, 14, f"{coats[0]} × base, {coats[1]} × clear on it")
    yield label(LEFT, FOOT + 19, "dips to scale, films not")


def _dipped(y: float, across: float, share: float) -> list[Point]:
    middle = (LEFT + RIGHT) / 2
    return [
        (LEFT, y),
        (middle - across * share, y),
        (middle, y + DEEP * share),
        (middle + across * share, y),
        (RIGHT, y),
    ]


def _at(width: float) -> float:
    low, high = (math.log(end) for end in WIDTHS)
    return RULED + (END - RULED) * (min(max(math.log(max(width, 1e-30)), low), high) - low) / (high - low)


def _lamps(lamps: tuple[Figure, Figure]) -> Iterator[Markup]:
    """What a lamp shows lies right of its line."""
    foot = TOP + 2 * ROW + 22
    for one, name, y in ((lamps[0], "a point lamp shows", 14.0), (lamps[1], "tubes show", foot + 23)):
        x = _at(one.si)
        yield rect(x, TOP - 18, END - x, foot - TOP + 18, fill="currentColor", opacity=0.12)
        yield line("M", x, min(y + 4, foot), "V", max(y - 14, TOP - 18), weight=HEAVY)
        yield label(END, y, f"{name} from {one:2} wide", "end")


def _width(y: float, name: str, width: Figure, bold: bool) -> Iterator[Markup]:
    low, high = _at(width.low.si), _at(width.high.si)
    weight = HEAVY if bold else FINE
    yield label(RULED - 8, y + 9, name, "end", font_weight="700" if bold else "400")
    yield line("M", low, y - 2, "v", 12, "m", 0, -6, "H", high, "m", 0, -6, "v", 12, weight=weight)
    yield circle(_at(width.middle.si), y + 4, 4.5 if bold else 3.0, fill="currentColor")
