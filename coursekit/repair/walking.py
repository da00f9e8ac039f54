"""A walk from choice to choice: one thing after another is moved, and judged by looks near the repair."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from typing import Any

from coursekit.quantities import InputError
from coursekit.repair.damage import Damage
from coursekit.repair.handles import STROKES, Finer, Handle, Move, Strokes, Together, handles_of
from coursekit.repair.looking import Bind, Lack, Look, lacks, near
from coursekit.repair.outline import CELL, Choice, Outline
from coursekit.repair.planned import figures_of
from coursekit.repair.playing import Replay, replay
from coursekit.repair.recipe import Recipe, from_document, with_hand
from coursekit.repair.sequences import outline, without_steps
from coursekit.repair.sharing import in_turn
from coursekit.tomlfile import Document

# As fine as the answer, in looks and hands, for half the work (chosen so); what is proposed is then played in full.
LOOK = 0.35
# Of a limit: less than that a look cannot tell (computed: waves of eight hands, 2 % off in the mean, 9 % at most).
SEEN = 0.05
# How the walk steps changes how soon a plan is found, not what is asked of it. All are assumed, and served on the
# damages of the tests:
STRIDE = 0.35  # of a first move, in the logarithm of strokes and films; lengths move by as much of `handles.LENGTH`
LEAST_STRIDE, MOST_STRIDE = 0.05, 0.7
FURTHER = 1.5  # times the stride goes the next move after one that was better, and back the stride over it
WORTH = 0.003  # of the hours: a thing that can spare less is not moved for them
RESERVE = 0.25  # of a limit, of the rest that a steady hand keeps: hands are asked whether that is enough (assumed)
PATIENCE = 4  # looks that hardly found better, after which they are asked (assumed)
SPARED = 0.6  # of a limit that a steady hand uses up; the rest is for straying (assumed)
# What mends a limit, and which way it is moved first, by what the limit is about: "" is a film that is too thin, or
# broken through. The rest of what can be moved comes after it.
MENDS = {
    "": (("level", -1), ("surfacer", 1), ("rim", -1)),
    "guide coat": (("around", -1), ("level", 1)),
    "scratches": (("finish", 1), ("scuff", 1), ("around", -1), ("rim", 1)),
    "waves": (("around", -1), ("filler finish", 1), ("filler level", -1)),
}
Progress = Callable[[str, float], Any]


class Stopped(Exception):
    """The caller's progress said to stop."""


class Walk:
    """What is looked at for one damage; `told` is called with what it does and the share that is done."""

    def __init__(self, damage: Damage, told: Progress | None, executor: Executor | None = None) -> None:
        self.damage, self.told, self.executor = damage, told, executor
        self.bare = without_steps(damage)
        self.done = 0.0
        self.spare = SPARED
        self.looks: list[tuple[Choice, Look]] = []
        self.seen = Look((math.inf, math.inf))  # at the end of the last walk
        self.strides: dict[str, float] = {}
        self.seeds: tuple[int, ...] = ()  # of hands that vary, where a look asks them too

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
        handles = self.handles(choice)
        together = Together("all strokes", tuple(one for one in handles if isinstance(one, Strokes)))
        strides, papers = self.strides, (STROKES["filler level"], STROKES["filler finish"])
        finer = [Finer("filler to the finer paper", *papers)] if self.seeds and papers[0] in handles else []
        for one in (together, *finer, *handles):  # what was learnt of them on an earlier walk stands
            strides.setdefault(one.key, STRIDE if found.score[0] and one.key.startswith("filler") else -STRIDE)
        if found.score[0] > 0 and found.worst is not None:
            mends = dict(MENDS.get(found.worst.about, ()))
            for key, way in mends.items():
                strides[key] = math.copysign(strides.get(key, STRIDE), way)
            ranks = {key: rank for rank, key in enumerate(mends)}
            handles = sorted(handles, key=lambda one: ranks.get(one.key, len(ranks)))
        laid = [one for one in handles if not isinstance(one, Strokes)]
        least: set[str] = set()  # of these less was tried, and was too little
        still = turn = 0  # looks since the last that was better, and things moved
        for count in range(looks):
            # Of what lacks nothing only less is better. Strokes take neither film nor paint, and no time to speak of
            # where they are few: they are moved while something is lacking.
            whole = found.score[0] <= 0
            open_: Sequence[Move]
            if whole and self.damage.wish.least != "hours":
                open_ = laid or [together, *handles]
            elif whole:
                open_ = [one for one in (together, *handles) if one.key not in least and self.matters(one, found)]
            else:
                open_ = [*handles, *finer] if found.worst and not found.worst.about else [*finer, *handles]
            if not open_ or still > len(open_) or (whole and self.seeds):
                break
            if found.score[0] <= RESERVE and (still > PATIENCE or found.by_hands <= 0):
                break  # what is lacking is of the rest that is kept: hands tell whether it is enough
            self.tell(f"looking for a plan: {count + 1} of {looks}", share + part * count / looks)
            move, turn = open_[turn % len(open_)], turn + 1
            key = move.key
            if whole and self.damage.wish.least == "hours":
                strides[key] = -abs(strides[key])
            tried = move.moved(best, strides[key], self.damage, self.bare)
            seen = self.look(tried, limit=found.score[0]) if tried != best else None
            if seen is not None and not self.seeds:  # what binds is told of the steady hand
                self.looks.append((tried, seen))
            if seen is not None and seen.score < found.score:
                still = 0 if whole or seen.score[0] < found.score[0] - SEEN / 2 else still + 1
                best, found = tried, seen
                strides[key] = math.copysign(min(abs(strides[key]) * FURTHER, MOST_STRIDE), strides[key])
                turn -= whole or bool(self.seeds)  # on while it is better
            else:
                still += 1
                strides[key] = -math.copysign(max(abs(strides[key]) / FURTHER, LEAST_STRIDE), strides[key])
                if whole:
                    least.add(key)
        self.seen = found
        return best, found.score[0]

    def matters(self, move: Move, found: Look) -> bool:
        """Whether less of it can save time that is worth a look."""
        if not isinstance(move, Strokes):
            return True
        return found.times.get(move.key, 0.0) * -math.expm1(-STRIDE) > WORTH * found.score[1]

    def handles(self, choice: Choice) -> list[Handle]:
        """What can be moved in a choice."""
        return handles_of(outline(self.damage, choice, self.bare), self.damage)

    def look(self, choice: Choice, until: str = "finish", limit: float = math.inf) -> Look:
        """A choice by a look, as far as a role goes: what is lacking, and what it takes.

        limit  where the steady hand alone lacks more than this, no other is asked
        """
        hands: list[list[Lack]] = []
        try:
            made, played = self.played(choice, until)
            steady = self.passed(played, SPARED if self.seeds else self.spare)
            if sum(lack.share for lack in steady) <= limit:
                hands = list(self.by_hands(choice, until))
        except InputError:
            return Look((math.inf, math.inf))
        # What some hands need must not cost the others the rest that a steady hand keeps for them.
        passed = [*steady, *itertools.chain(*hands)]
        worst = max(passed, key=lambda lack: lack.share, default=None)
        times: dict[str, float] = {}
        for step, entry in zip(made.steps, played, strict=False):
            times[step.role] = times.get(step.role, 0.0) + entry.used.time
        about = frozenset(lack.about for lack in passed)
        strayed = sum(lack.share for lack in itertools.chain(*hands)) if hands else math.inf
        return Look((sum(lack.share for lack in passed), self.measure(played)), worst, times, about, strayed)

    def by_hands(self, choice: Choice, until: str) -> Iterator[list[Lack]]:
        """What a choice lacks with each of the hands that are asked."""
        given = self.damage, choice, until, self.spare
        return in_turn(self.executor if len(self.seeds) > 1 else None, _passed_by, given, self.seeds)

    def passed(self, played: Replay, spare: float) -> list[Lack]:
        """The limits that are passed, as far as a look can tell."""
        return [lack for lack in lacks(played, spare) if lack.share > SEEN]

    def looked(self, choice: Choice, until: str = "finish", seed: int = 0) -> Replay:
        return self.played(choice, until, seed)[1]

    def played(self, choice: Choice, until: str = "finish", seed: int = 0) -> tuple[Outline, Replay]:
        """A choice played near the repair, as far as a role goes; with a seed by a hand that strays."""
        made, recipe = self.written(choice)
        number = max(made.numbers(until), default=len(made.steps))
        if seed:
            recipe = with_hand(recipe, seed, self.damage.wish.hand)
        return made, replay(near(made, recipe), preview=LOOK, until=number)

    def measure(self, played: Replay) -> float:
        """What there should be least of, as far as it was played."""
        if self.damage.wish.least == "hours":
            return sum(entry.used.time for entry in played)
        return figures_of(played).of(self.damage.wish.least)

    def binds(self, choice: Choice) -> tuple[Bind, ...]:
        """What was looked at beside a choice and passes a limit: the nearest of each thing that was moved."""
        found: dict[tuple[str, bool], Bind] = {}
        handles = self.handles(choice)
        for tried, seen in self.looks:
            moved = [one for one in handles if one.value(tried) != one.value(choice)]
            if len(moved) != 1 or seen.worst is None or moved[0].as_in(choice, tried) != choice:
                continue
            one = Bind(moved[0], moved[0].value(choice), moved[0].value(tried), seen.worst)
            key = one.handle.key, one.moved > one.now
            if key not in found or abs(one.moved - one.now) < abs(found[key].moved - one.now):
                found[key] = one
        return tuple(found.values())


def _passed_by(given: tuple[Damage, Choice, str, float], seed: int) -> list[Lack]:
    damage, choice, until, spare = given
    walk = Walk(damage, None)
    return walk.passed(walk.looked(choice, until, seed), spare)
