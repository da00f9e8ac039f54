"""What a cup and a clock tell: the band of the delivery before and after, and what it does to the film of a coat."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import Belief, band_si, read_directly, shipped
from coursekit.lesson.draw.charts import Bar, bars, side_by_side
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.measurements import estimate, ways
from coursekit.quantities import InputError
from coursekit.uncertain import Band, Coefficient

FLOWS = [n * 1e-3 / 60 for n in (0.4, 0.8, 1.6, 3.2)]  # m³/s; the axes stay put until the next one is needed
FILMS = [50e-6 * 2**n for n in range(6)]  # m
COAT: dict[str, Any] = {"volume_solids": 0.42, "gun_speed": 0.4, "pitch": 0.1}


class Cup(NamedTuple):
    before: Coefficient
    after: Coefficient
    film_before: Band
    film_after: Band


def compute(caught_paint: float, measuring_time: float, repeats: float) -> Cup:
    count = round(repeats)
    if not 1 <= count <= 10:
        raise InputError("repeats", "must be 1 to 10.", "Three are enough.")
    readings = {"paint": np.full(count, caught_paint), "time": np.full(count, measuring_time)}
    found = estimate(ways()["delivery"], readings, {})
    assert isinstance(found, dict)
    mine = own.garage_file().belief
    before = shipped() if mine.moved("fluid_delivery") else mine  # the same cup does not count twice
    after = before.learn(read_directly("fluid_delivery", *found["fluid_delivery"]))
    return Cup(before.coefficient("fluid_delivery"), after.coefficient("fluid_delivery"), film(before), film(after))


def film(belief: Belief) -> Band:
    found: Band = band_si(
        spraying.coat_film,
        fluid_delivery=belief.coefficient("fluid_delivery"),
        transfer_efficiency=belief.coefficient("transfer_efficiency"),
        **COAT,
    )
    return found


def ends(number: Coefficient) -> Band:
    return Band(number.low, float(number), number.high)


def draw(now: Now) -> str:
    flows = [
        bar(now, "The course, before", ends(now.result.before), "fluid_delivery", "plain"),
        bar(now, "Your cup", ends(now.result.after), "fluid_delivery", "slant"),
    ]
    films = [
        bar(now, "Before", now.result.film_before, "dry_film", "plain"),
        bar(now, "With your cup", now.result.film_after, "dry_film", "slant"),
    ]
    if now.kept:
        flows.append(bar(now.kept, "Kept cup", ends(now.kept.result.after), "fluid_delivery", "cross"))
        films.append(bar(now.kept, "Kept", now.kept.result.film_after, "dry_film", "cross"))
    left = row(now, flows, "fluid_delivery", FLOWS, [now.result.before, now.result.after])
    right = row(now, films, "dry_film", FILMS, [now.result.film_before, now.result.film_after])
    return side_by_side(left, right)


def row(now: Now, rows: list[Bar], name: str, axes: list[float], bands: list[Coefficient | Band]) -> str:
    end = next((end for end in axes if end >= max(b.high for b in bands)), axes[-1])
    label = {"dry_film": "dry film of one coat"}.get(name, "")
    return bars(now.axis(name, 0, end, label).label, rows, now.number(end, name), 400)


def bar(now: Now, label: str, band: Band, name: str, hatch: str) -> Bar:
    low, middle, high = now.number(band, name)
    return Bar(label, middle, now.show(band, name), hatch, low, high)


def say(now: Now) -> str:
    before, after, narrow = now.result.before, now.result.after, now.result.film_after
    words = (
        f"{now.text('caught_paint')} in {now.text('measuring_time')} are {now.show(float(after), 'fluid_delivery')}. "
        "A reading strays a little, and the thumb by half a second, so your gun delivers "
        f"{now.show(ends(after), 'fluid_delivery')}; the course had {now.show(ends(before), 'fluid_delivery')}. "
        f"A coat at a calm pace leaves {now.show(narrow, 'dry_film')} dry instead of "
        f"{now.show(now.result.film_before, 'dry_film')}; what is left of that band is how much lands."
    )
    if not before.low <= after <= before.high:
        words += (
            " This lies outside what the course takes as usual: look at the unit, the time and the cup before "
            "you believe it. If it stands, yours counts."
        )
    return words


bench = Bench(
    title="What fifteen seconds in a cup tell",
    about="Nothing is kept here: play with what the cup might say. You keep your own reading in the forms below.",
    controls={
        "caught_paint": Control("38 mL", slider=(5, 150, 1), slider_us=(0.2, 5, 0.1)),
        "measuring_time": Control("15 s", label="trigger pulled for", slider=(3, 60, 1), slider_us=(3, 60, 1)),
        "repeats": Control("1", name="coats", label="how often you did it", slider=(1, 6, 1)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["fluid_delivery", "transfer_efficiency", "common-practice", "derived-here"],
    measurement="delivery",
)
