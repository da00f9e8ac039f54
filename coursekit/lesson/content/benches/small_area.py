"""Why small areas suit small compressors: drops grow while one coat is sprayed, if the air does not last."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.picture import Chart, Mark, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, Units, at, declare
from coursekit.quantities import Real
from coursekit.spraying.drops import SLOWEST
from coursekit.uncertain import Band

TIMES = np.linspace(0, 180, 31)  # s
START, BORE, LENGTH = 6e5, 8e-3, 10.0  # Pa gauge, m, m
MOST_COARSE = 2.0
GUN = ("passage_ratio", "cap_area", "hose_factor")
DRAWS = 2000


class AtCap(NamedTuple):
    cap: Real
    coarser: Real


def sprayed(
    at: Real,
    receiver_volume: float,
    delivery: float,
    regulator_pressure: float,
    turns: float,
    tip_bore: float,
    kinematic_viscosity: float,
    density: float,
    passage_ratio: Real,
    cap_area: Real,
    hose_factor: Real,
) -> AtCap:
    """Air at the cap while the trigger is held, and the drops it makes; their calibration cancels in the ratio."""
    cap = spraying.trigger_pull.si(
        at, receiver_volume, START, delivery, regulator_pressure, LENGTH, BORE, passage_ratio, cap_area, hose_factor
    ).cap_pressure
    flowing = np.maximum(cap, SLOWEST)
    fluid = spraying.fluid_delivery.si(turns, tip_bore, kinematic_viscosity, flowing, density)
    drops = spraying.drop_size.si(fluid, flowing, kinematic_viscosity, density, cap_area=cap_area).mass_median
    return AtCap(cap, np.where(cap > SLOWEST, drops / drops[..., :1], np.inf))


def about(units: Units) -> str:
    mine = own.my_outfit().si
    gun = [units(mine[key], key) for key in ("tip_bore", "kinematic_viscosity", "overlap")]
    return (
        f"The receiver starts at {units(START, 'gauge_pressure'):2}, where the compressor cuts in. Hose: "
        f"{units(LENGTH, 'length'):2} of {units(BORE, 'bore'):2}. Your gun: {gun[0]} tip, paint of {gun[1]}, "
        f"{gun[2]} overlap. The trigger is held throughout (assumed)."
    )


@declare(
    "One coat, one receiver",
    gives={
        "seconds": "time",  # trigger time of one coat
        "first_cap": "cap_pressure",
        "last_cap": "cap_pressure",
        "over_time": "diameter_ratio",  # drops over those at the start; inf where the air breaks up no paint
        "at_end": "diameter_ratio",
    },
    about=about,
    sources=[*GUN, "receiver-balance", "kim-marshall", "nozzle-law", "common-practice"],
    measurement="receiver",
)
def bench(
    panel_width: float = at("1 m", outfit=True, label="width of what you spray"),
    panel_height: float = at("0.6 m", outfit=True, label="height of what you spray"),
    receiver_volume: float = at("50 L"),
    delivery: float = at("150 L/min"),
    regulator_pressure: float = at("2.5 bar", start_us="35 psi", label="regulator at the wall"),
) -> dict[str, Any]:
    mine = own.my_outfit().si
    fan = spraying.fan_width.si(mine["fan_opening"], mine["gun_distance"])
    lead = spraying.least_lead.si(spraying.fan_depth.si(mine["gun_distance"]))
    plan = spraying.coat_plan.si(panel_width, panel_height, fan * (1 - mine["overlap"]), mine["gun_speed"], lead)
    of_paint = [mine[key] for key in ("turns", "tip_bore", "kinematic_viscosity", "density")]
    seconds = float(plan.passes * plan.seconds_per_pass)
    given = [receiver_volume, delivery, regulator_pressure, *of_paint, *(own.coefficient(key) for key in GUN)]
    found = band_si(sprayed, np.append(TIMES, seconds), *given, draws=DRAWS)
    return {
        "seconds": seconds,
        "passes": float(plan.passes),
        "first_cap": Band(*(end[0] for end in found.cap)),
        "last_cap": Band(*(end[-1] for end in found.cap)),
        "over_time": Band(*(end[:-1] for end in found.coarser)),
        "at_end": Band(*(end[-1] for end in found.coarser)),
    }


@bench.says
def say(now: Now) -> str:
    low, middle, high = now.at_end.si
    first, last = f"{now.first_cap}", f"{now.last_cap}"
    air = f"stays at {first}" if first == last else f"begins at {first} and ends at {last}"
    words = (
        f"A coat on {now.panel_width} by {now.panel_height} takes {now.passes:g} passes and {now.seconds:2} of "
        f"trigger. The air at the cap {air}. "
    )
    if high < 1.02:
        words += "The drops stay as they are from the first pass to the last. "
    elif np.isinf(middle):
        words += "Before the end the air no longer breaks up the paint: it spits. "
    elif np.isinf(high):
        words += "With a gun that takes much air, the paint is no longer broken up at the end: it spits. "
    else:
        coarser = now.figure(Band(max(low - 1, 0.0), middle - 1, high - 1), "volume_share")
        words += f"The drops end {coarser} coarser than they began: the last passes lie rougher than the first. "
    return words + (
        "A smaller area, or a pause with the trigger released, lets the receiver catch up. What falling air does to "
        "the shape of the fan is not computed: painters see it shrink and grow heavy in the middle (common "
        f"practice, no source).{own.measured_words('compressor_delivery')}"
    )


@bench.draws
def draw(now: Now) -> Drawn:
    off_chart = 2 * MOST_COARSE  # where the air breaks up no paint; but a number
    end = Band(*(min(end, off_chart) for end in now.at_end.si))
    parts = [
        *shaded(TIMES, now.over_time, "where your gun may lie", "middle of the band"),
        Mark(now.seconds, now.at_end.of(end), "end of your coat"),
    ]
    ratio = now.at_end.axis(MOST_COARSE, "drops, times those at the start", 0.8)
    return Chart(now.seconds.axis(TIMES[-1], "trigger held"), ratio, parts)
