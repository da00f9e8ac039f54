"""Make the shipped sample: `python -m coursekit.belief.make`. Run it when a margin, a fact or the physics changed.

Margins → draws → weighed by each fact in print, with moves between → tables/belief.npy.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from coursekit.belief.joint import DRAWS, STEP, even_deviates, of_draws, ordering
from coursekit.belief.moves import Draws, weighed
from coursekit.belief.parts import facts_of, in_order, log_likelihood, ties

SEED = 1
STAGE = 0.5  # what is left of the draws after each stage
MOVES, MORE = 12, 60  # a stage, and at the end: until the draws no longer know where they began


def made(draws: int = DRAWS) -> np.ndarray:
    """The sample: a field a part, that of the gun first, and in it one a coefficient; deviates in steps of `STEP`."""
    of_gun = next(keys for keys in ties() if set(keys) & set(ordering()[0].keys))
    parts = [of_draws(list(of_gun), _sample(of_gun, draws, SEED), {}, ()).tied]
    for keys in ties():
        if keys != of_gun:
            parts.append(in_order(keys, _sample(keys, draws, zlib.crc32(keys[0].encode())).deviates).deviates)
    kept = np.zeros(draws, dtype=[(min(part), [(key, "<i2") for key in sorted(part)]) for part in parts])
    for part in parts:
        for key, deviates in part.items():
            kept[min(part)][key] = np.round(deviates / STEP)
    return kept


def _sample(keys: Sequence[str], draws: int, seed: int) -> Draws:
    """Margins, weighed by each fact that speaks of these numbers."""
    random = np.random.default_rng(seed)
    start = np.stack([random.permutation(even_deviates(draws)) for _ in keys], axis=1)
    of_facts = log_likelihood(keys, facts_of(keys))
    return weighed(
        Draws(start, np.full(draws, 1 / draws)), log_likelihood(keys, ()), of_facts, random, STAGE, MOVES, MORE
    )


def written(kept: np.ndarray) -> bytes:
    file = io.BytesIO()
    np.save(file, kept, allow_pickle=False)
    return file.getvalue()


if __name__ == "__main__":
    place = Path(__file__).parents[1] / "tables" / "belief.npy"
    place.write_bytes(written(made()))
    print(f"{place}: {place.stat().st_size} bytes")
