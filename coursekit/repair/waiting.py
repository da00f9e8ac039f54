"""How long a film has to be left before what follows, in a garage: the waits of a plan before hours stretch them.

By a forecast each goes with the panel's temperature in the hours in which it falls, by the rule of cure at its slow
end. That rule knows no humidity: nothing published was found that says how two-pack films go with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from coursekit.repair.entry import Entry, FillEntry, SandEntry, SprayEntry
from coursekit.repair.forecast import DAY, Weather, time_needed
from coursekit.repair.recipe import Recipe
from coursekit.repair.steps import Spray, Wait

BY_FORECAST = "; by the forecast of those hours "
ROUND = 300.0  # s to which a wait is rounded up
FLASHED = 2.5  # times the base's time to recoat before clear closes it (assumed)
HARDENED = 1.2  # times the clear's time to sand before anything touches it (assumed)


def rounded(seconds: float) -> float:
    """A wait as a plan writes it, s."""
    return math.ceil((seconds + 60) / ROUND) * ROUND


def whole(seconds: float) -> int:
    """Minutes of a wait as people say it, rounded up: tenths of an hour from an hour and a half on."""
    minutes = max(math.ceil(seconds / 60 - 1e-6), 0)
    return minutes if minutes < 90 else math.ceil(minutes / 6) * 6


def written(minutes: float) -> str:
    """A wait as a recipe writes it, in the form in which every time is told: "35 min", "3.2 h"."""
    return f"{minutes:g} min" if minutes < 90 else f"{minutes / 60:g} h"


class Asked(NamedTuple):
    """What a film needs: a time of its sheet, so many times, at least so long; and to how many seconds it is rounded.

    room  s that are waited beyond it before it is rounded up; own  the temperature of another garage (K), or None
    """

    weather: Weather
    sheet: float
    times: float = 1.0
    least: float = 0.0
    room: float = 60.0
    grain: float = ROUND
    own: float | None = None

    def after(self, laid: float) -> float:
        """How long it is left when it is laid at that time of the week, s; for ever where it hardly cures."""
        found = [self.weather.needed(laid - self.weather.begins, self.sheet)]
        if self.own is not None and self.weather.forecast is None:
            recipe = self.weather.recipe
            there = replace(recipe, garage={**recipe.garage, "temperature": self.own})
            found.append(time_needed(there, self.sheet))
        longest = max(math.inf if time is None else max(float(time.high), self.sheet) for time in found)
        needed = max(self.times * longest, self.least) + self.room
        rounds = self.grain and math.isfinite(needed)
        return math.ceil(round(needed / self.grain, 9)) * self.grain if rounds else needed

    @property
    def longest(self) -> float:
        """How long it is left at the hour of the day that makes it longest, s."""
        if self.weather.forecast is None:
            return self.after(0.0)
        return max(self.after(hour * DAY / 24) for hour in range(24))

    def told(self, seconds: float) -> str:
        """A wait beside the time of the sheet, where a forecast speaks."""
        if self.weather.forecast is None:
            return ""
        times = f"{self.times:g} times " if self.times != 1 else ""
        left, sheet = (written(whole(time)) for time in (seconds, self.sheet))
        return f"{BY_FORECAST}{left}, where its sheet says {times}{sheet} at 20 °C"


def reason(why: str, told: str) -> str:
    """The reason of a wait, with what the forecast makes of it."""
    return why.split(BY_FORECAST)[0] + told


def dried(recipe: Recipe, material: str, what: str) -> float:
    """How long (s) a film takes in this garage, the slow end; never sooner than its sheet says at 20 °C.

    With a forecast at the hour at which it takes longest.
    """
    sheet = float(recipe.materials[material][what])
    return Asked(Weather(recipe), sheet, room=0.0, grain=0.0).longest


def filler_sets(recipe: Recipe, own: float) -> float:
    """How long filler takes where it is spread: in the own garage (K), even when the rest is done in a booth, s."""
    return Asked(
        Weather(recipe), float(recipe.materials["filler"]["dry_to_sand"]), room=0.0, grain=0.0, own=own
    ).longest


def least(played: Iterable[Entry], recipe: Recipe, own: float) -> Mapping[int, Asked | None]:
    """Each wait by its number and what it has to be; None for one that no film needs.

    own  temperature of the garage in which filler is spread, K
    """
    found: dict[int, Asked | None] = {}
    waits: list[int] = []
    film, weather = "", Weather(recipe)
    for entry in played:
        if isinstance(entry.step, Wait):
            waits.append(entry.step.number)
        elif isinstance(entry, (SprayEntry, FillEntry, SandEntry)):
            adds = not isinstance(entry, SandEntry)
            found |= _shared(waits, _needed(weather, own, film, entry.step.brings if adds else ""))
            waits = []
            film = entry.step.brings if adds else ""
    return found | _shared(waits, _needed(weather, own, film, ""))


def flashes(played: Iterable[Entry], recipe: Recipe, usual: Mapping[str, float]) -> Mapping[int, Asked]:
    """Steps of several coats by their numbers, and what the flash between them has to be where a forecast speaks.

    usual  material → shortest flash of a plan, s
    """
    weather = Weather(recipe)
    if weather.forecast is None:
        return {}
    return {
        step.number: Asked(
            weather,
            float(recipe.materials[step.material]["dry_to_recoat"]),
            least=usual.get(step.material, 0.0),
            room=0.0,
            grain=60.0,
        )
        for step in (entry.step for entry in played)
        if isinstance(step, Spray) and step.coats > 1
    }


def _shared(waits: list[int], asked: Asked | None) -> dict[int, Asked | None]:
    """The first of several waits is long enough for all."""
    return {number: None if place else asked for place, number in enumerate(waits)}


def _needed(weather: Weather, own: float, film: str, following: str) -> Asked | None:
    """How long a film is left before another, or before paper where none follows."""
    if not film:
        return None
    row = weather.recipe.materials[film]
    if film == "filler":
        return Asked(weather, float(row["dry_to_sand"]), own=own)
    recoat, sand = float(row["dry_to_recoat"]), float(row["dry_to_sand"])
    if following == film:  # the next coat of the same film
        return Asked(weather, recoat, room=0.0, grain=60.0)
    if following:
        return Asked(weather, recoat, FLASHED if film == "base" else 1.0)
    return Asked(weather, sand, HARDENED if film == "clear" else 1.0)
