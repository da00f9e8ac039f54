"""Old scratches in a film before and after strokes of a finer paper, in section."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coursekit.figure import Figure
from coursekit.lesson.draw.drawing import FINE, Sketch, between, label, line, material
from coursekit.markup import Markup

WIDTH, HEIGHT = 640.0, 150.0
TOP, GROUND, DEEPEST = 24.0, 10.0, 90.0  # px; the surface as it was, what is under the film, the film at most
SCALES = (16e6, 8e6, 4e6, 2e6)  # px a metre downwards
HALVES = ((4.0, 312.0), (328.0, 636.0))  # px: before, after
GROOVES, FINER = 7, 4  # old scratches in a half; new ones to an old one
OPEN = 0.62  # of the room of a groove that it takes at the surface


def sanded_out(
    papers: tuple[str, str],
    scratches: tuple[tuple[Figure, Figure], tuple[Figure, Figure]],
    film: Figure,
    taken: Figure,
    strokes: str,
    fast: bool,
) -> Sketch:
    """The film before, and after so many strokes.

    papers     that left the scratches, and that takes them out
    scratches  mean depth and deepest of each
    film       on filler
    taken      by the strokes, a band
    fast       whether the deepest scratch of a fast paper may be through
    """
    scale = next((one for one in SCALES if one * film.si <= DEEPEST), SCALES[-1])
    low = TOP + scale * film.si
    parts = [*_half(HALVES[0], TOP + scale * _grooves(scratches[0], GROOVES, HALVES[0]), low)]
    after = min(taken.middle.si, film.si + GROUND / scale / 3)  # into what is under it, no matter how far
    left = np.maximum(_grooves(scratches[0], GROOVES, HALVES[1]), after)
    if after > 0:
        left = np.maximum(left, after + _grooves(scratches[1], GROOVES * FINER, HALVES[1]))
    parts += _half(HALVES[1], TOP + scale * left, low)
    ends = [TOP + scale * end.si for end in (taken.low, taken.high) if 0 < end.si <= film.si]
    parts += [line("M", HALVES[1][0], y, "H", HALVES[1][1], weight=FINE, stroke_dasharray="5 4") for y in ends]
    told = "filler shows" if after >= film.si else "dashed: a slow and a fast paper" if ends else ""
    if fast and after < film.si:
        told = "a fast paper may be through to the filler"
    foot = low + GROUND + 18
    parts += [
        label(HALVES[0][0], 14, f"{papers[0]}, deepest {scratches[0][1]:2}"),
        label(HALVES[1][0], 14, f"after {strokes} of {papers[1]}", font_weight="700"),
        label(HALVES[0][0], foot, f"{film} on filler, depths to scale"),
        label(HALVES[1][0], foot, told),
    ]
    return Sketch(parts, WIDTH, HEIGHT)


def _grooves(depths: tuple[Figure, Figure], number: int, half: tuple[float, float]) -> np.ndarray:
    """Depth over `_places`, m: the middle one is the deepest, the others are as deep as the mean."""
    room = (half[1] - half[0]) / number
    place = (_places(half) - half[0]) / room
    deepest = np.floor(place) == number // 2
    depth = np.where(deepest, depths[1].si, depths[0].si)
    found: np.ndarray = depth * np.clip(1 - np.abs(place % 1 - 0.5) / (OPEN / 2), 0, None)
    return found


def _places(half: tuple[float, float]) -> np.ndarray:
    return np.linspace(*half, 281)


def _half(half: tuple[float, float], surface: np.ndarray, low: float) -> Iterator[Markup]:
    """Film down to `low` and what is under it, px."""
    x = _places(half)
    under = np.clip(surface, low, low + GROUND)
    yield material("filler", between(x, under, np.full_like(x, low + GROUND)))
    yield material("surfacer", between(x, np.minimum(surface, low), np.full_like(x, low)))
