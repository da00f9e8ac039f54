"""Isocyanate beside painters, as it was sampled; and a number that changes nothing about the protection."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import garage
from coursekit.garage.cautions import SHORT_LIMIT, AirSample
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import in_unit

HIGHEST = 1100e-9  # kg/m³; the axis stays put
LEVEL = "isocyanate_level"


class Found(NamedTuple):
    needed: garage.Protection
    samples: tuple[AirSample, ...]


def compute(isocyanate_level: float, sprayed: str) -> Found:
    needed = garage.protection_needed.si("isocyanate", f"{1e9 * isocyanate_level:.6g} µg/m³", sprayed)
    return Found(needed, garage.isocyanate_samples())


def draw(now: Now) -> str:
    rows = [Bar("limit for 15 minutes, UK", now.number(SHORT_LIMIT, LEVEL), now.show(SHORT_LIMIT, LEVEL), "slant")]
    for sample in now.result.samples:
        if sample.level is not None:
            level = sample.level.m_as("kg/m³")
            more = " and more" if sample.over_limit is None else ""
            rows.append(Bar(sample.what, now.number(level, LEVEL), now.show(level, LEVEL) + more, "cross"))
    rows.append(Bar("your number", now.number(now["isocyanate_level"], LEVEL), now.text("isocyanate_level"), "dots"))
    if now.kept:
        kept = now.kept["isocyanate_level"]
        rows.append(Bar("kept", now.number(kept, LEVEL), now.show(kept, LEVEL), "plain"))
    axis = now.axis(LEVEL, 0, HIGHEST)
    return bars(axis.label, rows, axis.high)


def say(now: Now) -> str:
    needed, samples = now.result
    over = " and ".join(
        f"{in_unit(sample.over_limit.m_as(''), 'remaining'):.0f}"
        for sample in samples
        if sample.over_limit is not None
    )
    return (
        f"Asked for at {now.text('isocyanate_level')}, {now['sprayed']}: {needed.protection}. {needed.reason} "
        f"Of 100 samples beside painters, {over} were over the 15-minute limit, in two studies."
    )


bench = Bench(
    title="Isocyanate in the air, and a number that changes nothing",
    about="Published samples of NCO, the part of isocyanate that harms. Try to find a number that talks the course "
    "out of supplied air.",
    controls={
        "isocyanate_level": Control("20 µg/m³", label="your number", slider=(0, 1000, 10), slider_us=(0, 1000, 10)),
        "sprayed": Control("sprayed", options=("sprayed", "not sprayed")),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["liu-2006", "reeb-whitaker-2012", "hse-rpe", "eh40", "niosh-npg", "osha-letter-1982"],
)
