"""Polish: a machine with a compound takes the last scratches out of the clear."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from coursekit.nomenclature import load_data
from coursekit.panel import Panel, Paper, Sanded, polish
from coursekit.panel.tools import HARDNESS, removal_of
from coursekit.repair.fields import choice
from coursekit.repair.given import Given
from coursekit.repair.steps.sanding import MACHINE_TIME, ByMachine, held, orbiting, turning
from coursekit.repair.steps.step import entry, lasting
from coursekit.sanding.grits import Grade
from coursekit.sanding.scratches import scratch_of
from coursekit.sources import coefficient


@dataclass(frozen=True, kw_only=True)
class Polish(ByMachine):
    """Polish with a machine, a pad and a compound."""

    do: ClassVar[str] = "polish"
    with_: ClassVar[str] = "compound"

    tool: str = held("polish", "polishing pad")
    compound: str = entry(
        choice(
            tuple(load_data("compounds")),
            "medium",
            label="compound",
            meaning="how coarse the grains of the compound are",
            dragged=True,
        )
    )
    time: float = lasting(
        None, meaning="how long the machine runs, on the whole area", first="3 min", dragged=True, slider=MACHINE_TIME
    )
    orbit: float = orbiting("8 mm")
    rotation: float = turning("5000 /min")

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Sanded]:
        return self.run(panel, given, polish, finer)

    def cuts(self, given: Given, distance: float = 0.0) -> Paper:
        tool, known = self.holds(given), given.sanding
        known.pop("pad_stiffness")
        pressure = self.pressure(tool)
        grain = load_data("compounds")[self.compound]["grain"] * 1e-6
        compound = Grade("compound", 0, grain, 1.0)
        usual = {name: float(coefficient(f"hardness_{key}")) for name, key in HARDNESS.items()}
        hard = usual | given.hardness
        factor = known.pop("scratch_factor")
        return Paper(
            f"{self.compound} compound",
            {name: float(scratch_of(compound, pressure, value, factor).mean) for name, value in hard.items()},
            removal_of(compound, hard, **known),
        )
