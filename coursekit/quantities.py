"""Numbers with units at the door. The only module that knows pint.

Text is read by a small grammar – a number, then a unit from the trade's list – and never reaches pint's own
parser, which takes "mil" for an angle and evaluates arithmetic. Inside the project every number is a plain
float or array in SI; `public` makes the call that people use, and keeps the plain function at `.si`.
"""

from __future__ import annotations

import difflib
import functools
import inspect
import math
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any, Literal, NamedTuple

import numpy as np

System = Literal["metric", "us"]
# An argument of a computation: a float or array in SI inside (`.si`), text or a pint quantity at the door.
Real = Any
LONGEST_TEXT = 40


class InputError(ValueError):
    """What a person gave cannot be used: names the argument, what is wrong and the remedy."""

    def __init__(self, argument: str, problem: str, remedy: str = "") -> None:
        self.argument, self.problem, self.remedy = argument, problem, remedy
        super().__init__(argument, problem, remedy)

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

    def __str__(self) -> str:
        name = names().get(self.argument)
        unit = self.unit if self.unit is not None else (name.metric if name else "")
        value, low, high = (_from_si(v, unit) for v in (self.value, self.low, self.high))
        space = f" {unit}" if unit else ""
        side = "below" if self.value < self.low else "above"
        hint = self.remedy
        if not hint and name and name.kind == "fraction" and not unit and 1 < self.value <= 100:
            hint = f'Write a share as "{self.value:g} %" or {self.value / 100:g}.'
        elif not hint:
            hint = "Check the unit, or stay inside that range."
        return (
            f"{self.argument}: {_digits(value)}{space} is {side} the range where this holds, "
            f"{_digits(low)} to {_digits(high)}{space}. {hint}"
        )


# --- units -----------------------------------------------------------------------------------------------

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
    "G": (1e9, "giga"), "M": (1e6, "mega"), "k": (1e3, "kilo"), "h": (1e2, "hecto"), "d": (1e-1, "deci"),
    "c": (1e-2, "centi"), "m": (1e-3, "milli"), "µ": (1e-6, "micro"), "u": (1e-6, "micro"),
    "n": (1e-9, "nano"),
}  # fmt: skip
# Trade and US spellings; each is one unit and nothing else.
_PLAIN: dict[str, Unit] = {}


def _spell(unit: Unit, *spellings: str) -> None:
    for spelling in spellings:
        _PLAIN[spelling] = unit


_spell(Unit(1e-6, _LENGTH, "micrometer"), "micron", "microns")
_spell(Unit(1, _LENGTH, "meter"), "metre", "metres", "meter", "meters")
_spell(Unit(25.4e-6, _LENGTH, "thou"), "mil", "mils", "thou")
_spell(Unit(0.0254, _LENGTH, "inch"), "in", "inch", "inches")
_spell(Unit(0.3048, _LENGTH, "foot"), "ft", "foot", "feet")
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
_spell(Unit(1, _KELVIN, "degC", "scale", 273.15), "°C", "degC", "C", "deg C")
_spell(Unit(5 / 9, _KELVIN, "degF", "scale", 459.67 * 5 / 9), "°F", "degF", "F", "deg F")
_spell(Unit(1, _KELVIN, "delta_degC", "difference"), "Δ°C", "delta degC")
_spell(Unit(5 / 9, _KELVIN, "delta_degF", "difference"), "Δ°F", "delta degF")
_spell(Unit(4.4482216152605, _FORCE, "pound_force"), "lbf")
_spell(Unit(9.80665, _FORCE, "kilogram_force"), "kgf")
_spell(Unit(_PSI, _PRESSURE, "psi"), "psi")
_spell(Unit(_PSI, _PRESSURE, "psi", "gauge"), "psig", "psi gauge", "psi g")
_spell(Unit(_PSI, _PRESSURE, "psi", "absolute"), "psia", "psi abs", "psi a")
_spell(Unit(1e5, _PRESSURE, "bar", "gauge"), "barg", "bar gauge", "bar g")
_spell(Unit(1e5, _PRESSURE, "bar", "absolute"), "bara", "bar abs", "bar a")
_spell(Unit(1e3, _PRESSURE, "kilopascal", "gauge"), "kPag", "kPa gauge", "kPa g")
_spell(Unit(1e3, _PRESSURE, "kilopascal", "absolute"), "kPaa", "kPa abs", "kPa a")
_spell(Unit(101325, _PRESSURE, "atmosphere", "absolute"), "atm")
_spell(Unit(0.3048**3 / 60, _FLOW, "foot**3 / minute", "free air"), "scfm", "SCFM")
_spell(Unit(0.3048**3 / 60, _FLOW, "foot**3 / minute", "actual"), "cfm", "CFM")
_spell(Unit(1 / 60, (0, 0, -1, 0, 0), "1 / minute"), "rpm", "/min", "1/min", "per min")
_spell(Unit(1 / 3600, (0, 0, -1, 0, 0), "1 / hour"), "/h", "1/h", "per h", "per hour")
_spell(Unit(1, (0, 0, -1, 0, 0), "1 / second"), "/s", "1/s", "Hz")
_spell(Unit(0.01, _ONE, "percent"), "%", "percent", "% RH")
_spell(Unit(1e-6, _ONE, "ppm", "ppm"), "ppm")
_spell(Unit(math.pi / 180, _ONE, "degree", "angle"), "°", "deg", "degree", "degrees")
_spell(Unit(1, _ONE, "radian", "angle"), "rad")
for _word in ("turn", "stroke", "coat", "pass", "part", "sheet", "stage"):
    _spell(Unit(1, _ONE, "", "count"), _word, _word + ("es" if _word == "pass" else "s"))

_REFUSED = {
    "oz": 'An ounce is a mass or a volume: write "fl oz" for a volume, or grams for a mass.',
    "gallon (UK)": "Write the litres.",
}
_POWER = re.compile(r"^(.*?)(?:\^?([23])|([²³]))$")
_NUMBER = re.compile(r"^([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,2})?)\s*(.*)$", re.DOTALL)


def _atom(text: str) -> Unit | None:
    if text in _PLAIN:
        return _PLAIN[text]
    if text in _PREFIXED:
        return _PREFIXED[text]
    if text[:1] in _PREFIXES and text[1:] in _PREFIXED:
        (scale, word), unit = _PREFIXES[text[0]], _PREFIXED[text[1:]]
        return unit._replace(factor=scale * unit.factor, pint_name=word + unit.pint_name)
    return None


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
    if len(parts) != 2 or None in parts:
        return None
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


# --- kinds of quantity -----------------------------------------------------------------------------------


class Kind(NamedTuple):
    words: str
    si: str
    marks: tuple[str, ...] = ("",)  # unit marks it takes
    example: str = ""


KINDS: dict[str, Kind] = {
    "length": Kind("a length", "m", example='"120 µm" or "4.7 mil"'),
    "area": Kind("an area", "m²", example='"1.2 m²" or "13 sq ft"'),
    "volume": Kind("a volume", "m³", example='"250 mL" or "8 fl oz"'),
    "mass": Kind("a mass", "kg", example='"350 g" or "0.77 lb"'),
    "time": Kind("a time", "s", example='"15 min" or "2 h"'),
    "temperature": Kind("a temperature", "K", ("", "scale"), '"21 °C" or "70 °F"'),
    "temperature difference": Kind("a difference of temperature", "K", ("", "difference"),
                                   '"3 K" or "5 Δ°F"'),
    "gauge pressure": Kind("a pressure read on a gauge", "Pa", ("", "gauge"), '"2 bar" or "29 psi"'),
    "absolute pressure": Kind("an absolute pressure", "Pa", ("absolute",), '"101.3 kPa abs" or "14.7 psia"'),
    "pressure": Kind("a pressure", "Pa", example='"2 kPa" or "0.3 psi"'),
    "pressure difference": Kind("a difference of pressure", "Pa", example='"10 kPa" or "1.5 psi"'),
    "force": Kind("a force", "N", example='"20 N" or "4.5 lbf"'),
    "speed": Kind("a speed", "m/s", example='"0.45 m/s" or "90 ft/min"'),
    "density": Kind("a density", "kg/m³", example='"1.3 kg/L" or "10.8 lb/gal"'),
    "concentration": Kind("a mass per volume", "kg/m³", example='"420 g/L" or "15 mg/m³"'),
    "dynamic viscosity": Kind("a dynamic viscosity", "Pa·s", example='"55 mPa·s"'),
    "kinematic viscosity": Kind("a kinematic viscosity", "m²/s", example='"55 mm²/s" or "55 cSt"'),
    "surface tension": Kind("a surface tension", "N/m", example='"28 mN/m"'),
    "volume flow": Kind("a flow of liquid", "m³/s", example='"150 mL/min" or "5 fl oz/min"'),
    "free air flow": Kind("a flow of free air (20 °C, 1 atm)", "m³/s", ("", "free air"),
                          '"250 L/min" or "9 scfm"'),
    "mass flow": Kind("a mass flow", "kg/s", example='"5 g/s"'),
    "fraction": Kind("a share", "", example='"45 %" or 0.45'),
    "ppm": Kind("a share by volume in air", "", ("ppm", ""), example='"100 ppm"'),
    "number": Kind("a plain number", "", ("", "count"), "2"),
    "angle": Kind("an angle", "rad", ("angle",), '"15 °"'),
    "area per volume": Kind("an area per volume", "m²/m³", example='"9 m²/L" or "370 sq ft/gal"'),
    "mass per area": Kind("a mass per area", "kg/m²", example='"60 g/m²"'),
    "molar mass": Kind("a molar mass", "kg/mol", example='"116 g/mol"'),
    "molar energy": Kind("an energy per mole", "J/mol", example='"52 kJ/mol"'),
    "rate": Kind("a rate", "1/s", example='"6 /h"'),
    "stiffness": Kind("a foundation stiffness", "Pa/m", example='"1 GPa/m"'),
    "wear rate": Kind("a removal per pressure and distance", "1/Pa", example='"0.333 1/GPa"'),
    "diffusivity": Kind("a diffusivity", "m²/s", example='"6.7 mm²/s"'),
}  # fmt: skip
for _prefix, (_scale, _name) in _PREFIXES.items():
    _spell(Unit(1 / _scale, (1, -1, 2, 0, 0), f"1 / {_name}pascal"), f"1/{_prefix}Pa")
_spell(Unit(1, (1, -1, 2, 0, 0), "1 / pascal"), "1/Pa")
# Kinds that are read by the call itself, not by the unit grammar.
OTHER_KINDS = ("choice", "grade", "ratio", "text", "record")


@dataclass(frozen=True)
class Name:
    """One row of the nomenclature: what the word means, how it is shown and where it holds."""

    key: str
    label: str
    meaning: str
    kind: str
    symbol: str = ""
    metric: str = ""
    us: str = ""
    low: float = -math.inf
    high: float = math.inf
    slider: tuple[float, float, float] | None = None  # from, to, step; metric unit
    slider_us: tuple[float, float, float] | None = None
    options: tuple[str, ...] = ()

    @property
    def si(self) -> str:
        return KINDS[self.kind].si if self.kind in KINDS else self.kind

    def unit(self, system: System = "metric") -> str:
        return self.us if system == "us" and self.us else self.metric


def load_tables(folder: str) -> dict[str, dict[str, Any]]:
    """All rows of the TOML files in `coursekit/tables/<folder>/`, merged; a key that stands twice is an error."""
    merged: dict[str, dict[str, Any]] = {}
    files = resources.files("coursekit") / "tables" / folder
    for file in sorted(files.iterdir(), key=lambda f: f.name):
        if file.name.endswith(".toml"):
            for key, row in tomllib.loads(file.read_text(encoding="utf-8")).items():
                if key in merged:
                    raise ValueError(f"tables/{folder}/{file.name}: {key} stands in two files")
                merged[key] = row
    return merged


@functools.lru_cache(maxsize=1)
def names() -> Mapping[str, Name]:
    """The nomenclature table: every argument and result by its name."""
    found = {}
    for key, row in load_tables("names").items():
        row = dict(row)
        for limit in ("low", "high"):
            if limit in row:
                row[limit] = _limit(row[limit], row["kind"], f"names: {key}.{limit}")
        for pick in ("slider", "slider_us", "options"):
            if pick in row:
                row[pick] = tuple(row[pick])
        found[key] = Name(key=key, **row)
    return found


def _limit(value: Any, kind: str, where: str) -> float:
    return float(value) if not isinstance(value, str) else _text_to_si(value, kind, where)[0]


# --- reading ---------------------------------------------------------------------------------------------


def _digits(value: float) -> str:
    return f"{value:.4g}" if abs(value) < 1e5 else f"{value:,.0f}".replace(",", " ")


def _from_si(value: Any, unit: str) -> Any:
    found = unit_of(unit)
    if found is None:
        return value
    return (value - found.offset) / found.factor


def _text_to_si(text: str, kind: str, argument: str) -> tuple[float, str]:
    """SI value and the unit as written; the one place where text becomes a number."""
    want = KINDS[kind]
    if len(text) > LONGEST_TEXT:
        raise InputError(argument, f"text of {len(text)} characters is too long.",
                         f"Write a number and a unit, for example {want.example}.")  # fmt: skip
    written = f'"{text.strip()}"'
    match = _NUMBER.match(text.strip().replace("\N{MINUS SIGN}", "-"))
    if match is None:
        raise InputError(argument, f"{written} does not begin with a number.",
                         f"Write {want.words} such as {want.example}.")  # fmt: skip
    number, unit_text = match[1], match[2].strip()
    if unit_text.startswith(","):
        rest = unit_text[1:].lstrip("0123456789 ")
        fixed = f"{number}.{unit_text[1:]}".strip()
        raise InputError(argument, f"{written} has a comma.",
                         f'Write the decimal with a point, "{fixed}", and thousands with no mark at all'
                         + (f' ("{number}{unit_text[1:]}").' if rest != unit_text[1:] else "."))  # fmt: skip
    if unit_text in _REFUSED:
        raise InputError(argument, f"{written} could mean two things.", _REFUSED[unit_text])
    unit = unit_of(unit_text)
    if unit is None:
        raise InputError(argument, f"{written}: \"{unit_text}\" is not a unit this course knows{_near(unit_text)}.",
                         f"Write {want.words} such as {want.example}.")  # fmt: skip
    _check_unit(unit, unit_text, want, kind, argument, written)
    return float(number) * unit.factor + unit.offset, unit_text


def _near(unit_text: str) -> str:
    known = [*_PLAIN, *_PREFIXED, "µm", "mm", "cm", "mL", "kg", "kPa", "MPa"]
    close = difflib.get_close_matches(unit_text, known, 1, 0.6)
    return f' (near: "{close[0]}")' if close else ""


def _check_unit(unit: Unit, unit_text: str, want: Kind, kind: str, argument: str, written: str) -> None:
    si = unit_of(want.si)
    assert si is not None, want.si
    remedy = f"Write {want.words} such as {want.example}."
    if unit.dimension != si.dimension:
        if not unit_text:
            raise InputError(argument, f"{written} has no unit.", remedy)
        raise InputError(argument, f"{written} is not {want.words}.", remedy)
    if unit.mark in want.marks or (unit.mark in ("", "count") and not unit_text):
        return
    if kind == "gauge pressure" and unit.mark == "absolute":
        raise InputError(argument, f"{written} is absolute; this is what a gauge reads.",
                         "Take off the pressure of the air (14.7 psi, 101.3 kPa at sea level).")  # fmt: skip
    if kind == "absolute pressure":
        raise InputError(argument, f"{written} does not say that it is absolute.", remedy)
    if kind == "temperature difference":
        raise InputError(argument, f"{written} is a temperature; this is a difference between two.", remedy)
    if kind == "free air flow":
        raise InputError(argument, f'{written} does not say at which pressure.', 'Write free air: "9 scfm".')
    raise InputError(argument, f"{written} is not {want.words}.", remedy)


def _one_to_si(value: Any, kind: str, argument: str) -> tuple[Any, str]:
    want = KINDS[kind]
    if isinstance(value, str):
        return _text_to_si(value, kind, argument)
    if hasattr(value, "magnitude") and hasattr(value, "dimensionality"):
        return _pint_to_si(value, kind, argument)
    if isinstance(value, (list, tuple)):
        if not value or len(value) > 100_000:
            raise InputError(argument, "is an empty or endless list.", f"Give {want.words}, {want.example}.")
        read_ones = [_one_to_si(v, kind, argument) for v in value]
        try:
            return np.array([v for v, _ in read_ones], dtype=float), read_ones[0][1]
        except (ValueError, TypeError):
            raise InputError(argument, "is a list of unequal parts.", f"Give {want.words}.") from None
    bare = isinstance(value, (int, float, np.number)) and not isinstance(value, (bool, np.bool_))
    if bare or (isinstance(value, np.ndarray) and value.dtype.kind in "if"):
        if want.si and not isinstance(value, _stands_for_si()):
            number = f"{value:g}" if bare else "an array"
            raise InputError(argument, f"{number} has no unit.", f"Write {want.words} such as {want.example}.")
        return (_float(value, argument) if bare else value.astype(float)), ""
    raise InputError(argument, f"a {type(value).__name__} is not {want.words}.",
                     f"Write it as text, for example {want.example}.")  # fmt: skip


def _float(value: Any, argument: str) -> float:
    try:
        return float(value)
    except OverflowError:
        raise InputError(argument, "is too large a number.", "Check the unit.") from None


def _stands_for_si() -> type:
    from coursekit.sources import Coefficient  # a coefficient knows its unit: it is SI already

    return Coefficient


def _pint_to_si(value: Any, kind: str, argument: str) -> tuple[Any, str]:
    want = KINDS[kind]
    units = str(value.units)
    remedy = f"Give {want.words} such as {want.example}."
    scale = "degree_" in units and "delta_" not in units
    if kind == "temperature" and "delta_" in units:
        raise InputError(argument, f"{value} is a difference of temperatures.", remedy)
    if kind == "temperature difference" and scale:
        raise InputError(argument, f"{value} is a temperature; this is a difference between two.", remedy)
    si_unit = unit_of(want.si)
    assert si_unit is not None
    try:
        magnitude = value.m_as(si_unit.pint_name or "dimensionless")
    except Exception:  # pint has many errors of its own; the person needs one sentence
        if units == "mil":
            remedy = 'pint takes "mil" for an angle: use its "thou", or text such as "4.7 mil".'
        raise InputError(argument, f"{units} is not the unit of {want.words}.", remedy) from None
    try:
        return np.asarray(magnitude, dtype=float)[()], _shown_unit_of(units)
    except (TypeError, ValueError, OverflowError):
        raise InputError(argument, "holds no number.", remedy) from None


def _shown_unit_of(pint_units: str) -> str:
    """The trade's spelling of a pint unit, for messages; empty when there is none."""
    return {"micrometer": "µm", "millimeter": "mm", "meter": "m", "thou": "mil", "inch": "in", "kilopascal": "kPa",
            "psi": "psi", "bar": "bar", "milliliter": "mL", "liter": "L", "gallon": "gal", "second": "s",
            "minute": "min", "hour": "h", "degree_Celsius": "°C", "degree_Fahrenheit": "°F", "percent": "%",
            "gram": "g", "kilogram": "kg", "newton": "N"}.get(pint_units, "?")  # fmt: skip


def read(value: Any, name: str, argument: str | None = None) -> Any:
    """What a person gave for the quantity `name` (a row of the nomenclature), as a float or array in SI.

    Takes text ("120 µm"), a pint quantity, a list of either, or a bare number for shares and counts.
    Raises InputError naming the argument, RangeError outside the range of the nomenclature.
    """
    row = names()[name]
    argument = argument or name
    si, unit = _one_to_si(value, row.kind, argument)
    if not np.all(np.isfinite(si)):
        raise InputError(argument, "is not a finite number.", f"Give {KINDS[row.kind].words} such as "
                         f"{KINDS[row.kind].example}.")  # fmt: skip
    try:
        in_range(argument, si, row.low, row.high)
    except RangeError as error:
        error.unit = row.metric if unit == "?" else unit
        raise
    return si


def in_range(argument: str, value: Any, low: float, high: float, remedy: str = "") -> None:
    """Refuse a value outside low to high (SI); rounding of the last digit is forgiven."""
    slack = 1e-9 * max(abs(low) if math.isfinite(low) else 0, abs(high) if math.isfinite(high) else 0)
    wrong = (np.asarray(value) < low - slack) | (np.asarray(value) > high + slack)
    if np.any(wrong):
        first = float(np.asarray(value, dtype=float)[wrong].flat[0]) if np.ndim(value) else float(value)
        raise RangeError(argument, first, low, high, remedy)


def read_choice(value: Any, options: tuple[str, ...], argument: str) -> str:
    """One of a few words, whatever its capitals; the error names the nearest."""
    if isinstance(value, str) and len(value) <= LONGEST_TEXT:
        found = {o.casefold(): o for o in options}
        if (word := value.strip().casefold()) in found:
            return found[word]
        close = difflib.get_close_matches(word, list(found), 1, 0.5)
        near = f' Did you mean "{found[close[0]]}"?' if close else ""
        raise InputError(argument, f'"{value.strip()}" is not one of its choices.{near}',
                         "Choose from: " + ", ".join(options) + ".")  # fmt: skip
    raise InputError(argument, "is not one of its choices.", "Choose from: " + ", ".join(options) + ".")


# --- giving ----------------------------------------------------------------------------------------------


@functools.lru_cache(maxsize=1)
def _quantity() -> Any:
    import pint  # its registry takes a tenth of a second: only when the first quantity is made

    return pint.get_application_registry().Quantity


@functools.lru_cache(maxsize=256)
def _pint_unit(unit: str) -> Any:
    import pint

    found = unit_of(unit)
    assert found is not None, unit
    return pint.get_application_registry().Unit(found.pint_name or "dimensionless")


def give(value: Any, name: str, system: System = "metric") -> Any:
    """An SI number as a pint quantity, in the unit the nomenclature shows for `name`."""
    row = names()[name]
    if row.kind not in KINDS or value is None:
        return value
    unit = row.unit(system)
    if row.kind in ("fraction", "number"):
        unit = ""
    return _quantity()(_from_si(value, unit), _pint_unit(unit))


def shown(value: float, name: str, system: System = "metric", digits: int = 3, unit: bool = True) -> str:
    """An SI number in words for people: "60 µm" or "2.36 mil"; ranges of numbers go through `shown_band`."""
    row = names()[name]
    text = _rounded(float(_from_si(value, row.unit(system))), digits)
    if not unit or not row.unit(system):
        return text
    return f"{text} {row.unit(system)}".replace(" %", "\N{NARROW NO-BREAK SPACE}%")


def shown_band(low: float, high: float, name: str, system: System = "metric", digits: int = 2) -> str:
    """A band in words: "40 to 90 µm"."""
    return f"{shown(low, name, system, digits, unit=False)} to {shown(high, name, system, digits)}"


def _rounded(value: float, digits: int) -> str:
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    value = round(value, places)
    return f"{value:.{max(places, 0)}f}" if places <= 0 else f"{value:.{places}f}".rstrip("0").rstrip(".")


# --- the door --------------------------------------------------------------------------------------------

Gives = str | Mapping[str, Any] | None


def _give_all(value: Any, gives: Gives) -> Any:
    """Quantities for a plain result: one name, or a name for each field of a named tuple."""
    from coursekit.sources import Band

    if gives is None:
        return value
    if isinstance(value, Band):
        return Band(*(_give_all(v, gives) for v in value))
    if isinstance(gives, str):
        if isinstance(value, tuple) and not hasattr(value, "_fields"):
            return tuple(_give_all(v, gives) for v in value)
        return give(value, gives)
    if isinstance(value, (list, tuple)) and not hasattr(value, "_fields"):
        return type(value)(_give_all(v, gives) for v in value)
    return value._replace(**{field: _give_all(getattr(value, field), name) for field, name in gives.items()
                             if getattr(value, field) is not None})  # fmt: skip


def read_arguments(function: Callable[..., Any], arguments: Mapping[str, Any]) -> dict[str, Any]:
    """Each argument of a public call as SI, by the row of the nomenclature that bears its name."""
    plain = {}
    for argument, value in arguments.items():
        row = names()[argument]
        default = inspect.signature(function).parameters[argument].default
        if value is None and default is None:
            plain[argument] = None
        elif row.kind in KINDS:
            plain[argument] = read(value, argument)
        elif row.kind == "choice" and row.options:
            plain[argument] = read_choice(value, row.options, argument)
        else:
            plain[argument] = value
    return plain


def public(gives: Gives = None) -> Callable[[Callable[..., Any]], Any]:
    """Make the call that people use of a plain SI function.

    Arguments are read by the row of the nomenclature with their name: unit, kind and range are checked there.
    `gives` names the row of the result, or maps fields of a named tuple to rows. The plain function stays at
    `.si`, for inner loops and for `band`.
    """

    def make(function: Callable[..., Any]) -> Any:
        signature = inspect.signature(function)

        @functools.wraps(function)
        def call(*args: Any, **kwargs: Any) -> Any:
            bound = signature.bind(*args, **kwargs)
            units = dict(bound.arguments)
            bound.arguments.update(read_arguments(function, bound.arguments))
            try:
                result = function(*bound.args, **bound.kwargs)
            except RangeError as error:
                if error.unit is None and isinstance(units.get(error.argument), str):
                    match = _NUMBER.match(units[error.argument].strip())
                    error.unit = match[2].strip() if match else None
                raise
            return _give_all(result, gives)

        call.si = function  # type: ignore[attr-defined]
        call.gives = gives  # type: ignore[attr-defined]
        return call

    return make
