"""What is given to every step of a repair: the panel, the garage, the hand, the gun, the materials. All in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coursekit.sources import coefficient

MARGIN = 0.12  # m: how far the repair area reaches beyond the filler
Place = tuple[float, float, float, float]  # x from, x to, y from, y to; m


@dataclass(frozen=True, kw_only=True)
class Given:
    """The tables of a recipe that all its steps share."""

    panel: Mapping[str, Any]
    garage: Mapping[str, Any]
    hand: Mapping[str, Any]
    measured: Mapping[str, Any]
    materials: Mapping[str, Mapping[str, Any]]
    gun: Mapping[str, Any] = field(default_factory=dict)  # for steps that say nothing else

    @property
    def damage_area(self) -> Place | None:
        """Where the panel was damaged."""
        return around(self.panel["damage"]) if self.panel["damage"] else None

    @property
    def repair_area(self) -> Place | None:
        """Where the repair is: the damage and a margin around it; None for the whole panel."""
        return around(self.panel["damage"], MARGIN) if self.panel["damage"] else None

    @property
    def hardness(self) -> dict[str, float]:
        """Hardness (Pa) of the materials that the repair brings; the old ones keep the course's own."""
        return {name: float(row["hardness"]) for name, row in self.materials.items()}

    @property
    def sanding(self) -> dict[str, float]:
        """The coefficients of sanding, measured ones first."""
        return {key: coefficient(key) if value is None else value for key, value in self.measured.items()}


def around(place: Mapping[str, float], margin: float = 0.0) -> Place:
    """The rectangle of a table with x, y, width and height, and a margin on all its sides."""
    return (
        place["x"] - margin,
        place["x"] + place["width"] + margin,
        place["y"] - margin,
        place["y"] + place["height"] + margin,
    )
