"""The nomenclature: which kinds of quantity there are, and every argument and result by its name."""

from __future__ import annotations

import functools
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import resources
from typing import Any, Literal, NamedTuple

from coursekit.unit_grammar import NUMBER, unit_of

System = Literal["metric", "us"]


class Kind(NamedTuple):
    words: str
    si: str
    marks: tuple[str, ...] = ("",)  # unit marks it takes
    example: str = ""
    bare: str = ""  # the unit a number without one is taken to be in; empty: it must have one


KINDS: dict[str, Kind] = {
    "length": Kind("a length", "m", example='"120 µm" or "4.7 mil"'),
    "area": Kind("an area", "m²", example='"1.2 m²" or "13 sq ft"'),
    "volume": Kind("a volume", "m³", example='"250 mL" or "8 fl oz"'),
    "mass": Kind("a mass", "kg", example='"350 g" or "0.77 lb"'),
    "time": Kind("a time", "s", example='"15 min" or "2 h"'),
    "temperature": Kind("a temperature", "K", ("", "scale"), '"21 °C" or "70 °F"'),
    "temperature difference": Kind("a difference of temperature", "K", ("", "difference"), '"3 K" or "5 Δ°F"'),
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
    "free air flow": Kind("a flow of free air (20 °C, 1 atm)", "m³/s", ("", "free air"), '"250 L/min" or "9 scfm"'),
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
    "air changes": Kind("air changes per hour", "1/s", example='6 or "6 /h"', bare="/h"),
    "hydroxyl value": Kind("a hydroxyl value", "", example='140 or "140 mg/g"', bare="mg/g"),
    "heat transfer": Kind("a heat transfer coefficient", "W/m²K", example='"8 W/m²K"'),
    "mass flux": Kind("a mass per area and time", "kg/m²·s", example='"20 g/m²·min"'),
    "bending stiffness": Kind("a bending stiffness per width", "N·m", example='"60 N·m"'),
    "attenuation": Kind("a share per depth", "1/m", example='"0.1 1/µm"'),
    "actual air flow": Kind(
        "a flow of air at the pressure it is at", "m³/s", ("", "actual"), '"75 L/min" or "2.7 cfm"'
    ),
    "air flow per area": Kind("a flow of free air per area of hole", "m³/s·m²", ("", "free air"), '"20 L/min·mm²"'),
}


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
    whole: bool = False  # shown as a whole number from 1 on: nobody makes a tenth of a stroke
    written: str = ""  # how a person writes it, where the middle of its slider is no good example
    classes: Mapping[str, str] = field(default_factory=dict)  # word a person may write instead: its coefficient

    @property
    def si(self) -> str:
        return KINDS[self.kind].si if self.kind in KINDS else self.kind

    def unit(self, system: System = "metric") -> str:
        return self.us if system == "us" and self.us else self.metric

    @functools.cached_property
    def wanted(self) -> Kind:
        """Its kind, with an example of a fitting size."""
        return KINDS[self.kind]._replace(example=self.example)

    @functools.cached_property
    def example(self) -> str:
        """What a person may write, of a size that fits this quantity: '"175 mm" or "7 in"'."""
        if self.written or self.kind not in KINDS:
            return self.written
        if not self.metric or KINDS[self.kind].bare or self.kind == "fraction":
            return KINDS[self.kind].example
        if not self.slider:
            return KINDS[self.kind].example if self._holds(KINDS[self.kind].example) else self._halfway
        told = [f'"{_middle(self.slider):g} {self.metric}"']
        if self.us and self.us != self.metric and self.slider_us:
            told.append(f'"{_middle(self.slider_us):g} {self.us}"')
        return " or ".join(told)

    def _holds(self, example: str) -> bool:
        """Whether the written values lie inside its range."""
        for one in example.split(" or "):
            match = NUMBER.match(one.strip('"'))
            unit = unit_of(match[2].strip()) if match else None
            if not (match and unit and self.low <= float(match[1]) * unit.factor + unit.offset <= self.high):
                return False
        return True

    @property
    def _halfway(self) -> str:
        """A value inside its range, where it has neither a slider nor a kind that fits."""
        unit = unit_of(self.metric)
        low, high = ((end - unit.offset) / unit.factor for end in (self.low, self.high)) if unit else (0.0, 0.0)
        middle = float(f"{math.sqrt(low * high) if low > 0 else high / 2:.2g}")
        return f'"{middle:g} {self.metric}"'


def _middle(slider: tuple[float, float, float]) -> float:
    low, high, step = slider
    return round(low + round((high - low) / 2 / step) * step, 9)


def load_tables(folder: str) -> dict[str, dict[str, Any]]:
    """All rows of the TOML files in `coursekit/tables/<folder>/`, merged; a key may stand only once."""
    merged: dict[str, dict[str, Any]] = {}
    files = resources.files("coursekit") / "tables" / folder
    for file in sorted(files.iterdir(), key=lambda f: f.name):
        if file.name.endswith(".toml"):
            for key, row in tomllib.loads(file.read_text(encoding="utf-8")).items():
                if key in merged:
                    raise ValueError(f"tables/{folder}/{file.name}: {key} stands in two files")
                merged[key] = row
    return merged


@functools.lru_cache(maxsize=32)
def load_data(file: str) -> dict[str, Any]:
    """One whole table, `coursekit/tables/data/<file>.toml`."""
    path = resources.files("coursekit") / "tables" / "data" / f"{file}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


@functools.lru_cache(maxsize=1)
def names() -> Mapping[str, Name]:
    """The nomenclature table: every argument and result by its name."""
    found = {}
    for key, row in load_tables("names").items():
        row = dict(row)
        for limit in ("low", "high"):
            if limit in row:
                row[limit] = number_of(row[limit])
        for pick in ("slider", "slider_us", "options"):
            if pick in row:
                row[pick] = tuple(row[pick])
        found[key] = Name(key=key, **row)
    return found


def number_of(value: Any) -> float:
    """A number of the tables in SI: a bare one, or text with a unit."""
    if not isinstance(value, str):
        return float(value)
    match = NUMBER.match(value)
    unit = unit_of(match[2].strip()) if match else None
    if match is None or unit is None:
        raise ValueError(f"tables: {value!r} is not a number and a unit")
    return float(match[1]) * unit.factor + unit.offset
