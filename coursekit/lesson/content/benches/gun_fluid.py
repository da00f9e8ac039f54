"""Turns of the fluid knob, tip, viscosity and air: how much paint the gun delivers, as a band."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.gun import GunDrawn, gun_cut_open, names, tip_cut_open
from coursekit.lesson.draw.picture import Chart, Mark, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import Real
from coursekit.uncertain import Band

TURNS = np.linspace(0.25, 4, 26)
MOST_AIR = 3.5e5  # Pa, end of the drawn gauge
DROP = 1e-3 / 60 / 300  # m³/s for each drop drawn
AXES = [n * 1e-3 / 60 for n in (0.4, 0.8, 1.6, 3.2)]  # m³/s; the axis stays put until the next one is needed
UNCERTAIN = (
    "passage_ratio",
    "paint_head",
    "suction_share",
    "nozzle_viscosity",
    "needle_half_angle",
    "thread_pitch",
    "land_length",
    "entry_loss",
    "delivery_scale",
)


class Flow(NamedTuple):
    cap: Real
    delivery: Real


def flow(
    turns: Real,
    tip_bore: Real,
    kinematic_viscosity: Real,
    gun_inlet_pressure: Real,
    density: Real,
    passage_ratio: Real,
    paint_head: Real,
    suction_share: Real,
    nozzle_viscosity: Real,
    needle_half_angle: Real,
    thread_pitch: Real,
    land_length: Real,
    entry_loss: Real,
    delivery_scale: Real,
) -> Flow:
    """The gun from its inlet to its tip, so that one draw of each coefficient goes all the way."""
    cap = spraying.pressure_at_cap.si(gun_inlet_pressure, passage_ratio)
    delivery = spraying.fluid_delivery.si(
        turns,
        tip_bore,
        kinematic_viscosity,
        cap,
        density,
        paint_head=paint_head,
        suction_share=suction_share,
        nozzle_viscosity=nozzle_viscosity,
        needle_half_angle=needle_half_angle,
        thread_pitch=thread_pitch,
        land_length=land_length,
        entry_loss=entry_loss,
        delivery_scale=delivery_scale,
    )
    return Flow(cap, delivery)


@declare(
    "How much paint the gun delivers",
    gives={
        "over_turns": "fluid_delivery",
        "flow": "fluid_delivery",
        "one_turn": "fluid_delivery",
        "four_turns": "fluid_delivery",
        "cap": "cap_pressure",
        "back": "tip_bore",  # how far the knob lets the needle draw back
        "open": "part_share",  # of the bore
    },
    about="A gravity-feed gun, trigger pulled fully. Air sucks at the tip: more air, more paint. Of two paints that "
    "run alike through a cup, the heavier one leaves the gun more slowly.",
    sources=[*UNCERTAIN, "nozzle-law", "needle-geometry", "series-restrictions"],
    measurement="turns",
)
def bench(
    turns: float = at("2", outfit=True, label="fluid knob, turns out"),
    tip_bore: float = at("1.4 mm", outfit=True),
    kinematic_viscosity: float = at("55 mm²/s", outfit=True),
    density: float = at("1 kg/L", outfit=True, label="density of the paint"),
    gun_inlet_pressure: float = at("0.8 bar", outfit=True, label="air at the gun's inlet"),
) -> dict[str, Any]:
    gun = [own.coefficient(key) for key in UNCERTAIN]
    places = np.append(TURNS, [1.0, turns])
    found = band_si(flow, places, tip_bore, kinematic_viscosity, gun_inlet_pressure, density, *gun, draws=1000)
    middle = found.delivery.middle
    angle, pitch = (float(own.coefficient(key)) for key in ("needle_half_angle", "thread_pitch"))
    gap = float(spraying.needle_gap.si(turns, tip_bore, angle, pitch))
    return {
        "over_turns": Band(*(end[:-2] for end in found.delivery)),
        "flow": Band(*(end[-1] for end in found.delivery)),
        "one_turn": middle[-2],
        "four_turns": middle[-3],
        "cap": Band(*(float(end[0]) for end in found.cap)),
        "back": turns * pitch,
        "open": gap / (np.pi / 4 * tip_bore**2),
        "half_angle": angle,
        "land": float(own.coefficient("land_length")),
    }


@bench.says
def say(now: Now) -> str:
    return (
        f"The gun delivers {now.flow}. It stands {now.turns:g} turn{'' if now.turns == 1 else 's'} out with a "
        f"{now.tip_bore} tip, paint of {now.kinematic_viscosity} and {now.density}, and {now.gun_inlet_pressure} at "
        f"its inlet: {now.cap} at the cap. One turn gives about {now.one_turn:2}, four turns about "
        f"{now.four_turns:2}: the first turns count most, as the tip's own bore limits the rest. {measured()}"
    ).rstrip()


def measured() -> str:
    """What narrows the band; once there is a cup test, what it said and of which setting."""
    if own.is_measured("fluid_delivery"):
        mine, delivery = own.my_outfit(), own.coefficient("fluid_delivery")
        turns, band = mine.si["turns"], own.shown_band(delivery)
        return f"Your cup test, with {mine.paint.name} at {turns:g} turn{'' if turns == 1 else 's'}, gave {band}."
    return "" if own.is_measured("thread_pitch") else "Three cup tests make this band narrow."


@bench.draws
def draw(now: Now) -> Drawn:
    parts = [
        *shaded(TURNS, now.over_turns, "where your gun may lie", "middle of the band"),
        Mark(now.turns, now.flow, "your setting"),
    ]
    across = now.turns.axis(TURNS[-1], "turns of the fluid knob out from closed")
    chart = Chart(across, now.over_turns.high[-1].axis(AXES, "delivered"), parts, height=232)
    return [cut_open(now), chart]


def cut_open(now: Now) -> Sketch:
    """The gun as it is set, and its tip with the needle to scale."""
    gun = GunDrawn(
        6 * now.turns, now.turns, now.gun_inlet_pressure.si / MOST_AIR, mist=round(now.flow.middle.si / DROP)
    )
    words = (
        f"tip to scale, bore {now.tip_bore}",
        f"needle {now.back:2} back:",
        f"{now.open:2} of the bore open",
    )
    tip = tip_cut_open((438, 66, 198, 118), now.tip_bore.si, now.back.si, now.half_angle, now.land, words)
    return Sketch([*gun_cut_open(gun, f"{now.gun_inlet_pressure}"), *names(), tip], height=246)
