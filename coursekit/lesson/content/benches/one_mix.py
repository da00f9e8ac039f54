"""One mix for all coats, or a fresh one for each: what the clock does to the cup while coats flash."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import mixing
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, Span
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

LONGEST = 2 * 3600.0  # s; the axis stays put while it is not passed


@declare(
    "One mix for all coats, or one for each",
    gives={"life": "pot_life", "begins": "elapsed", "growth": "viscosity_growth"},
    sources=["pot_life_factor", "pot-life-doubling", "ufgs-09971"],
)
def bench(
    reference: float = at("60 min"),
    reference_temperature: float = at("20 °C"),
    temperature: float = at("24 °C", label="temperature that day", slider=(10, 38, 1), slider_us=(50, 100, 1)),
    interval: float = at(
        "20 min", name="elapsed", label="from one coat to the next", slider=(5, 60, 5), slider_us=(5, 60, 5)
    ),
    coats: float = at("3"),
) -> dict[str, Any]:
    life = own.band_si(
        mixing.pot_life, reference=reference, temperature=temperature, reference_temperature=reference_temperature
    )
    begins = [number * interval for number in range(max(1, round(coats)))]  # after the hardener went in
    return {"life": life, "begins": begins, "growth": [thicker(begin, life) for begin in begins]}


def thicker(elapsed: float, life: Band) -> Band | None:
    """How many times thicker at a coat; None once it may be past."""
    if elapsed > life.low:
        return None
    return Band(*(float(mixing.viscosity_growth.si(elapsed, end)) for end in reversed(life)))


@bench.says
def say(now: Now) -> str:
    fits = sum(growth is not None for growth in now.growth)
    words = (
        f"At {now.temperature} the pot life of the mix is {now.life}, by the rule of thumb; what its data "
        "sheet says rules. "
    )
    if len(now.begins) == 1:
        return words + "One coat goes on at once: the mix is as thin as you made it, and must be out in time."
    words += (
        f"With {now.interval} from coat to coat, {len(now.begins)} coats from one mix begin up to {now.begins[-1]} "
        "after the hardener went in. "
    )
    if fits < len(now.begins):
        return words + (
            f"Coat {fits + 1} may find it past its pot life, whatever it looks like: mix fresh for it, and only as "
            "much as that coat takes."
        )
    return words + (
        f"The last finds it {now.growth[-1]} times as thick: it atomises worse, and must still be out in time."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    parts: list[Part] = [Span(2, 2.2, "past the pot life")]
    for life, label, dash in (
        (now.life.low, "at the earliest", "dotted"),
        (now.life.middle, "likely", "solid"),
        (now.life.high, "at the latest", "dashed"),
    ):
        times = np.linspace(0, life.si, 25)
        parts.append(Line(now.interval.of(times), mixing.viscosity_growth.si(times, life.si), label, dash))
    for number, (begin, growth) in enumerate(zip(now.begins, now.growth, strict=True)):
        parts.append(Mark(begin, 2.1 if growth is None else growth.middle, "" if number else "your coats"))
    longest = max(LONGEST, now.begins[-1].si * 1.05)
    thick = now.figure(1.0, "viscosity_growth").axis(2.2, "times as thick", 1.0)
    return Chart(now.interval.axis(longest, "since the hardener went in"), thick, parts)
