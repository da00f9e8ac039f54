"""Drop size over air, by the one correlation that lands on paint sprays, with its band."""

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

CAPS = np.linspace(0.05e5, 1.5e5, 30)  # Pa gauge
LARGEST = 160e-6  # m; the axis stays put
FINE = 15e-6  # m; drops below it follow the air rather than land (impaction of a paint fan)
DRAWS = 1000  # of equal weight; the ends they give hold against many more (tests/test_draws.py)
UNCERTAIN = ("surface_tension", "nozzle_viscosity", "cap_area", "drop_calibration", "spread_exponent")


class Spray(NamedTuple):
    median: Band
    fine: Band
    ratio: Band
    viscosity: Band
    over_air: Band
    relative: float  # median at half as much air again over the median now


class Drawn(NamedTuple):
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
) -> Drawn:
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
    return Drawn(found.mass_median, fine, found.air_liquid_ratio, found.nozzle_viscosity)


def compute(cap_pressure: float, fluid_delivery: float, kinematic_viscosity: float, density: float) -> Spray:
    gun = [own.coefficient(key) for key in UNCERTAIN]
    at = np.append(CAPS, [cap_pressure, 1.5 * cap_pressure])
    found = band_si(spray, at, fluid_delivery, kinematic_viscosity, density, *gun, draws=DRAWS)

    def here(band: Band) -> Band:
        return Band(*(np.asarray(end).ravel()[-2 if np.size(end) > 1 else 0] for end in band))

    median = found.median
    return Spray(
        here(median),
        here(found.fine),
        here(found.ratio),
        here(found.viscosity),
        Band(*(end[:-2] for end in median)),
        median.middle[-1] / median.middle[-2],
    )


def draw(now: Now) -> str:
    across, band = now.number(CAPS, "cap_pressure"), now.number(now.result.over_air, "mean_diameter")
    parts: list[Part] = [
        Shade(across, band.low, band.high, "where your spray may lie"),
        Line(across, band.middle, "middle of the band"),
        mark(now, "your setting"),
    ]
    if now.kept:
        kept = now.number(now.kept.result.over_air.middle, "mean_diameter")
        parts += [Line(across, kept, "kept", "dashed"), mark(now.kept, "", kept=True)]
    return chart(now.axis("cap_pressure", 0, CAPS[-1]), now.axis("mean_diameter", 0, LARGEST, "median drop"), parts)


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    low, middle, high = now.number(now.result.median, "mean_diameter")
    return Mark(now.number(now["cap_pressure"], "cap_pressure"), middle, label, kept, low, high)


def say(now: Now) -> str:
    drops = now.result
    return (
        f"At {now.text('cap_pressure')} at the cap and {now.text('fluid_delivery')} of paint, half of the paint is "
        "in "
        f"drops smaller than {now.show(drops.median, 'mean_diameter')}, computed with "
        f"{now.show(drops.viscosity, 'viscosity')} at the nozzle (paint thins there under shear: the cup alone would "
        f"say more). {now.show(drops.fine, 'volume_share')} of it is in drops below "
        f"{now.show(FINE, 'diameter')}, which follow the air instead of landing. The size itself is only known "
        "within a "
        f"factor of two; the trend is safer: half as much air pressure again makes drops about "
        f"{now.show(1 - drops.relative, 'volume_share', 2)} smaller."
    )


bench = Bench(
    title="How fine the gun breaks up the paint",
    about="Near the nozzle. One published correlation, times a calibration that nobody has measured for your gun.",
    controls={
        "cap_pressure": Control("0.25 bar", label="air at the cap"),
        "fluid_delivery": Control("110 mL/min", label="paint delivered"),
        "kinematic_viscosity": Control("55 mm²/s", outfit=True),
        "density": Control("1 kg/L", outfit=True, label="density of the paint"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[*UNCERTAIN, "kim-marshall", "rosin-rammler"],
)
