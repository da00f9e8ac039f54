"""What can be moved in a choice while a plan is sought: strokes of a step, film, how far things reach."""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from coursekit.nomenclature import System
from coursekit.quantities import shown
from coursekit.repair.damage import Damage
from coursekit.repair.outline import USUAL_STROKES, Choice, Outline, coats_for, needs_filler
from coursekit.repair.recipe import Recipe
from coursekit.repair.rules import rule
from coursekit.sanding.progression import MOST_STROKES

LENGTH = 0.03  # m by which a whole stride moves a length (assumed)
LEAST_STROKES = 10.0  # of a step that is there at all (assumed)


@dataclass(frozen=True)
class Move(ABC):
    """What is moved at once; `key` is the role or the rule of a single thing."""

    key: str

    @abstractmethod
    def moved(self, choice: Choice, stride: float, damage: Damage, bare: Recipe) -> Choice:
        """The choice with this moved by a stride, within what the rules allow."""


@dataclass(frozen=True)
class Handle(Move):
    """One thing that can be moved by itself."""

    label: str

    @abstractmethod
    def value(self, choice: Choice) -> float:
        """What a choice says of it; strokes as they are done."""

    @abstractmethod
    def as_in(self, other: Choice, choice: Choice) -> Choice:
        """The choice with this as the other choice has it."""

    @abstractmethod
    def said(self, now: float, moved: float, system: System) -> str:
        """Where it was moved to, and from where."""


class Strokes(Handle):
    """Strokes of a sanding step, by its role."""

    def value(self, choice: Choice) -> float:
        return choice.done(self.key)

    def moved(self, choice: Choice, stride: float, damage: Damage, bare: Recipe) -> Choice:
        strokes = choice.strokes.get(self.key, USUAL_STROKES[self.key]) * math.exp(stride)
        return choice.with_strokes(self.key, float(min(max(strokes, LEAST_STROKES), MOST_STROKES)))

    def as_in(self, other: Choice, choice: Choice) -> Choice:
        strokes = {role: count for role, count in choice.strokes.items() if role != self.key}
        if self.key in other.strokes:
            strokes[self.key] = other.strokes[self.key]
        return replace(choice, strokes=strokes)

    def said(self, now: float, moved: float, system: System) -> str:
        return f"{self.label} with {moved:.0f} strokes in place of {now:.0f}"


@dataclass(frozen=True)
class Together(Move):
    """The strokes of many steps, all by the same share."""

    steps: tuple[Strokes, ...]

    def moved(self, choice: Choice, stride: float, damage: Damage, bare: Recipe) -> Choice:
        for one in self.steps:
            choice = one.moved(choice, stride, damage, bare)
        return choice


@dataclass(frozen=True)
class Finer(Move):
    """Strokes moved from a coarse paper to the fine one after it: so more of fine, so much less of coarse."""

    coarse: Strokes
    fine: Strokes

    def moved(self, choice: Choice, stride: float, damage: Damage, bare: Recipe) -> Choice:
        return self.fine.moved(self.coarse.moved(choice, -stride, damage, bare), stride, damage, bare)


class Surfacer(Handle):
    """The film of surfacer, in as few coats as hang without running."""

    def value(self, choice: Choice) -> float:
        return choice.films["surfacer"][0]

    def moved(self, choice: Choice, stride: float, damage: Damage, bare: Recipe) -> Choice:
        one = rule("coats.surfacer" if needs_filler(damage) else "coats.surfacer-on-paint")
        film = float(np.clip(self.value(choice) * math.exp(stride / 2), one.low, one.high))
        coats = coats_for("surfacer", film, bare.materials)
        return replace(choice, films={**choice.films, "surfacer": (film, coats)})

    def as_in(self, other: Choice, choice: Choice) -> Choice:
        return replace(choice, films=other.films)

    def said(self, now: float, moved: float, system: System) -> str:
        return _lengths(self.label, now, moved, "film", system)


@dataclass(frozen=True)
class Reach(Handle):
    """How far one thing reaches beyond another, by its rule; `field` of a choice holds it."""

    field: str

    def value(self, choice: Choice) -> float:
        return float(getattr(choice, self.field))

    def moved(self, choice: Choice, stride: float, damage: Damage, bare: Recipe) -> Choice:
        one = rule(self.key)
        return self._with(choice, float(np.clip(self.value(choice) + stride * LENGTH, one.low, one.high)))

    def as_in(self, other: Choice, choice: Choice) -> Choice:
        return self._with(choice, self.value(other))

    def said(self, now: float, moved: float, system: System) -> str:
        return _lengths(self.label, now, moved, "place", system)

    def _with(self, choice: Choice, length: float) -> Choice:
        changed: dict[str, Any] = {self.field: length}
        return replace(choice, **changed)


def _lengths(label: str, now: float, moved: float, row: str, system: System) -> str:
    to, before = (shown(value, row, system, 2) for value in (moved, now))
    return f"{label} of {to} in place of {before}"


STROKES: Mapping[str, Strokes] = {
    role: Strokes(role, label)
    for role, label in (
        ("feather", "the old paint feathered"),
        ("filler shape", "filler shaped by the board"),
        ("filler level", "filler levelled"),
        ("filler finish", "filler finished"),
        ("filler line", "filler levelled along the body line"),
        ("scuff", "the ring scuffed"),
        ("level", "surfacer levelled"),
        ("level short", "surfacer levelled by the short block"),
        ("line", "surfacer levelled along the body line"),
        ("rim", "the rim sanded"),
        ("finish", "the panel scuffed"),
        ("nib", "clear flattened"),
    )
}
SURFACER = Surfacer("surfacer", "surfacer")
AROUND = Reach("reach.surfacer", "surfacer beyond the filler", "around")
FILLED = Reach("reach.filler", "a lap of filler", "filled")
FEATHER = Reach("reach.feather", "a feather of each layer", "feather")


def handles_of(made: Outline, damage: Damage) -> list[Handle]:
    """What can be moved in a repair, from the last step to the first: of what comes late less is played anew.

    Last of all is what changes least: how long the ring is scuffed.
    """
    roles = dict.fromkeys(step.role for step in reversed(made.steps))
    found: list[Handle] = []
    for role in (role for role in roles if role in STROKES):
        found.append(STROKES[role])
        if role == "level":
            found += [SURFACER, AROUND]
    if STROKES["level"] not in found:
        return found
    found += [*([FILLED] if needs_filler(damage) else []), FEATHER]
    return sorted(found, key=lambda one: one.key == "scuff")
