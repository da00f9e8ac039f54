"""The pot life of a mix, and how far it has thickened."""

from __future__ import annotations

import numpy as np

from coursekit.constants import FREEZING
from coursekit.quantities import InputError, Real, in_range, public
from coursekit.sources import coefficient

COLDEST, WARMEST = FREEZING + 10, FREEZING + 38  # K, 10 to 38 °C
ROOM = 294.15  # K, 21 °C: the guide specification's reference


@public(gives="pot_life")
def pot_life(
    reference: Real,
    temperature: Real,
    reference_temperature: Real = ROOM,
    pot_life_factor: Real = coefficient("pot_life_factor"),
) -> Real:
    """Pot life at another temperature: half for each 10 K warmer.

    temperature: 10 to 38 °C; of the mix
    reference_temperature: 10 to 38 °C; of the sheet, 21 °C unless it says otherwise
    Gives (...) s.
    Holds from 10 to 38 °C; a larger mix and damp air make it shorter. Thinner never makes a mix live longer.
    Source: ufgs-09971, §3.7.1.3; ps-magazine-396, the band; iso-9514, what a pot life is.
    """
    in_range("temperature", temperature, COLDEST, WARMEST, "Bring mix and panel into that range first.")
    in_range("reference_temperature", reference_temperature, COLDEST, WARMEST)
    return reference * pot_life_factor ** ((reference_temperature - temperature) / 10)


@public(gives="viscosity_growth")
def viscosity_growth(elapsed: Real, pot_life: Real) -> Real:
    """How many times thicker a mix has become, when its viscosity doubles in its pot life.

    elapsed: 0 to the pot life; since the hardener went in
    pot_life: at the temperature of the mix
    Gives (...) number. Raises InputError for a wrong unit and once the pot life is over.
    Holds as a rule of thumb: a mix can be past its pot life and look thin. Source: pot-life-doubling.
    """
    if np.any(np.asarray(elapsed) > np.asarray(pot_life) * (1 + 1e-9)):
        raise InputError(
            "elapsed",
            "is past the pot life.",
            "That mix is not to be sprayed any more: mix afresh.",
            kind="impossible",
        )
    return 2.0 ** (elapsed / pot_life)
