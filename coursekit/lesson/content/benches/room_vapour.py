"""Solvent vapour of a coat in this room, evenly and poorly mixed, while it comes off and after."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import garage
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.garage.vapour import FIRE_LIMIT, NOT_MIST
from coursekit.lesson.content.shared import solvents
from coursekit.lesson.draw.charts import Line, Part, chart
from coursekit.lesson.workbench.bench import Bench, Control, Now

TIMES = np.linspace(0, 2 * 3600.0, 121)
AXES = (100e-6, 250e-6, 500e-6, 1e-3, 2.5e-3, 5e-3, 10e-3, 25e-3, 50e-3, 0.1, 0.25, 1.0)


class Found(NamedTuple):
    air: garage.RoomAir
    liquid: float
    steady: float  # where the poorly mixed would settle if the vapour never stopped
    closed: garage.StillAir
    limit: float  # for health, of this blend
    explosive: float


def compute(
    solvent: str,
    paint_volume: float,
    voc_content: float,
    release_time: float,
    room_volume: float,
    air_changes: float,
    mixing_factor: float,
) -> Found:
    blend = solvents.blend(solvent)
    liquid = garage.coat_solvent.si(paint_volume, voc_content, blend).liquid
    room = {"solvent": blend, "liquid_volume": liquid, "room_volume": room_volume, "temperature": ROOM_TEMPERATURE}
    air = garage.room_air.si(
        **room, release_time=release_time, air_changes=air_changes, mixing_factor=mixing_factor, elapsed=TIMES
    )
    vapour = garage.vapour_volume.si(blend, liquid, ROOM_TEMPERATURE)
    steady = garage.steady_air.si(vapour / release_time, air_changes * room_volume, mixing_factor)
    closed = garage.still_air.si(**room)
    return Found(
        air,
        float(liquid),
        float(steady),
        closed,
        float(closed.vapour / closed.times_limit),
        garage.lower_limit.si(blend),
    )


def draw(now: Now) -> str:
    found = now.result
    across = now.number(TIMES, "elapsed")
    ends = [across[0], across[-1]]
    highest = max(float(n.result.air.poorly_mixed.max()) for n in (now, now.kept) if n)
    most = next((end for end in AXES if end >= max(highest, 1.2 * found.limit)), AXES[-1])
    limit, tenth = (now.number(value, "vapour_ppm") for value in (found.limit, FIRE_LIMIT * found.explosive))
    parts: list[Part] = [
        Line(across, now.number(found.air.poorly_mixed, "vapour_ppm"), "poorly mixed"),
        Line(across, now.number(found.air.mixed, "vapour_ppm"), "evenly mixed", "dashed"),
        Line(ends, [limit, limit], "limit for health", "dotted"),
    ]
    if FIRE_LIMIT * found.explosive <= most:
        parts.append(Line(ends, [tenth, tenth], "a tenth of what burns", "dash-dot"))
    if now.kept:
        parts.append(
            Line(across, now.number(now.kept.result.air.poorly_mixed, "vapour_ppm"), "kept, poorly mixed", "dash-dot")
        )
    return chart(
        now.axis("elapsed", 0, TIMES[-1], "since the coat"),
        now.axis("vapour_ppm", 0, most, "vapour in the air"),
        parts,
        760,
        350,
    )


def say(now: Now) -> str:
    found = now.result
    peak = int(np.argmax(found.air.poorly_mixed))
    mixed, poor = float(found.air.mixed.max()), float(found.air.poorly_mixed[peak])
    over = found.air.times_limit > 1
    lasts = (
        (
            f"It is over that limit for {now.show(float(TIMES[over][-1] - TIMES[over][0]), 'elapsed')} of the two "
            f"hours shown{', and after them too' if over[-1] else ''}. "
        )
        if over.any()
        else ""
    )
    return (
        f"The coat gives off {now.show(found.liquid, 'liquid_volume')} of solvent: "
        f"{solvents.in_words(now['solvent'])}. Evenly mixed the vapour reaches {now.show(mixed, 'vapour_ppm', 2)}; "
        f"where fresh air hardly comes, {now.show(poor, 'vapour_ppm', 2)}: "
        f"{float(found.air.times_limit[peak]):.2g} times the lowest limit for health "
        f"({now.show(found.limit, 'vapour_ppm', 2)}) and "
        f"{now.show(float(found.air.of_explosive_limit[peak]), 'explosive_share', 2)} of what burns. {lasts}"
        f"In a shut room it would be {now.show(float(found.closed.vapour), 'vapour_ppm', 2)}; with coat after coat "
        f"it would settle at {now.show(found.steady, 'vapour_ppm', 2)}. Near the film and the floor it is many times "
        f"that. {NOT_MIST}"
    )


bench = Bench(
    title="Vapour in this room",
    about="All of the solvent ends in the air: that of the film, of the mist and of what missed. The mixing factor "
    "is 1 when fresh air reaches every corner, and up to 10 when it takes a short cut.",
    controls={
        "solvent": Control("demo slow blend", options=solvents.OPTIONS),
        "paint_volume": Control(
            "200 mL", label="paint sprayed in the coat", slider=(20, 1000, 20), slider_us=(1, 34, 1)
        ),
        "voc_content": Control("420 g/L", label="solvent in the paint", slider=(100, 800, 10), slider_us=(1, 7, 0.1)),
        "release_time": Control("20 min", label="comes off within"),
        "room_volume": Control("43 m³", label="air in the room"),
        "air_changes": Control("2 /h"),
        "mixing_factor": "4",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["cdc-purge", "niosh-idlh", "eu-indicative", "le-chatelier", "open-property-library"],
)
