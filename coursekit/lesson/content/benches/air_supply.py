"""The trigger held: the receiver falls, the regulator lets go, and the pressure at the cap follows."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.charts import Line, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import Real
from coursekit.spraying.air_line import TriggerPull
from coursekit.uncertain import Band

TIMES = np.linspace(0, 300, 31)  # s
HIGHEST = 10e5  # Pa gauge; the axis stays put
HOSE = 10.0  # m
DRAWS = 1000
GUN = ("passage_ratio", "cap_area", "hose_factor")


class Held(NamedTuple):
    line: TriggerPull  # over TIMES, the gun at the middle of its band
    low_after: Band  # s until the air at the gun is too low; inf when it never is


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


def compute(
    receiver_volume: float,
    from_pressure: float,
    delivery: float,
    regulator_pressure: float,
    bore: float,
    gun_inlet_pressure: float,
) -> Held:
    gun = {key: own.coefficient(key) for key in GUN}
    supply = (receiver_volume, from_pressure, delivery, regulator_pressure)
    line = spraying.trigger_pull.si(TIMES, *supply, HOSE, bore, *(float(c) for c in gun.values()))
    return Held(line, band_si(until_low, gun_inlet_pressure, *supply, bore, *gun.values(), draws=DRAWS))


def draw(now: Now) -> str:
    def bar(pressure: np.ndarray) -> np.ndarray:
        found: np.ndarray = now.number(pressure, "gauge_pressure")
        return found

    line, late = now.result.line, now.result.low_after
    top, low = bar(np.array([HIGHEST])), np.clip(np.array(late), 0, TIMES[-1])
    parts: list[Part] = [
        Line(TIMES, bar(line.receiver_pressure), "receiver"),
        Line(TIMES, bar(line.gun_inlet_pressure), "at the gun", "dashed"),
        Line(TIMES, bar(line.cap_pressure), "at the cap", "dotted"),
    ]
    if low[0] < TIMES[-1]:
        ends = low[[0, 2]]
        parts.append(Shade(ends, [0, 0], top.repeat(2), "somewhere here it gets too low (5 to 95 %)"))
    if now.kept:
        kept = now.kept.result.line
        parts.append(Line(TIMES, bar(kept.receiver_pressure), "kept: receiver", "dash-dot"))
    return chart(
        now.axis("time", 0, TIMES[-1], "time the trigger is held"),
        now.axis("gauge_pressure", 0, HIGHEST, "gauge pressure"),
        parts,
    )


def say(now: Now) -> str:
    line, low = now.result.line, now.result.low_after
    words = (
        f"The gun takes about {now.show(line.air_use[0], 'air_use', 2)} of free air, the compressor gives "
        f"{now.text('delivery')}. Trigger held, {now.text('regulator_pressure')} at the wall are "
        f"{now.show(line.gun_inlet_pressure[0], 'gun_inlet_pressure', 2)} at the gun behind "
        f"{now.show(HOSE, 'length', 2)} of hose and {now.show(line.cap_pressure[0], 'cap_pressure', 2)} at the cap. "
    )
    return words + ending(now, low) + own.measured_words("compressor_delivery")


def ending(now: Now, low: Band) -> str:
    lowest = now.text("gun_inlet_pressure")
    if low.high == 0:
        return f"That is below {lowest} from the start: take a wider hose, or more at the regulator."
    if low.low == 0:
        return f"That may be below {lowest} from the start: look at a gauge at the gun, trigger pulled."
    if np.isinf(low.low):
        return (
            f"The compressor keeps up: the gun always has {lowest}. Whether it may run so long stands on its plate."
        )
    row = "time" if low.middle < 120 else "trigger_duration"
    if np.isinf(low.high):
        middle = "" if np.isinf(low.middle) else f", after {now.show(low.middle, row, 2)} with a gun in the middle,"
        return (
            f"The gun falls below {lowest} after {now.show(low.low, row, 2)} if it takes much air{middle} and "
            "never "
            "if it takes little: then the compressor keeps up."
        )
    return f"The gun falls below {lowest} after {now.show(low, row)}: then let go and let the receiver fill."


bench = Bench(
    title="How long the air lasts",
    about="The regulator holds its setting until the receiver has fallen to it; after that the pressure at the gun "
    "falls with it. The hose is 10 m (33 ft) long, couplers counted in. The compressor runs all the while.",
    controls={
        "receiver_volume": "50 L",
        "from_pressure": Control("8 bar", label="receiver, full"),
        "delivery": "150 L/min",
        "regulator_pressure": Control("2.0 bar", label="regulator at the wall"),
        "bore": "8 mm",
        "gun_inlet_pressure": Control("1.0 bar", outfit=True, label="lowest workable pressure at the gun"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[*GUN, "receiver-balance", "hose-friction", "series-restrictions"],
    measurement="receiver",
)
