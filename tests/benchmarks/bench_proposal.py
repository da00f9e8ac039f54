"""A proposal against random variations of it, and its time: `python -m tests.benchmarks.bench_proposal DAMAGE 200`.

A variation strays strokes, film and reaches of the plan. Those that take less, by the plan's own measure, are played
exactly and by ten hands: how many are better and hold, and by how much?
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator

import numpy as np

from coursekit.quantities import InputError
from coursekit.repair import Proposal, damage, propose
from coursekit.repair.outline import Choice
from coursekit.repair.planned import Plan, against
from coursekit.repair.proposing import Search
from tests.benchmarks.timing import Figure
from tests.damages import DAMAGES, HEAD

SPREAD = 0.3  # of strokes and film, in the logarithm
STRAYED = 0.4  # share of what can be moved that strays in a variation
CLEAR = 0.002  # by so much less a variation must take to be better: a few seconds in an hour


def varied(search: Search, choice: Choice, random: np.random.Generator) -> Choice:
    """One random variation of a choice, within the rules."""
    for handle in search.handles(choice):
        if random.random() < STRAYED:
            stride = SPREAD * float(random.standard_normal())
            choice = handle.moved(choice, stride, search.damage, search.bare)
    return choice


def better(search: Search, plan: Plan, number: int, seed: int = 7) -> Iterator[tuple[float, Choice]]:
    """Of so many variations those that take less and hold: by what share less, and the choice."""
    random, least = np.random.default_rng(seed), search.damage.wish.least
    own = plan.figures.of(least)
    for _ in range(number):
        choice = varied(search, plan.choice, random)
        if search.look(choice).score[1] >= search.look(plan.choice).score[1]:
            continue
        try:
            tried = search.play(choice)
        except InputError:
            continue
        gain = 1 - tried.figures.of(least) / own
        if gain < CLEAR or tried.played.not_yet or against(tried.played):
            continue
        if search.with_hands(tried, 0.0).holds:
            yield gain, choice


def proposed(name: str) -> tuple[Proposal, float]:
    """The proposal for a damage of the tests, and the CPU (s) that it took."""
    begun = time.process_time()
    found = propose(damage.loads(HEAD + DAMAGES[name]))
    return found, time.process_time() - begun


def figures() -> Iterator[Figure]:
    for name in DAMAGES:
        found, took = proposed(name)
        yield Figure(f"{name}: {'holds' if found.holds else 'no plan'}", took, "s of CPU", 5.0)


def main(name: str, number: int) -> None:
    name = next(one for one in DAMAGES if name in one)
    found, took = proposed(name)
    print(f"{name}: {took:.1f} s of CPU, holds: {found.holds}", flush=True)
    if found.plan is None or not found.holds:
        return
    print(found.plan.figures, found.plan.choice)
    gains = []
    for gain, choice in better(Search(found.damage, 10, None, None), found.plan, number):
        gains.append(gain)
        print(f"{gain:.2%} less: {choice}", flush=True)
    print(f"{len(gains)} of {number} variations are better and hold")


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
