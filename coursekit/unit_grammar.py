"""The unit grammar: the trade's list of units, SI prefixes and at most one division. Nothing is evaluated."""

from __future__ import annotations

import difflib
import functools
import math
import re
from typing import NamedTuple

from coursekit.constants import ATMOSPHERE, FREEZING, GRAVITY

Dimension = tuple[int, int, int, int, int]  # length, mass, time, temperature, amount


class Unit(NamedTuple):
    factor: float
    dimension: Dimension
    pint_name: str
    mark: str = ""  # "gauge", "absolute", "free air", "scale" (a temperature scale), "count", …
    offset: float = 0.0


_ONE: Dimension = (0, 0, 0, 0, 0)
_LENGTH: Dimension = (1, 0, 0, 0, 0)
_VOLUME: Dimension = (3, 0, 0, 0, 0)
_MASS: Dimension = (0, 1, 0, 0, 0)
_TIME: Dimension = (0, 0, 1, 0, 0)
_KELVIN: Dimension = (0, 0, 0, 1, 0)
_FORCE: Dimension = (1, 1, -2, 0, 0)
_PRESSURE: Dimension = (-1, 1, -2, 0, 0)
_FLOW: Dimension = (3, 0, -1, 0, 0)
_PSI = 4.4482216152605 / 0.0254**2

# Atoms that take an SI prefix.
_PREFIXED = {
    "m": Unit(1, _LENGTH, "meter"),
    "g": Unit(1e-3, _MASS, "gram"),
    "s": Unit(1, _TIME, "second"),
    "L": Unit(1e-3, _VOLUME, "liter"),
    "l": Unit(1e-3, _VOLUME, "liter"),
    "N": Unit(1, _FORCE, "newton"),
    "Pa": Unit(1, _PRESSURE, "pascal"),
    "bar": Unit(1e5, _PRESSURE, "bar"),
    "J": Unit(1, (2, 1, -2, 0, 0), "joule"),
    "mol": Unit(1, (0, 0, 0, 0, 1), "mole"),
    "St": Unit(1e-4, (2, 0, -1, 0, 0), "stokes"),
    "P": Unit(0.1, (-1, 1, -1, 0, 0), "poise"),
}
_PREFIXES = {
    "G": (1e9, "giga"),
    "M": (1e6, "mega"),
    "k": (1e3, "kilo"),
    "h": (1e2, "hecto"),
    "d": (1e-1, "deci"),
    "c": (1e-2, "centi"),
    "m": (1e-3, "milli"),
    "µ": (1e-6, "micro"),
    "u": (1e-6, "micro"),
    "n": (1e-9, "nano"),
}
# Trade and US spellings; each is one unit and nothing else.
TRADE_UNITS: dict[str, Unit] = {}


def _spell(unit: Unit, *spellings: str) -> None:
    for spelling in spellings:
        TRADE_UNITS[spelling] = unit


_spell(Unit(1e-6, _LENGTH, "micrometer"), "micron", "microns")
_spell(Unit(1, _LENGTH, "meter"), "metre", "metres", "meter", "meters")
_spell(Unit(25.4e-6, _LENGTH, "thou"), "mil", "mils", "thou")
_spell(Unit(25.4e-9, _LENGTH, "microinch"), "µin", "uin")
_spell(Unit(0.0254, _LENGTH, "inch"), "in", "inch", "inches", "in.", '"', "″", "''")
_spell(Unit(0.3048, _LENGTH, "foot"), "ft", "foot", "feet", "ft.", "'", "′")
_spell(Unit(0.3048 / 60, (1, 0, -1, 0, 0), "foot / minute"), "fpm")
_spell(Unit(0.3048**2, (2, 0, 0, 0, 0), "foot**2"), "sq ft", "sqft")
_spell(Unit(0.0254**2, (2, 0, 0, 0, 0), "inch**2"), "sq in", "sqin")
_spell(Unit(0.3048**3, _VOLUME, "foot**3"), "cu ft", "cuft")
_spell(Unit(1e-6, _VOLUME, "milliliter"), "cc", "ccm")
_spell(Unit(1e-3, _VOLUME, "liter"), "litre", "litres", "liter", "liters")
_spell(Unit(231 * 0.0254**3, _VOLUME, "gallon"), "gal", "US gal", "gallon", "gallons")
_spell(Unit(231 * 0.0254**3 / 4, _VOLUME, "quart"), "qt", "US qt", "quart", "quarts")
_spell(Unit(231 * 0.0254**3 / 8, _VOLUME, "pint"), "pt", "US pt", "pint", "pints")
_spell(Unit(231 * 0.0254**3 / 128, _VOLUME, "fluid_ounce"), "fl oz", "fl. oz.", "US fl oz", "floz")
_spell(Unit(1000, _MASS, "metric_ton"), "t")
_spell(Unit(0.45359237, _MASS, "pound"), "lb", "lbs", "pound", "pounds")
_spell(Unit(1, _TIME, "second"), "sec", "second", "seconds")
_spell(Unit(60, _TIME, "minute"), "min", "minute", "minutes")
_spell(Unit(3600, _TIME, "hour"), "h", "hr", "hrs", "hour", "hours")
_spell(Unit(86400, _TIME, "day"), "d", "day", "days")
_spell(Unit(1, _KELVIN, "kelvin"), "K")
_spell(Unit(1, _KELVIN, "degC", "scale", FREEZING), "°C", "degC", "C", "deg C")
_spell(Unit(5 / 9, _KELVIN, "degF", "scale", 459.67 * 5 / 9), "°F", "degF", "F", "deg F")
_spell(Unit(1, _KELVIN, "delta_degC", "difference"), "Δ°C", "delta degC")
_spell(Unit(5 / 9, _KELVIN, "delta_degF", "difference"), "Δ°F", "delta degF")
_spell(Unit(4.4482216152605, _FORCE, "pound_force"), "lbf")
_spell(Unit(GRAVITY, _FORCE, "kilogram_force"), "kgf")
_spell(Unit(_PSI, _PRESSURE, "psi"), "psi")
_spell(Unit(_PSI, _PRESSURE, "psi", "gauge"), "psig", "psi gauge", "psi g")
_spell(Unit(_PSI, _PRESSURE, "psi", "absolute"), "psia", "psi abs", "psi a")
_spell(Unit(1e5, _PRESSURE, "bar", "gauge"), "barg", "bar gauge", "bar g")
_spell(Unit(1e5, _PRESSURE, "bar", "absolute"), "bara", "bar abs", "bar a")
_spell(Unit(1e3, _PRESSURE, "kilopascal", "gauge"), "kPag", "kPa gauge", "kPa g")
_spell(Unit(1e3, _PRESSURE, "kilopascal", "absolute"), "kPaa", "kPa abs", "kPa a")
_spell(Unit(ATMOSPHERE, _PRESSURE, "atmosphere", "absolute"), "atm")
_spell(Unit(0.3048**3 / 60, _FLOW, "foot**3 / minute", "free air"), "scfm", "SCFM")
_spell(Unit(0.3048**3 / 60, _FLOW, "foot**3 / minute", "actual"), "cfm", "CFM")
_spell(Unit(1 / 60, (0, 0, -1, 0, 0), "1 / minute"), "rpm", "/min", "1/min", "per min")
_spell(Unit(1 / 3600, (0, 0, -1, 0, 0), "1 / hour"), "/h", "1/h", "per h", "per hour", "ACH")
_spell(Unit(1, (0, 0, -1, 0, 0), "1 / second"), "/s", "1/s", "Hz")
_spell(Unit(0.01, _ONE, "percent"), "%", "percent", "% RH")
_spell(Unit(1e-6, _ONE, "ppm", "ppm"), "ppm")
_spell(Unit(1e-3, _ONE, "milligram / gram"), "mg/g", "mg KOH/g")
_spell(Unit(math.pi / 180, _ONE, "degree", "angle"), "°", "deg", "degree", "degrees")
_spell(Unit(1, _ONE, "radian", "angle"), "rad")
for _word in ("turn", "stroke", "coat", "pass", "part", "sheet", "stage"):
    _spell(Unit(1, _ONE, "", "count"), _word, _word + ("es" if _word == "pass" else "s"))

for _prefix, (_scale, _name) in _PREFIXES.items():
    _spell(Unit(1 / _scale, (1, -1, 2, 0, 0), f"1 / {_name}pascal"), f"1/{_prefix}Pa")
_spell(Unit(1, (1, -1, 2, 0, 0), "1 / pascal"), "1/Pa")
for _prefix, (_scale, _name) in _PREFIXES.items():
    _spell(Unit(1 / _scale, (-1, 0, 0, 0, 0), f"1 / {_name}meter"), f"1/{_prefix}m")
_spell(Unit(1, (-1, 0, 0, 0, 0), "1 / meter"), "1/m")
_spell(Unit(1 / 25.4e-6, (-1, 0, 0, 0, 0), "1 / thou"), "1/mil")
_spell(Unit(1, (0, 1, -3, -1, 0), "watt / meter**2 / kelvin"), "W/m²K", "W/m2K", "W/m² K")
_spell(Unit(5.678263341113488, (0, 1, -3, -1, 0), "Btu_it / hour / foot**2 / delta_degF"), "BTU/h ft² °F")

# Spellings with two readings, and what to write instead.
REFUSED = {
    "oz": 'An ounce is a mass or a volume: write "fl oz" for a volume, or grams for a mass.',
}
# What an ounce is where only one of the two can be meant: a gun's delivery is told in fluid ounces.
MEANT = {("volume flow", "oz/min"): "fl oz/min", ("volume flow", "oz/s"): "fl oz/s"}
_POWER = re.compile(r"^(.*?)(?:\^?([23])|([²³]))$")
NUMBER = re.compile(r"^([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,2})?)\s*(.*)$", re.DOTALL)


@functools.lru_cache(maxsize=1)
def _whatever_capitals() -> dict[str, Unit]:
    """Words of the trade by their small letters, "PSI" and "Bar" too; of one letter the size tells units apart."""
    known = {**TRADE_UNITS, "bar": _PREFIXED["bar"], "kpa": Unit(1e3, _PRESSURE, "kilopascal")}
    del known["gal"]  # with a capital it is a unit of acceleration
    return {spelling.casefold(): unit for spelling, unit in known.items() if len(spelling) > 1 and spelling.isalpha()}


def _atom(text: str) -> Unit | None:
    if text in TRADE_UNITS:
        return TRADE_UNITS[text]
    if text in _PREFIXED:
        return _PREFIXED[text]
    if text[:1] in _PREFIXES and text[1:] in _PREFIXED:
        (scale, word), unit = _PREFIXES[text[0]], _PREFIXED[text[1:]]
        return unit._replace(factor=scale * unit.factor, pint_name=word + unit.pint_name)
    return _whatever_capitals().get(text.casefold())


def _factor_of(text: str) -> Unit | None:
    """One atom, with or without a power of two or three."""
    if unit := _atom(text):
        return unit
    if (match := _POWER.match(text)) and (unit := _atom(match[1])) and not unit.offset:
        power = int(match[2] or {"²": 2, "³": 3}[match[3]])
        dimension = tuple(power * d for d in unit.dimension)
        return Unit(unit.factor**power, dimension, f"({unit.pint_name})**{power}", unit.mark)  # type: ignore[arg-type]
    return None


def _product(text: str) -> Unit | None:
    if unit := _factor_of(text):
        return unit
    parts = [_factor_of(p) for p in re.split(r"[·⋅ ]+", text.strip())]
    if len(parts) != 2 or None in parts or _ONE in (parts[0].dimension, parts[1].dimension):  # type: ignore[union-attr]
        return None  # "ppm ppm" is a slip, not a unit
    return _combined(parts[0], parts[1], +1)  # type: ignore[arg-type]


def _combined(a: Unit, b: Unit, sign: int) -> Unit | None:
    if a.offset or b.offset:
        return None
    dimension = tuple(p + sign * q for p, q in zip(a.dimension, b.dimension, strict=True))
    operator = "*" if sign > 0 else "/"
    return Unit(a.factor * b.factor**sign, dimension, f"{a.pint_name} {operator} ({b.pint_name})", a.mark)  # type: ignore[arg-type]


@functools.lru_cache(maxsize=512)
def unit_of(text: str) -> Unit | None:
    """The unit a piece of text means, or None: at most one division, no arithmetic, no other names."""
    text = " ".join(text.replace("μ", "µ").split())
    if not text:
        return Unit(1, _ONE, "")
    if unit := _product(text):
        return unit
    if text.count("/") == 1:
        above, below = (_product(part.strip()) for part in text.split("/"))
        if above and below:
            return _combined(above, below, -1)
    return None


@functools.lru_cache(maxsize=1)
def _spelled() -> dict[str, str]:
    """The trade's spelling of each single unit, by the name pint prints for it."""
    found = {unit.pint_name: spelling for spelling, unit in _PREFIXED.items() if spelling != "l"}
    for prefix, (_, word) in _PREFIXES.items():
        for spelling, unit in _PREFIXED.items():
            if spelling != "l":
                found.setdefault(word + unit.pint_name, prefix + spelling)
    for spelling, unit in TRADE_UNITS.items():
        found.setdefault(unit.pint_name, spelling)
    return {_PINT_PRINTS.get(name, name): spelling for name, spelling in found.items()} | {"1": "1"}


_PINT_PRINTS = {
    "degC": "degree_Celsius",
    "degF": "degree_Fahrenheit",
    "delta_degC": "delta_degree_Celsius",
    "delta_degF": "delta_degree_Fahrenheit",
    "psi": "pound_force_per_square_inch",
    "pound_force": "force_pound",
    "kilogram_force": "force_kilogram",
}


@functools.lru_cache(maxsize=512)
def spelling(pint_units: str) -> str:
    """The trade's spelling of a unit as pint prints it, "foot ** 2 / gallon" as "ft²/gal"; "?" when it has none."""
    powers = {"": "", "2": "²", "3": "³"}
    parts = []
    for part in pint_units.split(" / "):
        factors = (factor.partition(" ** ") for factor in part.split(" * "))
        parts.append("·".join(_spelled().get(name, "?") + powers.get(power, "?") for name, _, power in factors))
    found = "/".join([parts[0], "·".join(parts[1:])]) if len(parts) > 1 else parts[0]
    return found if unit_of(found) else "?"


def near(unit_text: str) -> str:
    """The unit of the list that was most likely meant; empty when none is near."""
    known = [*TRADE_UNITS, *_PREFIXED, "µm", "mm", "cm", "mL", "kg", "kPa", "MPa"]
    close = difflib.get_close_matches(unit_text, known, 1, 0.6)
    return close[0] if close else ""
