"""Verdicts in words that broadcast like the numbers they speak of."""

from __future__ import annotations

from typing import Any

import numpy as np


def first_that_holds(*cases: tuple[Any, str], otherwise: str) -> Any:
    """The words of the first case that holds: plain text for single numbers, an array of texts for arrays."""
    found = np.select([np.asarray(holds, dtype=bool) for holds, _ in cases], [words for _, words in cases], otherwise)
    return found.item() if found.ndim == 0 else found
