"""Benches and exercises by their keys, as their files declare them."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from types import ModuleType

from coursekit.lesson.practice.exercise import EXERCISES, Exercise
from coursekit.lesson.workbench.bench import Bench
from coursekit.quantities import InputError


def declared_bench(key: str) -> Bench:
    """The bench as its file declares it."""
    found: Bench = _part("benches", key, key).bench
    return found


def declared_exercise(key: str) -> Exercise:
    """The exercise as its file declares it."""
    _part("exercises", str(key).rpartition("-")[0], key)
    if key not in EXERCISES:
        raise InputError(
            "exercise", f"{key!r:.40} is not an exercise.", f"There are: {', '.join(EXERCISES)}.", kind="unknown"
        )
    return EXERCISES[key]


def all_exercises() -> Mapping[str, Exercise]:
    """Every exercise of the course."""
    for name in _names("exercises"):
        importlib.import_module(f"coursekit.lesson.content.exercises.{name}")
    return EXERCISES


def _names(folder: str) -> list[str]:
    here = importlib.import_module(f"coursekit.lesson.content.{folder}")
    return sorted(found.name for found in pkgutil.iter_modules(here.__path__))


def _part(folder: str, name: str, key: str) -> ModuleType:
    """The file of a bench or an exercise; InputError names what there is."""
    module = str(name).replace("-", "_")
    if module not in (known := _names(folder)):
        there = ", ".join(found.replace("_", "-") for found in known)
        raise InputError(folder.rstrip("s"), f"{key!r:.40} is not there.", f"There are: {there}.", kind="unknown")
    return importlib.import_module(f"coursekit.lesson.content.{folder}.{module}")
