"""What a flow cup and a clock say of a mix: the function behind a measurement."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit.constants import GAS
from coursekit.quantities import InputError, Real

LEAST_APART = 8.0  # K; nearer together the two times say nothing of warmth


def cup_doubling(doubled: Real, temperature: Real, reference: Real, reference_temperature: Real) -> dict[str, Any]:
    """How pot life and cure answer to warmth, from two pot lives at two temperatures.

    Cure is taken to answer as the pot life does: it is the same reaction. Source: pot-life-doubling; ps-396.
    """
    apart = temperature - reference_temperature
    if abs(float(np.mean(apart))) < LEAST_APART:
        raise InputError(
            "temperature",
            "is too near that of the other pot life.",
            "Try again when it is 10 °C (18 °F) warmer or colder.",
            kind="impossible",
        )
    times = reference / doubled
    energy = GAS * np.log(times) / (1 / reference_temperature - 1 / temperature)
    return {"pot_life_factor": times ** (10 / apart), "activation_energy": energy}
