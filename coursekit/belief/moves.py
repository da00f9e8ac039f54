"""Draws that are made to agree with something new: weighed, and where too few are left, drawn again and moved.

A draw is a row of standard normal deviates. The moves are Metropolis steps that keep what is believed – margins, what
is in print, what was measured – as their target, so that twins part without the belief changing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from coursekit.errors import InputError

FARTHEST = 6.0  # deviates: beyond that no number of the tables is meant
# Rows multiplied at once: so few that no library of linear algebra shares them out between cores. These products are
# small, and on a busy machine waiting for the other core takes longer than the work.
AT_ONCE = 500
LogLikelihood = Callable[[np.ndarray], np.ndarray]  # (n, keys) → (n,)


class Draws(NamedTuple):
    deviates: np.ndarray  # (n, keys)
    weights: np.ndarray  # (n,), adding up to one


def left(weights: np.ndarray) -> float:
    """How many equal draws the weighted ones are worth."""
    return float(1 / np.sum(weights**2))


def systematic(weights: np.ndarray, count: int) -> np.ndarray:
    """(count,) rows picked at even steps of the weight: along rows in order, neighbours stand for each other."""
    places = (np.arange(count) + 0.5) / count
    return np.minimum(np.searchsorted(np.cumsum(weights), places), len(weights) - 1)


def times(rows: np.ndarray, matrix: np.ndarray) -> np.ndarray:
    """rows @ matrix, on one core."""
    found = np.empty((len(rows), matrix.shape[1]))
    for start in range(0, len(rows), AT_ONCE):
        np.matmul(rows[start : start + AT_ONCE], matrix, out=found[start : start + AT_ONCE])
    return found


def spread_of(rows: np.ndarray) -> np.ndarray:
    """(keys, keys) covariance, on one core."""
    return squares(rows - rows.mean(axis=0)) / (len(rows) - 1)


def squares(rows: np.ndarray) -> np.ndarray:
    """rows.T @ rows, on one core."""
    parts = (rows[start : start + AT_ONCE] for start in range(0, len(rows), AT_ONCE))
    return np.asarray(sum(part.T @ part for part in parts))


def weighed(
    draws: Draws,
    known: LogLikelihood,
    new: LogLikelihood,
    random: np.random.Generator,
    least: float,
    moves: int,
    more: int = 0,
) -> Draws:
    """The draws with `new` taken in, in steps that leave at least the share `least` of them.

    Draws that stand several times are moved apart. `more` moves of all of them come at the end.
    """
    deviates, weights = draws
    count, done = len(weights), 0.0
    fresh = safely(new, deviates)
    while True:
        step = _step(weights, fresh, 1 - done, least * count)
        weights = updated(weights, step * fresh)
        done += step
        if done >= 1 and not more:
            return Draws(deviates, weights)
        at = systematic(weights, count)
        deviates, fresh, weights = deviates[at], fresh[at], np.full(count, 1 / count)
        twins = np.flatnonzero(np.diff(at, prepend=-1) == 0)
        target = _Target(known, new, done)
        deviates[twins], fresh[twins] = _moved(deviates[twins], fresh[twins], deviates, target, random, moves)
        if done >= 1:
            return Draws(_moved(deviates, fresh, deviates, target, random, more)[0], weights)


class _Target(NamedTuple):
    """What is believed already, and a share of what is new."""

    known: LogLikelihood
    new: LogLikelihood
    share: float


def updated(weights: np.ndarray, added: np.ndarray) -> np.ndarray:
    """Weights of draws with more likelihood (its logarithm) counted in."""
    with np.errstate(divide="ignore"):
        whole = np.log(weights) + added
    found: np.ndarray = np.exp(whole - whole.max())
    result: np.ndarray = found / found.sum()
    return result


def _step(weights: np.ndarray, fresh: np.ndarray, most: float, least: float) -> float:
    """How much of the new may be taken in at once."""
    if left(updated(weights, most * fresh)) >= least:
        return most
    low, high = 0.0, most
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if left(updated(weights, middle * fresh)) >= least else (low, middle)
    return max(low, 1e-3 * most)


def _moved(
    deviates: np.ndarray,
    fresh: np.ndarray,
    around: np.ndarray,
    target: _Target,
    random: np.random.Generator,
    moves: int,
) -> tuple[np.ndarray, np.ndarray]:
    """Metropolis steps along the spread of the draws around, short and long ones mixed."""
    count, keys = deviates.shape
    if not count:
        return deviates, fresh
    spread = np.linalg.cholesky(spread_of(around) + 1e-9 * np.eye(keys))
    old = safely(target.known, deviates)
    for _ in range(moves):
        length = 2.38 / keys**0.5 * np.exp(random.uniform(-1.6, 0.2, count))
        there = deviates + length[:, None] * times(random.standard_normal((count, keys)), spread.T)
        old_there, fresh_there = safely(target.known, there), safely(target.new, there)
        with np.errstate(invalid="ignore"):
            gain = (old_there + target.share * fresh_there - 0.5 * np.sum(there**2, axis=1)) - (
                old + target.share * fresh - 0.5 * np.sum(deviates**2, axis=1)
            )
        goes = np.log(random.uniform(size=count)) < gain
        deviates = np.where(goes[:, None], there, deviates)
        old, fresh = np.where(goes, old_there, old), np.where(goes, fresh_there, fresh)
    return deviates, fresh


def safely(of: LogLikelihood, deviates: np.ndarray) -> np.ndarray:
    """Of each draw; none of one that lies beyond what is meant, or that a call refuses."""
    found = np.full(len(deviates), -np.inf)
    meant = np.flatnonzero(np.abs(deviates).max(axis=1) <= FARTHEST)
    _fill(of, deviates, meant, found)
    return found


def _fill(of: LogLikelihood, deviates: np.ndarray, rows: np.ndarray, found: np.ndarray) -> None:
    if not len(rows):
        return
    try:
        found[rows] = of(deviates[rows])
    except InputError:  # one draw out of a call's range: find it
        if len(rows) > 1:
            for half in np.array_split(rows, 2):
                _fill(of, deviates, half, found)
