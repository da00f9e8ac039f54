"""What a cup and a clock tell: the band of the delivery before and after, and what it does to the film of a coat."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.belief import Belief, band_si, read_directly, shipped
from coursekit.lesson.draw.cup_and_clock import cup_and_clock
from coursekit.lesson.draw.picture import Bar, Bars, Row
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.measurements import estimate, ways
from coursekit.quantities import InputError
from coursekit.uncertain import Band

FLOWS = [n * 1e-3 / 60 for n in (0.4, 0.8, 1.6, 3.2)]  # m³/s; the axes stay put until the next one is needed
FILMS = [50e-6 * 2**n for n in range(6)]  # m
COAT: dict[str, Any] = {"volume_solids": 0.42, "gun_speed": 0.4, "pitch": 0.1}


@declare(
    "What fifteen seconds in a cup tell",
    gives={
        "before": "fluid_delivery",
        "after": "fluid_delivery",
        "film_before": "dry_film",
        "film_after": "dry_film",
    },
    about="Nothing is kept here: play with what the cup might say. You keep your own reading in the forms below.",
    sources=["fluid_delivery", "transfer_efficiency", "common-practice", "derived-here"],
    measurement="delivery",
)
def bench(
    caught_paint: float = at("38 mL", slider=(5, 150, 1), slider_us=(0.2, 5, 0.1)),
    measuring_time: float = at("15 s", label="trigger pulled for", slider=(3, 60, 1), slider_us=(3, 60, 1)),
    repeats: float = at("1", name="coats", label="how often you did it", slider=(1, 6, 1)),
) -> dict[str, Any]:
    count = round(repeats)
    if not 1 <= count <= 10:
        raise InputError("repeats", "must be 1 to 10.", "Three are enough.")
    readings = {"paint": np.full(count, caught_paint), "time": np.full(count, measuring_time)}
    found = estimate(ways()["delivery"], readings, {})
    assert isinstance(found, dict)
    mine = own.garage_file().belief
    before = shipped() if mine.moved("fluid_delivery") else mine  # the same cup does not count twice
    after = before.learn(read_directly("fluid_delivery", *found["fluid_delivery"]))
    return {
        "before": before.coefficient("fluid_delivery").band,
        "after": after.coefficient("fluid_delivery").band,
        "film_before": film(before),
        "film_after": film(after),
    }


def film(belief: Belief) -> Band:
    found: Band = band_si(
        spraying.coat_film,
        fluid_delivery=belief.coefficient("fluid_delivery"),
        transfer_efficiency=belief.coefficient("transfer_efficiency"),
        **COAT,
    )
    return found


@bench.says
def say(now: Now) -> str:
    before, after = now.before, now.after
    words = (
        f"{now.caught_paint} in {now.measuring_time} is {after.middle}. A reading varies a little, and the thumb by "
        f"half a second, so your gun delivers {after}; the course had {before}. A coat at a calm pace leaves "
        f"{now.film_after} dry instead of {now.film_before}; what is left of that band is how much lands."
    )
    if not before.low <= after.middle <= before.high:
        words += (
            " This lies outside what the course takes as usual: look at the unit, the time and the cup before you "
            "believe it. If it stands, yours counts."
        )
    return words


@bench.draws
def draw(now: Now) -> Drawn:
    flows = [Bar("The course, before", now.before), Bar("Your cup", now.after, hatch="slant", pinned="Pinned cup")]
    films = [Bar("Before", now.film_before), Bar("With your cup", now.film_after, hatch="slant", pinned="Pinned")]
    most, thickest = max(now.before.most, now.after.most), max(now.film_before.most, now.film_after.most)
    caught = cup_and_clock(now.caught_paint, now.measuring_time, round(float(now.repeats)))
    bands = Row(
        Bars(now.after.of(most).axis(FLOWS), flows, 400),
        Bars(now.film_after.of(thickest).axis(FILMS, "dry film of one coat"), films, 400),
    )
    return [caught, bands]
