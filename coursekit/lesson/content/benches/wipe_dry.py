"""The last wipe: how long it needs to leave, and what the cloth gives to the air of the room."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import drying, garage
from coursekit.lesson.content.shared import solvents
from coursekit.lesson.draw.charts import Line, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

AIR_SPEED = 0.25  # m/s, of a garage with the door ajar
SOLIDS, GONE = 0.01, 0.02  # next to no solids; dry is when this share is left
ENDS = (60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0, 7200.0)  # s


class Wiped(NamedTuple):
    time: np.ndarray
    left: np.ndarray
    dry: Band
    air: garage.StillAir


def compute(solvent: str, wet_film: float, temperature: float, liquid_volume: float, room_volume: float) -> Wiped:
    blend = solvents.blend(solvent)
    film = {
        "solvent": blend,
        "wet_film": wet_film,
        "volume_solids": SOLIDS,
        "temperature": temperature,
        "air_speed": AIR_SPEED,
    }
    curve = drying.flash_curve.si(**film, flash_end=GONE)
    dry = own.banded(drying.flash, **film, flash_end=GONE).first_stage
    return Wiped(curve.time, curve.left, dry, garage.still_air.si(blend, liquid_volume, room_volume, temperature))


def draw(now: Now) -> str:
    found: Wiped = now.result
    end = next((end for end in ENDS if end >= max(n.result.dry.high for n in (now, now.kept) if n)), ENDS[-1])
    # The whole curve is as fast or slow as its end is.
    slow, fast = (found.time * edge / found.dry.middle for edge in (found.dry.high, found.dry.low))
    times = np.linspace(0, end, 60)
    low, high = (np.interp(times, edge, found.left, right=0.0) for edge in (fast, slow))
    parts: list[Part] = [
        Shade(now.number(times, "time"), now.number(low, "remaining"), now.number(high, "remaining"), "may be left"),
        Line(now.number(found.time, "time"), now.number(found.left, "remaining"), "middle"),
    ]
    if now.kept:
        kept: Wiped = now.kept.result
        parts.append(Line(now.number(kept.time, "time"), now.number(kept.left, "remaining"), "kept", "dashed"))
    return chart(
        now.axis("time", 0, end, "since the wipe"), now.axis("remaining", 0, 1, "solvent on the panel"), parts
    )


def say(now: Now) -> str:
    found: Wiped = now.result
    air = found.air
    return (
        f"{now.text('wet_film')} of {solvents.in_words(now['solvent'])} left by the cloth at "
        f"{now.text('temperature')} go in {now.show(found.dry, 'time')}; solvent that has crept into scratches, "
        f"seams and fresh surfacer takes longer. Once all {now.text('liquid_volume')} from cloth and panel have "
        f"evaporated into {now.text('room_volume')} of closed room, the air on average holds "
        f"{now.show(air.vapour, 'vapour_ppm', 2)}: {now.show(air.times_limit, 'limits_reached', 2)} times the "
        f"limit for health and {now.show(air.of_explosive_limit, 'explosive_share', 2)} of what burns; far more "
        "at the cloth and on the floor. Open the door, and leave no cloth in the room."
    )


bench = Bench(
    title="The last wipe leaves",
    about="Isopropyl alcohol, or something like a slow or fast wax-and-grease remover; yours is what its data sheet "
    "says. Air moves over the panel at 0.25 m/s (50 ft/min).",
    controls={
        "solvent": Control("isopropanol", options=("isopropanol", *solvents.OPTIONS)),
        "wet_film": Control("10 µm", slider=(2, 40, 1), slider_us=(0.1, 1.6, 0.05), label="film the cloth leaves"),
        "temperature": Control("20 °C", slider=(5, 35, 1), slider_us=(41, 95, 1)),
        "liquid_volume": Control("50 mL", slider=(5, 300, 5), slider_us=(0.25, 10, 0.25)),
        "room_volume": "45 m³",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["transfer_speed", "speed_exponent", "mackay-2014", "niosh-idlh"],
)
