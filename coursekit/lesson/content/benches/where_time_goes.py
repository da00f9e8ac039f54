"""Where the time of a whole repair goes: hands at work, and films that harden in this garage."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

from coursekit import drying, repair
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.figure import Figure
from coursekit.lesson.draw.days import Stretch, days
from coursekit.lesson.learner import own
from coursekit.lesson.repair.demo_recipes import demo
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.repair.steps import Sand, Spray, Wait
from coursekit.uncertain import Band

HANDS = ("sanding", "all the rest")
HOUR = 3600.0


@functools.lru_cache(maxsize=1)
def worked() -> Mapping[str, float]:
    """How long the hands of the demo's careful repair are at work, s; the waits between coats are no work."""
    found = dict.fromkeys(HANDS, 0.0)
    for entry in repair.replay(demo()):
        step = entry.step
        if isinstance(step, Spray):
            found["all the rest"] += entry.used.time - (step.coats - 1) * step.flash
        elif not isinstance(step, Wait):
            found["sanding" if isinstance(step, Sand) else "all the rest"] += entry.used.time
    return found


@declare(
    "Where the time goes",
    gives={"hands": "sheet_time", "waits": "sheet_time", "work": "sheet_time", "whole": "sheet_time"},
    about=lambda units: (
        "Hands as in the demo's careful repair, without fetching, mixing and washing the gun; the waits follow your "
        f"garage and what the sheets say at {units(ROOM_TEMPERATURE, 'temperature')}."
    ),
    sources=["activation_energy", "ufgs-09971", "ps-396", "common-practice"],
)
def bench(
    temperature: float = at("20 °C", slider=(10, 35, 1), slider_us=(50, 95, 1)),
    surfacer_hard: float = at(
        "3 h", name="sheet_time", label="surfacer dry to sand", slider=(1, 16, 0.5), slider_us=(1, 16, 0.5)
    ),
    rounds: float = at("2", name="coats", label="rounds of surfacer", slider=(1, 4, 1), slider_us=(1, 4, 1)),
    clear_hard: float = at("16 h", name="sheet_time", label="clear cured", slider=(4, 48, 1), slider_us=(4, 48, 1)),
) -> dict[str, Any]:
    def harden(sheet: float) -> Band:
        found: Band = own.band_si(
            drying.time_at, sheet_time=sheet, sheet_temperature=ROOM_TEMPERATURE, temperature=temperature
        )
        return found

    one = harden(surfacer_hard)
    waits = {
        "the filler, before its first paper": harden(float(demo().materials["filler"]["dry_to_sand"])),
        "surfacer, before the block": Band(*(max(1, round(rounds)) * end for end in one)),
        "clear, before it may be touched up": harden(clear_hard),
    }
    hands = worked()
    work = sum(hands.values())
    whole = Band(*(work + sum(wait[end] for wait in waits.values()) for end in range(3)))
    return {"hands": hands, "waits": waits, "work": work, "whole": whole}


def told(time: Figure) -> str:
    """At the temperature of the sheet there is no band."""
    return f"{time if time.high > 1.01 * time.low else time.middle}"


@bench.says
def say(now: Now) -> str:
    share = float(now.work / now.whole.middle)
    return (
        f"At {now.temperature} the repair takes {told(now.whole)} from the first wipe to clear that may be polished, "
        f"nights included. Your hands are at work in {now.work:2} of it, about {share:.0%}; the rest is "
        "waiting for films to harden."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    """A row a day; what the hands do is gathered at the start."""
    work = Stretch(
        f"your hands: {now.work:2}, of it sanding {now.hands['sanding']:2}", float(now.work) / HOUR, "work"
    )
    waits = [
        Stretch(f"{what}: {told(wait)}", float(wait.middle) / HOUR, look)
        for (what, wait), look in zip(now.waits.items(), ("dots", "level", "slant"), strict=True)
    ]
    pinned = None if now.pinned is None else float(now.pinned.whole.middle) / HOUR
    return days([work, *waits], pinned)
