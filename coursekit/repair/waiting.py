"""How long a film has to be left before what follows, in a garage: the waits of a plan before hours stretch them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from coursekit.repair.entry import Entry, FillEntry, SandEntry, SprayEntry
from coursekit.repair.readiness import time_needed
from coursekit.repair.recipe import Recipe
from coursekit.repair.steps import Wait

ROUND = 300.0  # s to which a wait is rounded up
BY_SHEET = 1.6  # times the sheet's time where a forecast changes the day (assumed)
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


def dried(recipe: Recipe, material: str, what: str) -> float:
    """How long (s) a film takes in this garage, the slow end; never sooner than its sheet says at 20 °C."""
    sheet = float(recipe.materials[material][what])
    needed = time_needed(recipe, sheet) if recipe.forecast is None else None
    return max(float(needed.high), sheet) if needed is not None else BY_SHEET * sheet


def filler_sets(recipe: Recipe, own: float) -> float:
    """How long filler takes where it is spread: in the own garage (K), even when the rest is done in a booth, s."""
    sheet = float(recipe.materials["filler"]["dry_to_sand"])
    there = replace(recipe, garage={**recipe.garage, "temperature": own})
    times = [time_needed(there, sheet), time_needed(recipe, sheet)]
    return max(sheet, *(float(time.high) for time in times if time is not None))


def least(played: Iterable[Entry], recipe: Recipe, own: float) -> Mapping[int, float]:
    """Each wait by its number and how long it has to be, s; nothing for one that no film needs.

    own  temperature of the garage in which filler is spread, K
    """
    found: dict[int, float] = {}
    waits: list[int] = []
    film = ""
    for entry in played:
        if isinstance(entry.step, Wait):
            waits.append(entry.step.number)
        elif isinstance(entry, (SprayEntry, FillEntry, SandEntry)):
            adds = not isinstance(entry, SandEntry)
            found |= _shared(waits, _needed(recipe, own, film, entry.step.brings if adds else ""))
            waits = []
            film = entry.step.brings if adds else ""
    return found | _shared(waits, _needed(recipe, own, film, ""))


def _shared(waits: list[int], seconds: float) -> dict[int, float]:
    """The first of several waits is long enough for all."""
    return {number: 0.0 if place else seconds for place, number in enumerate(waits)}


def _needed(recipe: Recipe, own: float, film: str, following: str) -> float:
    """How long a film is left before another, or before paper where none follows, s."""
    if not film:
        return 0.0
    if film == "filler":
        return rounded(filler_sets(recipe, own))
    if following == film:  # the next coat of the same film
        return math.ceil(dried(recipe, film, "dry_to_recoat") / 60) * 60.0
    if following:
        return rounded((FLASHED if film == "base" else 1.0) * dried(recipe, film, "dry_to_recoat"))
    return rounded((HARDENED if film == "clear" else 1.0) * dried(recipe, film, "dry_to_sand"))
