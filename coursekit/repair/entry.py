"""One step of a repair played, as data."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coursekit.panel import Filled, Panel, Sanded, Used
from coursekit.repair.case import Verdict
from coursekit.repair.change import Change
from coursekit.repair.condition import Condition
from coursekit.repair.steps import Fill, Sand, Spray, Sprayed, Step, WithPaper
from coursekit.results import Fields


@dataclass(frozen=True, repr=False)
class Entry(Fields):
    """One step played: the step, the panel after it, what it used, the verdict, and the time from the start."""

    step: Step
    panel: Panel
    used: Used
    verdict: Verdict
    condition: Condition
    change: Change
    area: tuple[float, float, float, float] | None  # that the figures are of; None: the whole panel
    began: float  # s
    ended: float  # s

    @property
    def pieces(self) -> int:
        """Whole pieces of paper or discs that the step takes."""
        return 0


class SprayEntry(Entry):
    """Spraying played."""

    step: Spray
    used: Sprayed


class SandEntry(Entry):
    """Sanding played, by hand or machine, with paper or compound."""

    step: Sand
    used: Sanded

    @property
    def pieces(self) -> int:
        """It begins with fresh paper and changes it when it is blunt; a compound is no paper."""
        if not (isinstance(self.step, WithPaper) and self.used.removed):
            return 0
        return max(math.ceil((self.used.pieces or 0.0) - 1e-9), 1)


class FillEntry(Entry):
    """Filling played."""

    step: Fill
    used: Filled


def kind_of(step: Step) -> type[Entry]:
    """The entry of a step of that kind."""
    return (
        SprayEntry
        if isinstance(step, Spray)
        else SandEntry
        if isinstance(step, Sand)
        else FillEntry
        if isinstance(step, Fill)
        else Entry
    )
