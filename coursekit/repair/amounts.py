"""How much of a step is done, and the figure to look for when it is done."""

from __future__ import annotations

from coursekit.figure import Figure
from coursekit.nomenclature import System
from coursekit.repair.entry import Entry, FillEntry, SandEntry, SprayEntry
from coursekit.repair.steps import ByHand, Wait
from coursekit.repair.words import time_words

LEAST_TOLD = 2e-6  # m: less than that a gauge of the trade does not tell (common practice)


def much(entry: Entry) -> str:
    """Strokes, coats or minutes: "60×", "3×", "4 min"; "" where a step is done or not."""
    if isinstance(entry, SandEntry):
        return f"{entry.step.strokes:.0f}×" if isinstance(entry.step, ByHand) else time_words(entry.used.time)
    if isinstance(entry, SprayEntry):
        return f"{entry.step.coats}×"
    return time_words(entry.used.time) if isinstance(entry.step, Wait) else ""


def to_look_for(entry: Entry, system: System) -> str:
    """What gauge and hand find when the step is done: "dry +85 µm", "−20 µm, 60 µm left"."""
    if isinstance(entry, FillEntry):
        return "proud all over"
    if isinstance(entry, SprayEntry):
        return f"dry +{Figure(entry.change.laid.mean, 'film', system):2}"
    if isinstance(entry, SandEntry) and entry.used.removed:
        off = entry.used.mean_removed
        sanded = max(entry.used.removed, key=lambda name: entry.used.removed[name])
        told = [f"−{Figure(off, 'film', system):2}"] if off >= LEAST_TOLD else ["scuff all over"]
        film = entry.condition.film
        if sanded in film and sanded != "filler":
            told.append(f"{Figure(film[sanded].thin, 'film', system):2} left")
        return ", ".join(told)
    return ""
