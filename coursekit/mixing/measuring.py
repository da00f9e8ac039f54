"""What a flow cup and a clock say of a mix: the function behind a measurement."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit.quantities import InputError

LEAST_APART = 8.0  # K; nearer together the two times say nothing of warmth


def cup_doubling(doubled: Any, temperature: Any, reference: Any, reference_temperature: Any) -> dict[str, Any]:
    """Fall of pot life per 10 K, from two pot lives at two temperatures. Source: pot-life-doubling."""
    apart = temperature - reference_temperature
    if abs(float(np.mean(apart))) < LEAST_APART:
        raise InputError("temperature", "is too near that of the other pot life.",
                         "Try again when it is 10 °C (18 °F) warmer or colder.")  # fmt: skip
    return {"pot_life_factor": (reference / doubled) ** (10 / apart)}
