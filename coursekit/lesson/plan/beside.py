"""Plans that are kept beside each other: what each takes, and whether it holds."""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from coursekit.lesson.learner import unit_system
from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.entries import Table
from coursekit.nomenclature import System
from coursekit.repair import Replay
from coursekit.repair.planned import figures_of
from coursekit.repair.words import say, time_words

HEAD = ("plan", "steps", "work", "last coat on", "hard", "paint", "film", "pieces of paper", "not yet after")
MOST = 6


class KeptPlan(NamedTuple):
    """A plan under a name, and its figures in words for both systems."""

    name: str
    draft: Draft
    rows: Mapping[System, tuple[str, ...]]  # system → its row of the table

    @property
    def state(self) -> dict[str, Any]:
        """As plain data."""
        return {"name": self.name, "draft": self.draft.state, "rows": self.rows}

    @classmethod
    def of_state(cls, state: Mapping[str, Any]) -> KeptPlan:
        rows = {system: tuple(map(str, state["rows"][system])) for system in unit_system.OPTIONS}
        return cls(str(state["name"]), Draft.of_state(state["draft"]), rows)


def kept(name: str, draft: Draft, played: Replay) -> KeptPlan:
    """A plan as it stands now."""
    return KeptPlan(name, copy.deepcopy(draft), {system: row(name, played, system) for system in unit_system.OPTIONS})


def pieces_of(played: Replay) -> int:
    """Pieces of paper and discs."""
    return sum(entry.pieces for entry in played)


def row(name: str, played: Replay, system: System) -> tuple[str, ...]:
    """One plan in the table."""
    figures = figures_of(played)
    stopped = ", ".join(str(one.step.number) for one in played.not_yet) or "none"
    return (
        name,
        str(len(played)),
        time_words(figures.work),
        time_words(figures.until_clear),
        time_words(played.time),
        say(figures.paint, "paint_volume", system),
        say(figures.film, "film", system),
        str(pieces_of(played)),
        stopped,
    )


def cost(before: Replay, now: Replay, system: System) -> str:
    """What a change costs, or saves."""
    old, new = figures_of(before), figures_of(now)
    parts = [
        *_more(new.work - old.work, 30.0, "work"),
        *_more(now.time - before.time, 30.0, "in all"),
    ]
    paint, pieces = new.paint - old.paint, pieces_of(now) - pieces_of(before)
    if abs(paint) > 5e-7:
        parts.append(f"{'+' if paint > 0 else MINUS}{say(abs(paint), 'paint_volume', system)} of paint")
    if pieces:
        words = "piece of paper" if abs(pieces) == 1 else "pieces of paper"
        parts.append(f"{'+' if pieces > 0 else MINUS}{abs(pieces)} {words}")
    return ", ".join(parts) or "nothing"


MINUS = "\N{MINUS SIGN}"


def _more(seconds: float, least: float, words: str) -> list[str]:
    return [f"{'+' if seconds > 0 else MINUS}{time_words(abs(seconds))} {words}"] if abs(seconds) >= least else []


def turned(before: tuple[Sequence[Table], Replay], now: tuple[Sequence[Table], Replay]) -> list[str]:
    """Steps whose verdict is another than before the change."""
    old = {table.id: entry for table, entry in zip(*before, strict=True)}
    found = []
    for table, entry in zip(*now, strict=True):
        was = old.get(table.id)
        if was is None and not entry.verdict.go:
            found.append(f"the new step {entry.step.number}, {entry.step.words}, is not yet")
        elif was is not None and was.verdict.go != entry.verdict.go:
            to = "go on" if entry.verdict.go else "not yet"
            found.append(f"step {entry.step.number}, {entry.step.words}: {to} now")
    return found
