"""What a notebook calls: each of these is one line of a cell.

    from coursekit import lesson
    lesson.ready()
    lesson.bench("film")
"""

from __future__ import annotations

import importlib

from coursekit.lesson import page
from coursekit.lesson.bench import Bench


def bench(key: str) -> Bench:
    """A bench at its start values: controls, picture and sentence."""
    page.show_script()
    return declared_bench(key).fresh(key)


def declared_bench(key: str) -> Bench:
    module = importlib.import_module(f"coursekit.lesson.benches.{key.replace('-', '_')}")
    found: Bench = module.bench
    return found
