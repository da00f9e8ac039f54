"""Scratches in section: papers side by side in one material, their depths to one scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coursekit.figure import Figure
from coursekit.lesson.draw.drawing import FINE, HEAVY, Sketch, label, line, material
from coursekit.markup import Markup

WIDTH, TOP, DEEP, GROUND = 640.0, 58.0, 84.0, 18.0  # of the picture; the surface; the deepest scratch; under it
GROOVES = 9  # in a column; the middle one is the deepest, the others are as deep as the mean
OPEN = 0.62  # of the room of a groove that it takes at the surface


def grooves(papers: Sequence[tuple[str, Figure, Figure]], ground: str, yours: str) -> Sketch:
    """Papers from coarse to fine.

    papers  name, mean and deepest scratch of each
    ground  the material that is scratched
    yours   the paper that is drawn in heavy line
    """
    scale = DEEP / max(deepest.si for _, _, deepest in papers)
    room = (WIDTH - 16) / len(papers)
    parts = [
        part
        for number, (name, mean, deepest) in enumerate(papers)
        for part in _column(8 + number * room, room - 10, (name, mean, deepest), scale, (ground, name == yours))
    ]
    parts.append(
        label(8, TOP + DEEP + GROUND + 20, "Mean depth and the deepest (dashed), to one scale; widths are not.")
    )
    return Sketch(parts, WIDTH, TOP + DEEP + GROUND + 28)


def _column(
    left: float, width: float, paper: tuple[str, Figure, Figure], scale: float, look: tuple[str, bool]
) -> Iterator[Markup]:
    name, mean, deepest = paper
    ground, yours = look
    step, bottom = width / GROOVES, TOP + DEEP + GROUND
    outline = [(left, TOP)]
    for number in range(GROOVES):
        middle = left + (number + 0.5) * step
        deep = scale * (deepest if number == GROOVES // 2 else mean).si
        outline += [(middle - OPEN * step / 2, TOP), (middle, TOP + deep), (middle + OPEN * step / 2, TOP)]
    outline += [(left + width, TOP), (left + width, bottom), (left, bottom)]
    yield material(ground, outline, HEAVY if yours else FINE)
    low = TOP + scale * deepest.si
    yield line("M", left, low, "H", left + width, weight=FINE, stroke_dasharray="5 4")
    yield label(left, 18, f"{name}, yours" if yours else name, font_weight="700" if yours else "400")
    yield label(left, 38, f"{mean:2}, {deepest:2}")
