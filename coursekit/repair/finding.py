"""One thing found in a plan: of what kind, where, what it is with its figures, and what to do instead."""

from __future__ import annotations

from typing import Literal, NamedTuple

from coursekit.nomenclature import System
from coursekit.repair.words import Amount, Reason, in_words

Topic = Literal["weather", "window", "pot life", "papers", "degreasing", "room", "hardener", "areas"]


class PlanFinding(NamedTuple):
    """One thing found in a plan: its topic, its steps, what it is with its figures, and what to do instead."""

    topic: Topic
    steps: tuple[int, ...]
    reason: Reason
    remedy: str
    figures: tuple[Amount, ...] = ()  # of the remedy

    @property
    def against(self) -> bool:
        """Whether it is a problem in the plan; otherwise it is a note."""
        return self.reason.against

    @property
    def where(self) -> str:
        """The steps in words."""
        *first, last = (str(step) for step in self.steps)
        return f"steps {', '.join(first)} and {last}" if first else f"step {last}"

    def text(self, system: System = "metric") -> str:
        """The finding in words: of what kind, where, what it is, and the remedy."""
        found = f"{self.topic[:1].upper() + self.topic[1:]}, {self.where}: {self.reason.text(system)}."
        return f"{found} {in_words(self.remedy, self.figures, system)}".strip()

    def __str__(self) -> str:
        return self.text()
