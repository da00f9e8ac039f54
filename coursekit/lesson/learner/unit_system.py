"""Metric or US: how a lesson shows numbers and reads bare answers. It never changes what a call means."""

from __future__ import annotations

import contextlib
import weakref
from collections.abc import Iterator
from typing import Any

from coursekit.folder import keep_setting, setting
from coursekit.nomenclature import System
from coursekit.quantities import read_choice

OPTIONS: tuple[System, ...] = ("metric", "us")
_MEANWHILE: list[System] = []
_VIEWS: weakref.WeakSet[Any] = weakref.WeakSet()


def chosen() -> System:
    """What the learner chose, here or in another notebook; metric until then."""
    if _MEANWHILE:
        return _MEANWHILE[-1]
    return "us" if setting("system") == "us" else "metric"


@contextlib.contextmanager
def shown_in(system: System) -> Iterator[None]:
    """What is made under it is shown in this system, whatever the learner chose; nothing is kept."""
    _MEANWHILE.append(system)
    try:
        yield
    finally:
        _MEANWHILE.pop()


def read(choice: Any) -> System:
    """Metric or US as a call names it."""
    return "us" if read_choice(choice, OPTIONS, "system") == "us" else "metric"


def choose(choice: str) -> None:
    """Show everything that stands on the page, and every later lesson, in this system."""
    try:
        keep_setting("system", read(choice))
    finally:  # what cannot be kept holds as long as this notebook runs
        refresh()


def refresh() -> None:
    """Have everything that stands on the page written anew."""
    for view in list(_VIEWS):
        view.refresh()


def follow(view: Any) -> None:
    """Have `view.refresh()` called when the choice changes, as long as the view lives."""
    _VIEWS.add(view)


def leave(view: Any) -> None:
    """The view is no longer on the page."""
    _VIEWS.discard(view)
