"""What calls give, quick enough for moves while a learner waits: each answer as a quadratic of the deviates.

It only steers the moves. The weights put right what it misses, so that facts in print and measurements count as their
calls have them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from coursekit.belief.moves import LogLikelihood, squares, times
from coursekit.belief.observation import Observation, Runs
from coursekit.sources import coefficients

FITTED = 1000  # draws, of which each form has some hundred terms
BEYOND = 1.4  # how far past the draws it is fitted, in their own spread: measurements pull outward


class Form(NamedTuple):
    """An answer as a quadratic of the deviates of the keys that move it."""

    one: Observation
    keys: tuple[str, ...]
    matrix: np.ndarray  # (keys + 1, keys + 1), the first place for what is constant

    def log_likelihood(self, deviates: np.ndarray) -> np.ndarray:
        whole = np.concatenate([np.ones((len(deviates), 1)), deviates], axis=1)
        answers = np.einsum("ij,ij->i", times(whole, self.matrix), whole)
        return self.one.log_likelihood(self.one.unscaled(answers))


class Quick:
    """Observations over the deviates of the keys that they speak of."""

    def __init__(self, deviates: Mapping[str, np.ndarray], asked: Sequence[Observation]) -> None:
        few = {key: values[:: max(1, len(values) // FITTED)] for key, values in deviates.items()}
        spread = {key: values.mean() + BEYOND * (values - values.mean()) for key, values in few.items()}
        columns = {key: np.asarray(coefficients()[key].at(values)) for key, values in spread.items()}
        runs, size = Runs(), len(next(iter(spread.values())))
        self.forms = [_fitted(one, spread, one.scaled(one.answer(columns, size, runs))) for one in asked]

    def log_likelihood(self, keys: Sequence[str], of: Sequence[Observation] | None = None) -> LogLikelihood:
        """(n, keys) → (n,) for deviates of these keys, among which are all of the observations'; of some, or all."""
        among = [
            (form, [list(keys).index(key) for key in form.keys])
            for form in self.forms
            if of is None or form.one in of
        ]

        def total(deviates: np.ndarray) -> np.ndarray:
            found = np.zeros(len(deviates))
            for form, at in among:
                found += form.log_likelihood(deviates[:, at])
            return found

        return total


def _fitted(one: Observation, at: Mapping[str, np.ndarray], answers: np.ndarray) -> Form:
    keys = tuple(key for key in one.keys if key in at)
    whole = np.stack([np.ones(len(answers)), *(at[key] for key in keys)], axis=1)
    rows, cols = np.triu_indices(len(keys) + 1)
    terms = np.column_stack([whole[:, rows] * whole[:, cols], answers])
    square = squares(terms)
    square[np.diag_indices(len(rows))] += 1e-6 * len(answers)
    matrix = np.zeros((len(keys) + 1, len(keys) + 1))
    matrix[rows, cols] = np.linalg.solve(square[:-1, :-1], square[:-1, -1])
    return Form(one, keys, matrix)
