"""Where the time of a whole repair goes: hands at work, and films that harden in this garage."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import NamedTuple

from coursekit import drying, repair
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.learner import own
from coursekit.lesson.repair.demo_recipes import demo
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.repair.steps import Sand, Spray, Wait
from coursekit.uncertain import Band

HANDS = ("sanding", "all the rest")
HOUR = 3600.0
AXES = (60.0, 90.0, 120.0, 180.0, 240.0)  # h: where the axis may end


class Clock(NamedTuple):
    hands: Mapping[str, float]  # s
    waits: Mapping[str, Band]
    whole: Band


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


def compute(temperature: float, surfacer_hard: float, rounds: float, clear_hard: float) -> Clock:
    def harden(sheet: float) -> Band:
        found: Band = own.banded(
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
    ends = (sum(hands.values()) + sum(wait[end] for wait in waits.values()) for end in range(3))
    return Clock(hands, waits, Band(*ends))


def told(now: Now, time: Band) -> str:
    """At the temperature of the sheet there is no band."""
    return now.show(time if time.high > 1.01 * time.low else time.middle, "sheet_time")


def draw(now: Now) -> str:
    clock: Clock = now.result
    rows = [Bar(f"hands: {what}", time / HOUR, now.show(time, "sheet_time", 2)) for what, time in clock.hands.items()]
    rows += [
        Bar(f"waiting: {what}", wait.middle / HOUR, told(now, wait), "dots", wait.low / HOUR, wait.high / HOUR)
        for what, wait in clock.waits.items()
    ]
    longest = max(row.high or row.size for row in rows)
    return bars("hours", rows, next((end for end in (30.0, *AXES) if end > longest), AXES[-1]))


def say(now: Now) -> str:
    clock: Clock = now.result
    hands = sum(clock.hands.values())
    share = hands / clock.whole.middle
    return (
        f"At {now.text('temperature')} the repair takes {told(now, clock.whole)} from the first wipe "
        f"to clear that may be touched up, nights counted in. Your hands are at work in "
        f"{now.show(hands, 'sheet_time', 2)} of it, about {share:.0%}; the rest is waiting for films to "
        "harden."
    )


bench = Bench(
    title="Where the time goes",
    about="Hands as in the demo's careful repair, without fetching, mixing and washing the gun; the waits follow "
    "your garage and what the sheets say at 20 °C (68 °F).",
    controls={
        "temperature": Control("20 °C", slider=(10, 35, 1), slider_us=(50, 95, 1)),
        "surfacer_hard": Control(
            "3 h", name="sheet_time", label="surfacer dry to sand", slider=(1, 16, 0.5), slider_us=(1, 16, 0.5)
        ),
        "rounds": Control("2", name="coats", label="rounds of surfacer", slider=(1, 4, 1), slider_us=(1, 4, 1)),
        "clear_hard": Control("16 h", name="sheet_time", label="clear hard", slider=(4, 48, 1), slider_us=(4, 48, 1)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["activation_energy", "ufgs-09971", "ps-396", "common-practice"],
)
