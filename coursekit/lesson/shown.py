"""Metric or US: how a lesson shows numbers and reads bare answers. It never changes what a call means."""

from __future__ import annotations

import functools
import weakref
from typing import Any

from coursekit.folder import keep_setting, place, setting
from coursekit.nomenclature import System
from coursekit.quantities import read_choice

OPTIONS: tuple[System, ...] = ("metric", "us")
_VIEWS: weakref.WeakSet[Any] = weakref.WeakSet()


@functools.lru_cache(maxsize=4)
def _kept(home: str) -> System:
    return "us" if setting("system") == "us" else "metric"


def system() -> System:
    """What the learner chose; metric until then."""
    try:
        return _kept(str(place()))  # asked for each number of a picture, so the disk is not
    except OSError:  # a folder that cannot be made: the first cell says so, the lesson goes on
        return "metric"


def choose(choice: str) -> None:
    """Show everything that stands on the page, and every later lesson, in this system."""
    keep_setting("system", read_choice(choice, OPTIONS, "system"))
    _kept.cache_clear()
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
