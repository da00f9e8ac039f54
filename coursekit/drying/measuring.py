"""What a thermometer on the panel and a card on a scale say: the functions behind measurements."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit.drying.evaporation import FASTEST_AIR, SLOWEST_AIR, flash
from coursekit.measurements import difference
from coursekit.quantities import InputError, Real
from coursekit.substances import read_solvent

LEAST_CHANGE = 4.0  # K; less drowns in the thermometer
MOST_LEFT, LEAST_LEFT = 0.6, 0.02  # share of the solvent on the card where the first stage is computed
REFERENCE_SPEED = 1e-3  # m/s


def panel_lag(panel_before: Real, panel_after: Real, air: Real, time: Real) -> dict[str, Any]:
    """Lag of a panel from how far it has followed the air. Source: derived-here, first-order lag."""
    if abs(float(np.mean(air - panel_before))) < LEAST_CHANGE:
        raise InputError(
            "air",
            "is too near the panel's first temperature.",
            "Warm or cool the air by 5 °C (9 °F) at least, then time it.",
            kind="impossible",
        )
    still = (air - panel_after) / (air - panel_before)
    if not 0.02 < float(np.mean(still)) < 0.98:
        raise InputError(
            "panel_after",
            "has not moved towards the air, or has reached it.",
            "Read it when about half of the difference is made up.",
            kind="impossible",
        )
    return {"panel_lag": time / -np.log(np.clip(still, 0.01, 0.99))}


def flash_card(
    solvent: str,
    card_before: Real,
    card_wet: Real,
    card_after: Real,
    card_area: Real,
    mass_solids: Real,
    temperature: Real,
    air_speed: Real,
    time: Real,
) -> dict[str, Any]:
    """Transfer speed at the air of the published test, from the weight a wet card loses. Source: mackay-2014."""
    start = difference(card_wet, card_before, "card_wet", "more than card_before") * (1 - mass_solids)
    gone = difference(card_wet, card_after, "card_after", "less than card_wet")
    left = 1 - gone / start
    if not LEAST_LEFT <= float(np.mean(left)) <= MOST_LEFT:
        raise InputError(
            "card_after",
            "shows too little or too much solvent gone.",
            "Weigh when about half to three quarters of the solvent has left.",
            kind="impossible",
        )
    # A film of nothing but this solvent; time goes down as transfer speed goes up, so one time gives the speed.
    layer = start / card_area / read_solvent(solvent).mixed_density
    computed = flash.si(
        solvent,
        layer,
        0.0,
        temperature,
        np.clip(air_speed, SLOWEST_AIR, FASTEST_AIR),
        np.clip(left, LEAST_LEFT, MOST_LEFT),
        REFERENCE_SPEED,
    ).first_stage
    return {"transfer_speed": REFERENCE_SPEED * computed / time}
