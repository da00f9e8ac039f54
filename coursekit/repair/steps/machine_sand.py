"""Machine sand: an orbital machine with a paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from coursekit.panel import Panel, Sanded, machine_sand
from coursekit.repair.given import Given
from coursekit.repair.steps.sanding import MACHINE_TIME, ByMachine, WithPaper, graded, held, orbiting, turning
from coursekit.repair.steps.step import lasting
from coursekit.sanding.grits import Grade


@dataclass(frozen=True, kw_only=True)
class MachineSand(WithPaper, ByMachine):
    """Sand with a machine."""

    do: ClassVar[str] = "machine sand"

    tool: str = held("machine sand", "machine pad")
    paper: Grade = graded("P600")
    time: float = lasting(
        None, meaning="how long the machine runs, on the whole area", first="2 min", dragged=True, slider=MACHINE_TIME
    )
    orbit: float = orbiting("5 mm", dragged=True)
    rotation: float = turning("10000 /min")

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Sanded]:
        return self.run(panel, given, machine_sand, finer)
