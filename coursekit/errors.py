"""What a person is told when something they gave cannot be used: the argument, what is wrong, the remedy."""

from __future__ import annotations

from typing import Any

from coursekit.nomenclature import names
from coursekit.unit_grammar import unit_of


class InputError(ValueError):
    """What a person gave cannot be used: names the argument, what is wrong and the remedy."""

    def __init__(self, argument: str, problem: str, remedy: str = "") -> None:
        # Half a character that somebody typed would stop the page, or the file, that is to show it.
        told = [str(text).encode(errors="replace").decode() for text in (argument, problem, remedy)]
        self.argument, self.problem, self.remedy = told
        super().__init__(*told)

    def __str__(self) -> str:
        return f"{self.argument}: {self.problem} {self.remedy}".rstrip()

    def _render_traceback_(self) -> list[str]:  # IPython: the sentence alone, not twenty frames
        return [str(self)]


class RangeError(InputError):
    """A value outside the range in which the formula holds; speaks in the unit the caller used."""

    def __init__(self, argument: str, value: float, low: float, high: float, remedy: str = "") -> None:
        self.value, self.low, self.high = float(value), float(low), float(high)
        self.unit: str | None = None
        super().__init__(argument, "", remedy)

    def __reduce__(self) -> Any:  # it comes back from another process, too
        return type(self), (self.argument, self.value, self.low, self.high, self.remedy), {"unit": self.unit}

    def __str__(self) -> str:
        name = names().get(self.argument)
        unit = self.unit if self.unit is not None else (name.metric if name else "")
        value, low, high = (from_si(v, unit) for v in (self.value, self.low, self.high))
        space = f" {unit}" if unit else ""
        side = "below" if self.value < self.low else "above"
        hint = self.remedy
        if not hint and name and name.kind == "fraction" and not unit and 1 < self.value <= 100:
            hint = f'Write a share as "{self.value:g} %" or {self.value / 100:g}.'
        elif not hint:
            hint = "Check the unit, or stay inside that range."
        return (
            f"{self.argument}: {digits(value)}{space} is {side} the range where this holds, "
            f"{digits(low)} to {digits(high)}{space}. {hint}"
        )


def digits(value: float) -> str:
    return f"{value:,.0f}".replace(",", " ") if 1e5 <= abs(value) < 1e12 else f"{value:.4g}"


def from_si(value: Any, unit: str) -> Any:
    found = unit_of(unit)
    if found is None:
        return value
    return (value - found.offset) / found.factor
