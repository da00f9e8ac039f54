"""The film that one coat leaves, from what the gun delivers and how much of it lands."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.lesson.draw.picture import Chart, Mark, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

SPEEDS = np.linspace(0.2, 1.0, 25)  # m/s
AXES = (50e-6, 100e-6, 200e-6, 500e-6, 2000e-6)  # m


@declare(
    "What one coat leaves",
    gives={"over_speed": "dry_film", "film": "dry_film"},
    sources=["fluid_delivery", "transfer_efficiency", "transfer-trials", "derived-here"],
    measurement="delivery",
)
def bench(
    gun_speed: float = at("0.4 m/s", outfit=True, slider=(0.2, 1.0, 0.01), slider_us=(40, 195, 5)),
    pitch: float = at("100 mm"),
    volume_solids: float = at("40 %", outfit=True, label="volume solids as sprayed"),
) -> dict[str, Any]:
    delivery, transfer = own.coefficient("fluid_delivery"), own.coefficient("transfer_efficiency")

    def film(speed: object) -> Band:
        found: Band = own.band_si(
            spraying.coat_film,
            fluid_delivery=delivery,
            gun_speed=speed,
            pitch=pitch,
            transfer_efficiency=transfer,
            volume_solids=volume_solids,
        )
        return found

    return {"over_speed": film(SPEEDS), "film": film(gun_speed), "delivery": delivery, "transfer": transfer}


@bench.says
def say(now: Now) -> str:
    told = [
        f"{what} {now.figure(known.band, known.name)} ({known.kind})"
        for what, known in (("delivery", now.delivery), ("transfer", now.transfer))
    ]
    return (
        f"At {now.gun_speed} and {now.pitch} from pass to pass one coat leaves {now.film} dry. That rests on "
        f"{told[0]} and {told[1]}. Paint sprayed into a cup for {now.figure(15.0, 'time')} narrows the first, a "
        "weighed card the second."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    speeds = now.gun_speed.of(SPEEDS)
    parts = [
        *shaded(speeds, now.over_speed, "where your film may lie", "best estimate", pinned=None),
        Mark(now.gun_speed, now.film, "your coat"),
    ]
    return Chart(speeds.axis(SPEEDS[-1], low=SPEEDS[0]), now.over_speed.axis(AXES), parts)
