"""What a look at a plan sees: which limits it passes, and what binds it. A look is played near the repair alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from coursekit.nomenclature import System
from coursekit.repair.case import blocking_follows, coming_after
from coursekit.repair.condition import FEW
from coursekit.repair.entry import Entry
from coursekit.repair.handles import Handle
from coursekit.repair.outline import Outline
from coursekit.repair.playing import Replay
from coursekit.repair.readiness import KIND, grain_of
from coursekit.repair.recipe import Recipe
from coursekit.repair.start import shape_of
from coursekit.repair.steps import MachineSand, Sand, Step
from coursekit.repair.vocabulary import COLOUR
from coursekit.repair.words import Amount, Reason

LEAST_LEFT = 15e-6  # m of surfacer that should be left where it is thinnest, all that may be used up used (assumed)


class Lack(NamedTuple):
    """A limit that is passed: by what share of it, in words with their figures, and what it is about."""

    share: float
    words: str
    figures: tuple[Amount, ...] = ()
    about: str = ""

    def text(self, system: System = "metric") -> str:
        return Reason(True, self.words, self.figures).text(system)


class Look(NamedTuple):
    """A look at a choice: what is lacking, what it takes, the limit passed most, and s of the steps of each role.

    lacking  what the limits are about that are passed
    by_hands what is lacking with the hands alone that were asked
    """

    score: tuple[float, float]
    worst: Lack | None = None
    times: Mapping[str, float] = MappingProxyType({})
    lacking: frozenset[str] = frozenset()
    by_hands: float = math.inf


class Bind(NamedTuple):
    """What holds a plan where it is: one thing moved, from and to, and the limit that this passes."""

    handle: Handle
    now: float
    moved: float
    lack: Lack

    def text(self, system: System = "metric") -> str:
        """ "P180 on filler: 54 in place of 92 strokes …" """
        return f"{self.handle.said(self.now, self.moved, system)}: {self.lack.text(system)}"


def unfinished(entry: Entry, following: Entry | None, steps: Sequence[Step], spare: float) -> float:
    """By how much too many places show an earlier paper, or guide coat that no block comes for.

    steps  those after it
    """
    after, few, blocked_again = entry.condition, spare * FEW, blocking_follows(steps)
    told = any(one.against and one.about == "scratches" for one in entry.verdict.reasons)
    if after.paper not in ("", entry.used.paper):
        return float(told)
    coming = coming_after(steps)
    filled = coming is not None and coming.brings not in COLOUR and not told
    coarser = following is not None and grain_of(following.used.paper) >= grain_of(entry.used.paper)
    left = [0.0 if coarser or filled else after.other_paper, 0.0 if blocked_again else after.guide_coat]
    return min(max(max(left) / few - 1, 0.0), 1.0)


def lacks(played: Replay, spare: float) -> Iterator[Lack]:
    """Each limit over which a plan is, or short of which it stays, as a share of that limit.

    spare  share of a limit that may be used up: the rest is kept for hands that vary
    """
    sanded = [entry for entry in played if isinstance(entry.step, Sand)]
    steps = played.recipe.steps
    short = {
        entry.step.number: unfinished(entry, following, steps[entry.step.number :], spare)
        for entry, following in zip(sanded, [*sanded[1:], None], strict=True)
    }
    for number, share in short.items():
        yield Lack(share, f"step {number} leaves scratches of the paper before it, or guide coat", about="scratches")
    for entry in played:
        told = {"waves", "scratches", "guide coat"} if short.get(entry.step.number, 0.0) > 0 else {"waves"}
        for reason in entry.verdict.reasons:
            if reason.against and reason.about not in told:
                words = f"after step {entry.step.number}, {reason.words}"
                yield Lack(1.0, words, reason.figures, reason.about)
    if not sanded:
        return
    last, number = sanded[-1].condition, sanded[-1].step.number
    yield Lack(
        last.waves / (spare * KIND) - 1,
        f"waves after step {number} of {{0}} of what most people see; {{1}} are kept for hands that vary",
        (("remaining", last.waves / KIND), ("remaining", 1 - spare)),
        "waves",
    )
    if "surfacer" in last.film:
        thin = last.film["surfacer"].thin
        yield Lack(
            1 - spare * thin / LEAST_LEFT,
            f"{{0}} of surfacer left where it is thinnest, after step {number}",
            (("film", thin),),
        )


def near(made: Outline, recipe: Recipe) -> Recipe:
    """The recipe with what is dulled far and wide sanded near the repair alone: far off it changes nothing there."""
    rims = made.numbers("rim")
    if not rims:
        return recipe
    rim = recipe.steps[rims[-1] - 1]
    if not isinstance(rim, Sand) or rim.area is None:
        return recipe
    steps, shape = list(recipe.steps), shape_of(recipe.panel)
    columns, rows = (
        (axis > low) & (axis < high)
        for axis, low, high in zip((shape.x, shape.y), rim.area[::2], rim.area[1::2], strict=True)
    )
    share = float(shape.inside[np.ix_(rows, columns)].sum() / shape.inside.sum())
    for number in made.numbers("scuff") + made.numbers("finish"):
        step = steps[number - 1]
        if isinstance(step, MachineSand):
            # The discs of so little work would be sharper than those of the whole panel.
            steps[number - 1] = replace(step, area=rim.area, time=step.time * share * blunter(step, recipe, share))
        elif isinstance(step, Sand):
            steps[number - 1] = replace(step, area=rim.area)
    return replace(recipe, steps=tuple(steps))


def blunter(step: MachineSand, recipe: Recipe, share: float) -> float:
    """Share of what the papers of a small part of the work cut that those of all of it cut."""
    far = math.pi * step.orbit * step.rotation * step.time
    whole, part = (step.cuts(recipe, distance).removal["surfacer"] for distance in (far, far * share))
    return float(whole / part)
