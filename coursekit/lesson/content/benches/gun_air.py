"""One number on a gauge, read at the inlet or at the cap: two quite different settings of the gun."""

from __future__ import annotations

import functools
from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.belief import drawn, quantiles
from coursekit.constants import ATMOSPHERE, ROOM_TEMPERATURE
from coursekit.lesson.draw.drawing import HEAVY, Sketch, arrow, label, lines_of
from coursekit.lesson.draw.gun import AXIS, TIP, GunDrawn, gun_cut_open
from coursekit.lesson.draw.picture import Chart, Line, Mark, level, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.spraying.air import HVLP_LIMIT
from coursekit.uncertain import Band

INLETS = np.linspace(0.0, 3.5e5, 36)  # Pa gauge
MOST_AT_CAP = 2e5
DRAWS = 1000


@functools.lru_cache(maxsize=4)
def curves(low: float, middle: float, high: float) -> Band:
    """Cap pressure over inlet pressure; with one uncertain number the ends of the band are its ends."""
    return Band(*(spraying.pressure_at_cap.si(INLETS, ratio) for ratio in (low, middle, high)))


@declare(
    "Which gauge, which pressure",
    gives={
        "inlet": "gun_inlet_pressure",
        "cap": "cap_pressure",
        "speed": "jet_speed",
        "air_use": "air_use",
        "curve": "cap_pressure",
    },
    about="Read with the trigger pulled. The rule for high-volume low-pressure guns is about the cap, not the "
    "inlet; what may be sprayed where is for your local rules.",
    sources=["passage_ratio", "cap_area", "isentropic-flow", "series-restrictions", "hvlp-definition"],
    measurement="gauge",
)
def bench(
    gauge_pressure: float = at(
        "0.8 bar",
        outfit=True,
        name="gun_inlet_pressure",
        label="what the gauge shows",
        slider=(0.1, 3, 0.05),
        slider_us=(1, 45, 1),
    ),
    air_gauge: str = at("inlet", label="where it is read"),
) -> dict[str, Any]:
    ratio, area = own.coefficient("passage_ratio"), own.coefficient("cap_area")
    many = drawn({"ratio": ratio, "area": area}, DRAWS)
    ratios, areas = np.append(many["ratio"], ratio.band), many["area"]
    if air_gauge == "inlet":
        caps = spraying.pressure_at_cap.si(gauge_pressure, ratios)
        inlet = Band(*[gauge_pressure] * 3)
    else:
        caps = np.full(len(ratios), gauge_pressure)
        inlet = Band(*spraying.inlet_for_cap.si(gauge_pressure, np.array(ratio.band[::-1])))
    jet = spraying.cap_jet.si(caps[DRAWS:], ROOM_TEMPERATURE)
    return {
        "inlet": inlet,
        "cap": Band(*caps[DRAWS:]),
        "speed": Band(*jet.speed),
        "mach": jet.mach[1],
        "air_use": quantiles(spraying.gun_air_use.si(caps[:DRAWS], areas)),
        "curve": curves(*ratio.band),
    }


@bench.says
def say(now: Now) -> str:
    if now.air_gauge == "inlet":
        words = f"{now.gauge_pressure} on the gauge at the inlet means {now.cap} at the cap. "
    elif now.inlet.middle > INLETS[-1]:
        words = (
            f"{now.gauge_pressure} at the cap would need more than {now.inlet.of(INLETS[-1])} at the inlet, and "
            "no spray gun of this kind is used like that. "
        )
    else:
        words = f"{now.gauge_pressure} on a test cap needs {now.inlet} at the inlet. "
    absolute = now.figure(now.cap.middle.si + ATMOSPHERE, "atmospheric_pressure")
    words += f"A gauge leaves out the air around us; counted from a vacuum, the cap holds about {absolute}. "
    if now.mach < 1:
        words += f"The jet leaves at {now.speed}, {now.mach:.2g} times the speed of sound. "
    else:
        words += "The jet leaves at the speed of sound: more pressure makes it denser, not faster (choked). "
    return words + f"The gun takes {now.air_use} of free air. {rule(now)}"


def rule(now: Now) -> str:
    limit = f"{now.cap.of(HVLP_LIMIT):2}"
    if now.cap.high <= HVLP_LIMIT:
        return f"That is not above {limit} at the cap, the pressure that the HVLP definition names."
    if now.cap.low > HVLP_LIMIT:
        return f"That is above {limit} at the cap: a gun set like this does not count as HVLP, whatever it is called."
    return (
        f"It may lie on either side of {limit} at the cap, the pressure that the HVLP definition names: only a test "
        "cap can tell."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    inlets, limit = now.inlet.of(INLETS), now.cap.of(HVLP_LIMIT)
    across = now.inlet.axis(INLETS[-1], "gauge at the gun's inlet")
    cap = now.cap.axis(MOST_AT_CAP, "at the cap")
    parts = [
        *shaded(inlets, now.curve, "where your gun may lie", "middle", pinned=None),
        Line([0, cap.high], [0, cap.high], "if both were the same", "dotted"),
        level(limit, across, f"{limit:2} at the cap", "dashed"),
        Mark(now.inlet.middle, now.cap, "your gun"),
    ]
    return [cut_open(now), Chart(across, cap, parts, height=250)]


def cut_open(now: Now) -> Sketch:
    """The gun with a gauge at its inlet and one on a test cap, and how fast the air leaves."""
    inlet, cap = now.inlet.middle, now.cap.middle
    gun = GunDrawn(10, 2, inlet.si / INLETS[-1], fan=0.75, cap=cap.si / MOST_AT_CAP, mist=0)
    told = f"{inlet:2}" if now.air_gauge == "inlet" else f"{now.inlet}"
    end = TIP + 20 + 0.5 * now.speed.middle.si
    jet = [
        arrow(TIP + 18, AXIS, end, AXIS, HEAVY),
        label(TIP + 22, AXIS + 26, f"air leaves at {now.speed}"),
        lines_of(438, 200, ("a test cap is for reading:", "spray no paint through it")),
    ]
    return Sketch([*gun_cut_open(gun, told, f"{now.cap} at the cap"), *jet], height=246)
