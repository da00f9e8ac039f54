"""What makes a band wide, what would narrow it, and what each fact in print did to it."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit.belief.bands import belief_of, drawn
from coursekit.belief.joint import DRAWS, Belief, even_deviates, order_of, quantiles, shipped
from coursekit.belief.observation import Observation, Runs, facts
from coursekit.uncertain import Band, Coefficient

BINS = 20
DRAWN = 2000


class Cause(NamedTuple):
    """An uncertain number, and the share of the band's variance that would go if it alone were known."""

    key: str
    share: float


class Narrowing(NamedTuple):
    """A measurement, and the share of the band's width that is left after it, as it is to be expected."""

    way: str
    left: float


class Wide(NamedTuple):
    """A band (SI), what makes it wide – most first – and what would narrow it – best first."""

    band: Band
    causes: tuple[Cause, ...]
    measurements: tuple[Narrowing, ...]


class Did(NamedTuple):
    """What a fact did to a band: of the margins alone, with this fact only, and with all of them.

    `foretold` and `held` are the band of what the fact itself speaks of: by the margins alone, and with all facts.
    """

    fact: Observation
    before: Band
    alone: Band
    all: Band
    foretold: Band
    held: Band


def widest(
    call: Any,
    part: str | Callable[[Any], Any] = "",
    *,
    belief: Belief | None = None,
    measurements: Mapping[str, tuple[Observation, ...]] | None = None,
    **si: Any,
) -> Wide:
    """Which uncertain numbers make the band of this answer wide, and which measurement would narrow it most.

    call          a public call or a plain function; its arguments in SI as keywords
    part          which part of its result, "account.transfer_efficiency", or a function that picks it; all of it
                  unless given
    belief        the learner's, unless one of the numbers given brings it along
    measurements  what could be measured, by name: observations with the reading error they would have; of the gun
                  at its setting by `spraying.measurable`
    A share is that of the variance on the scale of factors; numbers that are tied to each other share what they
    explain, so the shares need not add up to one. What a measurement leaves is worked out by playing it on every
    draw, with its error of reading: no sentence of it is fixed.
    """
    numbers = _numbers(call, si)
    whole = belief_of(numbers, belief)
    given = drawn(numbers, DRAWN, whole)
    answer = _scaled(_picked(getattr(call, "si", call)(**{**si, **given}), part))
    spread = float(np.var(answer))
    causes = [Cause(value.key, _explained(answer, given[name], spread)) for name, value in numbers.items()]
    chosen = whole.thinned(DRAWN)
    left = [Narrowing(way, _left(answer, observed, chosen, spread)) for way, observed in (measurements or {}).items()]
    return Wide(
        Band(*(float(end) for end in quantiles(_unscaled(answer)))),
        tuple(sorted(causes, key=lambda one: -one.share)),
        tuple(sorted(left, key=lambda one: one.left)),
    )


def evidence(call: Any, part: str | Callable[[Any], Any] = "", **si: Any) -> tuple[Did, ...]:
    """What each fact in print does to the band (SI) of an answer, for a lesson to show; arguments as in `widest`."""
    numbers = _numbers(call, si)

    def answers(belief: Belief) -> np.ndarray:
        given = {name: belief.column(value) for name, value in numbers.items()}
        return np.broadcast_to(_picked(getattr(call, "si", call)(**{**si, **given}), part), belief.draws)

    of_margins, after = answers(_margins()), _ends(answers(shipped()))
    before = _ends(of_margins)
    return tuple(
        Did(facts()[key], before, _ends(of_margins, weights), after, foretold, held)
        for key, weights, foretold, held in _agreement()
    )


@functools.lru_cache(maxsize=1)
def _margins() -> Belief:
    """What the tables say, before anything in print ties their numbers."""
    keys = sorted({key for one in facts().values() for key in one.keys})
    return Belief({key: even_deviates(DRAWS)[order_of(key)] for key in keys}, np.full(DRAWS, 1 / DRAWS), {}, ())


@functools.lru_cache(maxsize=1)
def _agreement() -> tuple[tuple[str, np.ndarray, Band, Band], ...]:
    """Each fact, the weights it alone gives the draws of the margins, and its own band before and after all facts."""
    found = []
    sides = [({key: belief.column(key) for key in belief.ties}, Runs()) for belief in (_margins(), shipped())]
    for one in facts().values():
        before, after = (one.answer(columns, DRAWS, runs) for columns, runs in sides)
        agrees = one.log_likelihood(before)
        weights = np.exp(agrees - agrees.max())
        found.append((one.key, weights / weights.sum(), _ends(before), _ends(after)))
    return tuple(found)


def _ends(answers: np.ndarray, weights: np.ndarray | None = None) -> Band:
    return Band(*(float(end) for end in quantiles(answers, weights)))


def _numbers(call: Any, si: Mapping[str, Any]) -> dict[str, Coefficient]:
    """The uncertain arguments of a call, by default or given."""
    bound = inspect.signature(getattr(call, "si", call)).bind(**si)
    bound.apply_defaults()
    return {name: value for name, value in bound.arguments.items() if isinstance(value, Coefficient)}


def _picked(result: Any, part: str | Callable[[Any], Any]) -> Any:
    if callable(part):
        return part(result)
    for field in part.split(".") if part else ():
        result = getattr(result, field)
    return result


def _scaled(answer: Any) -> np.ndarray:
    values = np.broadcast_to(np.asarray(answer, dtype=float), DRAWN)
    found: np.ndarray = np.log(np.maximum(values, 1e-12 * np.abs(values).max() + 1e-300))
    return found


def _unscaled(answer: np.ndarray) -> np.ndarray:
    found: np.ndarray = np.exp(answer)
    return found


def _explained(answer: np.ndarray, number: Any, spread: float) -> float:
    """Variance of the means over bins of the number, over all of it; less what bins explain by chance."""
    if spread <= 0 or np.ptp(number) == 0:
        return 0.0
    means = np.array([part.mean() for part in np.array_split(answer[np.argsort(number, kind="stable")], BINS)])
    chance = (BINS - 1) / len(answer)
    return max(0.0, (float(np.var(means)) / spread - chance) / (1 - chance))


def _left(answer: np.ndarray, observed: tuple[Observation, ...], belief: Belief, spread: float) -> float:
    """Share of the width that is left when these readings, each with its error, have told what they can."""
    random = np.random.default_rng(1)
    readings = []
    for one in observed:
        values = one.answer({key: belief.column(key) for key in one.keys}, belief.draws)
        readings.append(one.scaled(values) + one.reading_error * random.standard_normal(len(values)))
    told = np.stack(readings, axis=1)
    told = (told - told.mean(axis=0)) / told.std(axis=0)
    terms = [np.ones(len(told)), *told.T, *(told.T**2), *(told.T**3)]
    terms += [told[:, i] * told[:, j] for i in range(told.shape[1]) for j in range(i)]
    design = np.stack(terms, axis=1)
    found, *_ = np.linalg.lstsq(design, answer, rcond=1e-9)
    rest = float(np.sum((answer - design @ found) ** 2)) / max(len(answer) - design.shape[1], 1)
    return float(min(1.0, (rest / spread) ** 0.5)) if spread > 0 else 1.0
