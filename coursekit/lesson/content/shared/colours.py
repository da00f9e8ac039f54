"""Invented solid colours and grounds for benches: L*, a*, b* (daylight D65)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coursekit.colour.swatch import hexes
from coursekit.lesson.draw.swatches import Patch
from coursekit.lesson.learner import own
from coursekit.uncertain import Band

COLOURS: dict[str, tuple[float, float, float]] = {
    "demo blue": (34, 6, -38),
    "demo red": (42, 56, 36),
    "demo yellow": (80, 6, 72),
    "demo white": (88, -1, 3),
    "demo grey": (55, -1, -4),
    "demo green": (42, -34, 18),
}
SURFACERS: dict[str, tuple[float, float, float]] = {
    "light grey": (76, 0, 1),
    "mid grey": (55, 0, 1),
    "dark grey": (30, 0, 0),
}
WEAK, STRONG = ("demo red", "demo yellow"), ("demo white",)  # as the note of `scattering` places them in its band
FILLER = (82.0, -2.0, 24.0)


def scattering_of(name: str) -> Band:
    """Scattering of an invented colour: its half of the course's band, or the learner's own measurement."""
    whole = own.coefficient("scattering")
    low, middle, high = whole.low, float(whole), whole.high
    if whole.kind != "measured by you" and name in WEAK:
        return Band(low, (low * middle) ** 0.5, middle)
    if whole.kind != "measured by you" and name in STRONG:
        return Band(middle, (middle * high) ** 0.5, high)
    return Band(low, middle, high)


def patch(lab: Sequence[float], label: str = "") -> Patch:
    """A colour as the screen shows it, with its three numbers beneath."""
    return patches([lab], [label])[0]


def patches(labs: Sequence[Sequence[float]], labels: Sequence[str]) -> list[Patch]:
    """Colours side by side, each with its label and its three numbers beneath."""
    return [
        Patch(shown, label, ", ".join(f"{round(part, 1):g}".replace("-", "\N{MINUS SIGN}") for part in lab))
        for shown, lab, label in zip(hexes(np.array(labs, dtype=float)), labs, labels, strict=True)
    ]


def strip(labs: Sequence[Sequence[float]]) -> list[Patch]:
    """Colours that run into one another, without words."""
    return [Patch(shown) for shown in hexes(np.array(labs, dtype=float))]
