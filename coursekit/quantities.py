"""Numbers with units at the door: `public` makes the call that people use of a plain SI function.

Inside the project every number is a plain float or array in SI; the plain function stays at `.si`. What is given
is read by `coursekit.reading`, what comes back is a pint quantity in the unit the nomenclature shows.
"""

from __future__ import annotations

import functools
import inspect
import math
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from coursekit.errors import InputError, RangeError, from_si
from coursekit.nomenclature import KINDS, System, names
from coursekit.reading import LONGEST_TEXT, in_range, one_value, read, read_choice, read_text
from coursekit.units import NUMBER, unit_of

__all__ = [
    "LONGEST_TEXT", "InputError", "RangeError", "Real", "System", "from_unit", "give", "in_range", "in_unit",
    "one_value", "public", "read", "read_arguments", "read_choice", "read_text", "shown", "shown_band",
]  # fmt: skip

# An argument of a computation: a float or array in SI inside (`.si`), text or a pint quantity at the door.
Real = Any


# --- giving ----------------------------------------------------------------------------------------------


@functools.lru_cache(maxsize=1)
def _quantity() -> Any:
    import pint  # its registry takes a tenth of a second: only when the first quantity is made

    return pint.get_application_registry().Quantity


@functools.lru_cache(maxsize=256)
def _pint_unit(unit: str) -> Any:
    import pint

    found = unit_of(unit)
    assert found is not None, unit
    return pint.get_application_registry().Unit(found.pint_name or "dimensionless")


def give(value: Any, name: str, system: System = "metric") -> Any:
    """An SI number as a pint quantity, in the unit the nomenclature shows for `name`."""
    row = names()[name]
    if row.kind not in KINDS or value is None:
        return value
    unit = row.unit(system)
    if row.kind in ("fraction", "number"):
        unit = ""
    return _quantity()(from_si(value, unit), _pint_unit(unit))


def in_unit(value: Any, name: str, system: System = "metric") -> Any:
    """An SI number or array as the plain number shown for `name`: what sliders and axes carry."""
    return from_si(value, names()[name].unit(system))


def from_unit(value: Any, name: str, system: System = "metric") -> Any:
    """The SI number or array of a plain number shown for `name`; the way back of `in_unit`."""
    unit = unit_of(names()[name].unit(system))
    return value if unit is None else value * unit.factor + unit.offset


def shown(value: float, name: str, system: System = "metric", digits: int = 3, unit: bool = True) -> str:
    """An SI number in words for people: "60 µm" or "2.36 mil"; ranges of numbers go through `shown_band`."""
    number = float(in_unit(value, name, system))
    if names()[name].metric == "strokes" and 1 <= number < 1e15:  # nobody makes a tenth of a stroke
        number = round(number)
    text = _rounded(number, digits)
    return _with_unit(text, name, system) if unit else text


def shown_band(low: float, high: float, name: str, system: System = "metric", digits: int = 2) -> str:
    """A band in words: "40 to 90 µm"; ends of like size have like decimals, "66.0 to 75.7 µm"; like ends once."""
    ends = [shown(end, name, system, digits, unit=False) for end in (low, high)]
    if 0 < high < 2 * low:
        places = max(len(end.partition(".")[2]) for end in ends)
        ends = [f"{float(end):.{places}f}" for end in ends]
    if ends[0] == ends[1]:
        return _with_unit(ends[0], name, system)
    return _with_unit(" to ".join(ends), name, system)


def _with_unit(text: str, name: str, system: System) -> str:
    unit = names()[name].unit(system)
    return f"{text} {unit}".replace(" %", "\N{NARROW NO-BREAK SPACE}%") if unit else text


def _rounded(value: float, digits: int) -> str:
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    value = round(value, places)
    return f"{value:.{max(places, 0)}f}" if places <= 0 else f"{value:.{places}f}".rstrip("0").rstrip(".")


# --- the door --------------------------------------------------------------------------------------------

Gives = str | Mapping[str, Any] | None


def give_all(value: Any, gives: Gives) -> Any:
    """Quantities for a plain result: one name, or a name for each field of a named tuple."""
    from coursekit.sources import Band

    if gives is None:
        return value
    if isinstance(value, Band):
        return Band(*(give_all(v, gives) for v in value))
    if isinstance(gives, str):
        if isinstance(value, tuple) and not hasattr(value, "_fields"):
            return tuple(give_all(v, gives) for v in value)
        return give(value, gives)
    if isinstance(value, (list, tuple)) and not hasattr(value, "_fields"):
        return type(value)(give_all(v, gives) for v in value)
    return value._replace(**{field: give_all(getattr(value, field), name) for field, name in gives.items()
                             if getattr(value, field) is not None})  # fmt: skip


_signature = functools.lru_cache(maxsize=1024)(inspect.signature)


def read_arguments(function: Callable[..., Any], arguments: Mapping[str, Any]) -> dict[str, Any]:
    """Each argument of a public call as SI, by the row of the nomenclature that bears its name."""
    plain: dict[str, Any] = {}
    for argument, value in arguments.items():
        row = names()[argument]
        if value is None and _signature(function).parameters[argument].default is None:
            plain[argument] = None
        elif row.kind in KINDS:
            plain[argument] = read(value, argument)
        elif row.kind == "choice" and row.options:
            plain[argument] = read_choice(value, row.options, argument)
        else:
            plain[argument] = value
    return plain


def public(gives: Gives = None) -> Callable[[Callable[..., Any]], Any]:
    """Make the call that people use of a plain SI function.

    Arguments are read by the row of the nomenclature with their name: unit, kind and range are checked there.
    `gives` names the row of the result, or maps fields of a named tuple to rows. The plain function stays at
    `.si`, for inner loops and for `band`.
    """

    def make(function: Callable[..., Any]) -> Any:
        signature = _signature(function)

        @functools.wraps(function)
        def call(*args: Any, **kwargs: Any) -> Any:
            bound = signature.bind(*args, **kwargs)
            units = dict(bound.arguments)
            bound.arguments.update(read_arguments(function, bound.arguments))
            try:
                result = function(*bound.args, **bound.kwargs)
            except RangeError as error:
                if error.unit is None and isinstance(units.get(error.argument), str):
                    match = NUMBER.match(units[error.argument].strip())
                    error.unit = match[2].strip() if match else None
                raise
            except ValueError as error:
                if isinstance(error, InputError) or "broadcast" not in str(error):
                    raise
                lists = ", ".join(key for key, value in bound.arguments.items()
                                  if isinstance(value, np.ndarray) and value.ndim)  # fmt: skip
                raise InputError(lists, "lists of unequal length do not go together.",
                                 "Give each the same number of values, or only one.") from None  # fmt: skip
            return give_all(result, gives)

        call.si = function  # type: ignore[attr-defined]
        call.gives = gives  # type: ignore[attr-defined]
        return call

    return make
