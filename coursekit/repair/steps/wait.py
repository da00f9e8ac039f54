"""Wait: the films dry."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from coursekit.panel import Panel, Used, wait
from coursekit.repair.given import Given
from coursekit.repair.solvent import half_time
from coursekit.repair.steps.step import Timed, lasting


@dataclass(frozen=True, kw_only=True)
class Wait(Timed):
    """Let time pass."""

    do: ClassVar[str] = "wait"

    time: float = lasting(
        None,
        meaning="how long nothing is done; films dry meanwhile",
        first="30 min",
        dragged=True,
        slider=((0, 1440, 5), (0, 1440, 5)),
    )

    @classmethod
    def title(cls, raw: Callable[[str], str]) -> str:
        return f"{cls.do} {raw('time')}".strip()

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Used]:
        return wait(panel, time=self.time, solvent_half_time=half_time(given.garage["temperature"]))
