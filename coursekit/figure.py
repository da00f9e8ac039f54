"""A number that knows its row of the nomenclature: it reckons in SI and prints itself in the units that are shown.

dry = Figure(54e-6, "dry_film", "us")
f"{dry}"             # "2.13 mil"; f"{dry:2}" to two digits, f"{dry:.0f}" the bare number
dry.shown            # 2.126: what an axis carries
dry.axis(200e-6)     # an axis for such numbers, from 0 to there
1 - Figure(Band(0.4, 0.5, 0.7), "solids_share")      # 30 to 60 %: a band stays in order
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np

from coursekit.nomenclature import KINDS, Name, System, names
from coursekit.showing import in_unit, shown, shown_band
from coursekit.uncertain import Band

DIGITS = 3
NARROW = 0.3  # of its upper end: two digits would blur the ends of such a band


class Axis(NamedTuple):
    """A label with its unit, and both ends in that unit."""

    label: str
    low: float
    high: float


def named(row: Name, system: System, label: str = "") -> str:
    """A label with its unit: "wet film (µm)"."""
    unit, words = row.unit(system) if row.kind in KINDS else "", label or row.label
    said = unit in words.split() or (unit == "/h" and words.endswith("per hour"))
    return f"{words} ({unit})" if unit and not said else words


def first_holding(ends: Sequence[float], value: Any) -> float:
    """The first of these ends that is not passed, else the last: a scale that stays put until the next is needed."""
    return next((end for end in ends if end >= value), ends[-1])


class Figure:
    """A number, an array or a band in SI with its row; sums and multiples keep the row, products of two do not."""

    __slots__ = ("digits", "row", "si", "system")
    __array_priority__ = 100.0  # array × figure is a figure
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, si: Any, row: str, system: System = "metric", digits: int = DIGITS) -> None:
        self.si, self.row, self.system, self.digits = si, row, system, digits

    # --- showing ---

    def __format__(self, spec: str) -> str:
        """The number with its unit, to so many digits; with a spec such as ".0f" the bare number shown."""
        if spec and not spec.isdigit():
            return format(float(self.shown), spec)
        if isinstance(self.si, Band):
            low, _, high = self.si
            usual = 3 if abs(high - low) < NARROW * abs(high) else 2
            return shown_band(low, high, self.row, self.system, int(spec or usual))
        return shown(self.si, self.row, self.system, int(spec or self.digits))

    def __str__(self) -> str:
        return format(self)

    def __repr__(self) -> str:
        return f"<{self.row} {self}>" if np.ndim(self.si) == 0 or isinstance(self.si, Band) else f"<{self.row} …>"

    @property
    def shown(self) -> Any:
        """The number, array or band in the unit that is shown."""
        if isinstance(self.si, Band):
            return Band(*(in_unit(end, self.row, self.system) for end in self.si))
        return in_unit(self.si, self.row, self.system)

    def axis(self, high: float | Sequence[float], label: str = "", low: float = 0.0) -> Axis:
        """An axis for such numbers, both ends in SI; of several ends the first that holds them, so that it stays "
        "put."""
        if not isinstance(high, (int, float)):
            high = first_holding(high, self.most)
        row = names()[self.row]
        ends = (float(in_unit(end, self.row, self.system)) for end in (low, high))
        return Axis(named(row, self.system, label), *ends)

    # --- parts ---

    def of(self, si: Any) -> Figure:
        """Another number of the same row."""
        return Figure(si.si if isinstance(si, Figure) else si, self.row, self.system, self.digits)

    @property
    def most(self) -> float:
        """The largest of its numbers, in SI."""
        return float(np.max(self.si.high if isinstance(self.si, Band) else self.si))

    @property
    def low(self) -> Figure:
        return self.of(self.si.low)

    @property
    def middle(self) -> Figure:
        return self.of(self.si.middle)

    @property
    def high(self) -> Figure:
        return self.of(self.si.high)

    def __getitem__(self, place: Any) -> Figure:
        """One place of an array, or of each curve of a band."""
        return self.of(_each(lambda end: end[place], self.si))

    def __len__(self) -> int:
        return len(self.si.middle if isinstance(self.si, Band) else self.si)

    def __iter__(self) -> Iterator[Figure]:
        return (self[place] for place in range(len(self)))

    # --- reckoning, in SI ---

    def __float__(self) -> float:
        return float(self.si)

    def __array__(self, *args: Any, **kwargs: Any) -> np.ndarray:
        return np.asarray(self.si, *args, **kwargs)

    def __bool__(self) -> bool:
        return bool(self.si)

    def __round__(self, places: int | None = None) -> Any:
        return round(float(self.si)) if places is None else self.of(_each(lambda end: round(end, places), self.si))

    def __neg__(self) -> Figure:
        return self.of(_together(operator.sub, 0.0, self.si))

    def __abs__(self) -> Figure:
        return self.of(_each(abs, self.si))

    def __add__(self, other: Any) -> Figure:
        return self.of(_together(operator.add, self.si, _si(other)))

    __radd__ = __add__

    def __sub__(self, other: Any) -> Figure:
        return self.of(_together(operator.sub, self.si, _si(other)))

    def __rsub__(self, other: Any) -> Figure:
        return self.of(_together(operator.sub, _si(other), self.si))

    def __mul__(self, other: Any) -> Any:
        found = _together(operator.mul, self.si, _si(other))
        return found if isinstance(other, Figure) else self.of(found)

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Any:
        found = _together(operator.truediv, self.si, _si(other))
        return found if isinstance(other, Figure) else self.of(found)

    def __rtruediv__(self, other: Any) -> Any:
        return _together(operator.truediv, _si(other), self.si)

    def __eq__(self, other: object) -> Any:
        return self.si == _si(other)

    def __ne__(self, other: object) -> Any:
        return self.si != _si(other)

    def __lt__(self, other: Any) -> Any:
        return self.si < _si(other)

    def __le__(self, other: Any) -> Any:
        return self.si <= _si(other)

    def __gt__(self, other: Any) -> Any:
        return self.si > _si(other)

    def __ge__(self, other: Any) -> Any:
        return self.si >= _si(other)


def _si(value: Any) -> Any:
    return value.si if isinstance(value, Figure) else value


def _each(work: Callable[[Any], Any], value: Any) -> Any:
    return Band(*(work(end) for end in value)) if isinstance(value, Band) else work(value)


def _together(work: Callable[[Any, Any], Any], one: Any, other: Any) -> Any:
    """Two numbers, or a band and a number; the ends of a band stay in order."""
    if isinstance(one, Band) and isinstance(other, Band):
        raise TypeError("two bands are not independent: compute them together")
    if isinstance(one, Band):
        ends = [work(end, other) for end in one]
    elif isinstance(other, Band):
        ends = [work(one, end) for end in other]
    else:
        return work(one, other)
    return Band(*(reversed(ends) if np.all(np.less(ends[2], ends[0])) else ends))


class Number(float):
    """A plain SI number that prints itself as a figure does; what is reckoned with it is a plain number again."""

    __slots__ = ("figure",)
    figure: Figure

    def __new__(cls, si: float, row: str, system: System = "metric", digits: int = DIGITS) -> Number:
        self = super().__new__(cls, si)
        self.figure = Figure(float(si), row, system, digits)
        return self

    def __reduce__(self) -> Any:  # so that it can be copied and pickled
        return Number, (float(self), self.figure.row, self.figure.system, self.figure.digits)

    @property
    def row(self) -> str:
        return self.figure.row

    def __format__(self, spec: str) -> str:
        return format(self.figure, spec) if not spec or spec.isdigit() else super().__format__(spec)

    def __str__(self) -> str:
        return str(self.figure)
