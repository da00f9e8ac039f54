"""Mist in the air of the room while it is sprayed and after: a magnitude, never a permission."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.lesson.draw.picture import Chart, shaded, upright
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

LEAST = 1e-9  # kg/m³ (1 µg/m³) at an hour; nobody reads less
MINUTES = np.linspace(0, 60 * 60.0, 121)
AXES = (50e-6, 100e-6, 250e-6, 500e-6, 1e-3, 2.5e-3, 5e-3, 25e-3)  # kg/m³; stays put until the next is needed
HEIGHT = 2.4  # m
DRYING = 1200.0  # kg/m³ of drying mist


@declare(
    "Mist in the room",
    gives={
        "over_time": "mist_concentration",
        "end": "mist_concentration",
        "hour": "mist_concentration",
        "mass": "mist_mass",
        "half_time": "mist_half_time",
    },
    about="A closed garage whose air is mixed all through. Opening the door or a fan is the air change; ordinary "
    "fans are ignition sources in spray mist.",
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
def bench(
    mixed_volume: float = at("150 mL", label="paint mixed", slider=(50, 1000, 10), slider_us=(2, 34, 1)),
    volume_solids: float = at("42 %", outfit=True),
    spraying_time: float = at("5 min", slider=(1, 30, 1), slider_us=(1, 30, 1)),
    room_volume: float = at("43 m³", slider_us=(700, 7000, 50)),
    air_changes: float = at("2 /h", slider=(0.2, 30, 0.2)),
    diameter: float = at("8 µm", label="diameter of the dried drops", slider=(2, 30, 1), slider_us=(2, 30, 1)),
) -> dict[str, Any]:
    mass = own.band_si(spraying.budget, mixed_volume=mixed_volume, volume_solids=volume_solids).mist
    removal = float(spraying.mist_removal.si(diameter, air_changes, HEIGHT, DRYING))
    times = np.append(MINUTES, spraying_time)
    found = Band(*(spraying.room_mist.si(times, spraying_time, one, room_volume, removal) for one in mass))
    return {
        "over_time": Band(*(end[:-1] for end in found)),
        "end": Band(*(float(end[-1]) for end in found)),
        "hour": Band(*(float(end[-2]) for end in found)),
        "mass": mass,
        "half_time": float(spraying.mist_half_time.si(diameter, air_changes, HEIGHT, DRYING)),
    }


@bench.says
def say(now: Now) -> str:
    hour = f"still {now.hour}" if now.hour.high > LEAST else f"under {now.hour.of(LEAST)}"
    return (
        f"Of {now.mixed_volume} about {now.mass} of dry mist stays in the air. Spread evenly through "
        f"{now.room_volume}, that is {now.end} when the spraying ends, and {hour} an hour after it began. "
        f"Half of it goes in every {now.half_time:2}. Near the gun there is many times more. This shows the size of "
        "it, never when it may be breathed: the data sheet, your rules and supplied air decide that. Isocyanate "
        "vapour is not in this picture at all."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    minutes = now.figure(MINUTES, "elapsed")
    up = now.over_time.axis([*AXES, now.over_time.most], "dry mist in the air")
    parts = [
        *shaded(minutes, now.over_time, "where it may lie", "middle"),
        upright(minutes.of(now.spraying_time), up, "trigger off for good"),
    ]
    return Chart(minutes.axis(MINUTES[-1], "since the first trigger"), up, parts, height=340)
