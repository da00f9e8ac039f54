"""Numbers of the kit as they stand: results of every public call, sentences of every bench, repairs step by step.

A change of form leaves them alone; a change of physics writes them anew, and the commit says which moved and why:

    python -m tests.kept compare [calls] [benches] [replays]
    python -m tests.kept write [calls] [benches] [replays]
"""

import contextlib
import json
import pkgutil
from pathlib import Path

import numpy as np

from coursekit import describing, lesson, repair
from coursekit.errors import InputError
from coursekit.lesson.content import benches
from coursekit.lesson.learner import unit_system
from coursekit.quantities import from_unit
from tests.calls import public_calls

FOLDER = Path(__file__).parent
DEMOS = ("door_repair", "impatient_repair")


def numbers(value):
    """Every number of a result, in the order of its fields."""
    if isinstance(value, str | bytes) or value is None:
        return []
    if hasattr(value, "magnitude"):
        return numbers(value.to_base_units().magnitude)
    if isinstance(value, dict):
        return [number for part in value.values() for number in numbers(part)]
    if isinstance(value, list | tuple):
        return [number for part in value for number in numbers(part)]
    try:
        return [float(number) for number in np.ravel(np.asarray(value, dtype=float))]
    except (TypeError, ValueError):
        return []


def calls():
    """The result of each public call's example."""
    return {path: numbers(describing.run(call)) for path, call in public_calls()}


def bench_sentences():
    """What each bench says at its start values and with each slider moved, in both systems of units."""
    found = {}
    for module in pkgutil.iter_modules(benches.__path__):
        key = module.name.replace("_", "-")
        for system in ("metric", "us"):
            unit_system.choose(system)
            bench = lesson.bench(key)
            found[f"{key} {system}"] = bench.words
            if bench.press:
                continue  # computes at a press only
            for control in bench.controls:
                if bench.slider(control):
                    low, high, step = bench.slider(control)
                    moved = from_unit(low + round(0.7 * (high - low) / step) * step, bench.rows[control].key, system)
                    bench = lesson.bench(key)
                    with contextlib.suppress(InputError):  # the bench says so
                        bench.move({control: moved})
                    found[f"{key} {system} {control}"] = bench.words
    unit_system.choose("metric")
    return found


def panel_numbers(panel):
    """Sums over a panel that any change of one of its arrays moves."""
    kinds = ("dents", "scratch", "guide_coat", "contamination", "embedded", "dust", "mask")
    arrays = [getattr(panel, kind) for kind in kinds]
    arrays += [layer.thickness for layer in panel.layers] + [s.thickness for s in panel.sections]
    return [panel.time, *(float(np.sum(a)) for a in arrays), *(float(np.sum(np.square(a))) for a in arrays)]


def replays():
    """Each step of the demo repairs: the panel after it, in sums, and its verdict."""
    found = {}
    for demo in DEMOS:
        for entry in repair.replay(repair.demo_path(demo)):
            found[f"{demo} {entry.step.number}"] = [*panel_numbers(entry.panel), float(entry.verdict.go)]
    return found


TABLES = {"calls": calls, "benches": bench_sentences, "replays": replays}


def path(table):
    return FOLDER / f"{table}.json"


def kept(table):
    return json.loads(path(table).read_text(encoding="utf-8"))


def same(one, other, rel=1e-12):
    """Whether two rows say the same: words to the letter, numbers within `rel` of the larger."""
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    return len(one) == len(other) and all(
        a == b or (np.isnan(a) and np.isnan(b)) or abs(a - b) <= rel * max(abs(a), abs(b))
        for a, b in zip(one, other, strict=True)
    )


def moved(table, now, rel=1e-12):
    """Rows that are not as kept: key → (kept, now); nothing where one of them is missing."""
    before = kept(table)
    keys = [*before, *(key for key in now if key not in before)]
    pairs = {key: (before.get(key), now.get(key)) for key in keys}
    return {key: (a, b) for key, (a, b) in pairs.items() if a is None or b is None or not same(a, b, rel)}
