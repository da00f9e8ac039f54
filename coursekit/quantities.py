"""Numbers with units at the door: `public` makes the call that people use of a plain SI function.

Inside the project every number is a plain float or array in SI; the plain function stays at `.si`. What is given
is read by `coursekit.reading`, what comes back is a pint quantity in the unit the nomenclature shows.
"""

from __future__ import annotations

import difflib
import functools
import inspect
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Generic, ParamSpec, Protocol, TypeVar, overload

import numpy as np
from numpy.typing import NDArray

from coursekit import describing
from coursekit.errors import InputError, RangeError, from_si
from coursekit.nomenclature import KINDS, System, names
from coursekit.reading import LONGEST_TEXT, in_range, one_value, read, read_choice, read_text
from coursekit.records import Record, spread
from coursekit.registry import Quantity, quantity
from coursekit.results import result
from coursekit.showing import coefficient_words, from_unit, in_unit, shown, shown_band
from coursekit.uncertain import Band
from coursekit.unit_grammar import NUMBER

__all__ = [
    "LONGEST_TEXT",
    "InputError",
    "RangeError",
    "Real",
    "Scalar",
    "System",
    "Value",
    "Values",
    "Written",
    "coefficient_words",
    "from_unit",
    "give",
    "in_range",
    "in_unit",
    "one_value",
    "public",
    "read",
    "read_arguments",
    "read_choice",
    "read_text",
    "shown",
    "shown_band",
]

# What an argument of a call is. The plain functions are checked as arithmetic on floats and arrays in SI; whoever
# calls one writes text, a quantity, a number or a list. A type checker outside this package takes the first.
AT_THE_DOOR = TYPE_CHECKING  # pyproject.toml tells mypy that it is false while it checks this package
Written = float | str | Quantity  # as a person writes one value
if AT_THE_DOOR:
    Real = Written | NDArray[Any] | Sequence[Written]
    Scalar = Written  # one value: the call takes no list here
    Values = NDArray[Any] | Sequence[Written | Sequence[Written]]  # one value for each part, level or reading
else:
    Real = float | NDArray[np.float64]
    Scalar = float
    Values = NDArray[np.float64] | Sequence[float]
# What a call finds: from floats a float, from arrays an array, in a result of the door a quantity. No type says that
# (numpy's own functions give Any too), but a field that is always a band, a text or a tuple says so.
Value = Any


# --- giving ----------------------------------------------------------------------------------------------


def give(value: object, name: str, system: System = "metric") -> Any:
    """An SI number as a pint quantity, in the unit the nomenclature shows for `name`."""
    row = names()[name]
    if row.kind not in KINDS or value is None:
        return value
    unit = row.unit(system)
    if row.kind in ("fraction", "number"):
        unit = ""
    return quantity(from_si(value, unit), unit)


# --- the door --------------------------------------------------------------------------------------------

Gives = str | Mapping[str, Any] | None


def give_all(value: Any, gives: Gives, first: tuple[str, ...] = ()) -> Any:
    """Quantities for a plain result: one name, or a name for each field of a named tuple.

    `first` is what such a tuple prints; empty for all of it.
    """
    if gives is None:
        if isinstance(value, list | tuple):
            return result(value, {}) if hasattr(value, "_fields") else type(value)(give_all(v, None) for v in value)
        return value
    if isinstance(value, Band):
        return result(Band(*(give_all(v, gives) for v in value)), dict.fromkeys(Band._fields, gives))
    if isinstance(gives, str):
        if isinstance(value, tuple) and not hasattr(value, "_fields"):
            return tuple(give_all(v, gives) for v in value)
        return give(value, gives)
    if isinstance(value, (list, tuple)) and not hasattr(value, "_fields"):
        return type(value)(give_all(v, gives) for v in value)
    return result(
        value._replace(
            **{
                field: give_all(getattr(value, field), name)
                for field, name in gives.items()
                if getattr(value, field) is not None
            }
        ),
        gives,
        first,
    )


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


_signature = functools.lru_cache(maxsize=1024)(inspect.signature)
P = ParamSpec("P")
S = TypeVar("S", covariant=True)
R = TypeVar("R", covariant=True)


class Public(Generic[P, S, R]):
    """A call that people use: it reads its arguments by the nomenclature and gives quantities.

    `.si` is the plain SI function, for inner loops and for `band`; `.gives` names the row of the result, or maps
    the fields of a named tuple to rows; `.first` names those it prints when they are too many to print all.
    """

    __name__: str

    def __init__(self, function: Callable[P, S], gives: Gives, first: tuple[str, ...] = ()) -> None:
        functools.update_wrapper(self, function, [a for a in functools.WRAPPER_ASSIGNMENTS if a != "__doc__"])
        self.si, self.gives, self.first = function, gives, first

    @property
    def __doc__(self) -> str:  # type: ignore[override]
        """Its arguments as the nomenclature has them, and an example that is run."""
        return describing.text(self)

    @overload
    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R: ...
    # A record stands for the arguments it speaks of: the rest is checked when the call is made.
    @overload
    def __call__(self, *args: Any, gun: Record, **rest: Any) -> R: ...
    @overload
    def __call__(self, *args: Any, paint: Record, **rest: Any) -> R: ...
    @overload
    def __call__(self, *args: Any, hand: Record, **rest: Any) -> R: ...
    @overload
    def __call__(self, *args: Any, panel: Record, **rest: Any) -> R: ...
    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        bound = self.bound(args, kwargs)
        given = dict(bound.arguments)
        bound.arguments.update(read_arguments(self.si, given))
        try:
            found = self.si(*bound.args, **bound.kwargs)
        except RangeError as error:
            text = given.get(error.argument)
            match = NUMBER.match(text.strip()) if isinstance(text, str) and error.figures["unit"] is None else None
            raise (error.in_unit(match[2].strip()) if match else error) from None
        except ValueError as error:
            if isinstance(error, InputError) or _go_together(bound.arguments):
                raise
            raise InputError(
                ", ".join(_lists(bound.arguments)),
                "Lists of unequal length do not go together.",
                "Give each the same number of values, or only one.",
                kind="list",
            ) from None
        return give_all(found, self.gives, self.first)

    def __get__(self, instance: object, owner: type | None = None) -> Public[P, S, R]:
        return self  # as a function of a module has one: help() and the list of a module then show the call

    def __reduce__(self) -> str:  # it is found again by its name, as a function is
        return self.__name__

    def __repr__(self) -> str:
        arguments = ", ".join(_signature(self.si).parameters)
        return f"{self.path}({arguments}) → {self._result}"

    @property
    def path(self) -> str:
        """Where to find it, without the package's name: "film.dry_film"."""
        _, room, *inner = self.__module__.split(".")
        shown_there = getattr(sys.modules.get(f"coursekit.{room}"), self.__name__, None) is self
        return ".".join([room, *(() if shown_there else inner), self.__name__])

    @property
    def _result(self) -> str:
        kind = _signature(self.si).return_annotation
        return self.gives if isinstance(self.gives, str) else str(getattr(kind, "__name__", kind))

    def bound(self, args: tuple[Any, ...], kwargs: dict[str, Any]) -> inspect.BoundArguments:
        """Arguments by their names, records taken apart; InputError for what the call does not take."""
        if any(isinstance(value, Record) for value in kwargs.values()):
            known = list(_signature(self.si).parameters)
            kwargs = spread(kwargs, known, known[: len(args)], self.path)
        try:
            return _signature(self.si).bind(*args, **kwargs)
        except TypeError:
            raise self._misfit(args, kwargs) from None

    def _misfit(self, args: tuple[Any, ...], kwargs: dict[str, Any]) -> InputError:
        """What is wrong with arguments that the signature does not take."""
        parameters = _signature(self.si).parameters
        known, by_place = list(parameters), [p.name for p in parameters.values() if p.kind is not p.KEYWORD_ONLY]
        call = f"{self.path}({', '.join(known)})"
        for argument in kwargs:
            if argument not in parameters:
                free = [name for name in known[min(len(args), len(by_place)) :] if name not in kwargs]
                close = _nearest(argument, free) or _nearest(argument, known)
                remedy = f"Did you mean {close}?" if close else f"Write {call}."
                return InputError(
                    argument, f"is not an argument of {self.path}.", remedy, kind="argument", figures={"near": close}
                )
        if len(args) > len(by_place):
            return InputError(
                self.path,
                f"takes {len(by_place)} arguments by their place, not {len(args)}.",
                f"Write {call}.",
                kind="argument",
            )
        for argument in by_place[: len(args)]:
            if argument in kwargs:
                return InputError(
                    argument,
                    f"is given twice to {self.path}.",
                    "Give it by its place or by its name.",
                    kind="argument",
                )
        needed = [p.name for p in parameters.values() if p.default is p.empty]
        missing = next(n for n in needed if n not in kwargs and n not in by_place[: len(args)])
        row = names()[missing]
        want = row.wanted if row.kind in KINDS else None
        hint = f"Write {want.words} such as {want.example}." if want else f"Write {call}."
        return InputError(missing, f"is not given to {self.path}.", hint, kind="missing")


def _nearest(word: str, options: list[str]) -> str:
    """The option that a person most likely meant, a part of it counted in: "wet" for "wet_film"."""
    close = difflib.get_close_matches(word, options, 1, 0.6)
    parts = [option for option in options if word and word in option.split("_")]
    return close[0] if close else parts[0] if len(parts) == 1 else ""


def _lists(arguments: Mapping[str, Any]) -> list[str]:
    return [key for key, value in arguments.items() if isinstance(value, np.ndarray) and value.ndim]


def _go_together(arguments: Mapping[str, Any]) -> bool:
    """Whether the arrays among the arguments have shapes that broadcast."""
    try:
        np.broadcast_shapes(*(arguments[key].shape for key in _lists(arguments)))
    except ValueError:
        return False
    return True


class _OfOneRow(Protocol):
    """`public` with a single row: a number becomes a quantity, anything else keeps its type."""

    @overload
    def __call__(self, function: Callable[P, NDArray[np.float64]]) -> Public[P, Value, Quantity]: ...
    @overload
    def __call__(self, function: Callable[P, Real]) -> Public[P, Value, Quantity]: ...
    @overload
    def __call__(self, function: Callable[P, R]) -> Public[P, R, R]: ...


class _OfItsFields(Protocol):
    def __call__(self, function: Callable[P, R]) -> Public[P, R, R]: ...


@overload
def public(gives: str) -> _OfOneRow: ...
@overload
def public(gives: Mapping[str, Any] | None = None, first: tuple[str, ...] = ()) -> _OfItsFields: ...
def public(gives: Gives = None, first: tuple[str, ...] = ()) -> Any:
    """Make the call that people use of a plain SI function.

    Arguments are read by the row of the nomenclature with their name: unit, kind and range are checked there.
    `gives` names the row of the result, or maps fields of a named tuple to rows. `first` names what a result of many
    fields prints, in that order: "dry_film", or "account.mist" for a field within a field.
    """
    return lambda function: Public(function, gives, first)
