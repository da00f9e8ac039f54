"""The public calls of all trades, and inputs that each of them takes."""

import contextlib
import functools
import importlib
import pkgutil
from pathlib import Path

from coursekit.describing import examples

TRADES = ("film", "mixing", "sanding", "spraying", "drying", "colour", "garage")
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


def fair_arguments(path, call):
    """Arguments that the call takes: those of its example, which help() shows."""
    return dict(examples()[path])
