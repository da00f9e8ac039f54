"""How the benchmarks take time."""

import gc
import time
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np


class Figure(NamedTuple):
    """One measured figure and the one to reach: "≤" 8 ms, or "≥" 15 ×; None when there is nothing to reach."""

    what: str
    value: float
    unit: str = ""
    wanted: float | None = None
    side: str = "≤"

    @property
    def verdict(self) -> str:
        if self.wanted is None:
            return ""
        reached = self.value <= self.wanted if self.side == "≤" else self.value >= self.wanted
        return "yes" if reached else "NO"


def times(call: Callable[[], Any], tries: int = 50, warm: int = 3) -> np.ndarray:
    """Seconds of each of `tries` calls after `warm` unmeasured ones, garbage collection held off."""
    for _ in range(warm):
        call()
    found = np.empty(tries)
    gc.disable()
    try:
        for number in range(tries):
            start = time.perf_counter()
            call()
            found[number] = time.perf_counter() - start
    finally:
        gc.enable()
    return found


def least(call: Callable[[], Any], tries: int = 50) -> float:
    """Least time of a call in seconds: what it costs when nothing else disturbs it."""
    return float(times(call, tries).min())
