"""The look of a result: a named tuple that prints one line a field, in text and in HTML, and turns into a dict."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import fields
from typing import Any, NamedTuple, TypeVar

import numpy as np

from coursekit.markup import each, tag
from coursekit.nomenclature import KINDS, names
from coursekit.showing import from_unit, shown, shown_band
from coursekit.unit_grammar import spelling

T = TypeVar("T")
NOTHING = "–"
LONGEST_VALUE = 60  # characters of one line; what is longer is cut


class Line(NamedTuple):
    field: str
    value: str
    label: str  # what the nomenclature calls it; empty when the field's own name says it
    depth: int = 0


class Look:
    """Prints as one line a field, in text and in a notebook."""

    def _told(self) -> list[Line]:
        """One line a field: its name, its value in words and what it means."""
        raise NotImplementedError

    def __repr__(self) -> str:
        return "\n".join([type(self).__name__, *_columns(self._told())])

    def _repr_html_(self) -> str:
        left = "text-align:left"
        rows = (
            tag(
                "tr",
                tag("td", line.field, style=f"{left};padding-left:{0.5 + line.depth}em"),
                each("td", (line.value, line.label), style=left),
            )
            for line in self._told()
        )
        return tag("table", tag("caption", type(self).__name__), *rows)


class Fields(Look):
    """The look of a dataclass in SI that holds arrays, of which it prints the shape and the ends."""

    def _told(self) -> list[Line]:
        return [Line(one.name, _in_short(getattr(self, one.name)), "") for one in fields(self)]  # type: ignore[arg-type]


class Result(Look):
    """What a named tuple of a public call can do besides: print as one line a field, `to_dict`.

    One with many fields prints those that are asked for first, and how many more there are; all of them where none
    of the first is known.
    """

    _rows: Mapping[str, Any] = {}  # the row of the nomenclature of each field
    _first: tuple[str, ...] = ()  # what to print of it, "account.mist" for a field within a field; empty for all

    def _told(self) -> list[Line]:
        lines = [_line(self, path) for path in self._first]
        if any(line.value != NOTHING for line in lines):
            return [*lines, Line("…", "", f"and {_count(self) - len(lines)} more: .to_dict()")]
        return list(_lines(self, self._rows, 0))

    def to_dict(self) -> dict[str, Any]:
        """The fields by their names, results within as dicts too."""
        return {field: _as_dict(value) for field, value in zip(self._fields, self, strict=True)}  # type: ignore[attr-defined, call-overload]

    def __reduce__(self) -> Any:
        base = type(self).__bases__[1]
        return result, (base(*self), self._rows, self._first)  # type: ignore[misc]


def result(value: T, rows: Mapping[str, Any], first: tuple[str, ...] = ()) -> T:
    """A named tuple with the look of a result.

    `rows` gives the row of the nomenclature of each field, `first` what it prints when that is not all.
    """
    if isinstance(value, Result):
        found = value
        rows, first = rows or value._rows, first or value._first
    else:
        kind: Any = type(value)
        found = _looking(kind)(*value)  # type: ignore[misc]
    found._rows, found._first = rows, first
    return found


@functools.lru_cache(maxsize=256)
def _looking(base: type) -> Any:
    return type(base.__name__, (Result, base), {"__module__": base.__module__, "__doc__": base.__doc__})


def _as_dict(value: Any) -> Any:
    if isinstance(value, Result):
        return value.to_dict()
    if isinstance(value, list | tuple) and not hasattr(value, "_fields"):
        return type(value)(_as_dict(v) for v in value)
    return value._asdict() if hasattr(value, "_asdict") else value


def _lines(whole: Any, rows: Mapping[str, Any], depth: int) -> Iterator[Line]:
    for field, value in zip(whole._fields, whole, strict=True):
        if _has_fields(value):
            yield Line(field, "", _label(field, rows.get(field)), depth)
            yield from _lines(value, getattr(value, "_rows", {}), depth + 1)
        else:
            yield _of(field, value, rows.get(field), depth)


def _line(whole: Any, path: str) -> Line:
    """The line of one field, or of one within another: "account.mist"."""
    *way, field = path.split(".")
    for step in way:
        whole = getattr(whole, step, None)
    if whole is None:
        return Line(path, NOTHING, "")
    return _of(field, getattr(whole, field), whole._rows.get(field), 0)._replace(field=path)


def _of(field: str, value: Any, name: Any, depth: int) -> Line:
    return Line(field, in_words(value, name if _row(name) else None), _label(field, name), depth)


def _label(field: str, name: Any) -> str:
    row = _row(name)
    return row.label if row and row.label.replace(" ", "_") != field else ""


def _row(name: Any) -> Any:
    return names().get(name) if isinstance(name, str) else None


def _count(whole: Any) -> int:
    """The fields of a result, those of results within it in place of them."""
    return sum(_count(value) if _has_fields(value) else 1 for value in whole)


def _has_fields(value: Any) -> bool:
    return hasattr(value, "_fields") and not _is_band(value)


def _in_short(value: Any) -> str:
    if isinstance(value, Fields):
        name = getattr(value, "name", "") or getattr(value, "material", "")
        return name or type(value).__name__
    if isinstance(value, tuple) and not hasattr(value, "_fields") and any(isinstance(v, Fields) for v in value):
        return ", ".join(_in_short(v) for v in value)
    if isinstance(value, np.ndarray) and value.size > 3 and value.dtype.kind in "fib":
        return _spread(value) if value.dtype.kind != "b" else f"{np.mean(value):.0%} True, {_shape(value)}"
    return in_words(value, None)


def _columns(lines: list[Line]) -> Iterator[str]:
    wide = max((len(line.field) + 2 * line.depth for line in lines), default=0)
    value = max((len(line.value) for line in lines), default=0)
    for line in lines:
        field = ("  " * line.depth + line.field).ljust(wide)
        yield f"  {field}  {line.value.ljust(value)}  {line.label}".rstrip()


def _is_band(value: Any) -> bool:
    return getattr(value, "_fields", ()) == ("low", "middle", "high")


def in_words(value: Any, name: str | None) -> str:
    """A value of a result in one short line; `name` is its row of the nomenclature."""
    if value is None:
        return NOTHING
    if _is_band(value):
        low, middle, high = value
        if name and all(hasattr(v, "magnitude") and not np.ndim(v.magnitude) for v in value):
            ends = shown_band(_si(low, name), _si(high, name), name, digits=3)
            return f"{ends}, middle {shown(_si(middle, name), name)}"
        return f"{in_words(low, name)} to {in_words(high, name)}, middle {in_words(middle, name)}"
    if hasattr(value, "magnitude"):
        return _quantity(value, name)
    if isinstance(value, np.ndarray):
        return f"{_shape(value)}, {value.dtype}" if value.size > 3 else str(value)
    if hasattr(value, "_fields"):
        kind, text = type(value).__name__, str(value)
        return kind if text.startswith(f"{kind}(") else _cut(text)
    if isinstance(value, Mapping):
        value = [f"{key} {in_words(one, name)}" for key, one in value.items()]
        text = ", ".join(value)
        return text if len(text) <= LONGEST_VALUE else f"{len(value)} values: {text[: LONGEST_VALUE - 12]}…"
    if isinstance(value, list | tuple):
        if any(hasattr(v, "_fields") for v in value):
            return f"{len(value)} {type(value[0]).__name__}"
        text = ", ".join(in_words(v, name) for v in value[:4])
        return text if len(value) <= 4 and len(text) <= LONGEST_VALUE else f"{len(value)} values"
    if isinstance(value, float | np.floating):
        return f"{float(value):.4g}"
    return _cut(str(value))


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST_VALUE else text[: LONGEST_VALUE - 1] + "…"


def _quantity(value: Any, name: str | None) -> str:
    magnitude = np.asarray(value.magnitude, dtype=float)
    if name is None or names()[name].kind not in KINDS:
        unit = spelling(str(value.units)).replace("?", str(value.units)).removeprefix("dimensionless")
        return f"{_spread(magnitude)} {unit}".rstrip()
    si = _si(value, name)
    if not np.ndim(si):
        return shown(si, name)
    if not si.size:
        return "no values"
    return f"{shown_band(float(np.min(si)), float(np.max(si)), name)}, {_shape(si)}"


def _si(value: Any, name: str) -> Any:
    """A quantity that a call gave, in SI again: it is in the unit shown, shares and counts as they are."""
    magnitude = np.asarray(value.magnitude, dtype=float)[()]
    return magnitude if names()[name].kind in ("fraction", "number") else from_unit(magnitude, name)


def _spread(magnitude: np.ndarray) -> str:
    if not np.ndim(magnitude):
        return f"{float(magnitude):.4g}"
    if not magnitude.size:
        return "no values"
    return f"{np.min(magnitude):.4g} to {np.max(magnitude):.4g}, {_shape(magnitude)}"


def _shape(values: np.ndarray) -> str:
    return " × ".join(str(n) for n in np.shape(values)) + (" values" if np.ndim(values) == 1 else " cells")
