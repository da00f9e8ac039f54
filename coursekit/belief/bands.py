"""The band of any call: its uncertain arguments are drawn together, and it is run once on all draws."""

from __future__ import annotations

import inspect
import typing
from collections.abc import Mapping
from typing import Any

import numpy as np

from coursekit import quantities
from coursekit.belief.joint import DRAWS, Belief, quantiles, shipped
from coursekit.errors import InputError
from coursekit.quantities import Public
from coursekit.uncertain import Band, Coefficient


def band(call: Any, *args: Any, draws: int | None = None, belief: Belief | None = None, **kwargs: Any) -> Any:
    """A public call's result as a Band of quantities, over all that its uncertain arguments may be together.

    Every argument that is a Coefficient – by default, or because you pass one – is drawn; what you give as a plain
    quantity is taken as certain. A call that gives a named tuple gives one of Bands. `draws` are fewer draws that
    stand for all; `belief` is the learner's own, which a coefficient of theirs brings along.
    """
    if not isinstance(call, Public):
        raise InputError(
            "call",
            f"{call!r:.60} is not a call of this course.",
            "Give one, such as film.dry_film.",
            kind="other type",
        )
    if not (belief is None or isinstance(belief, Belief)):
        raise InputError("belief", "is none.", "Give what measured.load().belief gives.", kind="other type")
    if draws is not None and not (type(draws) is int and 1 <= draws <= DRAWS):
        raise InputError("draws", f"must be a whole number from 1 to {DRAWS}.", "Leave it out for all.", kind="count")
    bound = call.bound(args, kwargs)
    bound.arguments.update(quantities.read_arguments(call.si, bound.arguments))
    if _bands_of_its_own(call):
        for name, parameter in bound.signature.parameters.items():
            if belief and name not in bound.arguments and isinstance(parameter.default, Coefficient):
                bound.arguments[name] = belief.coefficient(parameter.default.key)
        found = call.si(*bound.args, **bound.kwargs)
    else:
        found = band_si(call, *bound.args, draws=draws, belief=belief, **bound.kwargs)
    return quantities.give_all(found, call.gives, call.first)


def _bands_of_its_own(call: Public[..., Any, Any]) -> bool:
    """Whether a call draws its uncertain numbers itself: a field of what it gives is a band."""
    given = typing.get_type_hints(call.si)["return"]
    [given] = typing.get_args(given)[:1] or [given]  # of a list
    return isinstance(given, type) and Band in typing.get_type_hints(given).values()


def band_si(call: Any, *args: Any, draws: int | None = None, belief: Belief | None = None, **kwargs: Any) -> Any:
    """`band` of what is SI already, in SI: for benches, which read each control once. Takes a plain function too."""
    function = getattr(call, "si", call)
    bound = inspect.signature(function).bind(*args, **kwargs)
    bound.apply_defaults()
    asked = [value.key for value in bound.arguments.values() if isinstance(value, Coefficient)]
    whole = belief_of(bound.arguments, belief).bearing(asked)
    chosen = whole if draws is None else whole.thinned(draws)
    depth = max((np.ndim(v) for v in bound.arguments.values() if isinstance(v, np.ndarray)), default=0)
    for name, value in bound.arguments.items():
        if isinstance(value, Coefficient):
            bound.arguments[name] = chosen.column(value).reshape((chosen.draws,) + (1,) * depth)
    return _bands(function(*bound.args, **bound.kwargs), depth, chosen.weights)


def belief_of(numbers: Mapping[str, Any], belief: Belief | None = None) -> Belief:
    """The belief that is given, or that one of the numbers brings along, or the course's own."""
    known: set[Any] = {value.belief for value in numbers.values() if isinstance(value, Coefficient)} | {belief}
    known.discard(None)
    if len(known) > 1:  # one of them would be drawn as if what it was measured by were not known
        raise InputError(
            "belief", "is not one: numbers of two beliefs.", "Take them all from one garage file.", kind="together"
        )
    found: Belief = known.pop() if known else shipped()
    return found


def drawn(numbers: Mapping[str, Any], draws: int, belief: Belief | None = None) -> dict[str, Any]:
    """(draws,) values of each coefficient among some numbers, draws of equal weight; the others as they are."""
    whole = belief_of(numbers, belief)
    if belief is None:  # only what bears on these numbers is learnt for them
        whole = whole.bearing([value.key for value in numbers.values() if isinstance(value, Coefficient)])
    chosen = whole.thinned(draws)
    return {
        name: chosen.column(value) if isinstance(value, Coefficient) else value for name, value in numbers.items()
    }


def _bands(value: Any, depth: int, weights: np.ndarray) -> Any:
    """Bands over the axis of draws, which stands before the `depth` axes that a person gave."""
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        return type(value)(*(_bands(v, depth, weights) for v in value))
    if isinstance(value, (list, tuple)):
        return type(value)(_bands(v, depth, weights) for v in value)
    if isinstance(value, (float, np.ndarray, np.floating)):
        if np.ndim(value) <= depth:
            same: Any = float(value) if np.ndim(value) == 0 else value
            return Band(same, same, same)
        return quantiles(np.asarray(value), weights)
    return value
