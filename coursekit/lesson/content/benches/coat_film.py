"""The film that one coat leaves, from what the gun delivers and how much of it lands."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band, Coefficient

SPEEDS = np.linspace(0.2, 1.0, 25)  # m/s
AXES = (50e-6, 100e-6, 200e-6, 500e-6, 2000e-6)  # m


class Film(NamedTuple):
    over_speed: Band
    now: Band
    delivery: Coefficient
    transfer: Coefficient


def compute(gun_speed: float, pitch: float, volume_solids: float) -> Film:
    delivery, transfer = own.coefficient("fluid_delivery"), own.coefficient("transfer_efficiency")

    def film(speed: object) -> Band:
        found: Band = own.banded(
            spraying.coat_film,
            fluid_delivery=delivery,
            gun_speed=speed,
            pitch=pitch,
            transfer_efficiency=transfer,
            volume_solids=volume_solids,
        )
        return found

    return Film(film(SPEEDS), film(gun_speed), delivery, transfer)


def draw(now: Now) -> str:
    across, film = now.number(SPEEDS, "gun_speed"), now.number(now.result.over_speed, "dry_film")
    parts: list[Part] = [
        Shade(across, film.low, film.high, "where your film may lie"),
        Line(across, film.middle, "its middle"),
        mark(now, "your coat"),
    ]
    if now.kept:
        parts.append(mark(now.kept, "kept", kept=True))
    most = max(n.result.over_speed.high[0] for n in (now, now.kept) if n)
    end = next((end for end in AXES if end >= most), 1.1 * most)
    return chart(now.axis("gun_speed", 0.2, 1.0), now.axis("dry_film", 0, end), parts)


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    band = now.number(now.result.now, "dry_film")
    return Mark(now.number(now["gun_speed"], "gun_speed"), band.middle, label, kept, band.low, band.high)


def say(now: Now) -> str:
    words = (
        f"At {now.text('gun_speed')} and {now.text('pitch')} from pass to pass one coat leaves "
        f"{now.show(now.result.now, 'dry_film')} dry. "
    )
    told = [
        f"{what} {now.show(Band(c.low, float(c), c.high), c.name)} ({c.kind})"
        for what, c in (("delivery", now.result.delivery), ("transfer", now.result.transfer))
    ]
    return words + (
        f"Behind it stand {told[0]} and {told[1]}. Paint sprayed into a cup for 15 s narrows the first, "
        "a weighed card the second."
    )


bench = Bench(
    title="What one coat leaves",
    controls={
        "gun_speed": Control("0.4 m/s", outfit=True, slider=(0.2, 1.0, 0.01), slider_us=(40, 195, 5)),
        "pitch": "100 mm",
        "volume_solids": Control("40 %", outfit=True, label="volume solids as sprayed"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["fluid_delivery", "transfer_efficiency", "transfer-trials", "derived-here"],
    measurement="delivery",
)
