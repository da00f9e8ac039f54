"""What a verdict looks at, and what it is."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from coursekit.constants import ROOM_TEMPERATURE
from coursekit.nomenclature import System
from coursekit.panel import Used
from coursekit.repair.change import Change
from coursekit.repair.condition import Condition
from coursekit.repair.recipe import Recipe
from coursekit.repair.steps import Block, Sand, Step
from coursekit.repair.words import Reason

CLEAN = 0.05  # share of wax or dust that may be left (assumed: two wipes leave 4 %)
SPOT = 1e-4  # m²: what shows on less than a square centimetre is told, but stops nobody
SHEET_TEMPERATURE = ROOM_TEMPERATURE  # K: the times of a recipe's materials hold at 20 °C


class Verdict(NamedTuple):
    """Whether to go on, and the reasons with their figures."""

    go: bool
    reasons: tuple[Reason, ...]

    def text(self, system: System = "metric") -> str:
        """The verdict in words: "Go on." or "Not yet, because …", and what else there is to know."""
        against = [reason.text(system) for reason in self.reasons if reason.against]
        notes = [reason.text(system) for reason in self.reasons if not reason.against]
        first = "Not yet, because " + "; ".join(against) + "." if against else "Go on."
        return " ".join([first, *(note[:1].upper() + note[1:] + "." for note in notes)])

    def __str__(self) -> str:
        return self.text()


def blocking_follows(following: Iterable[Step]) -> bool:
    """Whether a block comes before the next film. It levels; a pad only takes the guide coat off."""
    return any(isinstance(step, Block) for step in itertools.takewhile(lambda step: not step.brings, following))


def coming_after(following: Iterable[Step]) -> Step | None:
    """The next filler or paint, when nothing is sanded before it."""
    for step in following:
        if isinstance(step, Sand):
            return None
        if step.brings:
            return step
    return None


@dataclass(frozen=True)
class Case:
    """All that a verdict on one step looks at."""

    recipe: Recipe
    step: Step
    before: Condition
    after: Condition
    change: Change
    used: Used
    top: str  # the material laid last; empty when none was
    laid: float  # s from the first step until it was laid
    since: float  # s since then
    dulled: bool  # whether it was sanded since
    following: tuple[Step, ...]
    buried: float  # wax and grease that films were laid on, or on scratches that held it: the most of any

    @property
    def next(self) -> Step | None:
        return self.following[0] if self.following else None

    @property
    def coming(self) -> Step | None:
        """The next filler or paint, when nothing is sanded before it."""
        return coming_after(self.following)

    @property
    def material_coming(self) -> str:
        """The material of the next filler or paint; empty when sanding comes first, or nothing."""
        return self.coming.brings if self.coming else ""

    @property
    def sanding_to_come(self) -> bool:
        """Whether the next thing that changes the surface is a paper."""
        for step in self.following:
            if step.brings:
                return False
            if isinstance(step, Sand):
                return True
        return False

    @property
    def blocking_to_come(self) -> bool:
        """Whether a block goes over the surface before anything is laid on it."""
        return blocking_follows(self.following)

    @property
    def material(self) -> Mapping[str, Any]:
        """Of the material laid last."""
        return self.recipe.materials[self.top]
