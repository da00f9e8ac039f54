"""A block in section over a body line or an edge: the hand in its middle, the pressure that it leaves as arrows."""

from __future__ import annotations

import math
from collections.abc import Iterator

from coursekit.figure import Figure, first_holding
from coursekit.lesson.draw.drawing import FINE, HEAVY, Sketch, arrow, ground, label, line, material, measure
from coursekit.markup import Markup

WIDTH, EDGE, TOP = 640.0, 400.0, 62.0  # px; where the line is, and the sheet
SCALE = 320.0  # px, the block's length
BODY, FILM, SHEET, FALL = 24.0, 7.0, 7.0, 0.2  # px: the block, surfacer and metal; how steeply the sheet falls away
PRESSED, STEP = 50.0, 15.0  # px: the longest arrow; from arrow to arrow
PRESSURES = (2.0, 4.0, 8.0)  # times that on the flat: what the longest arrow may stand for
FEEBLE = 0.02  # times that on the flat: less has no arrow
HEIGHT = TOP + FILM + SHEET + PRESSED + 44


def over_line(over: Figure, at_line: float, stands: Figure) -> Sketch:
    """A rigid block of which a share stands over the line.

    at_line  pressure at the line, over that on the flat
    stands   how far it stands over
    """
    left, right = EDGE - SCALE * (1 - over.si), EDGE + SCALE * over.si
    middle, low = (left + right) / 2, TOP + FILM + SHEET
    rest = 1 - over.si  # of the block's length
    far = 2 / rest - at_line  # pressure at its other end: all of it together is the force of the hand
    bears = SCALE * (rest if far >= 0 else 2 / at_line)
    most = first_holding(PRESSURES, at_line)
    parts = [
        *_panel(),
        ground([(left, TOP), (right, TOP), (right, TOP - BODY), (left, TOP - BODY)], "back"),
        line("M", left, TOP, "H", right, weight=HEAVY),
        arrow(middle, 2, middle, TOP - BODY - 3, HEAVY),
        label(middle - 10, 18, "the hand", "end"),
        line("M", EDGE, TOP - BODY - 14, "V", low + 4, weight=FINE, stroke_dasharray="5 4"),
        label(EDGE + 14, TOP + 66, "line or edge"),
        line("M", EDGE + 12, TOP + 60, "L", EDGE + 2, TOP + 16, weight=FINE, opacity=0.7),
    ]
    if over.si > 0:
        parts.append(measure(EDGE, TOP - BODY - 8, right, TOP - BODY - 8, ""))
        parts.append(label(max(EDGE + 4, middle + 12), TOP - BODY - 16, f"{stands:2}, {over:2}"))
    for number in range(math.floor(bears / STEP) + 1):
        back = number * STEP
        pressed = at_line + back / bears * (max(far, 0.0) - at_line)
        if pressed > FEEBLE:
            parts.append(arrow(EDGE - back, low, EDGE - back, low + PRESSED * min(pressed / most, 1.0)))
    words = f"at the line {at_line:.2g} × that on the flat" if over.si else "as on the flat, to the line"
    parts += [
        label(EDGE, HEIGHT - 26, words, "middle"),
        label(4, HEIGHT - 6, "not to scale but for the block, its overhang and the arrows"),
        arrow(WIDTH - 114 - PRESSED / most, HEIGHT - 11, WIDTH - 114, HEIGHT - 11),
        label(WIDTH, HEIGHT - 6, "that on the flat", "end"),
    ]
    return Sketch(parts, WIDTH, HEIGHT)


def _panel() -> Iterator[Markup]:
    """Surfacer on the sheet, as thick as can be seen; beyond the line it falls away."""
    x, top = (0.0, EDGE, WIDTH), (TOP, TOP, TOP + FALL * (WIDTH - EDGE))
    for name, over, under in (("surfacer", 0.0, FILM), ("bare metal", FILM, FILM + SHEET)):
        upper = [(at, y + over) for at, y in zip(x, top, strict=True)]
        yield material(name, [*upper, *((at, y + under) for at, y in list(zip(x, top, strict=True))[::-1])])
