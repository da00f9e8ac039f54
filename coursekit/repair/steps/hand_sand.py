"""Hand sand: the surface is dulled or feathered with a pad or the fingers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from coursekit.panel import Panel, Sanded, hand_sand
from coursekit.repair.given import Given
from coursekit.repair.steps.sanding import ByHand, graded, held
from coursekit.repair.steps.step import entry
from coursekit.sanding.grits import Grade


@dataclass(frozen=True, kw_only=True)
class HandSand(ByHand):
    """Sand with what takes the panel's form."""

    do: ClassVar[str] = "hand sand"

    tool: str = held("hand sand", "soft pad")
    paper: Grade = graded("P320")
    strokes: float = entry(replace(ByHand.entries()["strokes"], first="30"))

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Sanded]:
        return self.stroke(panel, given, hand_sand, finer)
