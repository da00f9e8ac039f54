"""What is in print, quick enough for moves while a learner waits: each fact's answer as a quadratic of the deviates.

It only steers the moves. The weights put right what it misses, so that facts count as their calls have them.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from coursekit.belief.moves import LogLikelihood, times
from coursekit.belief.observation import Observation, Runs
from coursekit.sources import coefficients

BEYOND = 1.4  # how far past the draws it is fitted, in their own spread: measurements pull outward


class Quick:
    """Facts over the deviates of the keys that they speak of."""

    def __init__(self, keys: tuple[str, ...], deviates: np.ndarray, asked: Sequence[Observation]) -> None:
        self.keys = keys
        middle = deviates.mean(axis=0)
        at = middle + BEYOND * (deviates - middle)
        columns = {key: np.asarray(coefficients()[key].at(at[:, n])) for n, key in enumerate(keys)}
        self.asked, runs = asked, Runs()
        answers = np.stack([one.scaled(one.answer(columns, len(at), runs)) for one in self.asked], axis=1)
        rows, cols = np.triu_indices(len(keys) + 1)
        whole = np.concatenate([np.ones((len(at), 1)), at], axis=1)
        terms = whole[:, rows] * whole[:, cols]
        square = terms.T @ terms
        square[np.diag_indices_from(square)] += 1e-6 * len(at)
        found = np.linalg.solve(square, terms.T @ answers)
        self.forms = np.zeros((len(self.asked), len(keys) + 1, len(keys) + 1))
        self.forms[:, rows, cols] = found.T

    def log_likelihood(self, keys: Sequence[str]) -> LogLikelihood:
        """(n, keys) → (n,) for deviates of these keys, among which are all of the facts'."""
        at = [list(keys).index(key) for key in self.keys]

        def total(deviates: np.ndarray) -> np.ndarray:
            whole = np.concatenate([np.ones((len(deviates), 1)), deviates[:, at]], axis=1)
            found = np.zeros(len(deviates))
            for one, form in zip(self.asked, self.forms, strict=True):
                found += one.log_likelihood(one.unscaled(np.einsum("ij,ij->i", times(whole, form), whole)))
            return found

        return total
