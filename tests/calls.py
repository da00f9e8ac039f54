"""The public calls of all trades, and inputs that each of them takes."""

import contextlib
import functools
import importlib
import inspect
import pkgutil
import tomllib
from pathlib import Path

from coursekit.nomenclature import KINDS, names
from coursekit.quantities import in_unit

TRADES = ("film", "mixing", "sanding", "spraying", "drying", "colour", "garage")
# What a row of the nomenclature alone cannot say: words, and values that must fit each other.
FAIR = {
    "grade": "P320", "previous_grade": "P320", "finish_grade": "P600", "grades": ["P320", "P600"], "scale": "P",
    "ratio": "4:1:1", "mass_ratio": "4:1:1", "densities": ["1.3 kg/L", "1.1 kg/L", "0.9 kg/L"],
    "component_solids": ["50 %", "40 %", "0 %"], "component_mass_shares": ["50 %", "40 %", "0 %"],
    "block": "70 x 125 mm", "solvent": "n-butyl acetate", "substance": "toluene", "coating": "topcoat",
    "sprayed": True, "first": {"turns": 2}, "second": {"turns": 3}, "wavelength": "10 mm",
    "airborne": "2 mg/m³", "wetted_tooth": "50 µm", "dry_tooth": "75 µm", "readings": ["60 µm", "62 µm", "65 µm"],
}  # fmt: skip
TESTS = Path(__file__).parent
ROOT = TESTS.parent


def modules():
    """Every module of every trade that can be imported; test_house complains of the others."""
    for trade in TRADES:
        with contextlib.suppress(Exception):
            package = importlib.import_module(f"coursekit.{trade}")
            yield package
            for found in pkgutil.walk_packages(package.__path__, f"coursekit.{trade}."):
                yield importlib.import_module(found.name)


@functools.cache
def public_calls():
    """(name, call) of every function made by `public`, each once, by the shortest name it has."""
    found = {}
    for module in modules():
        for name, value in vars(module).items():
            if hasattr(value, "si") and hasattr(value, "gives") and not name.startswith("_"):
                path = f"{module.__name__.removeprefix('coursekit.')}.{name}"
                if id(value) not in found or len(path) < len(found[id(value)][0]):
                    found[id(value)] = (path, value)
    return sorted(found.values())


@functools.cache
def cases():
    """The printed cases that are not refusals, by call."""
    found = {}
    for file in sorted((TESTS / "published").glob("*.toml")):
        for case in tomllib.loads(file.read_text(encoding="utf-8")).get("case", []):
            if "refuses" not in case:
                found.setdefault(case["call"], case["with"])
    return found


def fair_value(name):
    """A value from the middle of what the row of the nomenclature allows."""
    if name in FAIR:
        return FAIR[name]
    row = names()[name]
    if row.kind in KINDS:
        if row.slider:
            middle = (row.slider[0] + row.slider[1]) / 2
        else:
            low, high = (float(in_unit(v, name)) for v in (row.low, row.high))
            middle = (low * high) ** 0.5 if low > 0 else high / 10
        return f"{middle:.4g} {row.metric}".strip()
    return row.options[0] if row.options else None


def fair_arguments(path, call):
    """Arguments that the call takes: those of a printed case, and fair values for the rest that it needs."""
    given = dict(cases().get(path, {}))
    for argument, parameter in inspect.signature(call.si).parameters.items():
        if argument not in given and parameter.default is inspect.Parameter.empty:
            given[argument] = fair_value(argument)
    return given
