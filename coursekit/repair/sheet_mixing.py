"""The mixing tables of the job sheet: fill lines, heights in the learner's own cup, and running weights."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from coursekit.figure import Figure
from coursekit.mixing.batches import batch
from coursekit.nomenclature import System
from coursekit.repair.entry import SprayEntry
from coursekit.repair.forecast import Weather
from coursekit.repair.playing import Replay
from coursekit.repair.sheet_gun import densities_of, mix_ratio
from coursekit.repair.sheet_shopping import part_names
from coursekit.repair.words import band_words

NO_CUP = (
    "For heights in your own cup write [cup] into the recipe: bottom, top and height, measured inside. Else "
    "mark the lines on a cup with water of that volume."
)

TIMES = "Mixed at ______, use by ______.".replace(" ", "\N{NO-BREAK SPACE}")  # written in by hand


class Mix(NamedTuple):
    """One mix: its title, the heads and rows of its parts, and a note on its life."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str


def mixes(replay: Replay, system: System) -> Iterator[Mix]:
    """The mix of each spraying step."""
    weather = Weather(replay.recipe)
    for entry in replay:
        if isinstance(entry, SprayEntry):
            yield _mix(replay, entry, weather, system)


def _mix(replay: Replay, entry: SprayEntry, weather: Weather, system: System) -> Mix:
    recipe, step = replay.recipe, entry.step
    ratio, total = mix_ratio(recipe, step), entry.used.mixed
    poured = batch.si(ratio, total, densities_of(recipe, step))
    head: tuple[str, ...] = ("Part", "Pour up to", "Scale shows")
    rows: list[tuple[str, ...]] = [
        (name, f"{Figure(line, 'part_volume', system)}", f"{Figure(weight, 'part_mass', system)}")
        for name, line, weight in zip(
            part_names(recipe, step), poured.fill_lines, poured.running_weights, strict=True
        )
    ]
    if recipe.cup is not None:
        head = (*head[:2], "In your cup", head[2])
        heights = [cup_height(recipe.cup, float(line)) for line in poured.fill_lines]
        rows = [
            (
                *row[:2],
                "does not fit: mix in lots" if height is None else f"{Figure(height, 'cup_size', system):2} high",
                row[2],
            )
            for row, height in zip(rows, heights, strict=True)
        ]
    life = weather.pot_life(step.material, entry.began)
    lives = f"Pot life {band_words(life)}. {TIMES}" if life is not None else "The data sheet says the pot life."
    whole, left = f"{Figure(total, 'paint_volume', system)}", f"{Figure(step.left, 'paint_volume', system):2}"
    return Mix(
        f"Step {step.number}: {step.material} {ratio.text} by volume, {whole}",
        head,
        tuple(rows),
        f"{left} of it are for cup, gun and strainer. {lives}",
    )


def cup_height(cup: Mapping[str, Any], volume: float) -> float | None:
    """How high (m) a volume stands in a round cup that widens evenly; None when it does not fit."""
    bottom, height = cup["bottom"] / 2, cup["height"]
    widens = ((cup["top"] or cup["bottom"]) / 2 - bottom) / height
    cube = bottom**3 + 3 * volume * widens / math.pi
    if cube <= 0:
        return None  # a cup that narrows is full before
    radius = math.cbrt(cube)  # at the level
    level = 3 * volume / math.pi / (radius**2 + radius * bottom + bottom**2)
    return level if level <= height else None
