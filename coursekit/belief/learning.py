"""What was measured is learnt when a number is asked that it bears on, and once for all notebooks."""

from __future__ import annotations

import functools
from collections.abc import Collection, Iterable
from typing import Any

import numpy as np

from coursekit.belief import kept
from coursekit.belief.joint import DRAWS, Belief, shipped
from coursekit.belief.observation import Observation, told
from coursekit.belief.parts import Part

Told = tuple[tuple[Observation, ...], ...]


@functools.lru_cache(maxsize=64)
def learnt(observed: Told, elsewhere: Told = (), without: tuple[str, ...] = ()) -> Belief:
    """The belief after measurements, taken in together, and once however often a file is read.

    Those made `elsewhere`, with another tip, cap or paint, come first and say nothing of the numbers `without`.
    """
    return Waiting(observed, elsewhere, without) if observed or elsewhere else shipped()


@functools.lru_cache(maxsize=64)
def _learnt(observed: Told, elsewhere: Told, without: tuple[str, ...]) -> Belief:
    if not observed:
        return _learnt(elsewhere, (), ()).elsewhere(without) if elsewhere else shipped()
    ties = shipped().ties
    together, before = _each(observed), _each(elsewhere)
    if not any(one.call or one.part in ties for one in (*together, *before)):  # soon learnt
        return _learnt((), elsewhere, without).learn(*together)
    name = kept.name_of((observed, elsewhere, without))
    found = kept.read(name)
    if found is None:
        # All at once: one that is measured again costs what the first did, in whatever order they were made.
        belief = _learnt((), elsewhere, without).learn(*together)
        kept.write(
            name,
            {
                "weights": belief.weights,
                **{f"tied {key}": values for key, values in belief.tied.items()},
                **{f"alone {key}": values for key, values in belief.alone.items()},
                **{f"part {part.name} {key}": part.deviates[key] for part in belief.parts for key in part.deviates},
            },
        )
        return belief
    tied, alone = (
        {key.removeprefix(part): values for key, values in found.items() if key.startswith(part)}
        for part in ("tied ", "alone ")
    )
    parts: dict[str, dict[str, np.ndarray]] = {}
    for field, values in found.items():
        if field.startswith("part "):
            _, name, key = field.split()
            parts.setdefault(name, {})[key] = values
    return Belief(
        tied,
        found["weights"],
        alone,
        together,
        carried=(before, without if elsewhere else ()),
        parts=[Part(deviates) for deviates in parts.values()],
    )


def _each(groups: Told) -> tuple[Observation, ...]:
    return tuple(one for group in groups for one in group)


class Waiting(Belief):
    """The belief after measurements that are learnt when a number is asked that they bear on, and no sooner."""

    def __init__(self, observed: Told, elsewhere: Told, without: tuple[str, ...]) -> None:
        self.asked = observed, elsewhere, without
        self.measured, before = _each(observed), _each(elsewhere)
        self.carried = (before, without if elsewhere else ())
        self._columns, self._bands = {}, {}
        still = {key for one in before if one.call for key in one.keys} - set(without)
        self._ties = {*shipped().ties, *still, *(key for one in self.measured if one.call for key in one.keys)}
        self._alone = {one.part for one in self.measured if not one.call}
        self._alone |= {one.part for one in before if not one.call} - set(without)

    def __getattr__(self, name: str) -> Any:
        """All of it is learnt when its draws are asked for."""
        if name not in ("tied", "weights", "alone", "rows", "parts"):
            raise AttributeError(name)
        whole = _learnt(*self.asked)
        self.tied, self.weights, self.alone, self.rows = whole.tied, whole.weights, whole.alone, whole.rows
        self.parts = whole.parts
        return self.__dict__[name]

    @property
    def draws(self) -> int:
        return DRAWS

    @property
    def ties(self) -> Collection[str]:
        return self._ties

    def is_alone(self, key: str) -> bool:
        return key in self._alone and key not in self._ties

    def bearing(self, keys: Iterable[str]) -> Belief:
        """After those measurements only that hang together with these numbers."""
        observed, elsewhere, without = self.asked
        near = set(keys)
        together = [
            set(shipped().tied),
            *(set(part.deviates) for part in shipped().parts),
            *({one.tells, *one.keys} for one in told().values()),
            *(set(one.keys) for one in (*self.measured, *self.carried[0])),
        ]
        while grown := [some for some in together if near & some and not some <= near]:
            near.update(*grown)

        here, there = (
            tuple(filter(None, (tuple(one for one in group if near & set(one.keys)) for group in groups)))
            for groups in (observed, elsewhere)
        )
        return _learnt(here, there, without if there else ())
