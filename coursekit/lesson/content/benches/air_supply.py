"""The trigger held: the receiver falls, the regulator lets go, and the pressure at the cap follows."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.figure import Figure
from coursekit.lesson.draw.air_line import DENSE, Supply, air_line
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, Shade
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import Real

TIMES = np.linspace(0, 300, 31)  # s
HIGHEST = 12e5  # Pa gauge; the axis stays put
GUN_GAUGE = 4e5  # Pa, end of the drawn gauges behind the regulator
HOSE = 10.0  # m
LARGEST = 200e-3  # m³, the receiver that fills the drawing
LITRES = 60e3  # L/min in 1 m³/s
DRAWS = 1000
GUN = ("passage_ratio", "cap_area", "hose_factor")


def until_low(
    lowest: float,
    receiver_volume: float,
    from_pressure: float,
    delivery: float,
    regulator_pressure: float,
    bore: float,
    passage_ratio: Real,
    cap_area: Real,
    hose_factor: Real,
) -> Real:
    """`time_until_low` for a pressure at the gun's inlet, which is what a learner can read."""
    cap = spraying.pressure_at_cap.si(lowest, passage_ratio)
    found: Real = spraying.time_until_low.si(
        cap,
        receiver_volume,
        from_pressure,
        delivery,
        regulator_pressure,
        HOSE,
        bore,
        passage_ratio,
        cap_area,
        hose_factor,
    )
    return found


@declare(
    "How long the air lasts",
    gives={"line": spraying.trigger_pull, "at_held": spraying.trigger_pull, "low_after": "time"},
    about=lambda units: (
        "The regulator holds its setting until the receiver has fallen to it; after that the pressure at the gun "
        f"falls with it. The hose is {units(HOSE, 'length'):2} long with its couplers. The compressor runs all the "
        "while."
    ),
    sources=[*GUN, "receiver-balance", "hose-friction", "series-restrictions"],
    measurement="receiver",
)
def bench(
    receiver_volume: float = at("50 L"),
    from_pressure: float = at("8 bar", start_us="120 psi", label="receiver, full"),
    delivery: float = at("150 L/min"),
    regulator_pressure: float = at("2.0 bar", start_us="30 psi", label="regulator at the wall"),
    bore: float = at("8 mm"),
    gun_inlet_pressure: float = at("1.0 bar", outfit=True, label="lowest workable pressure at the gun"),
    held: float = at("0 s", name="time", label="trigger held for", slider=(0, 300, 5), slider_us=(0, 300, 5)),
) -> dict[str, Any]:
    gun = {key: own.coefficient(key) for key in GUN}
    supply = (receiver_volume, from_pressure, delivery, regulator_pressure)
    found = spraying.trigger_pull.si(np.r_[TIMES, held], *supply, HOSE, bore, *(float(c) for c in gun.values()))
    return {
        "line": type(found)(*(field[:-1] for field in found)),
        "at_held": type(found)(*(float(field[-1]) for field in found)),
        # until the air at the gun is too low; inf when it never is
        "low_after": band_si(until_low, gun_inlet_pressure, *supply, bore, *gun.values(), draws=DRAWS),
    }


@bench.says
def say(now: Now) -> str:
    line = now.at_held
    held = (
        f"Trigger held for {now.held}, {line.receiver_pressure:2} is left in the receiver. Then"
        if now.held
        else "Trigger held,"
    )
    wall = now.regulator_pressure.of(at_wall(now))
    return (
        f"The gun takes about {line.air_use:2} of free air, the compressor gives {now.delivery}. {held} "
        f"{wall:2} at the wall gives {line.gun_inlet_pressure:2} at the gun behind "
        f"{now.figure(HOSE, 'length'):2} of hose, and {line.cap_pressure:2} at the cap. "
    ) + (ending(now) + own.measured_words("compressor_delivery"))


def at_wall(now: Now) -> float:
    """The regulator's setting, as long as the receiver stands above it."""
    return float(min(now.regulator_pressure.si, now.at_held.receiver_pressure.si))


def ending(now: Now) -> str:
    lowest, after = now.gun_inlet_pressure, now.low_after
    if after.high == 0:
        return f"That is below {lowest} from the start: take a wider hose, or more at the regulator."
    if after.low == 0:
        return f"That may be below {lowest} from the start: look at a gauge at the gun, trigger pulled."
    if np.isinf(after.low):
        return f"The compressor keeps up: the gun always has {lowest}. Its plate says how long it may run."
    told = now.figure(after.si, "time" if after.middle < 120 else "trigger_duration")
    if np.isinf(after.high):
        middle = "" if np.isinf(after.middle) else f", after {told.middle:2} with a gun in the middle,"
        return (
            f"The gun falls below {lowest} after {told.low:2} if it takes much air{middle} and never if it takes "
            "little. Then the compressor keeps up."
        )
    return f"The gun falls below {lowest} after {told}: then let go and let the receiver fill."


@bench.draws
def draw(now: Now) -> Drawn:
    line, late = now.line, np.clip(np.array(now.low_after.si), 0, TIMES[-1])
    pressure = now.figure(HIGHEST, "gauge_pressure").axis(HIGHEST, "gauge pressure")
    parts: list[Part] = [
        Line(TIMES, line.receiver_pressure, "receiver", pinned="pinned: receiver"),
        Line(TIMES, line.gun_inlet_pressure, "at the gun", "dashed"),
        Line(TIMES, line.cap_pressure, "at the cap", "dotted"),
    ]
    if late[0] < TIMES[-1]:
        parts.append(Shade(late[[0, 2]], ([0, 0], [pressure.high] * 2), "somewhere here it gets too low"))
    held = now.low_after.of(now.held.si)
    parts += [Mark(held, line_now, "" if number else "now") for number, line_now in enumerate(places(now))]
    chart = Chart(now.low_after.axis(TIMES[-1], "time the trigger is held"), pressure, parts, height=232)
    return [Sketch(air_line(supply(now)), height=192), chart]


def places(now: Now) -> list[Figure]:
    found = now.at_held
    return [found.receiver_pressure, found.gun_inlet_pressure, found.cap_pressure]


def supply(now: Now) -> Supply:
    """The line at the moment the slider stands at."""
    receiver, inlet, cap = places(now)
    found, wall = now.at_held, now.regulator_pressure.of(at_wall(now))
    volume = 90 + 80 * min(now.receiver_volume.si / LARGEST, 1)
    words = {
        "given": f"gives {now.delivery}",
        "receiver": f"{receiver:2}, {now.receiver_volume}",
        "regulator": f"{wall}",
        "hose": f"{now.figure(HOSE, 'length'):2} of hose, {now.bore}",
        "used": f"takes {found.air_use:2}",
        "inlet": f"{inlet:2}",
        "cap": f"{cap:2}",
    }
    air = round(DENSE * receiver.si / 1e5 * volume / 110)
    shares = (receiver.si / HIGHEST, wall.si / GUN_GAUGE, inlet.si / GUN_GAUGE, cap.si / GUN_GAUGE)
    flows = (now.delivery.si * LITRES, found.air_use.si * LITRES)
    return Supply(shares[0], volume, air, *shares[1:], *flows, bore=now.bore.si * 1e3, words=words)
