"""The rules of the trade by which a repair is planned: data with reasons, and how sure each one is."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, get_args

from coursekit.nomenclature import System, load_data, number_of
from coursekit.quantities import shown
from coursekit.sources import Source, sources

Sure = Literal["published", "weak", "usual", "disputed", "assumed"]
SURE_WORDS: Mapping[str, str] = {
    "published": "in print",
    "weak": "in print, on pages of low weight",
    "usual": "usual in the trade, no source",
    "disputed": "two schools teach it differently",
    "assumed": "assumed here",
}


@dataclass(frozen=True)
class Rule:
    """One rule: what it says, why, how sure it is, and its number in SI where it has one."""

    key: str
    says: str
    why: str
    sure: Sure
    source: Source
    other: str = ""
    value: float = float("nan")
    low: float = float("nan")
    high: float = float("nan")
    other_source: Source | None = None
    more: Mapping[str, Any] = field(default_factory=dict)

    def said(self, value: float | None = None, system: System = "metric") -> str:
        """What it says, with its own number or the one that a plan takes instead."""
        if "{}" not in self.says:
            return self.says
        return self.says.format(shown(self.value if value is None else value, "place", system, digits=2))

    def reason(self, value: float | None = None, system: System = "metric") -> str:
        """What it says and why."""
        return f"{self.said(value, system)}: {self.why}"

    def __str__(self) -> str:
        """The rule with its reason and how sure it is."""
        other = f"; {self.other}" if self.other else ""
        return f"{self.reason()} ({SURE_WORDS[self.sure]}{other})"


@functools.lru_cache(maxsize=1)
def rules() -> Mapping[str, Rule]:
    """Every rule by its key, "reach.filler"."""
    found = {}
    for topic, rows in load_data("planning").items():
        for name, row in rows.items():
            found[f"{topic}.{name}"] = _rule(f"{topic}.{name}", dict(row))
    return found


def rule(key: str) -> Rule:
    """The rule of that key."""
    return rules()[key]


def reach(name: str) -> float:
    """How far (m) one thing reaches beyond another."""
    return rule(f"reach.{name}").value


def _rule(key: str, row: dict[str, Any]) -> Rule:
    sure = row.pop("sure")
    if sure not in get_args(Sure):
        raise ValueError(f"planning rule {key}: sure {sure!r}")
    numbers: dict[str, Any] = {end: number_of(row.pop(end)) for end in ("value", "low", "high") if end in row}
    if "film" in row:
        numbers["value"] = number_of(row.pop("film"))
    plain: dict[str, Any] = {name: row.pop(name) for name in ("says", "why")}
    where, second = sources()[row.pop("source")], row.pop("other_source", "")
    return Rule(
        key,
        sure=sure,
        source=where,
        other=row.pop("other", ""),
        other_source=sources()[second] if second else None,
        **plain,
        **numbers,
        more=row,
    )
