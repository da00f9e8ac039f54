"""Mist in the air of the room while it is sprayed and after: a magnitude, never a permission."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.lesson.draw.charts import Line, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

MINUTES = np.linspace(0, 60 * 60.0, 121)
AXES = (50e-6, 100e-6, 250e-6, 500e-6, 1e-3, 2.5e-3, 5e-3, 25e-3)  # kg/m³; stays put until the next is needed
HEIGHT = 2.4  # m
DRYING = 1200.0  # kg/m³ of drying mist


class Mist(NamedTuple):
    over_time: Band
    end: Band
    mass: Band
    half_time: float
    hour: Band


def compute(
    mixed_volume: float,
    volume_solids: float,
    spraying_time: float,
    room_volume: float,
    air_changes: float,
    diameter: float,
) -> Mist:
    mass = own.banded(spraying.budget, mixed_volume=mixed_volume, volume_solids=volume_solids).mist
    removal = float(spraying.mist_removal.si(diameter, air_changes, HEIGHT, DRYING))
    times = np.append(MINUTES, spraying_time)
    found = Band(*(spraying.room_mist.si(times, spraying_time, one, room_volume, removal) for one in mass))
    return Mist(
        Band(*(one[:-1] for one in found)),
        Band(*(float(one[-1]) for one in found)),
        mass,
        float(spraying.mist_half_time.si(diameter, air_changes, HEIGHT, DRYING)),
        Band(*(float(one[-2]) for one in found)),
    )


def draw(now: Now) -> str:
    across = now.number(MINUTES, "elapsed")
    band = now.number(now.result.over_time, "mist_concentration")
    parts: list[Part] = [Shade(across, band.low, band.high, "where it may lie"), Line(across, band.middle, "middle")]
    if now.kept:
        kept = now.number(now.kept.result.over_time.middle, "mist_concentration")
        parts.append(Line(across, kept, "kept", "dashed"))
    ends = now.number(now["spraying_time"], "elapsed")
    highest = max(float(n.result.over_time.high.max()) for n in (now, now.kept) if n)
    most = next((end for end in AXES if end >= highest), highest)
    parts.append(Line([ends, ends], [0, now.number(most, "mist_concentration")], "trigger off for good", "dotted"))
    return chart(
        now.axis("elapsed", 0, MINUTES[-1], "since the first trigger"),
        now.axis("mist_concentration", 0, most, "dry mist in the air"),
        parts,
        780,
        340,
    )


def say(now: Now) -> str:
    found = now.result
    return (
        f"Of {now.text('mixed_volume')} about {now.show(found.mass, 'mist_mass')} of dry mist stay in the air. "
        f"Spread evenly through {now.text('room_volume')}, that is {now.show(found.end, 'mist_concentration')} when "
        f"the spraying ends, and still {now.show(found.hour, 'mist_concentration')} an hour after its begin: half "
        f"of it goes in every {now.show(found.half_time, 'mist_half_time', 2)}. Near the gun there is many times "
        "more. This shows the size of it, never when it may be breathed: the data sheet, your rules and supplied "
        "air decide that, and isocyanate vapour is not in this picture at all."
    )


bench = Bench(
    title="Mist in the room",
    about="A closed garage whose air is mixed all through. Opening the door or a fan is the air change; ordinary "
    "fans are ignition sources in spray mist.",
    controls={
        "mixed_volume": Control("150 mL", label="paint mixed", slider=(50, 1000, 10), slider_us=(2, 34, 1)),
        "volume_solids": Control("42 %", outfit=True),
        "spraying_time": Control("5 min", slider=(1, 30, 1), slider_us=(1, 30, 1)),
        "room_volume": Control("43 m³", slider_us=(700, 7000, 50)),
        "air_changes": Control("2 /h", slider=(0.2, 30, 0.2)),
        "diameter": Control("8 µm", label="diameter of the dried drops", slider=(2, 30, 1), slider_us=(2, 30, 1)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[
        "transfer_efficiency",
        "mist_share",
        "airborne_share",
        "dry_film_density",
        "well-mixed-room",
        "schiller-naumann",
    ],
    measurement="transfer",
)
