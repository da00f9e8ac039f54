"""Six published formulas for one spray: what each says, and whether it may be asked at all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.figure import Figure
from coursekit.lesson.draw.drops_to_scale import Said, drops_to_scale
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.nomenclature import names
from coursekit.sources import coefficient
from coursekit.uncertain import Band

FORMULAS = tuple(name for name in names()["correlation"].options if "printed" not in name)
MOST = 250e-6  # m
TIP = 1.4e-3  # m
MEASURED = (20e-6, 50e-6)  # m, air spray of paint (paint-maker-glossary)
SAUTER = Band(0.1, 0.2, 0.35)  # how much smaller a Sauter mean is than one by mass


@declare(
    "A formula outside its range",
    gives={"said": spraying.drop_mean},
    about=lambda units: (
        f"Tip of {units(TIP, 'tip_bore')}. Kim and Marshall give the mean by mass, the others the Sauter mean "
        f"(volume over surface), which is {units(SAUTER, 'volume_share')} smaller in the same spray."
    ),
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
def bench(
    viscosity: float = at("33 mPa·s", label="viscosity at the nozzle", slider=(1, 100, 1), slider_us=(1, 100, 1)),
    cap_pressure: float = at("0.7 bar", label="air at the cap"),
    fluid_delivery: float = at("200 mL/min", label="paint delivered"),
    density: float = at("1 kg/L", outfit=True, label="density of the paint"),
) -> dict[str, Any]:
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
    return {"said": {name: spraying.drop_mean.si(name, *state, outside="show") for name in FORMULAS}}


@bench.says
def say(now: Now) -> str:
    size = now.figure(MOST, "mean_diameter")
    inside = {name: said.diameter for name, said in now.said.items() if said.stretch <= 1}
    words = f"One spray, six published formulas: {spread(size, [said.diameter for said in now.said.values()])}. "
    if len(inside) > 1:
        trusted = [float(one) for one in inside.values()]
        words += f"{' and '.join(inside)} are used inside their range, and say {spread(size, trusted)}: "
        words += (
            "being inside the range is needed, but not enough. "
            if max(trusted) > 2 * min(trusted)
            else "where formulas hold, they come near each other. "
        )
    elif inside:
        name, said = next(iter(inside.items()))
        words += f"Only {name} is used inside its range, and says {said:2}. "
    else:
        words += "Not one of them was fitted to a spray like this, so none may be asked. "
    return words + (
        "The crossed-out ones were fitted to thinner liquids, slower air or other nozzles: a formula does not "
        f"know where it ends, so its user must. Drops of paint guns were measured at {spread(size, MEASURED)}. The "
        "course takes Kim and Marshall because it lands there, with a gun's usual air and paint, inside its range; "
        "to land there from far outside is luck."
    )


def spread(size: Figure, sizes: Sequence[Any]) -> Figure:
    low, high = float(min(sizes)), float(max(sizes))
    return size.of(Band(low, low, high))


@bench.draws
def draw(now: Now) -> Drawn:
    size = now.figure(MOST, "mean_diameter")
    rows = []
    for name, said in now.said.items():
        if said.stretch <= 1:
            state = "inside its range"
        else:
            state = "range not known" if np.isinf(said.stretch) else f"{said.stretch:.2g} times outside"
        rows.append(Said(name, said.diameter, said.stretch <= 1, state))
    return drops_to_scale(rows, (size.of(MEASURED[0]), size.of(MEASURED[1])))
