"""Seconds of a flow cup: what they are in mm²/s, and how little they mean without the cup's name."""

from __future__ import annotations

from typing import Any

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import InputError
from coursekit.uncertain import Band

CUPS = ("DIN 4", "ISO 4", "Ford 4", "Zahn 2", "Zahn 3")
MOST = 400e-6  # m²/s; the axis stays put
SPRAYABLE = (15e-6, 150e-6)  # m²/s; what fluid_delivery takes


def read(cup: str, time: float) -> Band:
    found: Band = band_si(spraying.viscosity_from_cup, cup, time)
    return found


def reads(cup: str, time: float) -> Band | None:
    """None where the cup may not be used for so many seconds."""
    try:
        return read(cup, time)
    except InputError:
        return None


@declare(
    "What the cup's seconds mean",
    gives={"yours": "kinematic_viscosity", "others": "kinematic_viscosity"},
    about="Fill the cup, let it run, stop the clock when the stream breaks. Every cup has its own hole and its own "
    "formula; outside its range a formula is not used.",
    sources=["cup_reading", "cup-formulas", "cup-method-note", "din-53211", "iso-2431", "astm-d4212"],
)
def bench(
    cup: str = at("DIN 4"),
    time: float = at("20 s", label="time until the stream breaks", slider=(14, 80, 1), slider_us=(14, 80, 1)),
) -> dict[str, Any]:
    return {"yours": read(cup, time), "others": {other: reads(other, time) for other in CUPS if other != cup}}


@bench.says
def say(now: Now) -> str:
    words = f"{now.time} from {now.cup} means {now.yours}. "
    known = {cup: band.middle for cup, band in now.others.items() if band is not None}
    if known:
        least, most = min(known, key=known.__getitem__), max(known, key=known.__getitem__)
        words += f"The same seconds from {least} would be about {known[least]:2}"
        if most != least:
            words += f", from {most} about {known[most]:2}"
        words += ": seconds are not a unit. "
    if now.yours.middle < SPRAYABLE[0]:
        return words + "That is thinner than the paints this course computes."
    if now.yours.middle > SPRAYABLE[1]:
        return words + "That is thicker than a gun of this kind sprays: reduce it as the data sheet allows."
    return words + "Give a viscosity with the name of its cup, or in units of its own."


@bench.draws
def draw(now: Now) -> Drawn:
    rows = [Bar(f"Yours, {now.cup}", now.yours, hatch="slant", pinned=f"Pinned, {now.cup} at {now.time}")]
    for cup, band in now.others.items():
        label = f"Had it been {cup}"
        none = Bar(f"{label}: no answer, {now.time} is outside this cup's range", 0)
        rows.append(none if band is None else Bar(label, band))
    return Bars(now.yours.axis(MOST, "viscosity"), rows)
