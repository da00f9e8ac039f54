"""Too near and it is wet, too far and it is dry: what the distance of the gun does to one pass."""

from __future__ import annotations

import functools
from typing import Any, NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import drawn, quantiles
from coursekit.lesson.content.benches.door_film import Numbers, gun_and_paint, gun_words, sides, usual_hand
from coursekit.lesson.content.benches.runs import share
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart, side_by_side
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import Real
from coursekit.uncertain import Band, Coefficient

DISTANCES = np.linspace(0.12, 0.30, 10)
PRESSURES = np.linspace(0.5e5, 3.0e5, 9)  # Pa gauge, at the gun's inlet
DRAWS = 1000
SPEED = 0.4  # m/s of the table; the film goes with one over the speed
UNCERTAIN = (
    "passage_ratio",
    "suction_share",
    "nozzle_viscosity",
    "delivery_scale",
    "drop_calibration",
    "open_fan",
    "spread_exponent",
    "cut_factor",
    "distance_power",
    "turbulent_floor",
    "evaporation_constant",
)
WETTEST, DRIEST = (150e-6, 400e-6), (0.1, 0.3, 1.0)  # the axes stay put until the next one is needed


class Pass(NamedTuple):
    wet: Band
    dry_spray: Band


class NearFar(NamedTuple):
    over_distance: Pass
    now: Pass
    width: float


def one_pass(gun_inlet_pressure: Real, gun_distance: Real, so: Numbers, **gun: Real) -> Pass:
    """Wet film in the middle of one pass, and the share of it that lands too dry to flow."""
    moved = {"gun_distance": gun_distance, "gun_speed": SPEED, "gun_inlet_pressure": gun_inlet_pressure}
    setting: dict[str, Any] = {**dict(so), **moved, **gun}
    found = spraying.spray_setting.si(**setting)
    depth = spraying.fan_depth.si(gun_distance)
    rate = spraying.solids_rate.si(found.fluid_delivery, dict(so)["volume_solids"], found.captured)
    dry = spraying.stroke_film.si(0.0, 0.0, -1.0, 1.0, SPEED, rate, found.width, depth)
    return Pass(dry * found.wet_film / found.dry_film, found.dry_spray)


@functools.lru_cache(maxsize=2)
def table(known: tuple[tuple[str, Coefficient], ...], so: Numbers) -> Pass:
    """Bands over pressure and distance for every gun that this one may be: once, as it is too slow for a slider."""
    gun = {key: values[:, None, None] for key, values in drawn(dict(known), DRAWS).items()}
    found = one_pass(PRESSURES[:, None], DISTANCES, so, **gun)
    return Pass(*(quantiles(np.broadcast_to(field, (DRAWS, 9, 10))) for field in found))


def compute(gun_distance: float, gun_inlet_pressure: float, gun_speed: float) -> NearFar:
    across, up = sides()
    so = {**gun_and_paint(), **usual_hand(), "panel_width": across, "panel_height": up}
    whole = table(tuple(own.gun().items()), tuple(so.items()))
    place = np.interp(gun_inlet_pressure, PRESSURES, np.arange(len(PRESSURES)))
    low, share = int(place), place - int(place)
    high = min(low + 1, len(PRESSURES) - 1)

    def along(field: Band, factor: float) -> Band:
        return Band(*(factor * ((1 - share) * end[low] + share * end[high]) for end in field))

    wet, dry = along(whole.wet, SPEED / gun_speed), along(whole.dry_spray, 1.0)

    def at(field: Band) -> Band:
        return Band(*(float(np.interp(gun_distance, DISTANCES, end)) for end in field))

    width = float(
        spraying.fan_width.si(
            so["fan_opening"], gun_distance, own.coefficient("open_fan"), own.coefficient("closed_fan")
        )
    )
    return NearFar(Pass(wet, dry), Pass(at(wet), at(dry)), width)


def draw(now: Now) -> str:
    z = now.number(DISTANCES, "gun_distance")
    distance = now.axis("gun_distance", DISTANCES[0], DISTANCES[-1])
    wettest, driest = (
        now.axis(name, 0, next((end for end in ends if end >= most(now, field)), ends[-1]), label)
        for name, field, ends, label in (
            ("wet_film", "wet", WETTEST, "wet film of one pass"),
            ("dry_spray", "dry_spray", DRIEST, "lands too dry to flow"),
        )
    )
    return side_by_side(
        chart(distance, wettest, curve(now, z, "wet", "wet_film"), 400, 330),
        chart(distance, driest, curve(now, z, "dry_spray", "dry_spray"), 400, 330),
    )


def most(now: Now, field: str) -> float:
    return max(float(getattr(n.result.over_distance, field).high.max()) for n in (now, now.kept) if n)


def curve(now: Now, z: np.ndarray, field: str, name: str) -> list[Part]:
    band = now.number(getattr(now.result.over_distance, field), name)
    parts: list[Part] = [Shade(z, band.low, band.high, "where your gun may lie"), Line(z, band.middle)]
    if now.kept:
        kept = now.number(getattr(now.kept.result.over_distance, field), name)
        parts.append(Line(z, kept.middle, "kept", "dashed"))
    for which in (now.kept, now):
        if which:
            low, middle, high = now.number(getattr(which.result.now, field), name)
            at = now.number(which["gun_distance"], "gun_distance")
            parts.append(Mark(at, middle, "" if which is now.kept else "now", which is now.kept, low, high))
    return parts


def say(now: Now) -> str:
    found = now.result.now
    return (
        f"From {now.text('gun_distance')} one pass lays {now.show(found.wet, 'wet_film')} wet; the fan is "
        f"{now.show(now.result.width, 'width')} wide. Of what lands, {share(now, found.dry_spray, 'dry_spray')} is "
        "too dry to flow. Nearer is wetter and runs sooner. Further is drier and rougher."
    )


bench = Bench(
    title="Too near, too far",
    about=lambda: (
        f"{gun_words()} No measured transfer efficiency over distance was found. Trust the direction "
        "more than the size, and the band more than its best estimate."
    ),
    controls={
        "gun_distance": Control("175 mm", outfit=True, slider_us=(4.75, 11.75, 0.25)),
        "gun_inlet_pressure": Control(
            "0.8 bar", outfit=True, label="air at the gun's inlet", slider=(0.5, 3.0, 0.1), slider_us=(8, 43, 1)
        ),
        "gun_speed": Control("0.4 m/s", outfit=True, slider=(0.2, 0.8, 0.02), slider_us=(40, 160, 5)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[*UNCERTAIN, "jet-momentum", "d-squared-law", "moving-bell"],
    measurement="comb",
)
