"""A control of a bench: what a row of the nomenclature does not say of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coursekit import quantities
from coursekit.lesson.learner import unit_system
from coursekit.nomenclature import Name, names


@dataclass(frozen=True)
class Control:
    """One control, where its row of the nomenclature does not say it all."""

    start: str
    name: str = ""  # row of the nomenclature; the argument's own name when empty
    label: str = ""
    meaning: str = ""
    slider: tuple[float, float, float] | None = None  # from, to, step in the metric unit
    slider_us: tuple[float, float, float] | None = None
    options: tuple[str, ...] = ()
    measured: str = ""  # coefficient that the learner may have measured: it is the start then
    seldom: bool = False  # most learners leave it alone: it is folded away
    exact: bool = False  # the start is somebody's own, and stays as it is in US units
    outfit: bool = False  # the start is that of the learner's chosen gun, paint, hand or panel
    start_us: str = ""  # a start that is round in US units, where the metric one on the nearest step is not


def at(start: str, **more: Any) -> Any:
    """What makes an argument a control: `force: float = at("20 N", label="…", slider=(5, 45, 1))`."""
    return Control(start, **more)


def row_of(name: str, title: str) -> Name:
    """The row of a name that the bench of that title uses."""
    if name not in names():
        raise ValueError(f"bench {title!r}: tables/names/ has no row {name!r}; give at(…, name=…)")
    return names()[name]


def value_words(value: Any, row: Name) -> str:
    """A value of a control, in SI or text, as its field shows it."""
    return value if isinstance(value, str) else quantities.shown(value, row.key, unit_system.chosen(), 4)


def on_a_step(value: Any, row: Name, ends: tuple[float, float, float] | None) -> Any:
    """A number in SI on the nearest step of its slider in US units: 3.6 mil, not 3.543."""
    if ends is None or row.us in ("", row.metric):
        return value
    low, high, step = ends
    shown = quantities.in_unit(value, row.key, "us")
    return quantities.from_unit(min(low + round((shown - low) / step) * step, high), row.key, "us")
