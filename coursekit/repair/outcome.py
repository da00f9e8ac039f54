"""What a whole repair comes to, as a handful of numbers that can be compared, collected and put in bands."""

from __future__ import annotations

import math
from typing import NamedTuple

from coursekit.nomenclature import System
from coursekit.repair.playing import Replay
from coursekit.repair.words import say

NAMES = {  # field → what it is called and how it is shown
    "surfacer_left": ("surfacer left where it is thinnest", "film"),
    "base_left": ("base where it is thinnest", "film"),
    "clear_left": ("clear where it is thinnest", "film"),
    "scratch": ("scratch left", "scratch_depth"),
    "waves": ("waves, times a strict eye's limit", "plain"),
    "broken": ("broken through, to filler or paint", "spot"),
    "metal": ("broken through to bare metal", "spot"),
    "mixed": ("paint mixed", "paint_volume"),
    "lost": ("solids sprayed that are lost", "remaining"),
    "dust": ("sanding dust", "removed_volume"),
    "to_air": ("solvent to the air", "paint_volume"),
    "strokes": ("strokes of the hand", "strokes"),
    "time": ("time", "time"),
    "not_yet": ("steps that may not go on", "plain"),
}


class Outcome(NamedTuple):
    """Figures in SI; nan where there is nothing to tell. Film and scratch as the panel ends, over the repair."""

    surfacer_left: float
    base_left: float
    clear_left: float
    scratch: float
    waves: float
    broken: float
    metal: float
    mixed: float
    lost: float
    dust: float
    to_air: float
    strokes: float
    time: float
    not_yet: float


def outcome_of(replay: Replay) -> Outcome:
    """The figures of a repair."""
    end, totals = replay[-1].condition, replay.totals
    surfacer, base, clear = (
        end.film[name].thin if name in end.film else math.nan for name in ("surfacer", "base", "clear")
    )
    metal = broken = 0.0
    for entry in replay:
        for (_, to), area in entry.change.broken.items():
            metal, broken = (metal + area, broken) if to == "bare metal" else (metal, broken + area)
    solids = [paint.solids for name, paint in totals.paint.items() if name != "filler"]
    sprayed = sum(places.laid for places in solids)
    return Outcome(
        surfacer,
        base,
        clear,
        end.scratch,
        end.waves,
        broken,
        metal,
        sum(paint.mixed for paint in totals.paint.values()),
        1 - sum(places.panel for places in solids) / sprayed if sprayed else math.nan,
        totals.dust,
        totals.solvent_to_air,
        sum(totals.strokes.values()),
        totals.time,
        float(len(replay.not_yet)),
    )


def figure_words(field: str, value: float, system: System = "metric") -> str:
    """One figure of an outcome in words."""
    return "–" if math.isnan(value) else say(value, NAMES[field][1], system)
