"""Numbers in SI as people read them: in the unit the nomenclature shows, rounded, with that unit."""

from __future__ import annotations

import math
from typing import Any

from coursekit.errors import from_si
from coursekit.nomenclature import System, names
from coursekit.sources import sources
from coursekit.uncertain import Coefficient
from coursekit.unit_grammar import unit_of

FEWEST_MILS, MICROINCHES = 0.01, 1000  # under so many mils a length is told in µin, so many to the mil


def in_unit(value: object, name: str, system: System = "metric") -> Any:
    """An SI number or array as the plain number shown for `name`: what sliders and axes carry."""
    return from_si(value, names()[name].unit(system))


def from_unit(value: Any, name: str, system: System = "metric") -> Any:
    """The SI number or array of a plain number shown for `name`; the way back of `in_unit`."""
    unit = unit_of(names()[name].unit(system))
    return value if unit is None else value * unit.factor + unit.offset


def shown(value: float, name: str, system: System = "metric", digits: int = 3, unit: bool = True) -> str:
    """An SI number in words for people: "60 µm" or "2.36 mil"; ranges of numbers go through `shown_band`."""
    finer = _finer(value, name, system) if unit else 1
    text = _number(value, name, system, digits, finer)
    return _with_unit(text, name, system, finer) if unit else text


def shown_band(low: float, high: float, name: str, system: System = "metric", digits: int = 2) -> str:
    """A band in words: "40 to 90 µm"; ends of like size have like decimals, "66.0 to 75.7 µm"; like ends once."""
    finer = _finer(high, name, system)
    ends = [_number(end, name, system, digits, finer) for end in (low, high)]
    if 0 < high < 2 * low:
        places = max(len(end.partition(".")[2]) for end in ends)
        ends = [f"{float(end):.{places}f}" for end in ends]
    if ends[0] == ends[1]:
        return _with_unit(ends[0], name, system, finer)
    return _with_unit(" to ".join(ends), name, system, finer)


def _finer(value: float, name: str, system: System) -> int:
    """How many times finer than its row's the unit is that a number is told in: of a hundredth of a mil, its µin."""
    if names()[name].unit(system) != "mil":
        return 1
    return MICROINCHES if 0 < abs(float(in_unit(value, name, system))) < FEWEST_MILS else 1


def _number(value: float, name: str, system: System, digits: int, finer: int) -> str:
    number = float(in_unit(value, name, system)) * finer
    if names()[name].whole and 1 <= number < 1e15:
        number = round(number)
    return _rounded(number, digits)


def coefficient_words(of: Coefficient, system: System = "metric") -> str:
    """Its value, band, kind and source, for *where from?*."""
    value, band_text = shown(float(of), of.name, system), shown_band(of.low, of.high, of.name, system)
    note = f". {of.note}" if of.note else ""
    return f"{names()[of.name].label}: {value} ({band_text}), {of.kind}: {sources()[of.source].title}{note}"


def _with_unit(text: str, name: str, system: System, finer: int = 1) -> str:
    row = names()[name]
    unit = "µin" if finer > 1 else row.unit(system)
    if row.kind == "temperature difference":  # as it is said: so many degrees warmer
        unit = "°F" if system == "us" else "°C"
    return f"{text} {unit}".replace(" %", "\N{NARROW NO-BREAK SPACE}%") if unit else text


def _rounded(value: float, digits: int) -> str:
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    value = round(value, places)
    return f"{value:.{max(places, 0)}f}" if places <= 0 else f"{value:.{places}f}".rstrip("0").rstrip(".")
