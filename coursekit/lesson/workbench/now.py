"""One computed setting of a bench: its controls and what follows from them, as figures that print themselves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coursekit import quantities
from coursekit.figure import Figure
from coursekit.nomenclature import KINDS, Name, System, names
from coursekit.panel.mirror import Light
from coursekit.uncertain import Band

Rows = Any  # a row of the nomenclature; or what a result of several fields has: a public call, or rows by its fields


class Units:
    """The units that are shown, for numbers that no setting holds: `units("10 m", "length")`, or a number in SI."""

    def __init__(self, system: System) -> None:
        self.system = system

    def __call__(self, value: Any, row: str) -> Figure:
        return Figure(quantities.read(value, row) if isinstance(value, str) else value, row, self.system)


class Now:
    """What a picture and a sentence are made of: `now.wet_film`, `now.dry`; text, and what has no row, as it is."""

    def __init__(
        self,
        values: Mapping[str, Any],
        rows: Mapping[str, Name],
        result: Mapping[str, Any],
        gives: Mapping[str, Rows],
        system: System,
        words: str = "",
        pinned: Now | None = None,
        light: Light | None = None,
    ) -> None:
        self.values, self.result, self.system, self.words, self.pinned = values, result, system, words, pinned
        self.light = light or Light()
        self._rows, self._gives = rows, gives

    def __getattr__(self, key: str) -> Any:
        if key in self.values:
            return figures(self.values[key], self._rows[key].key, self.system)
        if key in self.result:
            return figures(self.result[key], self._gives.get(key), self.system)
        raise AttributeError(f"this bench has no control and no result {key!r}")

    def figure(self, value: Any, row: str) -> Figure:
        """A number that is no control and no result: in SI, or as text with its unit."""
        return Units(self.system)(value, row)


class Fields:
    """A result of several fields, those with a row as figures."""

    def __init__(self, plain: Any, rows: Mapping[str, Rows], system: System) -> None:
        self.plain, self._rows, self._system = plain, rows, system

    def __getattr__(self, field: str) -> Any:
        return figures(getattr(self.plain, field), self._rows.get(field), self._system)

    def __iter__(self) -> Iterator[Any]:
        return (getattr(self, field) for field in self.plain._fields)


RESERVED = frozenset(vars(Now)) | {"values", "result", "system", "words", "pinned", "light"}


def figures(value: Any, rows: Rows, system: System) -> Any:
    """A value with its row; of a list, a dictionary or a result of several fields each with its own.

    A public call says what the fields of a result have; plain rows by key are those of a dictionary.
    """
    if value is None or rows is None or isinstance(value, str):
        return value
    if isinstance(value, Mapping):
        each = rows if isinstance(rows, Mapping) else dict.fromkeys(value, rows)
        return {key: figures(one, each.get(key), system) for key, one in value.items()}
    if isinstance(value, list | tuple) and not hasattr(value, "_fields"):
        return [figures(one, rows, system) for one in value]
    rows = getattr(rows, "gives", rows)
    if isinstance(rows, Mapping):
        return Fields(value, rows, system)
    if names()[rows].kind not in KINDS:
        return value
    if isinstance(value, tuple) and not isinstance(value, Band):  # several fields of one row
        return Fields(value, dict.fromkeys(value._fields, rows), system)  # type: ignore[attr-defined]
    return Figure(value, rows, system)
