"""The project's own registry of pint, `coursekit.units`: what the door reads, it reads too.

It is not the registry of the process, so that a caller's own units stay as they are. A text that is no unit of the
trade's list goes on to pint.
"""

from __future__ import annotations

import copyreg
import functools
from typing import TYPE_CHECKING, Any

from coursekit.unit_grammar import NUMBER, unit_of

if TYPE_CHECKING:
    import pint

    Quantity = pint.Quantity[Any]
else:
    Quantity = Any  # pint is imported when a quantity is made


@functools.lru_cache(maxsize=1)
def units() -> pint.UnitRegistry[float]:
    """The registry; made at the first call, as pint needs a tenth of a second for it."""
    import pint

    found: pint.UnitRegistry[float] = pint.UnitRegistry()
    found.preprocessors.insert(0, pint_text)  # before pint's own, which take "%" apart
    # pint rebuilds a quantity in the registry of the process, which need not know its units.
    copyreg.pickle(found.Quantity, _parts)
    copyreg.pickle(found.Unit, lambda unit: (_unit, (_name(unit),)))
    return found


@functools.lru_cache(maxsize=512)
def pint_text(text: str) -> str:
    """A unit, or a number with a unit, as the door reads it, in pint's own words; other text as it is."""
    if unit := unit_of(text):
        return unit.pint_name or "dimensionless"
    if (number := NUMBER.match(text.strip())) and (unit := unit_of(number[2])) and not unit.offset:
        return f"{number[1]} * ({unit.pint_name or 'dimensionless'})"
    return text


def quantity(magnitude: Any, unit: str) -> Any:
    """A quantity of a unit of the trade's list."""
    return units().Quantity(magnitude, _unit(unit))


@functools.lru_cache(maxsize=512)
def _unit(text: str) -> Any:
    return units().Unit(text or "dimensionless")


def _name(unit: Any) -> str:
    return str(unit)


def _parts(value: Any) -> tuple[Any, tuple[Any, str]]:
    return quantity, (value.magnitude, _name(value.units))
