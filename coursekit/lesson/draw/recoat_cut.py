"""A thin recoat where its mask ends, cut through: the scratches that it has to hide, and the film that this takes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coursekit.figure import Figure, first_holding
from coursekit.lesson.draw.drawing import FINE, HEAVY, USUAL, Sketch, between, box_of, label, line, material
from coursekit.lesson.draw.tape import tape_at
from coursekit.markup import Markup

WIDTH, HEIGHT, GROUND, FOOT = 640.0, 196.0, 136.0, 24.0
LEFT, RIGHT = 8.0, 632.0
FILM = 66.0  # px of the thickest film drawn
ENDS = (20e-6, 40e-6, 80e-6, 160e-6, 320e-6, 640e-6)  # m that it may stand for
GROOVE = 9.0  # px from scratch to scratch
TALL = 88.0  # px of the tape at most


def recoat_cut(
    section: tuple[np.ndarray, np.ndarray],
    tape: tuple[str, Figure],
    needed: Figure,
    scratch: Figure,
    told: str,
) -> Sketch:
    """section  places outward from the lip and dry film of the recoat there, m
    tape     how its edge is laid, `raised` or `flat`, and how high it stands
    needed   film that hides the scratches, a band; `scratch` how deep they go, a band
    """
    place, film = section
    reach = float(np.abs(place).max())
    scale = FILM / first_holding(ENDS, max(float(film.max()), needed.high.si))
    middle, each = (LEFT + RIGHT) / 2, (RIGHT - LEFT) / 2 / reach
    parts = [
        *_coat(middle + each * place, film * scale, min(scratch.middle.si * scale, FOOT - 4)),
        *tape_at(tape[0], LEFT, middle, GROUND, min(each * tape[1].si, TALL), each * reach / 2),
    ]
    for end in (needed.low, needed.high):
        level = GROUND - scale * end.si
        parts.append(line("M", LEFT, level, "H", RIGHT, weight=USUAL, stroke_dasharray="7 4"))
    parts += [
        label(LEFT, 14, f"tape {tape[0]}" + (f", {tape[1]} high" if tape[0] == "raised" else "")),
        label(RIGHT, 14, told, "end"),
        label(LEFT, HEIGHT - 6, f"Filler with scratches; dashed: the {needed} that hide them. Films to one scale."),
    ]
    return Sketch(parts, WIDTH, HEIGHT)


def _coat(x: np.ndarray, film: np.ndarray, deep: float) -> Iterator[Markup]:
    """Scratched filler, and the recoat that lies level over its scratches."""
    count = int((RIGHT - LEFT) / GROOVE)
    at = np.linspace(LEFT, RIGHT, 2 * count + 1)
    low = GROUND + deep * (np.arange(at.size) % 2)
    over = np.interp(at, x, film)
    top = np.where(over > 0.3, GROUND - over, low)  # where no film came, the scratch stays open
    yield box_of("bare metal", LEFT, GROUND + FOOT, RIGHT - LEFT, 6)
    yield material("filler", between(at, low, np.full(at.size, GROUND + FOOT)), FINE)
    yield material("surfacer", between(at, top, low), FINE)
    yield line("M", at[0], top[0], *(m for one in zip(at, top, strict=True) for m in ("L", *one)), weight=HEAVY)
