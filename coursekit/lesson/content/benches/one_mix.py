"""One mix for all coats, or a fresh one for each: what the clock does to the cup while coats flash."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import mixing
from coursekit.lesson.draw.charts import Line, Mark, Part, Span, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

LONGEST = 2 * 3600.0  # s; the axis stays put while it is not passed


class Clock(NamedTuple):
    pot_life: Band
    begins: tuple[float, ...]  # s after the hardener went in
    growth: tuple[Band | None, ...]  # how many times thicker at each coat; None once it may be past


def compute(
    reference: float, reference_temperature: float, temperature: float, interval: float, coats: float
) -> Clock:
    life = own.banded(
        mixing.pot_life, reference=reference, temperature=temperature, reference_temperature=reference_temperature
    )
    begins = tuple(number * interval for number in range(max(1, round(coats))))
    return Clock(life, begins, tuple(thicker(begin, life) for begin in begins))


def thicker(elapsed: float, life: Band) -> Band | None:
    if elapsed > life.low:
        return None
    return Band(*(float(mixing.viscosity_growth.si(elapsed, end)) for end in reversed(life)))


def draw(now: Now) -> str:
    parts: list[Part] = [Span(2, 2.2, "past the pot life")]
    ends = (
        (now.result.pot_life.low, "at the earliest", "dotted"),
        (now.result.pot_life.middle, "likely", "solid"),
        (now.result.pot_life.high, "at the latest", "dashed"),
    )
    for life, label, dash in ends:
        times = np.linspace(0, life, 25)
        parts.append(Line(now.number(times, "elapsed"), mixing.viscosity_growth.si(times, life), label, dash))
    parts += marks(now, "your coats")
    if now.kept:
        parts += marks(now.kept, "kept", kept=True)
    longest = max([LONGEST, *(n.result.begins[-1] * 1.05 for n in (now, now.kept) if n)])
    return chart(
        now.axis("elapsed", 0, longest, "since the hardener went in"),
        now.axis("viscosity_growth", 1, 2.2, "times as thick"),
        parts,
    )


def marks(now: Now, label: str, kept: bool = False) -> list[Part]:
    coats = enumerate(zip(now.result.begins, now.result.growth, strict=True))
    return [
        Mark(now.number(begin, "elapsed"), growth.middle if growth else 2.1, "" if number else label, kept)
        for number, (begin, growth) in coats
    ]


def say(now: Now) -> str:
    clock = now.result
    fits = sum(growth is not None for growth in clock.growth)
    coats = f"{len(clock.begins)} coat" + ("s" if len(clock.begins) > 1 else "")
    low, high = (now.show(end, "pot_life", 2) for end in (clock.pot_life.low, clock.pot_life.high))
    words = (
        f"At {now.text('temperature')} the mix can be sprayed for {low} to {high}. "
        f"With {now.text('interval')} from coat to coat, {coats} from one mix begin up to "
        f"{now.show(clock.begins[-1], 'elapsed')} after the hardener went in. "
    )
    if fits < len(clock.begins):
        return words + (
            f"Coat {fits + 1} may find it past its pot life, whatever it looks like: mix anew for it, "
            "and only as much as that coat takes."
        )
    last = now.show(clock.growth[-1], "viscosity_growth")
    return words + f"The last finds it {last} times as thick: it atomises worse, and must still be out in time."


bench = Bench(
    title="One mix for all coats, or one for each",
    controls={
        "reference": "60 min",
        "reference_temperature": "20 °C",
        "temperature": Control("24 °C", label="temperature that day", slider=(10, 38, 1), slider_us=(50, 100, 1)),
        "interval": Control(
            "20 min", name="elapsed", label="from one coat to the next", slider=(5, 60, 5), slider_us=(5, 60, 5)
        ),
        "coats": "3",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["pot_life_factor", "pot-life-doubling", "ufgs-09971"],
)
