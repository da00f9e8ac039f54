"""Two repairs side by side, step by step and as a whole."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from typing import Any, NamedTuple

from coursekit.markup import tag
from coursekit.nomenclature import System
from coursekit.panel import Sanded
from coursekit.repair.cautioning import care_lines
from coursekit.repair.entry import Entry
from coursekit.repair.outcome import NAMES, Outcome, figure_words, outcome_of
from coursekit.repair.playing import RecipeLike, Replay, as_replay
from coursekit.repair.recipe import Recipe
from coursekit.repair.steps import Sprayed
from coursekit.repair.table import FRESH
from coursekit.repair.words import say

ALIKE = 1e-3  # figures closer than that, over the larger one, are not told apart
FIGURES = {  # what is compared of a step: its words, and how it is shown
    "film": ("film where it is thinnest", "film"),
    "scratch": ("scratch left", "scratch_depth"),
    "waves": ("waves, times a strict eye's limit", "plain"),
    "guide_coat": ("guide coat left", "remaining"),
    "broken": ("broken through", "spot"),
    "mixed": ("paint mixed", "paint_volume"),
    "landed": ("solids landed", "remaining"),
    "removed": ("film taken off", "film"),
    "time": ("time", "time"),
}


class Difference(NamedTuple):
    """One figure that differs, in SI; None where a repair has no such thing."""

    what: str
    a: float | None
    b: float | None

    def text(self, system: System = "metric") -> str:
        words, name = FIGURES[self.what]
        values = ["–" if value is None else say(value, name, system) for value in (self.a, self.b)]
        return f"{words}: {values[0]} | {values[1]}"


class Side(NamedTuple):
    """A step of the one repair beside the like step of the other; None where there is none."""

    a: Entry | None
    b: Entry | None
    settings: tuple[str, ...]  # keys that are set otherwise
    differences: tuple[Difference, ...]
    verdicts_differ: bool


class Comparison(NamedTuple):
    """Two repairs: their replays, steps side by side, and what each comes to."""

    a: Replay
    b: Replay
    steps: tuple[Side, ...]
    totals: tuple[Outcome, Outcome]

    def text(self, system: System = "metric") -> str:
        """What differs, in words: the first repair before the bar, the second behind it."""
        return "\n".join(self._lines(system))

    def __str__(self) -> str:
        return self.text()

    def _lines(self, system: System) -> Iterator[str]:
        yield f"{self.a.recipe.title} | {self.b.recipe.title}"
        for side in self.steps:
            if not (side.settings or side.differences or side.verdicts_differ):
                continue
            yield f"{_name(side.a)} | {_name(side.b)}" + (
                f"  set otherwise: {', '.join(side.settings)}" if side.settings else ""
            )
            for difference in side.differences:
                yield f"      {difference.text(system)}"
            if side.verdicts_differ:
                for entry, mark in ((side.a, "first"), (side.b, "second")):
                    if entry is not None:
                        yield f"      {mark}: {entry.verdict.text(system)}"
        yield "As a whole:"
        for what, (label, _) in NAMES.items():
            values = [figure_words(what, getattr(total, what), system) for total in self.totals]
            yield f"      {label}: {values[0]} | {values[1]}"
        yield from care_lines(self.a, self.b)

    def _repr_html_(self) -> str:
        return tag("pre", self.text())


def compare(a: RecipeLike, b: RecipeLike) -> Comparison:
    """Set two repairs side by side: film, scratch, waves, breakthrough, material, time and verdict.

    a, b  recipes, paths of recipe files, or replays
    Steps that do the like stand side by side; one that the other repair has not stands alone.
    """
    one, other = as_replay(a), as_replay(b)
    sides = tuple(_side(*pair) for pair in _pairs(one, other))
    return Comparison(one, other, sides, (outcome_of(one), outcome_of(other)))


def _pairs(one: Replay, other: Replay) -> Iterator[tuple[Entry | None, Entry | None]]:
    words = [[entry.step.words for entry in replay] for replay in (one, other)]
    matcher = difflib.SequenceMatcher(None, words[0], words[1], autojunk=False)
    for how, a0, a1, b0, b1 in matcher.get_opcodes():
        if how == "equal" or (how == "replace" and a1 - a0 == b1 - b0):
            yield from zip(one[a0:a1], other[b0:b1], strict=True)
        else:
            yield from ((entry, None) for entry in one[a0:a1])
            yield from ((None, entry) for entry in other[b0:b1])


def _side(a: Entry | None, b: Entry | None) -> Side:
    if a is None or b is None:
        return Side(a, b, (), (), True)
    one, other = a.step.settings, b.step.settings
    keys = tuple(key for key in {**one, **other} if one.get(key) != other.get(key))
    first, second = _figures(a), _figures(b)
    found = tuple(
        Difference(what, first[what], second[what]) for what in FIGURES if not _alike(first[what], second[what])
    )
    return Side(a, b, keys, found, a.verdict.go != b.verdict.go)


def _figures(entry: Entry) -> dict[str, float | None]:
    after, used = entry.condition, entry.used
    film = next((after.film[name].thin for name in FRESH if name in after.film), None)
    return {
        "film": film,
        "scratch": after.scratch,
        "waves": after.waves,
        "guide_coat": after.guide_coat,
        "broken": sum(entry.change.broken.values()),
        "mixed": used.mixed if isinstance(used, Sprayed) else None,
        "landed": used.solids.landed if isinstance(used, Sprayed) and used.solids.laid else None,
        "removed": used.mean_removed if isinstance(used, Sanded) else None,
        "time": used.time,
    }


def _alike(a: float | None, b: float | None) -> bool:
    if a is None or b is None:
        return a is b
    return abs(a - b) <= ALIKE * max(abs(a), abs(b))


def _name(entry: Entry | None) -> str:
    return "–" if entry is None else f"{entry.step.number} {entry.step.words}"


def with_changes(recipe: Recipe, changes: dict[tuple[str | int, ...], Any]) -> Recipe:
    """The recipe with several values written anew, each as for `Recipe.changed`."""
    for where, value in changes.items():
        recipe = recipe.changed(*where, to=value)
    return recipe
