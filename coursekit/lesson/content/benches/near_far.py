"""Too near and it is wet, too far and it is dry: what the distance of the gun does to one pass."""

from __future__ import annotations

import functools
from typing import Any, NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import drawn, quantiles
from coursekit.lesson.content.shared.my_gun import Numbers, gun_and_paint, gun_words, share_words, sides, usual_hand
from coursekit.lesson.draw.drawing import NOT_TO_SCALE, Sketch, label, lines_of
from coursekit.lesson.draw.hand import Stroke, from_the_side
from coursekit.lesson.draw.picture import Chart, Mark, Row, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import Real
from coursekit.uncertain import Band, Coefficient

ACROSS = np.linspace(-0.4, 0.4, 321)  # m
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


@declare(
    "Too near, too far",
    gives={
        "wet_over": "wet_film",  # over distance
        "dry_over": "dry_spray",
        "wet": "wet_film",
        "dry": "dry_spray",
        "width": "width",
    },
    about=lambda units: (
        f"{gun_words(units)} No measured transfer efficiency over distance was found. Trust the direction more than "
        "the size, and the band more than its best estimate."
    ),
    sources=[*UNCERTAIN, "jet-momentum", "d-squared-law", "moving-bell"],
    measurement="comb",
)
def bench(
    gun_distance: float = at("175 mm", outfit=True, slider_us=(4.75, 11.75, 0.25)),
    gun_inlet_pressure: float = at(
        "0.8 bar", outfit=True, label="air at the gun's inlet", slider=(0.5, 3.0, 0.1), slider_us=(8, 43, 1)
    ),
    gun_speed: float = at("0.4 m/s", outfit=True, slider=(0.2, 0.8, 0.02), slider_us=(40, 160, 5)),
) -> dict[str, Any]:
    across, up = sides()
    so = {**gun_and_paint(), **usual_hand(), "panel_width": across, "panel_height": up}
    whole = table(tuple(own.gun().items()), tuple(so.items()))
    place = np.interp(gun_inlet_pressure, PRESSURES, np.arange(len(PRESSURES)))
    low, share = int(place), place - int(place)
    high = min(low + 1, len(PRESSURES) - 1)

    def along(field: Band, factor: float) -> Band:
        return Band(*(factor * ((1 - share) * end[low] + share * end[high]) for end in field))

    def here(field: Band) -> Band:
        return Band(*(float(np.interp(gun_distance, DISTANCES, end)) for end in field))

    wet, dry = along(whole.wet, SPEED / gun_speed), along(whole.dry_spray, 1.0)
    width = spraying.fan_width.si(
        so["fan_opening"], gun_distance, own.coefficient("open_fan"), own.coefficient("closed_fan")
    )
    share = spraying.fan_share.si("beta", ACROSS, width, gun_distance, 0.0, float(own.coefficient("fan_shape")))
    return {
        "one_pass": np.gradient(share, ACROSS),  # of the film over ACROSS
        "wet_over": wet,
        "dry_over": dry,
        "wet": here(wet),
        "dry": here(dry),
        "width": float(width),
    }


@bench.says
def say(now: Now) -> str:
    return (
        f"From {now.gun_distance} one pass lays {now.wet} wet; the fan is {now.width} wide. Of what lands, "
        f"{share_words(now.dry)} is too dry to flow. Nearer is wetter and runs sooner. Further is drier and rougher."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    distances = now.gun_distance.of(DISTANCES)
    across = distances.axis(DISTANCES[-1], low=DISTANCES[0])
    held = Stroke(now.gun_distance.si, 0.0, ACROSS, now.one_pass, now.width.si, 0.0, now.width.si, 0.0, (1.0, 1.0))
    side = Sketch(
        [
            *from_the_side(held, f"{now.gun_distance}", ""),
            lines_of(252, 60, (f"fan {now.width:2} wide,", f"one pass lays {now.wet} wet", f"at {now.gun_speed}")),
            label(252, 190, f"to scale; film drawn {NOT_TO_SCALE}"),
        ],
        height=196,
    )
    charts = Row(
        *(
            Chart(
                across,
                over.axis(ends, label),
                [*shaded(distances, over, "where your gun may lie"), Mark(now.gun_distance, here, "now")],
                400,
                270,
            )
            for over, here, ends, label in (
                (now.wet_over, now.wet, WETTEST, "wet film of one pass"),
                (now.dry_over, now.dry, DRIEST, "lands too dry to flow"),
            )
        )
    )
    return [side, charts]
