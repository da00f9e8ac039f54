"""What sands: blocks, boards and pads, and the papers on them, as the numbers that the contact needs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coursekit.panel.state import check
from coursekit.sanding.grits import Grade
from coursekit.sanding.scratches import grade_that_holds, scratch_of
from coursekit.sanding.wear import WET_ROOM, life_of, mean_sharpness, wear_rate_of
from coursekit.sources import coefficient


@dataclass(frozen=True)
class Tool:
    """A block, board or pad.

    length, width   m       of its face; strokes run along its length
    backing         Pa/m    stiffness of what lies between tool and paper, paper included (foundation stiffness)
    bending         N·m     bending stiffness per width, E·t³/12(1 − ν²); infinite for a rigid block
    """

    name: str
    length: float
    width: float
    backing: float
    bending: float = math.inf

    def __post_init__(self) -> None:
        check(
            length=(self.length, 5e-3, 2),
            width=(self.width, 5e-3, 1),
            backing=(self.backing, 1e5, 1e12),
            bending=(self.bending, 0, math.inf),
        )

    @property
    def area(self) -> float:
        """Area of the face, m²."""
        return self.length * self.width

    @property
    def follows(self) -> float:
        """Length (m) of a beam on this backing, (D/k)^¼: it follows waves well over 2π of these."""
        return 0.0 if math.isinf(self.bending) else (self.bending / self.backing) ** 0.25


@dataclass(frozen=True)
class Paper:
    """A paper as it cuts at the pressure used: scratch depth (m) and removal coefficient (1/Pa) by material."""

    grade: str
    scratch: Mapping[str, float]
    removal: Mapping[str, float] = field(default_factory=dict)


HARDNESS = {
    "steel": "steel",
    "plastic": "old_paint",
    "old primer": "old_paint",
    "old base": "old_paint",
    "old clear": "old_paint",
    "filler": "filler",
    "epoxy primer": "surfacer",
    "surfacer": "surfacer",
    "base": "base",
    "clear": "clear",
}
EASE = {**HARDNESS, "epoxy primer": "epoxy_primer"}


def paper_of(
    grade: Any,
    tool: Tool,
    force: float,
    hardness: Mapping[str, float] | None = None,
    wear_coefficient: float = coefficient("wear_coefficient"),
    size_exponent: float = coefficient("size_exponent"),
    scratch_factor: float = coefficient("scratch_factor"),
    distance: float = 0.0,
    wet: bool = False,
) -> Paper:
    """A paper at the mean pressure of a hand of that force on the tool, by the laws of `coursekit.sanding`.

    hardness  Pa by material; the sanding coefficients' own for what is not given
    distance  m that the tool slides, its paper changed when it cuts half as fast; 0: fresh paper
    wet       water carries the dust off, so that the paper is full later
    """
    read = grade_that_holds(grade)
    given = {name: float(coefficient(f"hardness_{key}")) for name, key in HARDNESS.items()} | dict(hardness or {})
    pressure = force / tool.area
    removal = removal_of(read, given, wear_coefficient, size_exponent)
    if distance:
        for name, rate in removal.items():
            life = life_of(read, pressure, rate, _capacity(wet), coefficient("blunting_distance"))
            removal[name] = rate * float(mean_sharpness(distance, life))
    return Paper(
        str(read),
        {name: float(scratch_of(read, pressure, value, scratch_factor).mean) for name, value in given.items()},
        removal,
    )


def cut_ease(material: str) -> float:
    """How fast a material goes under a paper and pressure, beside others (1/Pa)."""
    return float(coefficient(f"cutting_ease_{EASE[material]}") / coefficient(f"hardness_{HARDNESS[material]}"))


def removal_of(
    grade: Grade, hardness: Mapping[str, float], wear_coefficient: float, size_exponent: float
) -> dict[str, float]:
    """Removal coefficient (1/Pa) of fresh paper by material, each with its own ease of cutting."""
    return {
        name: float(
            wear_rate_of(grade, value, wear_coefficient, size_exponent, coefficient(f"cutting_ease_{EASE[name]}"))
        )
        for name, value in hardness.items()
    }


def _capacity(wet: bool) -> float:
    """Film that fills a paper, over its grain size."""
    return float(coefficient("paper_capacity")) * (WET_ROOM if wet else 1.0)


def pieces_of(grade: Any, tool: Tool, removed: float, distance: float, wet: bool = False) -> float:
    """Pieces of paper the size of the tool that a removed volume (m³) fills with dust, or the distance (m) blunts."""
    full = _capacity(wet) * grade_that_holds(grade).grain_size * tool.area
    return removed / full + distance / float(coefficient("blunting_distance"))


def disc(name: str, diameter: float, backing: float) -> Tool:
    """A round pad, as the square of equal area on a stiff plate."""
    side = diameter * math.sqrt(math.pi) / 2
    return Tool(name, side, side, backing)
