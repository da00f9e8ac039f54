"""How each defect looks: what it does to the image of a lamp, what else is seen, and what lies under it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

import numpy as np

from coursekit.drawing import circle, corners, path
from coursekit.lesson.draw.drawing import (
    FINE,
    PAGE,
    STREWN,
    USUAL,
    label,
    line,
    outline,
)
from coursekit.markup import Markup
from coursekit.panel.mirror import shade

TOP = 22.0
SIDE, LEFT, WIDE, FLOOR = 110.0, 124.0, 156.0, 102.0  # px: the face; where the section begins, its width, its ground
PAINT, BASE, CLEAR = 22.0, 36.0, 64.0  # px over the sheet: tops of old paint, base and clear
TOPS = {"old paint": PAINT, "base": BASE, "clear": CLEAR}
ACROSS = np.linspace(0.0, 1.0, 121)
DOWN = np.linspace(0.0, 1.0, 61)
GOLDEN = 0.618033988749895  # multiples of it, without their whole parts, lie evenly on a line
Places = np.ndarray


class Look(NamedTuple):
    """How a defect looks, by its strength (0 to 1).

    bend     by how much the lamp's image is moved aside, in its own widths, down the face
    marks    what else is seen on the face
    tops     of old paint, base and clear in section, px over the sheet; what is not named is even
    inside   what else is seen in the section
    sharp    how bright the lamp's image is
    cut      which way the section is cut
    """

    told: str
    bend: Callable[[float], Places] | None = None
    marks: Callable[[float], Iterator[Markup]] | None = None
    tops: Callable[[float], Mapping[str, Places]] | None = None
    inside: Callable[[float], Iterator[Markup]] | None = None
    sharp: float = 0.85
    cut: str = "cut, not to scale"


def places(x: Places, height: Places) -> list[tuple[float, float]]:
    """Places in the section of shares across it and heights over the sheet (px)."""
    return [(LEFT + WIDE * a, TOP + FLOOR - b) for a, b in zip(x.tolist(), height.tolist(), strict=True)]


def _bell(x: Places, middle: float, width: float) -> Places:
    found: Places = np.exp(-(((x - middle) / width) ** 2))
    return found


def _wave(x: Places, count: float) -> Places:
    found: Places = np.sin(2 * math.pi * count * x)
    return found


def _strewn(number: int, first: int = 1) -> Iterator[tuple[float, float]]:
    """Shares across and down a square, the same ones each time."""
    for n in range(first, first + number):
        yield (n * STREWN[0]) % 1, (n * STREWN[1]) % 1


def _on_face(number: int, radius: float, **look: object) -> Iterator[Markup]:
    for u, v in _strewn(number):
        yield circle(SIDE * u, TOP + SIDE * v, radius, **look)


DARK = {"stroke": "#000", "stroke_width": FINE, "fill": "none"}
HOLE = {"fill": "#000", "fill_opacity": "0.6", "stroke": "#fff", "stroke_width": FINE}


# --- marks on the face ------------------------------------------------------------------------------------


def _runs(strength: float) -> Iterator[Markup]:
    for at, share in ((0.2, 0.75), (0.5, 1.0), (0.8, 0.6)):
        x, low = SIDE * at, TOP + SIDE * (0.3 + 0.6 * strength * share)
        yield path(
            "M",
            x - 17,
            TOP + SIDE * 0.22,
            "C",
            x - 5,
            TOP + SIDE * 0.3,
            x - 9,
            low - 20,
            x - 6,
            low,
            "A",
            6,
            6,
            0,
            0,
            0,
            x + 6,
            low,
            "C",
            x + 9,
            low - 20,
            x + 5,
            TOP + SIDE * 0.3,
            x + 17,
            TOP + SIDE * 0.22,
            fill="#fff",
            fill_opacity="0.18",
            stroke="#000",
            stroke_width=USUAL,
        )


def _grain(strength: float) -> Iterator[Markup]:
    yield from _on_face(int(60 + 260 * strength), 1.3, fill="#fff", fill_opacity="0.65")


def _lines(strength: float) -> Iterator[Markup]:
    moves: list[str | float] = []
    for u, v in _strewn(int(8 + 22 * strength)):
        moves += ["M", SIDE * u, TOP + SIDE * v, "l", 34, -17]
    yield path(*moves, stroke="#000", stroke_width=FINE, fill="none")


def _rings(strength: float) -> Iterator[Markup]:
    for radius in (22, 30, 38)[: 1 + round(2 * strength)]:
        yield path(
            "M",
            SIDE / 2 - 1.35 * radius,
            TOP + SIDE / 2,
            "a",
            1.35 * radius,
            radius,
            0,
            1,
            0,
            2.7 * radius,
            0,
            "a",
            1.35 * radius,
            radius,
            0,
            1,
            0,
            -2.7 * radius,
            0,
            **DARK,
        )


def _pops(strength: float) -> Iterator[Markup]:
    yield from _on_face(int(12 + 40 * strength), 1.8, **HOLE)


def _craters(strength: float) -> Iterator[Markup]:
    yield from _on_face(int(4 + 10 * strength), 5.0, **HOLE)


def _wrinkles(strength: float) -> Iterator[Markup]:
    for n in range(int(4 + 8 * strength)):
        y = TOP + SIDE * (n + 0.6) / int(5 + 8 * strength)
        moves: list[str | float] = ["M", -4, y]
        for step in range(9):
            moves += ["q", 8, (-1) ** (n + step) * (4 + 7 * strength), 16, 0]
        yield path(*moves, **DARK)


def _veil(strength: float) -> Iterator[Markup]:
    veil = outline(
        corners(0, TOP, SIDE, SIDE), 0.0, fill="#fff", fill_opacity=f"{0.2 + 0.45 * strength:.2f}", stroke="none"
    )
    yield veil
    yield from _on_face(40, 0.9, fill="#fff")


def _faint_lines(strength: float) -> Iterator[Markup]:
    yield outline(corners(0, TOP, SIDE, SIDE), 0.0, fill="#fff", fill_opacity=f"{0.3 * strength:.2f}", stroke="none")
    yield from _lines(0.6 * strength)


def _stripes(strength: float) -> Iterator[Markup]:
    for n in range(4):
        at = corners(0, TOP + SIDE * (n + 0.1) / 4, SIDE, SIDE / 9)
        yield outline(at, 0.0, fill="#fff", fill_opacity=f"{0.12 + 0.3 * strength:.2f}", stroke="none")


def _patch(strength: float) -> Iterator[Markup]:
    for share in (1.0, 0.7, 0.45):
        wide, high = 46 * share, 36 * share
        yield path(
            "M",
            SIDE / 2 - wide,
            TOP + SIDE / 2,
            "a",
            wide,
            high,
            0,
            1,
            0,
            2 * wide,
            0,
            "a",
            wide,
            high,
            0,
            1,
            0,
            -2 * wide,
            0,
            fill="#fff",
            fill_opacity=f"{0.1 + 0.22 * strength:.2f}",
        )


def _rusts(strength: float) -> Iterator[Markup]:
    for (u, v), size in zip(_strewn(7, 3), (10, 7, 5, 8, 4, 6, 5), strict=True):
        yield circle(
            SIDE * u, TOP + SIDE * v, size * (0.5 + strength), fill="#8a4b1f", stroke="#000", stroke_width=FINE
        )


# --- in the section ---------------------------------------------------------------------------------------


def _bubbles(strength: float) -> Iterator[Markup]:
    for (x, height), size in zip(((0.2, 46), (0.42, 52), (0.62, 44), (0.86, 50)), (4, 6, 5, 4), strict=True):
        ((at, y),) = places(np.array([x]), np.array([float(height)]))
        yield circle(at, y, size * (0.6 + 0.6 * strength), fill=PAGE, stroke="currentColor", stroke_width=FINE)


def _speck(strength: float) -> Iterator[Markup]:
    for x in (0.3, 0.72):
        ((at, y),) = places(np.array([x]), np.array([BASE + 3.0]))
        yield circle(at, y, 3.0, fill="currentColor")


def _grains(strength: float) -> Iterator[Markup]:
    for n in range(int(6 + 10 * strength)):
        ((at, y),) = places(np.array([(n * GOLDEN) % 1]), np.array([CLEAR - 1.0 + 2 * (n % 3)]))
        yield circle(at, y, 3.2, fill=shade("clear"), stroke="currentColor", stroke_width=FINE)


def _drops(strength: float) -> Iterator[Markup]:
    for n in range(int(10 + 26 * strength)):
        ((at, y),) = places(np.array([(n * GOLDEN) % 1]), np.array([CLEAR - 3 - 12 * ((n * STREWN[1]) % 1)]))
        yield circle(at, y, 1.7, fill="#fff", stroke="currentColor", stroke_width=0.5)


def _as_sprayed(strength: float) -> Iterator[Markup]:
    (x0, y), (x1, _) = places(np.array([0.0, 1.0]), np.array([CLEAR, CLEAR]))
    yield line("M", x0, y, "H", x1, weight=USUAL, stroke_dasharray="5 4")
    yield label((x0 + x1) / 2, y - 5, "as sprayed", "middle")


def _under_rust(strength: float) -> Iterator[Markup]:
    heap = (4 + 12 * strength) * _bell(ACROSS, 0.5, 0.13)
    here = heap > 0.5
    points = [
        *places(ACROSS[here], heap[here]),
        *places(ACROSS[here][::-1], -4 * _bell(ACROSS, 0.5, 0.13)[here][::-1]),
    ]
    yield outline(points, FINE, fill="#8a4b1f")
    ((x, y),) = places(np.array([0.5]), np.array([4.0]))
    yield label(x, y, "rust", "middle")


def _grooves(depth: float) -> Places:
    """V-shaped scratches across the section, px."""
    found: Places = np.zeros(len(ACROSS))
    for at, share in ((0.12, 0.7), (0.3, 1.0), (0.47, 0.6), (0.66, 1.0), (0.86, 0.8)):
        found = np.maximum(found, depth * share * np.clip(1 - np.abs(ACROSS - at) / 0.05, 0, 1))
    return found


def _scratched(depth: float, shows: float) -> dict[str, Places]:
    cut = _grooves(depth)
    return {"old paint": PAINT - cut, "base": BASE - 0.8 * cut, "clear": CLEAR - shows * cut}


def _bowls(strength: float) -> Places:
    found = np.full(len(ACROSS), CLEAR)
    for at in (0.3, 0.72):
        found -= (10 + 16 * strength) * _bell(ACROSS, at, 0.055)
        found += 6 * (_bell(ACROSS, at - 0.1, 0.035) + _bell(ACROSS, at + 0.1, 0.035))
    return found


def _flat(strength: float) -> dict[str, Places]:
    """A crown whose top is sanded level."""
    crown = 22 * (1 - (2 * ACROSS - 1) ** 2)
    level = 22 * (1 - 0.75 * strength)
    return {"bare metal": crown, "old paint": PAINT + crown, "base": np.minimum(BASE + crown, PAINT + level + 20)} | {
        "clear": np.minimum(BASE + crown, PAINT + level + 20) + CLEAR - BASE
    }


LOOKS = {
    "run, sag": Look(
        "the film slid down before it set: a curtain with a thick lower lip",
        bend=lambda s: 0.7 * s * _bell(DOWN, 0.3 + 0.55 * s, 0.12),
        marks=_runs,
        tops=lambda s: {
            "clear": CLEAR - 14 * s * _bell(ACROSS, 0.25, 0.2) + (10 + 34 * s) * _bell(ACROSS, 0.3 + 0.5 * s, 0.1)
        },
        cut="cut, top at the left",
    ),
    "dry spray, rough": Look(
        "drops landed half dry: grains that did not flow together",
        marks=_grain,
        tops=lambda s: {"clear": CLEAR - 4 + 3 * s * _wave(ACROSS, 17) * _wave(ACROSS, 5.3)},
        inside=_grains,
        sharp=0.3,
    ),
    "orange peel": Look(
        "short waves that break up the lamp's edge",
        bend=lambda s: 0.22 * s * (_wave(DOWN, 11) + _wave(DOWN + 0.3, 7.3)),
        tops=lambda s: {"clear": CLEAR + 8 * s * _wave(ACROSS, 6) + 3 * s * _wave(ACROSS, 9.7)},
    ),
    "scratches showing": Look(
        "grooves of the paper lie under the film, which sinks into them as it dries",
        marks=_lines,
        tops=lambda s: _scratched(6 + 12 * s, 0.3 + 0.4 * s),
    ),
    "ring": Look(
        "the rim of the repair shows: a step, or old paint that swelled beside it",
        bend=lambda s: 0.25 * s * (_bell(DOWN, 0.22, 0.04) - _bell(DOWN, 0.78, 0.04)),
        marks=_rings,
        tops=lambda s: {
            "old paint": np.asarray(PAINT * (0.35 + 0.65 / (1 + np.exp(-(ACROSS - 0.5) * 40)))),
            "clear": CLEAR + (4 + 10 * s) * _bell(ACROSS, 0.55, 0.06) - 3 * s * _bell(ACROSS, 0.4, 0.08),
        },
    ),
    "waves": Look(
        "long waves of filler or surfacer: the lamp's edge swings",
        bend=lambda s: 1.1 * s * _wave(DOWN, 1.6),
        tops=lambda s: {name: top + 11 * s * _wave(ACROSS, 1.5) for name, top in TOPS.items() if name != "old paint"},
    ),
    "flat on a curve": Look(
        "a crown sanded level: the lamp's image runs straight there and kinks at both ends",
        bend=lambda s: 0.9 * s * np.clip(3 * np.abs(DOWN - 0.5) - 0.5, 0, 1) * np.sign(DOWN - 0.5),
        tops=_flat,
    ),
    "solvent pop, pinholes": Look(
        "solvent boiled out through a skin: bubbles, some of them open",
        marks=_pops,
        tops=lambda s: {"clear": CLEAR + 5 * s * _bell((ACROSS - 0.2) % 0.22, 0.0, 0.03)},
        inside=_bubbles,
    ),
    "craters": Look(
        "wax, grease or silicone under the film: it draws back and leaves bowls",
        marks=_craters,
        tops=lambda s: {"clear": _bowls(s)},
        inside=_speck,
    ),
    "lifting, wrinkling": Look(
        "solvent went into a film that was not cured: it swelled and buckled",
        bend=lambda s: 0.35 * s * _wave(DOWN, 5),
        marks=_wrinkles,
        tops=lambda s: {
            "base": BASE + 12 * s * np.abs(_wave(ACROSS, 2.5)),
            "clear": CLEAR + 16 * s * np.abs(_wave(ACROSS, 2.5)),
        },
    ),
    "milky bloom": Look(
        "dew fell into the wet film: a white veil",
        marks=_veil,
        inside=_drops,
        sharp=0.45,
    ),
    "shrinkage, dull later": Look(
        "the film went on shrinking and drew down into scratches under it",
        marks=_faint_lines,
        tops=lambda s: {
            **_scratched(5 + 9 * s, 0.2 + 0.5 * s),
            "clear": CLEAR - 4 - 9 * s - (0.2 + 0.5 * s) * _grooves(5 + 9 * s),
        },
        inside=_as_sprayed,
        sharp=0.5,
    ),
    "stripes": Look(
        "passes too far apart: more film in their middles than between them",
        marks=_stripes,
        tops=lambda s: {"clear": CLEAR + 13 * s * _wave(ACROSS, 4)},
    ),
    "light patch in colour": Look(
        "too little base: the ground shows through",
        marks=_patch,
        tops=lambda s: {"base": BASE - (4 + 10 * s) * _bell(ACROSS, 0.5, 0.2)},
    ),
    "rust": Look(
        "bare metal rusted under the film and lifts it",
        marks=_rusts,
        tops=lambda s: {name: top + (4 + 12 * s) * _bell(ACROSS, 0.5, 0.16) for name, top in TOPS.items()},
        inside=_under_rust,
    ),
}
