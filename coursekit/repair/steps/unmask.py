"""Unmask: all tape and paper come off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from coursekit.errors import Entry
from coursekit.panel import Panel, Used, unmask
from coursekit.repair.given import Given
from coursekit.repair.steps.step import Before, Refused, Timed, lasting


@dataclass(frozen=True, kw_only=True)
class Unmask(Timed):
    """Take the masking off; the edges of the films that it left stay."""

    do: ClassVar[str] = "unmask"
    quick: ClassVar[bool] = True

    time: float = lasting("2 min", meaning="how long it takes to take the masking off")

    def act(self, panel: Panel, given: Given, finer: float = 1.0) -> tuple[Panel, Used]:
        return self.while_drying(panel, given, unmask)

    def refused(self, before: Before, given: Given) -> Refused | None:
        if not before.masked:
            first = ("Put ", Entry("do", '"mask"'), " before the spraying.")
            return Refused("do", "takes off masking that is not there.", first)
        return None

    def leaves(self, before: Before) -> Before:
        return super().leaves(before)._replace(masked=False)
