"""The exact picture in place of a rough one, once the hand has stopped."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

from coursekit.lesson.workbench.bench import Bench

PAUSE = 0.25  # s without a move, after which the hand has stopped


class Settling:
    """Computes a bench again when no move has come for a while; at once where nobody serves a page."""

    def __init__(self, bench: Bench, move: Callable[[Callable[[], Any]], None]) -> None:
        self.bench, self.move = bench, move
        self.timer: asyncio.TimerHandle | None = None

    def soon(self) -> None:
        """A move came."""
        if self.timer is not None:
            self.timer.cancel()
        try:
            self.timer = asyncio.get_running_loop().call_later(PAUSE, self.now)
        except RuntimeError:
            self.now()

    def now(self) -> None:
        """The hand has stopped."""
        if self.bench.is_rough:
            self.move(self.bench.compute_again)
