"""A walk from choice to choice: one thing after another is moved, and judged by looks near the repair."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from coursekit.quantities import InputError
from coursekit.repair.damage import Damage
from coursekit.repair.looking import LENGTHS, Bind, Look, lacks, near
from coursekit.repair.outline import CELL, USUAL_STROKES, Choice, Outline, coats_for, needs_filler
from coursekit.repair.planned import figures_of
from coursekit.repair.playing import Replay, replay
from coursekit.repair.recipe import Recipe, from_document, with_hand
from coursekit.repair.rules import rule
from coursekit.repair.sequences import outline, without_steps
from coursekit.sanding.progression import MOST_STROKES
from coursekit.tomlfile import Document

LOOK = 0.35  # as fine as the answer, in looks and hands, for half the work; what is proposed is then played in full
SEEN = 0.05  # of a limit: less than that a look cannot tell (waves of eight hands: 2 % off in the mean, 9 % at most)
STRIDE = 0.35  # of a first move, in the logarithm of strokes and films; lengths move by as much of `LENGTH`
LENGTH = 0.03  # m
WORTH = 0.003  # of the hours: a thing that can spare less is not moved for them
TOGETHER = "all strokes"
LEAST_STRIDE, MOST_STRIDE = 0.05, 0.7
LEAST_STROKES = 10.0
SPARED = 0.6, 0.52, 0.45  # of a limit that a steady hand uses up, in turns; the rest is for straying (assumed)
Progress = Callable[[str, float], Any]


class Stopped(Exception):
    """The caller's progress said to stop."""


class Walk:
    """What is looked at for one damage; `told` is called with what it does and the share that is done."""

    def __init__(self, damage: Damage, told: Progress | None) -> None:
        self.damage, self.told = damage, told
        self.bare = without_steps(damage)
        self.done = 0.0
        self.spare = SPARED[0]
        self.looks: list[tuple[Choice, Look]] = []
        self.strides: dict[str, float] = {}

    def tell(self, words: str, share: float) -> None:
        self.done = max(self.done, share)
        if self.told is not None and self.told(words, self.done) is False:
            raise Stopped

    # --- recipes ---

    def written(self, choice: Choice, cell: float = CELL) -> tuple[Outline, Recipe]:
        """The steps of a choice and their recipe, on a grid."""
        made = outline(self.damage, choice, self.bare)
        tables = {**made.tables, "panel": {**made.tables["panel"], "cell": f"{cell * 1e3:g} mm"}}
        made = replace(made, tables=tables)
        return made, from_document(Document.of_tables(tables, self.damage.name))

    # --- a look ---

    def sought(self, choice: Choice, looks: int, share: float, part: float = 0.3) -> tuple[Choice, float]:
        """The choice to which moves lead from this one, and what it still lacks: by looks, so many of them.

        One thing after the other is moved, on while that is better and back when it is not. What lacks less is
        better, and of what lacks nothing that with less of what is wished for.
        """
        best, found = choice, self.look(choice)
        handles = [TOGETHER, *self.handles(choice)]
        strides = self.strides
        for one in handles:  # what was learnt of them on an earlier walk stands
            strides.setdefault(one, STRIDE if found.score[0] and one.startswith("filler") else -STRIDE)
        laid = [one for one in handles if one != TOGETHER and one not in USUAL_STROKES]
        least: set[str] = set()  # of these less was tried, and was too little
        still = turn = 0  # looks since the last that was better, and things moved
        for count in range(looks):
            # Of what lacks nothing only less is better. Strokes take neither film nor paint, and no time to speak of
            # where they are few: they are moved while something is lacking.
            whole = found.score[0] <= 0
            if whole and self.damage.wish.least != "hours":
                open_ = laid or handles
            elif whole:
                open_ = [one for one in handles if one not in least and self.matters(one, found)]
            else:
                open_ = handles[1:]
            if not open_ or still > len(open_):
                break
            self.tell(f"looking for a plan: {count + 1} of {looks}", share + part * count / looks)
            handle, turn = open_[turn % len(open_)], turn + 1
            if whole and self.damage.wish.least == "hours":
                strides[handle] = -abs(strides[handle])
            tried = self.moved(best, handle, strides[handle])
            seen = self.look(tried) if tried != best else None
            if seen is not None:
                self.looks.append((tried, seen))
            if seen is not None and seen.score < found.score:
                best, found, still = tried, seen, 0
                strides[handle] = math.copysign(min(abs(strides[handle]) * 1.5, MOST_STRIDE), strides[handle])
                turn -= whole  # on while it is better
            else:
                still += 1
                strides[handle] = -math.copysign(max(abs(strides[handle]) / 1.5, LEAST_STRIDE), strides[handle])
                if whole:
                    least.add(handle)
        return best, found.score[0]

    def matters(self, handle: str, found: Look) -> bool:
        """Whether less of it can save time that is worth a look."""
        if handle not in USUAL_STROKES:
            return True
        return found.times.get(handle, 0.0) * -math.expm1(-STRIDE) > WORTH * found.score[1]

    def handles(self, choice: Choice) -> list[str]:
        """What can be moved in a choice, from the last step to the first: of what comes late less is played anew."""
        made = outline(self.damage, choice, self.bare)
        roles = dict.fromkeys(step.role for step in reversed(made.steps) if step.role in USUAL_STROKES)
        if "level" not in roles:
            return list(roles)
        return [*roles, "surfacer", *(key for key in LENGTHS if key != "reach.filler" or needs_filler(self.damage))]

    def moved(self, choice: Choice, handle: str, stride: float) -> Choice:
        """The choice with one thing moved, within what the rules allow."""
        if handle == TOGETHER:
            for role in self.handles(choice):
                choice = self.moved(choice, role, stride) if role in USUAL_STROKES else choice
            return choice
        if handle in USUAL_STROKES:
            strokes = choice.strokes.get(handle, USUAL_STROKES[handle]) * math.exp(stride)
            return choice.with_strokes(handle, float(min(max(strokes, LEAST_STROKES), MOST_STROKES)))
        if handle == "surfacer":
            one = rule("coats.surfacer" if needs_filler(self.damage) else "coats.surfacer-on-paint")
            film = float(np.clip(choice.films[handle][0] * math.exp(stride / 2), one.low, one.high))
            return replace(
                choice, films={**choice.films, handle: (film, coats_for(handle, film, self.bare.materials))}
            )
        one, name = rule(handle), LENGTHS[handle]
        length: dict[str, Any] = {name: float(np.clip(getattr(choice, name) + stride * LENGTH, one.low, one.high))}
        return replace(choice, **length)

    def look(self, choice: Choice, until: str = "finish") -> Look:
        """A choice by a look, as far as a role goes: what is lacking, and what it takes."""
        try:
            made, played = self.played(choice, until)
        except InputError:
            return Look((math.inf, math.inf))
        passed = [lack for lack in lacks(played, self.spare) if lack.share > SEEN]
        worst = max(passed, key=lambda lack: lack.share, default=None)
        times: dict[str, float] = {}
        for step, entry in zip(made.steps, played, strict=False):
            times[step.role] = times.get(step.role, 0.0) + entry.used.time
        return Look((sum(lack.share for lack in passed), self.measure(played)), worst, times)

    def looked(self, choice: Choice, until: str = "finish", seed: int = 0) -> Replay:
        return self.played(choice, until, seed)[1]

    def played(self, choice: Choice, until: str = "finish", seed: int = 0) -> tuple[Outline, Replay]:
        """A choice played near the repair, as far as a role goes; with a seed by a hand that strays."""
        made, recipe = self.written(choice)
        number = max(made.numbers(until), default=len(made.steps))
        if seed:
            recipe = with_hand(recipe, seed, self.damage.wish.hand)
        return made, replay(near(made, recipe), remember=not seed, preview=LOOK, until=number)

    def measure(self, played: Replay) -> float:
        """What there should be least of, as far as it was played."""
        if self.damage.wish.least == "hours":
            return sum(entry.used.time for entry in played)
        return figures_of(played).of(self.damage.wish.least)

    def binds(self, choice: Choice) -> tuple[Bind, ...]:
        """What was looked at beside a choice and passes a limit: the nearest of each thing that was moved."""
        found: dict[tuple[str, bool], Bind] = {}
        for tried, seen in self.looks:
            moved = [one for one in self.handles(choice) if self.value(tried, one) != self.value(choice, one)]
            if len(moved) != 1 or seen.worst is None or replace_all(tried, choice, moved[0]) != choice:
                continue
            handle = moved[0]
            one = Bind(handle, self.value(choice, handle), self.value(tried, handle), seen.worst)
            key = handle, one.moved > one.now
            if key not in found or abs(one.moved - one.now) < abs(found[key].moved - one.now):
                found[key] = one
        return tuple(found.values())

    def value(self, choice: Choice, handle: str) -> float:
        """What a choice says of a thing that can be moved; strokes as they are done."""
        if handle in USUAL_STROKES:
            return choice.done(handle)
        return choice.films[handle][0] if handle == "surfacer" else float(getattr(choice, LENGTHS[handle]))


def replace_all(tried: Choice, choice: Choice, handle: str) -> Choice:
    """The tried choice with that one thing as another choice has it."""
    if handle in USUAL_STROKES:
        strokes = {**tried.strokes}
        strokes.pop(handle, None)
        return replace(tried, strokes=strokes | {k: v for k, v in choice.strokes.items() if k == handle})
    if handle == "surfacer":
        return replace(tried, films=choice.films)
    back: dict[str, Any] = {LENGTHS[handle]: getattr(choice, LENGTHS[handle])}
    return replace(tried, **back)
