"""Make the shipped sample: `python -m coursekit.belief.make`. Run it when a margin, a fact or the physics changed.

Margins → draws → weighed by each fact in print, with moves between → tables/belief.npy.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np

from coursekit.belief.joint import DRAWS, STEP, even_deviates, log_likelihood, of_draws
from coursekit.belief.moves import Draws, weighed
from coursekit.belief.observation import facts

SEED = 1
MOVES, MORE = 12, 60  # a stage, and at the end: until the draws no longer know where they began


def made(draws: int = DRAWS) -> np.ndarray:
    """The sample: a field a coefficient that a fact ties, deviates in steps of `STEP`."""
    keys = sorted({key for one in facts().values() for key in one.keys})
    random = np.random.default_rng(SEED)
    start = np.stack([random.permutation(even_deviates(draws)) for _ in keys], axis=1)
    found = weighed(
        Draws(start, np.full(draws, 1 / draws)),
        log_likelihood(keys, ()),
        log_likelihood(keys, facts().values()),
        random,
        0.5,
        MOVES,
        MORE,
    )
    belief = of_draws(keys, found, {}, ())
    kept = np.zeros(draws, dtype=[(key, "<i2") for key in keys])
    for key in keys:
        kept[key] = np.round(belief.tied[key] / STEP)
    return kept


def written(kept: np.ndarray) -> bytes:
    file = io.BytesIO()
    np.save(file, kept, allow_pickle=False)
    return file.getvalue()


if __name__ == "__main__":
    place = Path(__file__).parents[1] / "tables" / "belief.npy"
    place.write_bytes(written(made()))
    print(f"{place}: {place.stat().st_size} bytes")
