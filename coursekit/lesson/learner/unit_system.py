"""Metric or US: how a lesson shows numbers and reads bare answers. It never changes what a call means.

The choice stands in the settings file and holds in every open notebook. An event of a page is read in the system that
the page shows; after it, and before each cell, the page follows a choice made elsewhere, all at once.
"""

from __future__ import annotations

import contextlib
import sys
import weakref
from collections.abc import Iterator
from typing import Any

from coursekit.folder import keep_setting, setting
from coursekit.nomenclature import System
from coursekit.quantities import read_choice

OPTIONS: tuple[System, ...] = ("metric", "us")
_MEANWHILE: list[System] = []
_VIEWS: weakref.WeakSet[Any] = weakref.WeakSet()
_SHOWN: list[System] = []  # what the page shows, as long as anything stands on it


def chosen() -> System:
    """What the page shows; without a page what the learner chose, here or in another notebook, metric until then."""
    if _MEANWHILE:
        return _MEANWHILE[-1]
    return _SHOWN[0] if _SHOWN and len(_VIEWS) else _kept()


def _kept() -> System:
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
    system = read(choice)
    _SHOWN[:] = [system]
    try:
        keep_setting("system", system)
    finally:  # what cannot be kept holds as long as this notebook runs
        refresh()


def refresh() -> None:
    """Have everything that stands on the page written anew."""
    for view in list(_VIEWS):
        view.refresh()


def catch_up(*_: Any) -> None:
    """Show what was chosen in another notebook; costs a look at the file's date when nothing was."""
    if len(_VIEWS) and not _MEANWHILE and [_kept()] != _SHOWN:
        _SHOWN[:] = [_kept()]
        refresh()


def follow(view: Any) -> None:
    """Have `view.refresh()` called when the choice changes, as long as the view lives."""
    if not len(_VIEWS):
        _SHOWN[:] = [_kept()]
        _watch()
    _VIEWS.add(view)


def _watch() -> None:
    """Catch up before each cell and after each event that the page sends: the kernel says when."""
    shell = sys.modules["IPython"].get_ipython() if "IPython" in sys.modules else None
    if shell is not None and catch_up not in shell.events.callbacks["post_execute"]:
        shell.events.register("pre_run_cell", catch_up)
        shell.events.register("post_execute", catch_up)


def leave(view: Any) -> None:
    """The view is no longer on the page."""
    _VIEWS.discard(view)
