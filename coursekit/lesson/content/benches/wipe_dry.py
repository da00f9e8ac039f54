"""The last wipe: how long it needs to leave, and what the cloth gives to the air of the room."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import drying, garage
from coursekit.lesson.content.shared import solvents
from coursekit.lesson.draw.picture import Chart, Line, Part, Shade
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

AIR_SPEED = 0.25  # m/s, of a garage with the door ajar
SOLIDS, GONE = 0.01, 0.02  # next to no solids; dry is when this share is left
ENDS = (60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0, 7200.0)  # s


@declare(
    "The last wipe leaves",
    gives={"time": "time", "left": "remaining", "dry": "time", "air": garage.still_air},
    about=lambda units: (
        "Isopropyl alcohol, or something like a slow or fast wax-and-grease remover; yours is what its data sheet "
        f"says. Air moves over the panel at {units(AIR_SPEED, 'air_speed'):2}."
    ),
    sources=["transfer_speed", "speed_exponent", "mackay-2014", "niosh-idlh"],
)
def bench(
    solvent: str = at("isopropanol", options=("isopropanol", *solvents.OPTIONS)),
    wet_film: float = at("10 µm", slider=(2, 40, 1), slider_us=(0.1, 1.6, 0.05), label="film the cloth leaves"),
    temperature: float = at("20 °C", slider=(5, 35, 1), slider_us=(41, 95, 1)),
    liquid_volume: float = at("50 mL", slider=(5, 300, 5), slider_us=(0.25, 10, 0.25)),
    room_volume: float = at("45 m³"),
) -> dict[str, Any]:
    blend = solvents.blend(solvent)
    film = {
        "solvent": blend,
        "wet_film": wet_film,
        "volume_solids": SOLIDS,
        "temperature": temperature,
        "air_speed": AIR_SPEED,
    }
    curve = drying.flash_curve.si(**film, flash_end=GONE)
    return {
        "time": curve.time,
        "left": curve.left,
        "dry": own.band_si(drying.flash, **film, flash_end=GONE).first_stage,
        "air": garage.still_air.si(blend, liquid_volume, room_volume, temperature),
    }


@bench.says
def say(now: Now) -> str:
    air = now.air
    return (
        f"{now.wet_film} of {solvents.in_words(now.solvent)} left by the cloth at {now.temperature} is gone in "
        f"{now.dry}. Solvent that has crept into scratches, seams and fresh surfacer takes longer. Once all "
        f"{now.liquid_volume} from cloth and panel have gone into {now.room_volume} of closed room, the air on "
        f"average holds {air.vapour:2}. That is {air.times_limit:2} times the limit for health and "
        f"{air.of_explosive_limit:2} of what burns; far more at the cloth and on the floor. Open the door, and leave "
        "no cloth in the room."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    since = now.dry.axis(ENDS, "since the wipe")
    # The whole curve is as fast or slow as its end is.
    fast, slow = (now.time.si * float(edge / now.dry.middle) for edge in (now.dry.low, now.dry.high))
    times = np.linspace(0, slow[-1], 60)
    edges = [now.left.of(np.interp(times, edge, now.left.si, right=0.0)) for edge in (fast, slow)]
    parts: list[Part] = [
        Shade(now.time.of(times), edges, "may be left"),
        Line(now.time, now.left, "middle", pinned="pinned"),
    ]
    return Chart(since, now.left.axis(1.0, "solvent on the panel"), parts)
