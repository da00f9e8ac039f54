"""Isocyanate beside painters, as it was sampled; and a number that changes nothing about the protection."""

from __future__ import annotations

from typing import Any

from coursekit import garage
from coursekit.garage.cautions import SHORT_LIMIT
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.gear import GEAR_HIGH, gear
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

HIGHEST = 1100e-9  # kg/m³; the axis stays put


@declare(
    "Isocyanate in the air, and a number that changes nothing",
    about="Published samples of NCO, the part of isocyanate that harms. Try to find a number that talks the course "
    "out of supplied air.",
    sources=["liu-2006", "reeb-whitaker-2012", "hse-rpe", "eh40", "niosh-npg", "osha-letter-1982"],
)
def bench(
    isocyanate_level: float = at("20 µg/m³", label="your number", slider=(0, 1000, 10), slider_us=(0, 1000, 10)),
    sprayed: str = at("sprayed", options=("sprayed", "not sprayed")),
) -> dict[str, Any]:
    needed = garage.protection_needed.si("isocyanate", f"{1e9 * isocyanate_level:.6g} µg/m³", sprayed)
    return {"needed": needed, "samples": garage.isocyanate_samples()}


@bench.says
def say(now: Now) -> str:
    shares = [one.over_limit.m_as("") for one in now.samples if one.over_limit is not None]
    over = " and ".join(f"{now.figure(share, 'remaining'):.0f}" for share in shares)
    return (
        f"Needed at {now.isocyanate_level}, {now.sprayed}: {now.needed.protection}. {now.needed.reason} Of 100 "
        f"samples beside painters, {over} were over the 15-minute limit, in two studies."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    level = now.isocyanate_level
    rows = [Bar("limit for a quarter of an hour, UK", level.of(SHORT_LIMIT), hatch="slant")]
    for sample in now.samples:
        if sample.level is not None:
            found = level.of(sample.level.m_as("kg/m³"))
            more = " and more" if sample.over_limit is None else ""
            rows.append(Bar(sample.what, found, f"{found}{more}", "cross"))
    bars = Bars(level.axis(HIGHEST), [*rows, Bar("your number", level, hatch="dots", pinned="pinned")])
    return [Sketch(gear(now.sprayed == "sprayed"), height=GEAR_HIGH), bars]
