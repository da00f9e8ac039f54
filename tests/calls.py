"""The public calls of all trades, and inputs that each of them takes."""

import contextlib
import functools
import importlib
import pkgutil
from pathlib import Path

import pytest

from coursekit.describing import examples
from coursekit.errors import InputError

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


@contextlib.contextmanager
def refused(kind, argument=""):
    """The code under it is refused: with an error of that kind (any for None), about that argument or entry."""
    with pytest.raises(InputError) as refusal:
        yield refusal
    [problem] = refusal.value.problems
    assert kind in (None, problem.kind), refusal.value
    assert not argument or problem.key == argument, refusal.value
    assert str(refusal.value).endswith((".", "?", "!")), "a sentence that a person can read"
