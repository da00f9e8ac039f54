"""How long a room takes to clear."""

from __future__ import annotations

import numpy as np

from coursekit.quantities import Real, public


@public(gives="purge_duration")
def purge_time(air_changes: Real, remaining: Real, mixing_factor: Real) -> Real:
    """Time until only a share of what was in the air is left, once nothing more is given off.

    air_changes: per hour, as a plain number or "6 /h"
    mixing_factor: 10 for dead corners; there is no default
    Gives (...) s. Raises RangeError out of those ranges, InputError for a wrong unit.
    Holds for vapour that has stopped coming; a wet film, rags and an open can go on giving it off.
    Source: cdc-purge, table S3-1 and its note.
    """
    return mixing_factor * np.log(np.divide(1, remaining)) / air_changes
