"""A short block and a long board at rest on a wave, in section: what each touches, and how far it stands off."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from coursekit.drawing import circle, corners
from coursekit.figure import Figure
from coursekit.lesson.draw.drawing import HEAVY, ROW, Sketch, between, ground, label, line, material, measure
from coursekit.markup import Markup

WIDTH, LEFT, RIGHT = 640.0, 8.0, 632.0
SHOWN = 0.8  # m of panel: the longest board
LOW, DEEP = 36.0, 42.0  # px: from a strip's top to the crests; wave and film together, at most
THICK, SHEET, STRIP = 13.0, 5.0, 86.0  # px: a tool, the sheet, from strip to strip
TIMES = (800, 400, 200, 100)  # by which heights may be drawn larger than lengths
SCALE = (RIGHT - LEFT) / SHOWN  # px a metre
AROUND = 24  # points of a wave that is drawn


def on_wave(tools: tuple[tuple[str, Figure], ...], wave: tuple[Figure, Figure], film: Figure) -> Sketch:
    """Tools as they rest over a hollow, each on a strip of its own.

    tools  name and length of each, rigid
    wave   its length, and its height from the middle to a crest
    film   of surfacer, the same everywhere
    """
    most = SCALE * (2 * wave[1].si + film.si)
    times = next((one for one in TIMES if one * most <= DEEP), TIMES[-1])
    parts = [
        part
        for number, (name, length) in enumerate(tools)
        for part in _strip(number * STRIP, (name, length), wave, film, times)
    ]
    high = STRIP * len(tools)
    scale = f"Heights × {times}; flat under a block that neither bends nor is pressed into the wave."
    return Sketch([*parts, label(LEFT, high + 14, scale)], WIDTH, high + 20)


def stands(length: float, wavelength: float, amplitude: float) -> tuple[list[float], float]:
    """Where a rigid block touches that lies level over a hollow, from its middle, and its height over the hollow."""
    if length < wavelength:
        return [-length / 2, length / 2], amplitude * (1 - math.cos(math.pi * length / wavelength))
    pairs = math.floor(length / wavelength / 2 + 0.5 + 1e-9)  # an end that stands on a crest counts
    crests = [(n + 0.5) * wavelength for n in range(pairs)]
    return sorted([*crests, *(-one for one in crests)]), 2 * amplitude


def _strip(
    over: float, tool: tuple[str, Figure], wave: tuple[Figure, Figure], film: Figure, times: int
) -> Iterator[Markup]:
    name, length = tool
    wavelength, amplitude = wave
    middle, crest, high = (LEFT + RIGHT) / 2, over + LOW, times * SCALE
    x = np.linspace(LEFT, RIGHT, round(np.clip(AROUND * SHOWN / wavelength.si, 80, 400)) + 1)
    down = crest + high * amplitude.si * (1 + np.cos(2 * np.pi * (x - middle) / SCALE / wavelength.si))
    thick = max(high * film.si, 1.0)
    yield material("surfacer", between(x, down, down + thick))
    yield material("bare metal", between(x, down + thick, down + thick + SHEET))
    touches, gap = stands(length.si, wavelength.si, amplitude.si)
    face = crest + high * (2 * amplitude.si - gap)
    half = SCALE * length.si / 2
    yield ground(corners(middle - half, face - THICK, 2 * half, THICK), "back")
    yield line("M", middle - half, face, "h", 2 * half, weight=HEAVY)
    for at in touches:
        yield circle(middle + SCALE * at, face, 3.2, fill="currentColor")
    if high * gap >= 10:
        yield measure(middle, face, middle, face + high * gap, "")
    on = "both ends" if length.si < wavelength.si else f"{len(touches)} crests"
    words = f"{name} of {length:3}: on {on}, {amplitude.of(gap):2} over the hollow"
    yield label(LEFT, over + ROW - 5, words, font_weight="700")
