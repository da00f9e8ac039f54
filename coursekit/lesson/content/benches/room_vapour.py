"""Solvent vapour of a coat in this room, evenly and poorly mixed, while it comes off and after."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import garage
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.garage.vapour import FIRE_LIMIT, NOT_MIST
from coursekit.lesson.content.shared import solvents
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.garage import Air, vapour_in_section
from coursekit.lesson.draw.picture import Chart, Line, level
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

TIMES = np.linspace(0, 2 * 3600.0, 121)
AXES = (100e-6, 250e-6, 500e-6, 1e-3, 2.5e-3, 5e-3, 10e-3, 25e-3, 50e-3, 0.1, 0.25, 1.0)


@declare(
    "Vapour in this room",
    gives={
        "air": garage.room_air,
        "liquid": "liquid_volume",
        "steady": "vapour_ppm",  # where the poorly mixed would settle if the vapour never stopped
        "closed": garage.still_air,
        "limit": "vapour_ppm",  # for health, of this blend
        "burns": "vapour_ppm",  # a tenth of what burns
    },
    about="All of the solvent ends in the air: that of the film, of the mist and of what missed. The mixing factor "
    "is 1 when fresh air reaches every corner, and up to 10 when it takes a short cut.",
    sources=["cdc-purge", "niosh-idlh", "eu-indicative", "le-chatelier", "open-property-library"],
)
def bench(
    solvent: str = at("demo slow blend", options=solvents.OPTIONS),
    paint_volume: float = at(
        "200 mL", label="paint sprayed in the coat", slider=(20, 1000, 20), slider_us=(1, 34, 1)
    ),
    voc_content: float = at("420 g/L", label="solvent in the paint", slider=(100, 800, 10), slider_us=(1, 7, 0.1)),
    release_time: float = at("20 min", label="given off over"),
    room_volume: float = at("43 m³", label="room volume"),
    air_changes: float = at("2 /h"),
    mixing_factor: float = at("4"),
) -> dict[str, Any]:
    blend = solvents.blend(solvent)
    liquid = garage.coat_solvent.si(paint_volume, voc_content, blend).liquid
    room = {"solvent": blend, "liquid_volume": liquid, "room_volume": room_volume, "temperature": ROOM_TEMPERATURE}
    air = garage.room_air.si(
        **room, release_time=release_time, air_changes=air_changes, mixing_factor=mixing_factor, elapsed=TIMES
    )
    vapour = garage.vapour_volume.si(blend, liquid, ROOM_TEMPERATURE)
    closed = garage.still_air.si(**room)
    return {
        "air": air,
        "liquid": float(liquid),
        "steady": float(garage.steady_air.si(vapour / release_time, air_changes * room_volume, mixing_factor)),
        "closed": closed,
        "limit": float(closed.vapour / closed.times_limit),
        "burns": FIRE_LIMIT * garage.lower_limit.si(blend),
    }


@bench.says
def say(now: Now) -> str:
    air, peak = now.air, int(np.argmax(now.air.poorly_mixed))
    over = now.air.plain.times_limit > 1
    lasts = ""
    if over.any():
        stays = now.figure(float(TIMES[over][-1] - TIMES[over][0]), "elapsed")
        after = ", and after them too" if over[-1] else ""
        lasts = f"It is over that limit for {stays} of the two hours shown{after}. "
    return (
        f"The coat gives off {now.liquid} of solvent: {solvents.in_words(now.solvent)}. Evenly mixed the vapour "
        f"reaches {air.mixed.of(air.mixed.most):2}; where fresh air hardly comes, {air.poorly_mixed[peak]:2}: "
        f"{air.plain.times_limit[peak]:.2g} times the lowest limit for health ({now.limit:2}) and "
        f"{air.of_explosive_limit[peak]:2} of what burns. {lasts}In a shut room it would be {now.closed.vapour:2}; "
        f"with coat after coat it would settle at {now.steady:2}. Near the film and the floor it is many times that. "
        f"{NOT_MIST}"
    )


@bench.draws
def draw(now: Now) -> Drawn:
    poor, times = now.air.poorly_mixed, now.figure(TIMES, "elapsed")
    since = times.axis(TIMES[-1], "since the coat")
    up = poor.of(max(poor.most, 1.2 * now.limit.si)).axis(AXES, "vapour")
    parts = [
        Line(times, poor, "poorly mixed", pinned="pinned, poorly mixed"),
        Line(times, now.air.mixed, "evenly mixed", "dashed"),
        level(now.limit, since, "limit for health"),
    ]
    if now.burns.shown <= up.high:
        parts.append(level(now.burns, since, "a tenth of what burns", "dash-dot"))
    return [section(now), Chart(since, up, parts, height=192)]


def section(now: Now) -> Sketch:
    """The garage cut through when the vapour is densest."""
    air, limit = now.air, now.limit.si
    peaks = [float(np.max(one.si)) for one in (air.poorly_mixed, air.mixed)]
    corner, door = (air.mixed.of(peak) for peak in peaks)
    told = f"hardly any fresh air: {corner:2}", f"evenly mixed: {door:2}"
    seen = Air(peaks[0] / limit, peaks[1] / limit, now.air_changes.si * 3600, *told)
    return Sketch(vapour_in_section(seen), height=140)
