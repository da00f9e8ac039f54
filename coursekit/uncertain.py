"""Numbers that are not known exactly: a coefficient with its band, and the band of a result."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal, NamedTuple

import numpy as np

SourceKind = Literal[
    "published", "common practice, no source", "from memory", "derived", "assumed", "measured by you"
]
Spread = Literal["factor", "share", "shift"]
Z95 = 1.6448536269514722  # the standard normal deviate at 95 %
_SCALES: dict[str, tuple[Callable[[Any], Any], Callable[[Any], Any]]] = {
    "factor": (np.log, np.exp),
    "share": (lambda p: np.log(p / (1 - p)), lambda x: 1 / (1 + np.exp(-x))),
    "shift": (lambda v: v, lambda x: x),
}


class Band(NamedTuple):
    """5 %, 50 % and 95 % of a result that rests on uncertain coefficients."""

    low: Any
    middle: Any
    high: Any


class Coefficient(float):
    """An uncertain number in SI that is also a plain float: value, 5 % and 95 % ends, kind and source.

    `spread` says how it strays: by a factor, as a share between 0 and 1, or by a shift. `belief` is the joint sample
    that it is a number of, when that is not the course's own. It never changes, and it equals only a number of the
    same key, band and belief: two guns with one middle are not one gun.
    """

    __slots__ = ("belief", "high", "key", "kind", "low", "name", "note", "source", "spread")

    key: str
    low: float
    high: float
    kind: SourceKind
    source: str
    spread: Spread
    name: str
    note: str
    belief: Any

    def __new__(
        cls,
        value: float,
        low: float,
        high: float,
        *,
        key: str,
        kind: SourceKind,
        source: str,
        spread: Spread = "factor",
        name: str = "",
        note: str = "",
        belief: object = None,
    ) -> Coefficient:
        if not low <= value <= high:
            raise ValueError(f"coefficient {key}: {low} ≤ {value} ≤ {high} does not hold")
        self = super().__new__(cls, value)
        given = {
            "low": float(low),
            "high": float(high),
            "key": key,
            "kind": kind,
            "source": source,
            "spread": spread,
            "name": name or key,
            "note": note,
            "belief": belief,
        }
        for field, content in given.items():
            object.__setattr__(self, field, content)
        return self

    def __setattr__(self, field: str, content: object) -> None:
        raise AttributeError(f"coefficient {self.key} cannot be changed: make another one.")

    __delattr__ = __setattr__  # type: ignore[assignment]

    def _content(self) -> tuple[Any, ...]:
        return (float(self), *(getattr(self, field) for field in self.__slots__))

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Coefficient):
            return self._content() == other._content()
        return False if isinstance(other, (int, float)) else NotImplemented

    def __ne__(self, other: object) -> bool:
        equal = self.__eq__(other)
        return equal if equal is NotImplemented else not equal

    def __hash__(self) -> int:
        return hash((self.key, float(self), self.low, self.high))  # enough to tell most apart, and quick

    def __reduce__(self) -> Any:
        return _remade, (float(self), {field: getattr(self, field) for field in self.__slots__})

    def __copy__(self) -> Coefficient:
        return self

    def __deepcopy__(self, memory: object) -> Coefficient:
        return self

    def __repr__(self) -> str:
        return f"<{self.key} {float(self):.4g} ({self.low:.4g} to {self.high:.4g}) SI, {self.kind}>"

    @property
    def band(self) -> Band:
        return Band(self.low, float(self), self.high)

    def at(self, deviate: Any) -> Any:
        """The values at standard normal deviates: low, value and high stand at −1.645, 0 and 1.645."""
        to, back = _SCALES[self.spread]
        low, middle, high = (float(to(v)) for v in (self.low, float(self), self.high))
        return back(middle + deviate / Z95 * np.where(np.less(deviate, 0), middle - low, high - middle))

    def deviate(self, value: object) -> Any:
        """The standard normal deviates of values: `at` turned around."""
        to = _SCALES[self.spread][0]
        low, middle, high = (float(to(v)) for v in (self.low, float(self), self.high))
        off = to(np.asarray(value, dtype=float)) - middle
        return (off * Z95 / np.maximum(np.where(off < 0, middle - low, high - middle), 1e-300))[()]

    def off(self, value: float, spread: float) -> float:
        """Standard deviation, on its own scale, of a value whose 90 % band is that share of it either side."""
        half = {"factor": np.log1p(spread), "share": spread / max(1 - value, 0.01), "shift": spread * abs(value)}
        return float(half[self.spread]) / Z95

    def scaled(self, value: object) -> Any:
        """Values on the scale on which this number strays evenly: a log, a logit, or as they are."""
        return _SCALES[self.spread][0](np.asarray(value, dtype=float))

    def unscaled(self, value: object) -> Any:
        return _SCALES[self.spread][1](value)


def _remade(value: float, fields: dict[str, Any]) -> Coefficient:
    low, high = fields.pop("low"), fields.pop("high")
    return Coefficient(value, low, high, **fields)
