"""A body line or a folded edge in section: the film that was on it, what is left, and where it is through."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from coursekit.figure import Figure
from coursekit.lesson.draw.drawing import FINE, HEAVY, Sketch, between, label, line, material
from coursekit.markup import Markup

WIDTH, LEFT, RIGHT = 640.0, 70.0, 626.0  # px; over the plot of the chart below
TOP, FILM, UNDER, SHEET = 30.0, 40.0, 9.0, 9.0  # px: the untouched film, as thick as it is drawn; what is under it
DEEPEST = 34.0  # px that the sheet falls away, at most
ROOM = 170.0  # px of words
GONE = 0.02  # of the film that was there: less shows what is under it


def over_line(
    place: Figure,
    film: tuple[Figure, Figure],
    names: tuple[str, str],
    relief: np.ndarray,
    reach: tuple[float, float],
    broken: str = "",
) -> Sketch:
    """Film across a line.

    place   m across it
    film    what was there everywhere, and what is left over `place`
    names   of the film and of what is under it
    relief  height of the sheet over `place`, m
    reach   m, ends of what is shown
    broken  where it is through, in words
    """
    shown = (place.si >= reach[0]) & (place.si <= reach[1])
    x, left = place.si[shown], film[1].si[shown]
    scale = (RIGHT - LEFT) / (reach[1] - reach[0])
    across, high = LEFT + scale * (x - reach[0]), FILM / film[0].si
    falls = relief[shown].max() - relief[shown]
    sheet = TOP + FILM + falls * min(scale, DEEPEST / max(float(falls.max()), 1e-9))
    parts = [*_layers(across, sheet, high * left, names)]
    parts.append(_path(across, sheet - FILM, weight=FINE, stroke_dasharray="5 4"))
    through = left <= GONE * film[0].si
    if through.any():
        parts.append(_path(across[through], sheet[through], weight=2 * HEAVY))
    parts += _told(across, sheet - high * left, film[1].of(left), through, (names[1], broken))
    foot = float(sheet.max()) + UNDER + SHEET
    told = f"{names[0]}, {names[1]}, metal; dashed: as it was. Films not to scale."
    return Sketch([*parts, label(LEFT, foot + 19, told[:1].upper() + told[1:])], WIDTH, foot + 26)


def _told(
    across: np.ndarray, top: np.ndarray, left: Figure, through: np.ndarray, words: tuple[str, str]
) -> Iterator[Markup]:
    """What is left at both ends and where it is least."""
    under, broken = words
    least, last = int(left.si.argmin()), len(across) - 1
    middle = float(np.clip(across[least], LEFT + ROOM / 2, RIGHT - ROOM / 2))
    for at, anchor, x in ((0, "start", across[0]), (least, "middle", across[least]), (last, "end", across[-1])):
        if at != least and abs(across[at] - middle) < 1.25 * ROOM:
            continue
        if at == least and anchor == "middle" and least in (0, last):
            continue
        told = f"through: {under} shows" if through[at] else f"{left[at]:2} left"
        told += f", {broken}" if at == least and broken else ""
        place = middle if anchor == "middle" else float(x)
        yield line("M", place, 20, "L", x, top[at] - 1, weight=FINE)
        yield label(place, 15, told, anchor, font_weight="700" if at == least else "400")


def _layers(across: np.ndarray, sheet: np.ndarray, film: np.ndarray, names: tuple[str, str]) -> Iterator[Markup]:
    yield material("bare metal", between(across, sheet + UNDER, sheet + UNDER + SHEET))
    yield material(names[1], between(across, sheet, sheet + UNDER))
    yield material(names[0], between(across, sheet - film, sheet))


def _path(x: np.ndarray, y: np.ndarray, **look: Any) -> Markup:
    moves = [move for at in zip(x.tolist(), y.tolist(), strict=True) for move in ("L", *at)]
    return line("M", *moves[1:], **look)
