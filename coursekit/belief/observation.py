"""What a call gives at a setting, as it was printed or measured, and how well a draw of the coefficients agrees."""

from __future__ import annotations

import functools
import importlib
import inspect
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from coursekit import nomenclature, quantities
from coursekit.sources import coefficients
from coursekit.uncertain import Z95, Coefficient, Spread

Settings = tuple[tuple[str, Any], ...]


class Runs(dict[tuple[str, Settings], Any]):
    """Results of calls at settings, for one set of columns."""


@dataclass(frozen=True)
class Print:
    """One figure for the answer: 90 % of what it may mean lies between low and high (SI)."""

    value: float
    low: float
    high: float
    source: str
    kind: str
    why: str = ""

    def number(self, spread: Spread) -> Coefficient:
        return Coefficient(
            self.value, self.low, self.high, key="print", kind="derived", source=self.source, spread=spread
        )

    def log_likelihood(self, given: np.ndarray, spread: Spread) -> np.ndarray:
        """(n,) of draws that give these answers."""
        as_number = self.number(spread)
        low, high = (as_number.scaled(end) for end in (self.low, self.high))
        # Of two prints the one that claims to be surer weighs more where it holds.
        width = np.log((high - low) / (2 * Z95))
        found: np.ndarray = -0.5 * as_number.deviate(given) ** 2 - width
        return found


@dataclass(frozen=True)
class Observation:
    """A call with its arguments (SI), which part of its result, and one or more figures for it.

    With `over` it is a ratio: the part at `at` over that at `over`. Without a call, `part` is a coefficient itself.
    Several prints answer one question differently: a draw has to agree with one of them, so the band holds all.
    """

    key: str
    says: str
    call: str
    at: Settings
    part: str
    prints: tuple[Print, ...]
    spread: Spread = "factor"
    counts: float = 1.0  # rows that rest on one source, or on each other, count as one together
    over: Settings | None = None
    tells: str = ""  # the coefficient that is this answer, at this setting

    def answer(self, columns: Mapping[str, np.ndarray], draws: int, runs: Runs | None = None) -> np.ndarray:
        """(draws,) what the call gives for each draw of the coefficients; a column that is not given is certain.

        `runs` are the results for these columns so far.
        """
        runs = Runs() if runs is None else runs
        if not self.call:
            return columns[self.part]
        found = self._run(self.at, columns, draws, runs)
        return found if self.over is None else found / self._run(self.over, columns, draws, runs)

    def _run(self, at: Settings, columns: Mapping[str, np.ndarray], draws: int, runs: Runs) -> np.ndarray:
        if (self.call, at) not in runs:
            drawn = {name: columns[key] for name, key in self._uncertain(at) if key in columns}
            runs[self.call, at] = call_of(self.call)(**{**dict(at), **drawn})
        result = runs[self.call, at]
        for field in self.part.split(".") if self.part else ():
            result = getattr(result, field)
        return np.broadcast_to(np.asarray(result, dtype=float), draws)

    def _uncertain(self, at: Settings) -> Iterator[tuple[str, str]]:
        """(argument, coefficient) of what is left to its default, or set to a coefficient: "surfacer"."""
        given = dict(at)
        yield from ((name, key) for name, key in uncertain_arguments(self.call) if name not in given)
        yield from ((name, value.key) for name, value in at if isinstance(value, Coefficient))

    def log_likelihood(self, answers: np.ndarray) -> np.ndarray:
        """(n,) of draws with these answers: that of the prints, each counted alike."""
        with np.errstate(all="ignore"):
            each = np.array([one.log_likelihood(answers, self.spread) for one in self.prints])
            most = each.max(axis=0)
            total = most + np.log(np.exp(each - most).mean(axis=0))
        return np.where(np.isfinite(total), self.counts * total, -np.inf)

    def scaled(self, answers: np.ndarray) -> np.ndarray:
        """Answers on the scale on which their reading strays evenly."""
        return np.asarray(self.prints[0].number(self.spread).scaled(answers))

    def unscaled(self, values: np.ndarray) -> np.ndarray:
        return np.asarray(self.prints[0].number(self.spread).unscaled(values))

    @property
    def reading_error(self) -> float:
        """Standard deviation of the first print on that scale."""
        one = self.prints[0]
        low, high = self.scaled(np.array([one.low, one.high]))
        return float(high - low) / (2 * Z95)

    @functools.cached_property
    def keys(self) -> tuple[str, ...]:
        """The coefficients that move the answer."""
        if not self.call:
            return (self.part,)
        asked = sorted({key for at in (self.at, self.over or ()) for _, key in self._uncertain(at)})
        nudged = np.vstack([np.zeros(len(asked)), 0.7 * np.eye(len(asked))])  # deviates: none, then each in turn
        columns = {key: coefficients()[key].at(nudged[:, n]) for n, key in enumerate(asked)}
        answers = self.answer(columns, len(asked) + 1)
        moved = np.abs(answers[1:] - answers[0]) > 1e-9 * np.abs(answers[0])
        return tuple(key for key, moves in zip(asked, moved, strict=True) if moves)


@functools.lru_cache(maxsize=64)
def call_of(name: str) -> Callable[..., Any]:
    """The plain function of a call, "spraying.drop_size": fetched by its name, as the trades stand above."""
    module, function = name.rsplit(".", 1)
    found = getattr(importlib.import_module(f"coursekit.{module}"), function)
    plain: Callable[..., Any] = getattr(found, "si", found)
    return plain


@functools.lru_cache(maxsize=64)
def uncertain_arguments(name: str) -> tuple[tuple[str, str], ...]:
    """(argument, coefficient) of those arguments of a call that are uncertain unless given."""
    return tuple(
        (argument, parameter.default.key)
        for argument, parameter in inspect.signature(call_of(name)).parameters.items()
        if isinstance(parameter.default, Coefficient)
    )


@functools.lru_cache(maxsize=1)
def facts() -> Mapping[str, Observation]:
    """What is in print and the course's own sample is conditioned on, by its key."""
    return {key: one for key, one in _rows().items() if one.prints}


@functools.lru_cache(maxsize=1)
def told() -> Mapping[str, Observation]:
    """Calls whose answer is a coefficient, by its key."""
    return {one.tells: one for one in _rows().values() if one.tells}


@functools.lru_cache(maxsize=1)
def _rows() -> Mapping[str, Observation]:
    return {key: fact_of(key, row) for key, row in nomenclature.load_tables("facts").items()}


def fact_of(key: str, row: Mapping[str, Any]) -> Observation:
    """A row of tables/facts/, read."""
    call = call_of(row["call"])

    def settings(given: Mapping[str, Any]) -> Settings:
        read = quantities.read_arguments(call, given)
        return tuple(sorted((key, tuple(value) if isinstance(value, list) else value) for key, value in read.items()))

    prints = tuple(
        Print(**{**one, **{end: nomenclature.number_of(one[end]) for end in ("value", "low", "high")}})
        for one in row["prints"]
    )
    over = settings(row["over"]) if "over" in row else None
    return Observation(
        key,
        row["says"],
        row["call"],
        settings(row["at"]),
        row["part"],
        prints,
        row["spread"],
        float(row["counts"]),
        over,
        row.get("tells", ""),
    )


def read_directly(key: str, value: float, spread: float, says: str = "") -> Observation:
    """A reading of a coefficient itself: 90 % lies within that share of the value."""
    number = coefficients()[key]
    off, middle = Z95 * number.off(value, spread), number.scaled(value)
    one = Print(
        value,
        float(number.unscaled(middle - off)),
        float(number.unscaled(middle + off)),
        "measured-by-you",
        "measured by you",
    )
    return Observation(key, says or number.name, "", (), key, (one,), number.spread)
