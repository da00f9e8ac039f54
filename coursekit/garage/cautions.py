"""Cautions and published air samples, as data for lessons and the job sheet."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coursekit.garage.purge import purge_time
from coursekit.nomenclature import load_data
from coursekit.quantities import Real, Value, give, public, read

SHORTEST_WAIT = 30 * 60.0  # s, in a workshop
CLEARED = 0.01  # share of the vapour left when a room counts as cleared
SHORT_LIMIT = 70e-9  # kg/m³ as NCO, 15 minutes, UK


class Caution(NamedTuple):
    """One caution and where it stands."""

    text: str
    source: str


@public()
def cautions(topic: str) -> tuple[Caution, ...]:
    """The cautions of a topic, in the order in which they are shown.

    Gives a tuple of Caution. Raises InputError for another word.
    Holds beside the data sheets and local rules, never in their place. Source: usual-cautions; hse-rpe.
    """
    return tuple(Caution(**row) for row in load_data("cautions")[topic.replace(" ", "-")])


class AirSample(NamedTuple):
    """A published band of isocyanate beside painters, as NCO; times the UK limit for 15 minutes."""

    what: str
    level: Value
    times_limit: Value
    over_limit: Value
    source: str


@public(gives=None)
def isocyanate_samples() -> tuple[AirSample, ...]:
    """Published levels of isocyanate beside painters.

    Gives a tuple of AirSample; a level or a share that was not published is None. Raises nothing.
    Holds for the shops that were sampled; a garage without a booth has no samples. Source: liu-2006;
    reeb-whitaker-2012; hse-rpe; eh40.
    """
    found = []
    for row in load_data("isocyanate_air").values():
        level = float(read(row["level"], "airborne_mass")) if "level" in row else None
        found.append(
            AirSample(
                row["what"],
                None if level is None else give(level, "isocyanate_level"),
                None if level is None else give(level / SHORT_LIMIT, "limits_reached"),
                give(row.get("over_short_limit"), "remaining"),
                row["source"],
            )
        )
    return tuple(found)


class ReEntry(NamedTuple):
    """How long air-fed protection stays on after the last pass."""

    wait: Value
    purge: Value
    words: str


@public(gives={"wait": "wait", "purge": "wait"})
def re_entry(air_changes: Real, mixing_factor: Real) -> ReEntry:
    """Time that air-fed protection stays on after the last pass: the longer of purging to 1 % and 30 minutes.

    air_changes: per hour, as a plain number or "6 /h"
    mixing_factor: 10 for dead corners; there is no default
    Gives ReEntry.
    Holds for mist and vapour that have stopped coming; a wet film still gives off solvent. Source: hse-clearance;
    cdc-purge.
    """
    purge = purge_time.si(air_changes, CLEARED, mixing_factor)
    wait = np.maximum(purge, SHORTEST_WAIT)
    return ReEntry(
        wait,
        purge + 0 * wait,
        f"For at least {math.ceil(float(np.max(wait)) / 60 - 1e-9)} min after the last pass nobody is in "
        "the room without air-fed protection. A wet film goes on giving off solvent after that; a "
        "measured clearance with smoke shows the true time.",
    )
