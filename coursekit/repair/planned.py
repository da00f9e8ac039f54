"""A plan that was played, what it takes, and with how many hands it holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from coursekit.nomenclature import System
from coursekit.repair.looking import Bind
from coursekit.repair.outcome import outcome_of
from coursekit.repair.outline import Choice, Outline
from coursekit.repair.plan import plan_checks
from coursekit.repair.playing import Replay
from coursekit.repair.recipe import Recipe
from coursekit.repair.steps import Wait

HOLDING = 0.9  # of the hands in which every verdict must be "go on"


class Figures(NamedTuple):
    """What a plan takes: s of work, s to the last coat, its film (m), paint mixed (m³), solids that missed (m³)."""

    work: float
    until_clear: float
    film: float
    paint: float
    mist: float

    def of(self, least: str) -> float:
        """The figure that there should be least of."""
        return {"hours": self.until_clear, "film": self.film, "paint": self.paint, "mist": self.mist}[least]


class Easing(NamedTuple):
    """A change with which a plan would hold: of the "hand" (how far it strays), the "depth" or the "width" (m).

    Or of the "stock": what would have to be there, by the names; `held` of `hands` hold it then.
    """

    what: str
    to: float = 0.0
    names: tuple[str, ...] = ()
    held: int = 0
    hands: int = 0


@dataclass(frozen=True)
class Plan:
    """One plan that was played: its choice, its steps with reasons, its replay, and with how many hands it held.

    judged   the hands that were to judge it, by their seeds
    failing  hands that failed with it or with the plans that led to it: it is walked on with them
    """

    choice: Choice
    outline: Outline
    played: Replay
    figures: Figures
    held: int = 0
    hands: int = 0
    judged: tuple[int, ...] = ()
    failing: tuple[int, ...] = ()
    failed: tuple[tuple[int, int], ...] = ()  # step → hands to which it happened
    binds: tuple[Bind, ...] = ()
    possible: Easing | None = None  # of a plan that does not hold: what would make it hold
    eased: tuple[str, ...] = ()  # what was changed to find that: "stock", "hand", "depth", "width"
    blocks: tuple[str, ...] = ()  # that were tried for a plan that does not hold
    unfit: str = ""  # why it does not fit the working hours, and what would make it fit

    @property
    def recipe(self) -> Recipe:
        return self.played.recipe

    @property
    def holds(self) -> bool:
        """Whether nine hands in ten come through."""
        return self.hands > 0 and self.held >= HOLDING * self.hands - 1e-9


def against(played: Replay, system: System = "metric") -> list[str]:
    """What the plan checks find against a plan."""
    return [found.text(system) for found in plan_checks(played) if found.against]


def figures_of(played: Replay) -> Figures:
    """What a plan takes."""
    totals, end = played.totals, played[-1].condition
    work = sum(entry.used.time for entry in played if not isinstance(entry.step, Wait))
    last = played[-1].began if isinstance(played[-1].step, Wait) else played[-1].ended
    solids = [paint.solids for name, paint in totals.paint.items() if name != "filler"]
    missed = sum(one.laid - one.panel for one in solids)
    film = sum(one.mean for name, one in end.film.items() if name != "filler")
    return Figures(float(work), float(last), float(film), float(outcome_of(played).mixed), float(missed))
