"""The edge of a mask in section: tape lying flat beside tape folded back, and the film that ends under each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from coursekit.figure import Figure
from coursekit.lesson.draw.drawing import FINE, HEAVY, Sketch, arrow, box_of, label, line, material, measure
from coursekit.markup import Markup

WIDTH, HEIGHT, GROUND, GAP = 640.0, 150.0, 118.0, 16.0
FILM = 30.0  # px; the whole film, drawn thicker than it is and to one scale in both
TALL = 62.0  # px; of a lip at most


def tapes(
    sections: dict[str, tuple[np.ndarray, np.ndarray]], reach: float, lip: Figure, whole: Figure, film: str
) -> Sketch:
    """Both masks over the same stretch of panel.

    sections  by the way the tape is laid, `flat` and `raised`: places (m, outward from the lip) and dry film (m)
    reach     m to each side of the lip
    lip       how high the raised tape stands, to the scale of the places where there is room
    whole     film on the open panel
    film      its material
    """
    half = (WIDTH - GAP) / 2
    parts = [
        part
        for left, kind in ((0.0, "flat"), (half + GAP, "raised"))
        for part in _one(left, half, kind, (*sections[kind], reach), (lip, whole, film))
    ]
    parts.append(
        label(4, HEIGHT - 4, f"Places to scale, films far thicker than they are: {whole} on the open panel.")
    )
    return Sketch(parts, WIDTH, HEIGHT)


def _one(
    left: float,
    wide: float,
    kind: str,
    section: tuple[np.ndarray, np.ndarray, float],
    look: tuple[Figure, Figure, str],
) -> Iterator[Markup]:
    place, film, reach = section
    lip, whole, name = look
    middle, scale = left + wide / 2, wide / (2 * reach)
    x = middle + scale * np.asarray(place)
    y = GROUND - FILM * np.asarray(film) / whole.si
    yield box_of("old paint", left, GROUND, wide, 10)
    yield material(name, [(left, GROUND), *zip(x.tolist(), y.tolist(), strict=True), (left + wide, GROUND)], FINE)
    yield line("M", left, GROUND, "H", left + wide, weight=FINE)
    high = min(scale * lip.si, TALL)
    yield from tape_at(kind, left, middle, GROUND, high, wide / 8)
    yield label(left + 4, 16, "flat tape" if kind == "flat" else "tape folded back, standing up")
    if kind == "raised":
        round_ = min(high / 2, wide / 8)
        if high < TALL:
            yield measure(middle - round_ - 14, GROUND - 6, middle - round_ - 14, GROUND - high, "")
            yield label(middle - round_ - 20, GROUND - high / 2, f"{lip}", "end")
    for start in _mist(middle, wide):
        yield arrow(*start, start[0], start[1] + 20, FINE)


def tape_at(kind: str, left: float, lip: float, ground: float, high: float, widest: float) -> Iterator[Markup]:
    """Tape in section from the left to its lip, px: flat, or folded back so that its edge stands so high."""
    if kind == "flat":
        yield line("M", left, ground - 2.5, "H", lip, weight=5)
        return
    begin = lip - min(high / 2, widest)
    bent = ("Q", lip, ground - 2.5, lip, ground - high)
    yield line("M", left, ground - 2.5, "H", begin, *bent, weight=HEAVY + 1)


def _mist(middle: float, wide: float) -> Sequence[tuple[float, float]]:
    """Where the mist comes down from, over the open panel."""
    return [(middle + share * wide / 2, 30.0) for share in (0.2, 0.45, 0.7, 0.92)]
