"""Where a number comes from: the tables of sources and of coefficients."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from coursekit import nomenclature
from coursekit.uncertain import Coefficient, SourceKind


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
        value, low, high = (nomenclature.number_of(row.pop(end)) for end in ("value", "low", "high"))
        found[key] = Coefficient(value, low, high, key=key, **row)
    return found


def coefficient(key: str) -> Coefficient:
    """The coefficient of that key; usable as the default of an argument."""
    return coefficients()[key]
