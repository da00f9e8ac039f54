"""Block: the surface is levelled with a block or a board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from coursekit.panel import Panel, Sanded, block
from coursekit.repair.given import Given
from coursekit.repair.steps.sanding import ByHand, graded, held
from coursekit.sanding.grits import Grade


@dataclass(frozen=True, kw_only=True)
class Block(ByHand):
    """Sand with a block, which rides on the highs."""

    do: ClassVar[str] = "block"

    tool: str = held("block", "hand block")
    paper: Grade = graded("P320")

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Sanded]:
        return self.stroke(panel, given, block, finer)
