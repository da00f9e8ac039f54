"""One measurement of the garage file: what was read, with which gun and paint, and what that tells the belief."""

from __future__ import annotations

import datetime
import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from coursekit.belief import Observation, Print, read_directly
from coursekit.measurements import Estimate, Seen, Way
from coursekit.nomenclature import System, load_data, names
from coursekit.quantities import shown
from coursekit.sources import coefficients


class MadeWith(NamedTuple):
    """The gun and the paint of a measurement: their names where they have one, and what they say, in SI."""

    gun: str = ""
    paint: str = ""
    air_cap: str = ""
    at: Mapping[str, float] = {}

    @classmethod
    def of(cls, gun: Any, paint: Any, named: tuple[bool, bool] = (True, True)) -> MadeWith:
        """Of two records; `named` says whether each is the learner's own, for only then its name counts."""
        known = {**gun.si, **paint.si}
        at = {key: float(known[key]) for key in AT if key in known}
        return cls(gun.name if named[0] else "", paint.name if named[1] else "", gun.air_cap, at)

    def foreign(self, other: MadeWith) -> frozenset[str]:
        """What of another gun and paint is not the same thing: any of gun, cap, tip, paint."""
        gun = bool(self.gun and other.gun and self.gun != other.gun)
        tips = [one.at.get("tip_bore") for one in (self, other)]
        tip = None not in tips and not math.isclose(tips[0], tips[1], rel_tol=0.01)  # type: ignore[arg-type]
        cap = bool(self.air_cap and other.air_cap and self.air_cap != other.air_cap)
        paint = bool(self.paint and other.paint and self.paint != other.paint)
        found = {"gun": gun, "cap": gun or cap, "tip": gun or tip, "paint": paint}
        return frozenset(part for part, differs in found.items() if differs)


NOWHERE = MadeWith()
NAMED = ("gun", "paint", "air_cap")
AT = ("turns", "gun_inlet_pressure", "fan_opening", "tip_bore", "kinematic_viscosity", "density", "volume_solids")


@functools.lru_cache(maxsize=1)
def belongs() -> Mapping[str, str]:
    """What each uncertain number of spraying belongs to: gun, cap, tip, paint, or all of them: a setting."""
    return {key: row["of"] for key, row in load_data("belongs").items()}


@dataclass(frozen=True)
class Entry:
    """One measurement of the file."""

    way: Way
    date: datetime.datetime | datetime.date
    readings: Mapping[str, Any]  # SI
    estimates: Mapping[str, Estimate]
    seen: Seen | None = None  # what a measurement of several coefficients together read
    made_with: MadeWith = NOWHERE

    @property
    def observed(self) -> tuple[Observation, ...]:
        return self.seen.observed if self.seen else ()

    @property
    def contradiction(self) -> str:
        return self.seen.contradiction if self.seen else ""

    @functools.cached_property
    def told(self) -> dict[str, Observation]:
        """What it tells the belief, by what a later one of its kind takes the place of."""
        direct = {key: read_directly(key, found.value, found.spread) for key, found in self.estimates.items()}
        return direct | {f"{self.way.key}, {one.key}": one for one in (*self.observed, *self._delivered)}

    @property
    def _delivered(self) -> tuple[Observation, ...]:
        """A delivery measured at a known setting: the gun is one that gives it there."""
        needed = ("turns", "tip_bore", "kinematic_viscosity", "gun_inlet_pressure", "density")
        found = self.estimates.get("fluid_delivery")
        if found is None or any(key not in self.made_with.at for key in needed):
            return ()
        off = 1 + found.spread
        read = Print(found.value, found.value / off, found.value * off, "cup-test", "measured by you")
        at = tuple(sorted((key, self.made_with.at[key]) for key in needed))
        return (Observation("delivery", "paint in a minute", "spraying.fluid.delivery_at_inlet", at, "", (read,)),)

    def read(self, system: System) -> list[tuple[str, str]]:
        """Label and reading of each thing that was written down, repeats with commas between them."""
        told = []
        for key, value in self.readings.items():
            name = names()[self.way.fields[key].name]
            many = value if isinstance(value, np.ndarray) else ()
            told.append((name.label, ", ".join(shown(float(one), name.key, system) for one in many) or str(value)))
        return told

    def without(self, used: MadeWith) -> frozenset[str]:
        """The numbers that it says nothing of where another gun, cap, tip or paint is used."""
        made = self.made_with
        if "tip_bore" in self.readings:  # what its own form says goes before the record of the gun
            made = made._replace(at={**made.at, "tip_bore": float(np.mean(self.readings["tip_bore"]))})
        differs = made.foreign(used)
        if "gun" in differs:  # nothing of another gun is worth carrying over
            return frozenset(belongs())
        return frozenset(key for key, part in belongs().items() if part in differs or (part == "setting" and differs))

    @property
    def keys(self) -> tuple[str, ...]:
        """The coefficients that it measures."""
        joint = {key for one in self.observed for key in one.keys}
        return tuple(key for key in self.way.gives if key in self.estimates or key in joint)

    def counts(self, used: MadeWith) -> tuple[str, ...]:
        """The coefficients that it measures for that gun and paint."""
        without = self.without(used)
        return tuple(key for key in self.keys if key not in without)


def bears_on(entry: Entry) -> frozenset[str]:
    """The coefficients that anything it tells moves."""
    return frozenset(key for one in entry.told.values() for key in one.keys)


def listed(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def labels(keys: list[str]) -> str:
    return listed([names()[coefficients()[key].name].label for key in keys])
