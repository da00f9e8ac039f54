"""Drop size over air, by the one correlation that lands on paint sprays, with its band."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.picture import Chart, Mark, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import Real
from coursekit.uncertain import Band

CAPS = np.linspace(0.05e5, 1.5e5, 30)  # Pa gauge
LARGEST = 160e-6  # m; the axis stays put
FINE = 15e-6  # m; drops below it follow the air rather than land (impaction of a paint fan)
DRAWS = 1000  # of equal weight; the ends they give hold against many more (tests/test_draws.py)
UNCERTAIN = ("surface_tension", "nozzle_viscosity", "cap_area", "drop_calibration", "spread_exponent")


class Computed(NamedTuple):
    median: Real
    fine: Real
    ratio: Real
    viscosity: Real


def spray(
    cap_pressure: Real,
    fluid_delivery: Real,
    kinematic_viscosity: Real,
    density: Real,
    surface_tension: Real,
    nozzle_viscosity: Real,
    cap_area: Real,
    drop_calibration: Real,
    spread_exponent: Real,
) -> Computed:
    found = spraying.drop_size.si(
        fluid_delivery,
        cap_pressure,
        kinematic_viscosity,
        density,
        surface_tension=surface_tension,
        nozzle_viscosity=nozzle_viscosity,
        cap_area=cap_area,
        drop_calibration=drop_calibration,
        spread_exponent=spread_exponent,
    )
    fine = spraying.volume_below.si(FINE, found.mass_median, spread_exponent)
    return Computed(found.mass_median, fine, found.air_liquid_ratio, found.nozzle_viscosity)


@declare(
    "How fine the gun breaks up the paint",
    gives={
        "median": "mean_diameter",
        "fine": "volume_share",
        "thin": "viscosity",
        "over_air": "mean_diameter",
        "finer": "volume_share",  # with half as much air again
    },
    about="Near the nozzle. One published correlation, times a calibration that nobody has measured for your gun.",
    sources=[*UNCERTAIN, "kim-marshall", "rosin-rammler"],
)
def bench(
    cap_pressure: float = at("0.25 bar", label="air at the cap"),
    fluid_delivery: float = at("110 mL/min", measured="fluid_delivery", label="paint delivered"),
    kinematic_viscosity: float = at("55 mm²/s", outfit=True),
    density: float = at("1 kg/L", outfit=True, label="density of the paint"),
) -> dict[str, Any]:
    gun = [own.coefficient(key) for key in UNCERTAIN]
    places = np.append(CAPS, [cap_pressure, 1.5 * cap_pressure])
    found = band_si(spray, places, fluid_delivery, kinematic_viscosity, density, *gun, draws=DRAWS)

    def here(band: Band) -> Band:
        return Band(*(np.asarray(end).ravel()[-2 if np.size(end) > 1 else 0] for end in band))

    middle = found.median.middle
    return {
        "median": here(found.median),
        "fine": here(found.fine),
        "ratio": here(found.ratio),
        "thin": here(found.viscosity),
        "over_air": Band(*(end[:-2] for end in found.median)),
        "finer": 1 - middle[-1] / middle[-2],
    }


@bench.says
def say(now: Now) -> str:
    return (
        f"At {now.cap_pressure} at the cap and {now.fluid_delivery} of paint, half of the paint is in drops smaller "
        f"than {now.median}. That is with {now.thin} at the nozzle: paint thins there under shear, and the cup alone "
        f"would say more. {now.fine} of it is in drops below {now.figure(FINE, 'diameter')}, which follow the air "
        "instead of landing. The size itself is only known within a factor of two; the trend is safer: half as much "
        f"air pressure again makes drops about {now.finer:2} smaller."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    caps = now.cap_pressure.of(CAPS)
    parts = [
        *shaded(caps, now.over_air, "where your spray may lie", "middle of the band"),
        Mark(now.cap_pressure, now.median, "your setting"),
    ]
    return Chart(caps.axis(CAPS[-1]), now.median.axis(LARGEST, "median drop"), parts)
