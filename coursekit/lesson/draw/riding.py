"""A block in section on a curve: where it bears, how hard, and where its ends stand off."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coursekit.figure import Figure
from coursekit.lesson.draw.drawing import (
    FINE,
    HEAVY,
    ROW,
    Sketch,
    arrow,
    between,
    ground,
    label,
    line,
    material,
    measure,
)
from coursekit.markup import Markup

WIDTH, HEIGHT, MIDDLE = 600.0, 214.0, 320.0
CREST = 84.0  # px down to the crest of the curve
THICK, FILM, HAND = 26.0, 7.0, 30.0  # px of the block, of the film on the sheet and of the hand's arrow
DEEPEST = 60.0  # px that the curve falls at the end of what is shown, at most
TIMES = (1, 2, 3, 4, 6, 8, 10, 15, 20, 30, 50, 100, 200)  # by which heights are drawn larger
LONGEST = 54.0  # px of the arrow of the greatest pressure
APART = 9.0  # px from arrow to arrow


def on_curve(
    place: np.ndarray,
    pressure: np.ndarray,
    bears: np.ndarray,
    curve: tuple[Figure, Figure],
    told: tuple[Figure, Figure, str],
    least: float,
) -> Sketch:
    """The block as it stands on the top of a curve.

    place, pressure  (n,) m along the block from its middle, and the pressure there over its mean
    bears            (n,) bool, where it counts as bearing
    curve            radius of the curve and length of the block
    told             force of the hand, width that bears, the greatest pressure in words
    least            times the mean at which an arrow is as long as it gets
    """
    radius, scale = curve[0], (WIDTH - 2 * 40) / 2 / float(np.abs(place).max())
    falls = float(place.max()) ** 2 / 2 / radius.si * scale
    times = max((n for n in TIMES if n * falls <= DEEPEST), default=1)
    parts = [*_sheet(place, scale, times, radius), *_block(place, bears, scale, times, curve)]
    parts += [*_pressures(place, pressure, scale, least), *_words(bears, scale, times, told)]
    return Sketch(parts, WIDTH, HEIGHT)


def _down(x: np.ndarray, scale: float, times: int, radius: Figure) -> np.ndarray:
    """Where the curve lies, px."""
    found: np.ndarray = CREST + times * scale * x**2 / 2 / radius.si
    return found


def _sheet(place: np.ndarray, scale: float, times: int, radius: Figure) -> Iterator[Markup]:
    x = np.linspace(place.min(), place.max(), 81)
    across, down = MIDDLE + scale * x, _down(x, scale, times, radius)
    yield material("surfacer", between(across, down, down + FILM))
    yield material("bare metal", between(across, down + FILM, down + FILM + 6))


def _block(
    place: np.ndarray, bears: np.ndarray, scale: float, times: int, curve: tuple[Figure, Figure]
) -> Iterator[Markup]:
    """On the curve where it bears, straight on from there: beyond what bears nothing bends it."""
    radius, length = curve
    reach, half = float(np.abs(place[bears]).max(initial=0.0)), length.si / 2
    x = np.linspace(-half, half, 61)
    inner = np.clip(x, -reach, reach)
    face = _down(inner, scale, times, radius) + times * scale * inner / radius.si * (x - inner)
    across = (MIDDLE + scale * x).tolist()
    yield ground(between(across, face, face - THICK), "back")
    yield line(
        "M", across[0], face[0], *(move for at in zip(across, face, strict=True) for move in ("L", *at)), weight=HEAVY
    )
    yield arrow(MIDDLE, CREST - THICK - HAND, MIDDLE, CREST - THICK, HEAVY)


def _pressures(place: np.ndarray, pressure: np.ndarray, scale: float, least: float) -> Iterator[Markup]:
    x = np.arange(MIDDLE + scale * place.min(), MIDDLE + scale * place.max(), APART)
    strength = np.interp((x - MIDDLE) / scale, place, pressure) / max(float(pressure.max()), least)
    foot = HEIGHT - 2 * ROW
    for at, share in zip(x.tolist(), strength.tolist(), strict=True):
        yield arrow(at, foot, at, foot - LONGEST * share, FINE)
    yield line("M", x[0], foot, "H", x[-1], weight=FINE)


def _words(bears: np.ndarray, scale: float, times: int, told: tuple[Figure, Figure, str]) -> Iterator[Markup]:
    force, width, greatest = told
    half = scale * width.si / 2
    yield label(MIDDLE + 10, CREST - THICK - HAND + 12, f"{force}")
    yield measure(MIDDLE - half, HEIGHT - 26, MIDDLE + half, HEIGHT - 26, "")
    yield label(MIDDLE + 20, HEIGHT - 6, f"bears on {width}")
    yield label(0, HEIGHT - 6, f"pressure {greatest}")
    yield label(0, 14, "in section" if times == 1 else f"in section, heights drawn {times} times")
