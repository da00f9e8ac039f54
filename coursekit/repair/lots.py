"""Filler in lots: more than one sets before it is spread, as its pot life is short."""

from __future__ import annotations

import math

from coursekit.repair.entry import FillEntry
from coursekit.repair.forecast import Weather
from coursekit.repair.rules import rule


def lots(weather: Weather, entry: FillEntry) -> int:
    """How many lots are mixed, one after the other: the short end of the pot life at that hour counts.

    Where the rule of pot life does not reach, what the sheet says is taken.
    """
    life = weather.pot_life(entry.step.brings, entry.began)
    lives = float(weather.recipe.materials[entry.step.brings]["pot_life"]) if life is None else float(life.low)
    return max(1, math.ceil(entry.used.time / (rule("lots.filler").value * lives) - 1e-9))


def lots_words(weather: Weather, entry: FillEntry) -> str:
    """The lots in words: "in 3 lots, one after the other"."""
    count = lots(weather, entry)
    return f"in {count} lots, one after the other" if count > 1 else "in one lot"
