"""Six published formulas for one spray: what each says, and whether it may be asked at all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.nomenclature import names
from coursekit.sources import coefficient
from coursekit.uncertain import Band

FORMULAS = tuple(name for name in names()["correlation"].options if "printed" not in name)
MOST = 250e-6  # m; the axis stays put
TIP = 1.4e-3  # m
MEASURED = (20e-6, 50e-6)  # m, air spray of paint (paint-maker-glossary)


class Said(NamedTuple):
    diameter: float
    stretch: float

    @property
    def inside(self) -> bool:
        return self.stretch <= 1


def compute(viscosity: float, cap_pressure: float, fluid_delivery: float, density: float) -> dict[str, Said]:
    area = float(coefficient("cap_area"))
    jet = spraying.cap_jet.si(cap_pressure, ROOM_TEMPERATURE)
    state = (
        viscosity,
        density,
        float(coefficient("surface_tension")),
        fluid_delivery,
        jet.speed,
        jet.density,
        jet.mass_flow * area,
        TIP,
        area,
    )
    return {name: Said(*(float(v) for v in spraying.drop_mean.si(name, *state, outside="show"))) for name in FORMULAS}


def draw(now: Now) -> str:
    rows = [bar(now, name, said) for name, said in now.result.items()]
    return bars(
        now.axis("mean_diameter", 0, MOST, "what the formula says").label, rows, now.number(MOST, "mean_diameter")
    )


def bar(now: Now, name: str, said: Said) -> Bar:
    if said.inside:
        state = "inside its range"
    elif np.isinf(said.stretch):
        state = "range not known: do not use"
    else:
        state = f"{said.stretch:.2g} times outside its range: do not use"
    size, hatch = now.number(said.diameter, "mean_diameter"), "slant" if said.inside else "cross"
    return Bar(f"{name}, {state}", size, now.show(said.diameter, "mean_diameter"), hatch)


def say(now: Now) -> str:
    found = now.result
    sizes = [said.diameter for said in found.values()]
    inside = [name for name, said in found.items() if said.inside]
    words = f"One spray, six published formulas: {spread(now, sizes)}. "
    trusted = [found[name].diameter for name in inside]
    if len(inside) > 1:
        words += f"{' and '.join(inside)} are used inside their range, and say {spread(now, trusted)}: "
        words += (
            "to be inside is needed, but not enough. "
            if max(trusted) > 2 * min(trusted)
            else "where formulas hold, they come near each other. "
        )
    elif inside:
        words += f"Only {inside[0]} is used inside its range, and says {now.show(trusted[0], 'mean_diameter', 2)}. "
    else:
        words += "Not one of them was fitted to a spray like this, so none may be asked. "
    return words + (
        "The cross-hatched ones were fitted to thinner liquids, slower air or other nozzles: a formula does not know "
        f"where it ends, so its user must. Drops of paint guns were measured at {spread(now, MEASURED)}. The course "
        "takes Kim and Marshall because it lands there, with a gun's usual air and paint, inside its range; to land "
        "there from far outside is luck."
    )


def spread(now: Now, sizes: Sequence[float]) -> str:
    low, high = min(sizes), max(sizes)
    return now.show(Band(low, low, high), "mean_diameter")


bench = Bench(
    title="A formula outside its range",
    about="Tip of 1.4 mm (0.055 in). Kim and Marshall give the mean by mass, the "
    "others the Sauter mean (volume over surface), which is 10 to 35 % smaller in the same spray.",
    controls={
        "viscosity": Control("33 mPa·s", label="viscosity at the nozzle", slider=(1, 100, 1), slider_us=(1, 100, 1)),
        "cap_pressure": Control("0.7 bar", label="air at the cap"),
        "fluid_delivery": Control("200 mL/min", label="paint delivered"),
        "density": Control("1 kg/L", outfit=True, label="density of the paint"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[
        "kim-marshall",
        "nukiyama-tanasawa",
        "lorenzetto-lefebvre",
        "rizk-lefebvre",
        "el-shanawany-lefebvre",
        "jasuja",
        "paint-maker-glossary",
    ],
)
