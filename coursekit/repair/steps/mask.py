"""Mask: all but one part of the panel is covered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from coursekit.errors import Entry
from coursekit.nomenclature import System
from coursekit.panel import Masked, Panel, mask
from coursekit.repair.fields import choice, quantity, where
from coursekit.repair.given import Given, Place
from coursekit.repair.steps.step import Before, Refused, Timed, entry, lasting


@dataclass(frozen=True, kw_only=True)
class Mask(Timed):
    """Cover the panel but for the part that stays open."""

    do: ClassVar[str] = "mask"
    quick: ClassVar[bool] = True

    time: float = lasting("10 min", meaning="how long the masking takes", seldom=True)
    open: Place | None = entry(
        where("repair", label="left open", meaning="the part of the panel that is not covered; all else is")
    )
    edge: str = entry(
        choice(
            ("raised", "flat"),
            "raised",
            label="edge of the tape",
            meaning="raised: folded back on itself, the film thins out towards it; flat: pressed down, a step stays",
            dragged=True,
        )
    )
    lip_height: float = entry(
        quantity(
            "lip_height",
            "5 mm",
            label="height of the tape's lip",
            meaning="how high a raised edge stands above the panel",
            dragged=True,
        )
    )

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Masked]:
        return self.while_drying(
            panel,
            given,
            mask,
            area=self.open,
            outside=True,
            edge=self.edge,
            lip_height=max(self.lip_height, 1e-5),
        )

    def misplaced(self) -> Refused | None:
        if self.open is None:
            return Refused("open", "is all of the panel.", "Leave the step out, or say which part stays open.")
        return None

    def refused(self, before: Before, given: Given) -> Refused | None:
        if before.masked:
            return Refused("do", "masks a masked panel.", ("Put a step ", Entry("do", '"unmask"'), " before it."))
        return None

    def leaves(self, before: Before) -> Before:
        return super().leaves(before)._replace(masked=True)

    def look_for(self, system: System) -> Iterator[str]:
        yield "tape pressed down at its foot, no gap at the corners, nothing of the car open"
