"""A blend in section: base that fades out coat by coat over the next panel, clear over all of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from coursekit.figure import Figure, first_holding
from coursekit.lesson.draw.drawing import (
    FINE,
    Sketch,
    apart,
    between,
    box_of,
    label,
    line,
    material,
    measure,
    told_beside,
)
from coursekit.markup import Markup

WIDTH, HEIGHT = 640.0, 150.0
LEFT, RIGHT, GROUND = 16.0, 624.0, 106.0  # px; the panels' ends and the top of what is under the base
UNDER, SHEET, CLEAR, FILM, SLIT = 11.0, 6.0, 8.0, 30.0, 5.0  # px: old paint, metal, clear, the most base; the gap
FILMS = (30e-6, 60e-6, 120e-6, 240e-6)  # m of base that FILM may stand for
BETWEEN = 14.0  # px from number to number at least


def zones(gap: float, reach: float, base: tuple[np.ndarray, np.ndarray, Figure], ends: Sequence[Figure]) -> Sketch:
    """Both panels, the repaired one cut short.

    gap    px across, where the next panel begins
    reach  m of it that are shown
    base   places into it (m), film there (m), and the whole film on the repaired panel
    ends   where each coat has faded out
    """
    place, film, whole = base
    scale, high = (RIGHT - gap) / reach, FILM / first_holding(FILMS, whole.si)
    here = np.linspace(0.0, reach, 91)
    x, y = (gap + scale * here).tolist(), (GROUND - high * np.interp(here, place, film, right=0.0)).tolist()
    shown = [gap + scale * end.si for end in ends if end.si <= reach]
    parts = [
        *_panel("surfacer", [LEFT, gap - SLIT], [GROUND - high * whole.si] * 2),
        *_panel("old paint", x, y),
        measure(LEFT, 8, gap - SLIT, 8, ""),
        label(LEFT, 28, "repaired"),
        measure(gap, 8, RIGHT, 8, ""),
        label(RIGHT, 28, "next panel, all scuffed: clear to its far edge", "end"),
    ]
    for number, (to, at) in enumerate(zip(shown, apart(shown, BETWEEN, gap, RIGHT), strict=True), start=1):
        parts.append(
            line("M", to, GROUND, "V", GROUND - 44, "L", at, GROUND - 50, weight=FINE, stroke_dasharray="4 3")
        )
        parts.append(label(at, GROUND - 53, number, "middle", font_weight="700"))
    for at, name, down in ((RIGHT - 140, "clear", -CLEAR / 2), (RIGHT - 70, "old paint", UNDER / 2)):
        parts += told_beside([(at - 12, GROUND + down, name)], at, GROUND - 22, GROUND - 22)
    foot = f"Base {whole}; each coat fades out at its number; films far thicker than they are."
    return Sketch([*parts, label(LEFT, HEIGHT - 6, foot)], WIDTH, HEIGHT)


def _panel(under: str, x: list[float], base: list[float]) -> Iterator[Markup]:
    """Metal, what is under the base, base as thick as it is, and clear, between two ends."""
    ground = [GROUND] * len(x)
    yield box_of("bare metal", x[0], GROUND + UNDER, x[-1] - x[0], SHEET)
    yield box_of(under, x[0], GROUND, x[-1] - x[0], UNDER)
    yield material("base", between(x, base, ground))
    yield material("clear", between(x, [y - CLEAR for y in base], base))
