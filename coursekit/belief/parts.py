"""Numbers that facts in print tie to each other, and to nothing of the gun: each such part is a sample of its own.

The wear of papers says nothing of drops. So a measurement of the one leaves every draw of the other alone, and where
few draws stand for all, those of each part are picked evenly along its own order.
"""

from __future__ import annotations

import functools
import zlib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from coursekit.belief.moves import Draws, weighed
from coursekit.belief.observation import Observation, Runs, facts
from coursekit.sources import coefficients

STAGE, MOVES = 0.3, 12  # what is left after each stage of something new, and the moves in it
STRATA = 50


class Part:
    """Draws of equal weight of some numbers, in an order in which neighbours give alike answers. It never changes."""

    def __init__(self, deviates: Mapping[str, np.ndarray]) -> None:
        self.deviates = dict(deviates)  # coefficient → (draws,) deviates from its margin
        self.name = min(self.deviates)
        self.draws = len(self.deviates[self.name])

    def column(self, key: str, places: np.ndarray) -> np.ndarray:
        """Values of a number at places (0 to 1) along the order."""
        rows = np.minimum((places * self.draws).astype(int), self.draws - 1)
        return np.asarray(coefficients()[key].at(self.deviates[key][rows]))

    def learn(self, observed: Sequence[Observation], before: Sequence[Observation]) -> Part:
        """The part after measurements of its numbers, those made `before` kept."""
        keys = sorted(self.deviates)
        start = np.stack([self.deviates[key] for key in keys], axis=1)
        random = np.random.default_rng(zlib.crc32("|".join(one.key for one in observed).encode()))
        found = weighed(
            Draws(start, np.full(self.draws, 1 / self.draws)),
            log_likelihood(keys, [*facts_of(keys), *before]),
            log_likelihood(keys, observed),
            random,
            STAGE,
            MOVES,
            MOVES,
        )
        return in_order(keys, found.deviates)


def in_order(keys: Sequence[str], deviates: np.ndarray) -> Part:
    """A part of such draws, put in order by what the first of its facts speak of."""
    columns = {key: np.asarray(coefficients()[key].at(deviates[:, n])) for n, key in enumerate(keys)}
    answers = [one.answer(columns, len(deviates)) for one in facts_of(keys)[:2]]
    at = serpentine(answers[0], answers[-1])
    return Part({key: deviates[at, n] for n, key in enumerate(keys)})


@functools.lru_cache(maxsize=1)
def ties() -> tuple[tuple[str, ...], ...]:
    """The numbers that the facts tie together, part by part, in the order of the facts."""
    found: list[set[str]] = []
    for one in facts().values():
        touched = [part for part in found if part & set(one.keys)]
        found = [part for part in found if part not in touched] + [set(one.keys).union(*touched)]
    return tuple(sorted(tuple(sorted(part)) for part in found))


def facts_of(keys: Iterable[str]) -> list[Observation]:
    """The facts that speak of these numbers."""
    among = set(keys)
    return [one for one in facts().values() if among & set(one.keys)]


def log_likelihood(keys: Sequence[str], of: Iterable[Observation]) -> Any:
    """(n, keys) deviates → (n,): how well draws agree with all of them."""
    asked = list(of)

    def total(deviates: np.ndarray) -> np.ndarray:
        columns = {key: np.asarray(coefficients()[key].at(deviates[:, n])) for n, key in enumerate(keys)}
        found, runs = np.zeros(len(deviates)), Runs()  # several facts ask one call at one setting
        for one in asked:
            found += one.log_likelihood(one.answer(columns, len(deviates), runs))
        return found

    return total


def serpentine(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Rows in strata of the first number, there and back along the second."""
    strata = np.argsort(np.argsort(first, kind="stable"), kind="stable") * STRATA // len(first)
    along = np.argsort(np.argsort(second, kind="stable"), kind="stable")
    return np.lexsort((np.where(strata % 2, -along, along), strata))
