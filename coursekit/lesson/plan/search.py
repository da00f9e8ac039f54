"""The search for a plan, beside the page: told how far it is, stopped at any time."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from typing import Any

from coursekit import repair
from coursekit.repair import Proposal, sharing
from coursekit.repair.damage import Damage

HANDS = 10  # that play the plan before it is proposed


class PlanSearch:
    """`start` looks beside the notebook, `find` waits; `told` is called with words and the share that is done."""

    def __init__(self, told: Callable[[], None]) -> None:
        self.told = told
        self.words, self.share = "", 0.0
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self.running = False  # from the start until what was found is handed over, though its thread may still end

    def stop(self) -> None:
        """End it; what stands on the page stays."""
        self._stop.set()

    def find(self, damage: Damage, hands: int = HANDS) -> Proposal:
        """The plan that is proposed for a damage."""
        self._stop.clear()
        self._tell("looking at the damage", 0.0)
        with sharing.beside() as executor:
            return repair.propose(damage, hands=hands, progress=self._tell, executor=executor)

    def start(self, damage: Damage, done: Callable[[Proposal], Any], failed: Callable[[Exception], Any]) -> None:
        """Look for a plan in a thread of its own; what is found is handed over where the page is served."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            loop = None

        def hand_over(work: Callable[[Any], Any], found: Any) -> None:
            if loop is None:
                work(found)
            else:
                loop.call_soon_threadsafe(work, found)

        def look() -> None:
            try:
                found = self.find(damage)
            except Exception as error:  # told on the page, and raised there
                self.running = False
                hand_over(failed, error)
            else:
                self.running = False
                hand_over(done, found)

        self.running = True
        self._thread = threading.Thread(target=look, daemon=True)
        self._thread.start()

    def wait(self) -> None:
        """Until it has ended."""
        if self._thread is not None:
            self._thread.join()

    def _tell(self, words: str, share: float) -> bool:
        self.words, self.share = words, share
        self.told()
        return not self._stop.is_set()
