"""Where a number comes from and how sure it is: sources, coefficients and bands."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any, Literal, NamedTuple, get_args

import numpy as np

from coursekit import nomenclature, quantities

SourceKind = Literal[
    "published", "common practice, no source", "from memory", "derived", "assumed", "measured by you"
]
Spread = Literal["factor", "share", "shift"]


@dataclass(frozen=True)
class Source:
    """A place where a number stands, and whether its text was read for this project."""

    key: str
    title: str
    kind: SourceKind
    where: str = ""
    note: str = ""

    def __str__(self) -> str:
        return ", ".join(p for p in (self.title, self.where) if p) + f" ({self.kind})"


class Coefficient(float):
    """An uncertain number in SI that is also a plain float: value, 5 % and 95 % ends, kind and source.

    `spread` says how it strays: by a factor, as a share between 0 and 1, or by a shift. One that was measured through
    others follows them: it goes with the power in `follows` of what the other one is over its middle.
    """

    key: str
    low: float
    high: float
    kind: SourceKind
    source: str
    spread: Spread
    name: str
    note: str
    follows: Mapping[str, float]

    def __new__(cls, value: float, low: float, high: float, *, key: str, kind: SourceKind, source: str,
                spread: Spread = "factor", name: str = "", note: str = "",
                follows: Mapping[str, float] | None = None) -> Coefficient:  # fmt: skip
        if not low <= value <= high:
            raise ValueError(f"coefficient {key}: {low} ≤ {value} ≤ {high} does not hold")
        self = super().__new__(cls, value)
        self.key, self.low, self.high, self.kind, self.source = key, float(low), float(high), kind, source
        self.spread, self.name, self.note = spread, name or key, note
        self.follows = follows or {}
        return self

    def sample(self, draws: int, random: np.random.Generator) -> np.ndarray:
        """(draws,) values whose 5 %, 50 % and 95 % are low, value and high."""
        to, back = _SCALES[self.spread]
        low, middle, high = (float(to(v)) for v in (self.low, float(self), self.high))
        z = random.permutation(_even_deviates(draws))
        result: np.ndarray = back(middle + z / _Z95 * np.where(z < 0, middle - low, high - middle))
        return result

    def words(self, system: nomenclature.System = "metric") -> str:
        """The value, its band, its kind and its source, for *where from?*."""
        row = nomenclature.names()[self.name]
        value, source = quantities.shown(float(self), self.name, system), sources()[self.source]
        band_text = quantities.shown_band(self.low, self.high, self.name, system)
        return f"{row.label}: {value} ({band_text}), {self.kind}: {source.title}" + (
            f". {self.note}" if self.note else "")  # fmt: skip


def sample_all(numbers: Mapping[str, Any], draws: int, random: np.random.Generator) -> dict[str, Any]:
    """(draws,) values of each coefficient among some numbers, following those it follows; the others as they are."""
    uncertain = {name: value for name, value in numbers.items() if isinstance(value, Coefficient)}
    alone = {name: value.sample(draws, random) for name, value in uncertain.items()}
    found = {**numbers, **alone}
    for name, value in uncertain.items():
        for other, leader in uncertain.items():
            if leader.key in value.follows:
                found[name] = found[name] * (alone[other] / float(leader)) ** value.follows[leader.key]
    return found


@functools.lru_cache(maxsize=8)
def _even_deviates(draws: int) -> np.ndarray:
    """(draws,) standard normal deviates at equal steps of probability: drawn in a random order, each coefficient
    has exactly its own band, so that a band does not tremble with the seed (Latin hypercube sampling)."""
    normal = NormalDist()
    return np.array([normal.inv_cdf((n + 0.5) / draws) for n in range(draws)])


_Z95 = 1.6448536269514722  # the standard normal deviate at 95 %
_SCALES: dict[str, tuple[Callable[[Any], Any], Callable[[Any], Any]]] = {
    "factor": (np.log, np.exp),
    "share": (lambda p: np.log(p / (1 - p)), lambda x: 1 / (1 + np.exp(-x))),
    "shift": (lambda v: v, lambda x: x),
}


@functools.lru_cache(maxsize=1)
def sources() -> Mapping[str, Source]:
    """Every source by its key."""
    found = {key: Source(key=key, **row) for key, row in nomenclature.load_tables("sources").items()}
    for source in found.values():
        if source.kind not in get_args(SourceKind):
            raise ValueError(f"source {source.key}: kind {source.kind!r}")
    return found


@functools.lru_cache(maxsize=1)
def coefficients() -> Mapping[str, Coefficient]:
    """Every uncertain coefficient by its key; values are written as text with units in the tables."""
    found = {}
    for key, row in nomenclature.load_tables("coefficients").items():
        row = dict(row)
        name = row.get("name", key)
        value, low, high = (quantities.read(row.pop(end), name, f"coefficients: {key}.{end}")
                            for end in ("value", "low", "high"))  # fmt: skip
        found[key] = Coefficient(value, low, high, key=key, **row)
    return found


def coefficient(key: str) -> Coefficient:
    """The coefficient of that key; usable as the default of an argument."""
    return coefficients()[key]


class Band(NamedTuple):
    """5 %, 50 % and 95 % of a result that rests on uncertain coefficients."""

    low: Any
    middle: Any
    high: Any


def band(call: Any, *args: Any, draws: int = 2000, seed: int = 1, **kwargs: Any) -> Any:
    """A public call's result as a Band: its coefficients are sampled, and it is run once on all samples.

    Every argument that is a Coefficient – by default, or because you pass one – is drawn `draws` times;
    what you give as a plain quantity is taken as certain. A call that gives a named tuple gives one of Bands.
    """
    low_mid_high = band_si(call, *args, draws=draws, seed=seed, **kwargs)
    return quantities.give_all(low_mid_high, call.gives)


def band_si(call: Any, *args: Any, draws: int = 2000, seed: int = 1, **kwargs: Any) -> Any:
    """`band` in plain SI numbers."""
    bound = inspect.signature(call.si).bind(*args, **kwargs)
    read = quantities.read_arguments(call.si, bound.arguments)
    bound.arguments.update(read)
    return band_inside(call, *bound.args, draws=draws, seed=seed, **bound.kwargs)


def band_inside(call: Any, *args: Any, draws: int = 2000, seed: int = 1, **kwargs: Any) -> Any:
    """`band_si` of what is SI already, past the door: for benches, which read each control once.

    Takes a plain function too.
    """
    function = getattr(call, "si", call)
    bound = inspect.signature(function).bind(*args, **kwargs)
    bound.apply_defaults()
    random = np.random.default_rng(seed)
    depth = max((np.ndim(v) for v in bound.arguments.values() if isinstance(v, np.ndarray)), default=0)
    uncertain = {name: value for name, value in bound.arguments.items() if isinstance(value, Coefficient)}
    for name, drawn in sample_all(uncertain, draws, random).items():
        bound.arguments[name] = drawn.reshape((draws,) + (1,) * depth)
    return _percentiles(function(*bound.args, **bound.kwargs), depth)


def _percentiles(value: Any, depth: int) -> Any:
    """Bands over the axis of draws, which stands before the `depth` axes that a person gave."""
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        return type(value)(*(_percentiles(v, depth) for v in value))
    if isinstance(value, (list, tuple)):
        return type(value)(_percentiles(v, depth) for v in value)
    if isinstance(value, (float, np.ndarray, np.floating)):
        if np.ndim(value) <= depth:
            same: Any = float(value) if np.ndim(value) == 0 else value
            return Band(same, same, same)
        method = "linear" if np.all(np.isfinite(value)) else "nearest"  # between two infinities lies no number
        return Band(*np.percentile(np.asarray(value), [5, 50, 95], axis=0, method=method))  # type: ignore[call-overload]
    return value
