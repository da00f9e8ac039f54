"""Named records of what a person has – a gun, a paint – that a public call takes in place of its single arguments.

A field is kept as it was typed, so that a file says what was written; `si` has it in SI.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Mapping
from typing import Any, ClassVar, Self

import numpy as np

from coursekit.errors import InputError
from coursekit.markup import rows, tag
from coursekit.nomenclature import KINDS, System, names
from coursekit.reading import read
from coursekit.showing import shown

LONGEST_WORDS = 40  # characters of a name or of another text


@dataclasses.dataclass(frozen=True, repr=False)
class Record:
    """A named thing: checked when it is made, never changed; `but` makes another."""

    name: str

    kind: ClassVar[str] = "record"

    def __post_init__(self) -> None:
        for field in dataclasses.fields(self):
            value = getattr(self, field.name)
            if not _is_number(field.name):
                object.__setattr__(self, field.name, _words(value, field.name, empty=field.name != "name"))
            elif value is not None:
                object.__setattr__(self, field.name, _typed(value, field.name))

    @classmethod
    def of(cls, given: object) -> Self:
        """Such a record from one, or from a mapping of its fields; the error names a key that is none."""
        if isinstance(given, cls):
            return given
        if not isinstance(given, Mapping):
            raise InputError(
                cls.kind,
                f"a {type(given).__name__} is not a {cls.kind}.",
                f"Give {cls.__name__}(…).",
                kind="other type",
            )
        known = [field.name for field in dataclasses.fields(cls)]
        for key in given:
            if key not in known:
                raise InputError(
                    str(key)[:40], f"is not a field of a {cls.kind}.", f"It has: {', '.join(known)}.", kind="unknown"
                )
        for field in dataclasses.fields(cls):
            if field.name not in given and field.default is dataclasses.MISSING:
                raise InputError(field.name, "is missing.", f"Write {field.name} of this {cls.kind}.", kind="missing")
        return cls(**given)

    def but(self, **changed: Any) -> Self:
        """The same with some fields changed: `gun.but(turns=3)`."""
        return type(self).of({**self.to_dict(), **changed})

    @functools.cached_property
    def si(self) -> dict[str, Any]:
        """What it says of the arguments of a call, in SI."""
        return {key: read(value, key) for key, value in self.arguments().items()}

    def arguments(self) -> dict[str, Any]:
        """What it says of the arguments of a call, as typed: for a public call."""
        told = {field.name: getattr(self, field.name) for field in dataclasses.fields(self)}
        return {key: value for key, value in told.items() if value is not None and _is_number(key)}

    def to_dict(self) -> dict[str, Any]:
        """Its fields as they were typed, without those left open."""
        told = {field.name: getattr(self, field.name) for field in dataclasses.fields(self)}
        return {key: value for key, value in told.items() if value not in (None, "")}

    def lines(self, system: System = "metric") -> list[tuple[str, str]]:
        """What it is, a row a field: its label and its value in the unit shown."""
        return [
            (names()[key].label, shown(float(read(value, key)), key, system))
            if _is_number(key)
            else (key.replace("_", " "), str(value))
            for key, value in self.to_dict().items()
        ]

    def __repr__(self) -> str:
        told = self.lines()
        wide = max(len(label) for label, _ in told)
        return "\n".join([self.kind, *(f"  {label.ljust(wide)}  {value}" for label, value in told)])

    def _repr_html_(self) -> str:
        return tag("table", tag("caption", self.kind), rows(self.lines(), first=True))


def spread(kwargs: Mapping[str, Any], parameters: list[str], by_place: list[str], path: str) -> dict[str, Any]:
    """Keyword arguments with each record among them in place of the arguments it speaks of; single ones go before."""
    found: dict[str, Any] = {}
    for key, record in kwargs.items():
        if not isinstance(record, Record) or key in parameters:
            continue
        if key != record.kind:
            raise InputError(key, f"is given a {record.kind}.", f"Write {record.kind}=….", kind="other type")
        told = {name: value for name, value in record.arguments().items() if name in parameters}
        if not told:
            raise InputError(key, f"has nothing that {path} needs.", "Leave it out.", kind="unknown")
        found.update({name: value for name, value in told.items() if name not in by_place})
    rest = {key: value for key, value in kwargs.items() if key in parameters or not isinstance(value, Record)}
    return {**found, **rest}


def _is_number(field: str) -> bool:
    row = names().get(field)
    return row is not None and row.kind in KINDS


def _words(value: object, argument: str, empty: bool) -> str:
    if not isinstance(value, str) or len(value) > LONGEST_WORDS or any(not c.isprintable() for c in value):
        raise InputError(
            argument, f"must be text of at most {LONGEST_WORDS} characters.", 'Write it as "my gun".', kind="too long"
        )
    if not empty and not value.strip():
        raise InputError(argument, "is empty.", 'Give it a name, such as "my gun".', kind="empty")
    return value.strip()


def _typed(value: object, name: str) -> Any:
    """What was typed, checked; a quantity as text in the unit the nomenclature shows."""
    number = read(value, name)
    if np.ndim(number):
        raise InputError(name, "is a list: a record has one value of each.", "Give one value.", kind="list")
    if isinstance(value, str):
        return value.strip()
    row = names()[name]
    if row.kind in ("fraction", "number"):
        return float(number)
    return f"{shown(float(number), name, digits=9)}"
