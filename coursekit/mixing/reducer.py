"""Which reducer for which weather."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit.constants import FREEZING
from coursekit.quantities import Real, Value, in_range, public
from coursekit.verdicts import first_that_holds

STEPS = FREEZING + np.array([18.0, 25.0, 30.0])  # K
LARGE = 2.0  # m²: about two panels; assumed, the trade only says "large"
COLDEST, WARMEST = FREEZING + 10, FREEZING + 38  # K, 10 to 38 °C


class ReducerChoice(NamedTuple):
    speed: Value
    reason: str


@public()
def reducer_for(temperature: Real, area: Real) -> ReducerChoice:
    """The reducer that the trade takes for a temperature and an area.

    temperature: 10 to 38 °C
    area: sprayed in one go
    Gives speed (fast, medium, slow or extra slow) and the reason. Raises InputError for a wrong unit, RangeError
    out of 10 to 38 °C.
    Holds as a first choice: the product's own list of reducers wins. Source: common-practice; assumed-here, what is
    large.
    """
    in_range("temperature", temperature, COLDEST, WARMEST, "Do not spray outside it.")
    step = np.searchsorted(STEPS, temperature, side="right") + (np.asarray(area) > LARGE)
    return ReducerChoice(
        first_that_holds((step == 0, "fast"), (step == 1, "medium"), (step == 2, "slow"), otherwise="extra slow"),
        "Fast under 18 °C (64 °F), medium to 25 °C (77 °F), slow to 30 °C (86 °F), extra slow above. "
        "For over about 2 m² (22 sq ft) in one go, one step slower. Common practice: the product's own list wins.",
    )
