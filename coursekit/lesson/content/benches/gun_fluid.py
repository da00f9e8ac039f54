"""Turns of the fluid knob, tip, viscosity and air: how much paint the gun delivers, as a band."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import Real
from coursekit.uncertain import Band

TURNS = np.linspace(0.25, 4, 26)
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


class Delivery(NamedTuple):
    over_turns: Band
    now: Band
    one_turn: float
    four_turns: float
    cap: Band


class Drawn(NamedTuple):
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
) -> Drawn:
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
    return Drawn(cap, delivery)


def compute(
    turns: float, tip_bore: float, kinematic_viscosity: float, density: float, gun_inlet_pressure: float
) -> Delivery:
    gun = {key: own.coefficient(key) for key in UNCERTAIN}
    at = np.append(TURNS, [1.0, turns])
    found = band_si(flow, at, tip_bore, kinematic_viscosity, gun_inlet_pressure, density, *gun.values(), draws=1000)
    low, middle, high = found.delivery
    return Delivery(
        Band(low[:-2], middle[:-2], high[:-2]),
        Band(low[-1], middle[-1], high[-1]),
        middle[-2],
        middle[-3],
        Band(*(float(end[0]) for end in found.cap)),
    )


def draw(now: Now) -> str:
    band = now.number(now.result.over_turns, "fluid_delivery")
    parts: list[Part] = [
        Shade(TURNS, band.low, band.high, "where your gun may lie"),
        Line(TURNS, band.middle, "middle of the band"),
        mark(now, "your setting"),
    ]
    if now.kept:
        kept = now.number(now.kept.result.over_turns, "fluid_delivery")
        parts += [Line(TURNS, kept.middle, "kept", "dashed"), mark(now.kept, "", kept=True)]
    top = max(n.result.over_turns.high[-1] for n in (now, now.kept) if n)
    most = next(end for end in AXES if end >= top or end == AXES[-1])
    return chart(
        now.axis("turns", 0, 4, "turns of the fluid knob out from closed"),
        now.axis("fluid_delivery", 0, most, "paint delivered"),
        parts,
    )


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    low, middle, high = now.number(now.result.now, "fluid_delivery")
    return Mark(now["turns"], middle, label, kept, low, high)


def say(now: Now) -> str:
    found = now.result
    turns = f"{now['turns']:g} turn" + ("" if now["turns"] == 1 else "s")
    return (
        f"With {turns} out, a {now.text('tip_bore')} tip, paint of {now.text('kinematic_viscosity')} and "
        f"{now.text('density')}, "
        f"{now.text('gun_inlet_pressure')} at the gun's inlet ({now.show(found.cap, 'cap_pressure')} at the cap), "
        "the "
        f"gun delivers {now.show(found.now, 'fluid_delivery')}. One turn gives about "
        f"{now.show(found.one_turn, 'fluid_delivery', 2)}, four turns about "
        f"{now.show(found.four_turns, 'fluid_delivery', 2)}: the first turns count most, as the tip's own bore "
        "limits "
        f"the rest. Three cup tests make this band narrow.{own.measured_words('fluid_delivery')}"
    )


bench = Bench(
    title="How much paint the gun delivers",
    about="A gravity gun, trigger pulled fully. Air sucks at the tip: more air, more paint. Of two "
    "paints that run alike through a cup, the heavier one leaves the gun more slowly.",
    controls={
        "turns": Control("2", outfit=True, label="fluid knob, turns out"),
        "tip_bore": Control("1.4 mm", outfit=True),
        "kinematic_viscosity": Control("55 mm²/s", outfit=True),
        "density": Control("1 kg/L", outfit=True, label="density of the paint"),
        "gun_inlet_pressure": Control("0.8 bar", outfit=True, label="air at the gun's inlet"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[*UNCERTAIN, "nozzle-law", "needle-geometry", "series-restrictions"],
    measurement="turns",
)
