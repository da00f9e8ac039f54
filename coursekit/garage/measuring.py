"""Smoke test of the fresh air in a room: the function behind the measurement, and its result."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from coursekit.garage.cautions import CLEARED, SHORTEST_WAIT
from coursekit.garage.purge import purge_time
from coursekit.quantities import InputError, Real, Value, public
from coursekit.sources import coefficient

NEVER_SHORTER = (
    "It never shortens what the data sheet or the local code requires. Half an hour is the minimum. "
    "Smoke only shows how the air moves: a wet film keeps giving off solvent after it."
)
LEAST_FACTOR = 1.0  # perfectly stirred air; below it, more fresh air came in than was given


def smoke_test(clear_time: Real, air_changes: Real, visible_smoke: Real) -> dict[str, Any]:
    """Mixing factor of a room from the time until smoke is gone from sight. Source: cdc-purge; hse-clearance."""
    factor = air_changes * clear_time / np.log(1 / visible_smoke)
    if float(np.mean(factor)) < LEAST_FACTOR:
        raise InputError(
            "clear_time",
            "is shorter than perfectly stirred air would take.",
            "Fewer or more air changes than were given, or draughts: check both.",
            kind="order",
        )
    return {"mixing_factor": factor}


class SmokeClearance(NamedTuple):
    """Result of a smoke test: the air changes that reach the worst corner, the mixing factor, and the wait."""

    air_changes: Value
    mixing_factor: Value
    wait: Value
    words: str


@public(gives={"air_changes": "air_changes", "mixing_factor": "plain_factor", "wait": "wait"})
def smoke_clearance(
    clear_time: Real, air_changes: Real, visible_smoke: Real = coefficient("visible_smoke")
) -> SmokeClearance:
    """Time that air-fed protection stays on after the last pass, from a smoke test of your own room.

    clear_time: until no smoke is seen in the worst corner, the air as for spraying
    air_changes: that fan and openings should give
    Gives SmokeClearance: from the smoke's time on to a hundredth, and half an hour at least.
    Holds for the air as it was in the test; it never shortens what a data sheet or a code requires.
    Source: hse-clearance; cdc-purge.
    """
    effective = np.log(1 / np.asarray(visible_smoke, dtype=float)) / clear_time
    wait = np.maximum(np.maximum(purge_time.si(effective, CLEARED, 1.0), clear_time), SHORTEST_WAIT)
    longest = math.ceil(float(np.max(wait)) / 60 - 1e-9)
    return SmokeClearance(
        effective,
        air_changes / effective,
        wait,
        f"Air-fed protection stays on for at least {longest} min after the last pass. {NEVER_SHORTER}",
    )
