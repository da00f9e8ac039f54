"""A second process beside a search, so that hands are played on two cores. Without it all goes on in one."""

from __future__ import annotations

import contextlib
import functools
import multiprocessing
import os
import pickle
import signal
import threading
import weakref
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from typing import Any

AHEAD = 2  # parts that wait for the other process: it is never without one, and a stop need not wait for many
_beginning: weakref.WeakKeyDictionary[Executor, Future[Any]] = weakref.WeakKeyDictionary()


@contextlib.contextmanager
def beside() -> Iterator[Executor | None]:
    """One more process, begun anew and not forked: a notebook has threads. None where there is a single core."""
    if _cores() < 2:
        yield None
        return
    executor = ProcessPoolExecutor(1, multiprocessing.get_context("spawn"), _started)
    try:
        yield executor
    finally:
        executor.shutdown(wait=False, cancel_futures=True)


def _cores() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def begin(executor: Executor | None, work: Callable[[], Any]) -> Executor | None:
    """The executor, its process begun with this while something else is done; None where it cannot be begun."""
    try:
        if executor is not None:
            _beginning[executor] = executor.submit(work)
    except (OSError, RuntimeError):  # no process may be begun here, or no more
        return None
    return executor


def _is_ready(executor: Executor) -> bool:
    """Whether its process has begun: nothing is given to one that would have to be waited for."""
    begun = _beginning.get(executor)
    return begun is None or begun.done()


def _started() -> None:
    """In the other process: a stop is for the first one to hear, and without the first one it ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_ends_with, args=(parent,), daemon=True).start()


def _ends_with(parent: Any) -> None:
    parent.join()
    os._exit(1)


def in_turn(
    executor: Executor | None, work: Callable[[Any, Any], Any], given: Any, parts: Sequence[Any]
) -> Iterator[Any]:
    """`work(given, part)` for each part in its order: here and in the executor by turns.

    What is found and in which order is the same with an executor and without; one that breaks is left.
    """
    if executor is None:
        yield from (work(given, part) for part in parts)
        return
    packed = pickle.dumps((work, given))
    waiting: dict[int, Future[Any]] = {}
    others = iter(range(1, len(parts), 2))

    def send(now: int) -> None:
        with contextlib.suppress(BrokenExecutor, RuntimeError, OSError):
            while _is_ready(executor) and len(waiting) < AHEAD and (place := next(others, None)) is not None:
                if place > now:
                    waiting[place] = executor.submit(_one, packed, parts[place])

    try:
        for place, part in enumerate(parts):
            send(place)
            future = waiting.pop(place, None)
            if future is None or future.cancel():
                yield work(given, part)
                continue
            try:
                yield future.result()
            except BrokenExecutor:
                yield work(given, part)
    finally:
        for future in waiting.values():
            future.cancel()


@functools.lru_cache(maxsize=1)
def _opened(packed: bytes) -> Any:
    return pickle.loads(packed)


def _one(packed: bytes, part: Any) -> Any:
    work, given = _opened(packed)
    return work(given, part)
