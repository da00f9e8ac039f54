"""coursekit: learn and plan the repair of a car's body panel on a panel that is computed.

    from coursekit import film, mixing, sanding, spraying

Calls take text with units ("120 µm", "4.7 mil") or pint quantities and give pint quantities. `coursekit.units` is
the registry of pint they come from; it reads the same units as the calls, so `.to("mil")` and `.to("fl oz")` do.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from coursekit.errors import InputError, RangeError

if TYPE_CHECKING:
    from coursekit.registry import units as _units

    units = _units()

_TRADES = ("colour", "drying", "film", "garage", "mixing", "sanding", "spraying")
_ROOMS = (
    *_TRADES,
    "datasheet",
    "lesson",
    "measured",
    "measurements",
    "outfit",
    "panel",
    "reference",
    "repair",
    "sources",
)
__all__ = ["InputError", "RangeError", *_TRADES, "units"]
__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    if name == "units":
        return importlib.import_module("coursekit.registry").units()
    if name in _ROOMS:  # loaded when it is asked for
        return importlib.import_module(f"coursekit.{name}")
    raise AttributeError(f"module 'coursekit' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*_ROOMS, "InputError", "RangeError", "units", "__version__"])
