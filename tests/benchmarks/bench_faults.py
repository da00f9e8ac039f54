"""Nothing lost: spoilt inputs, damaged progress files, writers at once and writers killed, all in full.

`python -m tests.benchmarks faults` takes most of an hour. `tests/test_faults.py` runs the same in small.
"""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests import faults
from tests.benchmarks.timing import Figure

TEXTS, FILES, WRITES, KILLS = 100_000, 10_000, 200, 50


def figures() -> Iterator[Figure]:
    with tempfile.TemporaryDirectory() as place:
        for what in faults.INPUTS:
            os.environ["COURSEKIT_HOME"] = place
            yield from _of(f"{TEXTS} spoilt inputs, {what}", faults.tried(what, TEXTS), faults.SLOW)
    for what in faults.WRITERS:
        with _home() as home:
            said, there = faults.written_at_once(what, home, WRITES)
            yield Figure(f"{what}: kept by four at once", said, "", 4 * WRITES, "≥")
            yield Figure(f"{what}: of them lost", said - there, "", 0)
        with _home() as home:
            said, lost = faults.killed(what, home, KILLS)
            yield Figure(f"{what}: kept before {KILLS} kills", said)
            yield Figure(f"{what}: of them lost", lost, "", 0)
    with _home() as home:
        yield from _of(f"{FILES} damaged progress files", faults.damaged_progress(home, FILES), None)


class _home(tempfile.TemporaryDirectory):
    """A learner's folder for a while."""

    def __enter__(self) -> Path:
        os.environ["COURSEKIT_HOME"] = super().__enter__()
        return Path(os.environ["COURSEKIT_HOME"])


def _of(what: str, told: faults.Told, limit: float | None) -> Iterator[Figure]:
    yield Figure(f"{what}: taken", told.taken)
    yield Figure("  refused with the documented error", told.refused)
    yield Figure("  other errors", len(told.others), "", 0)
    yield Figure("  slowest, for 100 kB or less", told.slowest, "s", limit)
    yield Figure("  memory from a tenth of them to the last", told.last_mb - told.first_mb, "MB", 20)
    for error, text in list(told.others.items())[:5]:
        print(f"    {error} of {text!r:.160}")
    for took, text in sorted(told.slow, reverse=True)[:5]:
        print(f"    {took:.2f} s: {text!r:.100}")
