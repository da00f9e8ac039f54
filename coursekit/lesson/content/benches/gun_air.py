"""One number on a gauge, read at the inlet or at the cap: two quite different settings of the gun."""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import drawn, quantiles
from coursekit.constants import ATMOSPHERE, ROOM_TEMPERATURE
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.spraying.air import HVLP_LIMIT
from coursekit.uncertain import Band

INLETS = np.linspace(0.0, 3.5e5, 36)  # Pa gauge
MOST_AT_CAP = 2e5
DRAWS = 1000


class Air(NamedTuple):
    inlet: Band
    cap: Band
    speed: Band
    mach: float
    air_use: Band
    curve: Band


@functools.lru_cache(maxsize=4)
def curves(low: float, middle: float, high: float) -> Band:
    """Cap pressure over inlet pressure; with one uncertain number the ends of the band are its ends."""
    return Band(*(spraying.pressure_at_cap.si(INLETS, ratio) for ratio in (low, middle, high)))


def compute(gauge_pressure: float, air_gauge: str) -> Air:
    ratio, area = own.coefficient("passage_ratio"), own.coefficient("cap_area")
    ends = (ratio.low, float(ratio), ratio.high)
    many = drawn({"ratio": ratio, "area": area}, DRAWS)
    ratios, areas = np.append(many["ratio"], ends), many["area"]
    if air_gauge == "inlet":
        caps = spraying.pressure_at_cap.si(gauge_pressure, ratios)
        inlet = Band(*[gauge_pressure] * 3)
    else:
        caps = np.full(len(ratios), gauge_pressure)
        inlet = Band(*spraying.inlet_for_cap.si(gauge_pressure, np.array(ends[::-1])))
    use = quantiles(spraying.gun_air_use.si(caps[:DRAWS], areas))
    jet = spraying.cap_jet.si(caps[DRAWS:], ROOM_TEMPERATURE)
    return Air(inlet, Band(*caps[DRAWS:]), Band(*jet.speed), jet.mach[1], use, curves(*ends))


def draw(now: Now) -> str:
    across, curve = now.number(INLETS, "gun_inlet_pressure"), now.number(now.result.curve, "cap_pressure")
    ends = now.number(np.array([INLETS[0], INLETS[-1]]), "gun_inlet_pressure")
    limit, most = (now.number(end, "cap_pressure") for end in (HVLP_LIMIT, MOST_AT_CAP))
    parts: list[Part] = [
        Shade(across, curve.low, curve.high, "where your gun may lie"),
        Line(across, curve.middle, "middle"),
        Line([0, most], [0, most], "if both were the same", "dotted"),
        Line(ends, [limit, limit], "10 psi at the cap", "dashed"),
        mark(now, "your gun"),
    ]
    if now.kept:
        parts.append(mark(now.kept, "kept", kept=True))
    return chart(
        now.axis("gun_inlet_pressure", 0, INLETS[-1], "gauge at the gun's inlet"),
        now.axis("cap_pressure", 0, MOST_AT_CAP, "pressure at the cap"),
        parts,
    )


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    low, middle, high = now.number(now.result.cap, "cap_pressure")
    return Mark(now.number(now.result.inlet.middle, "gun_inlet_pressure"), middle, label, kept, low, high)


def say(now: Now) -> str:
    air = now.result
    if now["air_gauge"] == "inlet":
        words = (
            f"{now.text('gauge_pressure')} on the gauge at the inlet are {now.show(air.cap, 'cap_pressure')} at "
            "the cap. "
        )
    elif air.inlet.middle > INLETS[-1]:
        words = (
            f"{now.text('gauge_pressure')} at the cap would ask for more than "
            f"{now.show(INLETS[-1], 'gun_inlet_pressure')} at the inlet, and no spray gun of this kind is used "
            "like that. "
        )
    else:
        words = (
            f"{now.text('gauge_pressure')} on a test cap ask for {now.show(air.inlet, 'gun_inlet_pressure')} at "
            "the inlet. "
        )
    absolute = now.show(air.cap.middle + ATMOSPHERE, "atmospheric_pressure", 3)
    words += f"A gauge leaves out the air around us; counted from nothing there are about {absolute} in the cap. "
    if air.mach < 1:
        words += f"The jet leaves at {now.show(air.speed, 'jet_speed')}, {air.mach:.2g} times the speed of sound. "
    else:
        words += "The jet leaves at the speed of sound: more pressure makes it denser, not faster (choked). "
    return words + f"The gun takes {now.show(air.air_use, 'air_use')} of free air. {rule(now)}"


def rule(now: Now) -> str:
    low, _, high = now.result.cap
    limit = now.show(HVLP_LIMIT, "cap_pressure", 2)
    if high <= HVLP_LIMIT:
        return f"That is not above {limit} at the cap, the pressure that the HVLP definition names."
    if low > HVLP_LIMIT:
        return f"That is above {limit} at the cap: a gun set like this does not count as HVLP, whatever it is called."
    return (
        f"It may lie on either side of {limit} at the cap, the pressure that the HVLP definition names: only a "
        "test cap can tell."
    )


bench = Bench(
    title="Which gauge, which pressure",
    about="Read with the trigger pulled. The rule for high-volume low-pressure guns is about the cap, not the inlet; "
    "what may be sprayed where is for your local rules.",
    controls={
        "gauge_pressure": Control("0.8 bar", label="what the gauge shows"),
        "air_gauge": Control("inlet", label="where it is read"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["passage_ratio", "cap_area", "isentropic-flow", "series-restrictions", "hvlp-definition"],
    measurement="gauge",
)
