"""A repair looked at in one place: which steps reach it, and what the place was like before and after each."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from coursekit.panel import cells_of, shows
from coursekit.panel.looks import LEAST_SEEN
from coursekit.repair.condition import Condition, condition_of
from coursekit.repair.entry import Entry, SandEntry, SprayEntry
from coursekit.repair.given import Place
from coursekit.repair.playing import Replay
from coursekit.repair.steps import Sand
from coursekit.repair.words import Amount

GARAGE = 0  # number of the "step" that is the garage itself


class Sign(NamedTuple):
    """One figure: the step it belongs to (0 is the garage), how far past its limit, and the words with figures."""

    step: int
    ratio: float
    words: str
    figures: tuple[Amount, ...] = ()


class Evidence:
    """A replay looked at in one place."""

    def __init__(self, replay: Replay, place: Place | None) -> None:
        self.replay, self.recipe, self.place = replay, replay.recipe, place
        self._conditions: dict[int, Condition] = {}

    def reaching(self) -> Iterator[Entry]:
        """The steps that reach the place."""
        return (entry for entry in self.replay if meets(entry.step.reaches, self.place))

    def sanded(self, *kinds: type[Sand]) -> Iterator[SandEntry]:
        """The steps that sand it, or those of these kinds."""
        for entry in self.reaching():
            if isinstance(entry, SandEntry) and isinstance(entry.step, kinds or Sand):
                yield entry

    def added(self) -> Iterator[Entry]:
        """The steps that bring filler or paint there."""
        return (entry for entry in self.reaching() if entry.step.brings)

    def sprayed(self, *materials: str) -> Iterator[SprayEntry]:
        """The sprayings that laid a film in the place, past the masks."""
        for entry in self.reaching():
            if (
                isinstance(entry, SprayEntry)
                and (not materials or entry.step.material in materials)
                and (self.laid(entry) > LEAST_SEEN).any()
            ):
                yield entry

    def laid(self, entry: SprayEntry) -> np.ndarray:
        """Dry film (m) that a spraying step laid on the open cells of the place, where it aimed at them."""
        number, material = entry.step.number, entry.step.material
        before = self.replay[number - 2].panel if number > 1 else self.replay.start
        where = cells_of(entry.panel, self.place) & cells_of(entry.panel, entry.step.area) & (before.mask < 0.5)
        found: np.ndarray = entry.panel.film(material)[where] - before.film(material)[where]
        return found

    def before(self, entry: Entry) -> Condition:
        """The figures of the place before a step."""
        return self.after_number(entry.step.number - 1)

    def after(self, entry: Entry) -> Condition:
        return self.after_number(entry.step.number)

    def after_number(self, number: int) -> Condition:
        if number not in self._conditions:
            panel = self.replay[number - 1].panel if number else self.replay.start
            self._conditions[number] = condition_of(panel, self.place)
        return self._conditions[number]

    def showed(self, material: str, entry: Entry) -> float:
        """Area (m²) of the place on which a material of the panel showed before a step."""
        panel = self.replay[entry.step.number - 2].panel if entry.step.number > 1 else self.replay.start
        share = shows(panel, self.place).share.get(material, 0.0)
        return float(share * cells_of(panel, self.place).sum() * panel.cell_area)


def meets(area: Place | None, place: Place | None) -> bool:
    """Whether two rectangles (None: the whole panel) share a part."""
    if area is None or place is None:
        return True
    return area[0] < place[1] and place[0] < area[1] and area[2] < place[3] and place[2] < area[3]


def over(figure: float, limit: float) -> float:
    """How far a figure is past a limit, which may be nothing."""
    return figure / limit if limit > 0 else math.inf
