"""Why small areas suit small compressors: drops grow while one coat is sprayed, if the air does not last."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import Real, shown
from coursekit.spraying.drops import SLOWEST
from coursekit.uncertain import Band

TIMES = np.linspace(0, 180, 31)  # s
START, BORE, LENGTH = 6e5, 8e-3, 10.0  # Pa gauge, m, m
MOST_COARSE = 2.0
GUN = ("passage_ratio", "cap_area", "hose_factor")
DRAWS = 2000


class Sprayed(NamedTuple):
    cap: Real
    coarser: Real


class Coat(NamedTuple):
    seconds: float  # trigger time of one coat
    passes: float
    first_cap: Band
    last_cap: Band
    over_time: Band  # drops over those at the start; inf where the air no longer breaks up the paint
    at_end: Band


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
) -> Sprayed:
    """Air at the cap while the trigger is held, and the drops it makes; their calibration cancels in the ratio."""
    cap = spraying.trigger_pull.si(
        at, receiver_volume, START, delivery, regulator_pressure, LENGTH, BORE, passage_ratio, cap_area, hose_factor
    ).cap_pressure
    flowing = np.maximum(cap, SLOWEST)
    fluid = spraying.fluid_delivery.si(turns, tip_bore, kinematic_viscosity, flowing, density)
    drops = spraying.drop_size.si(fluid, flowing, kinematic_viscosity, density, cap_area=cap_area).mass_median
    return Sprayed(cap, np.where(cap > SLOWEST, drops / drops[..., :1], np.inf))


def compute(
    panel_width: float, panel_height: float, receiver_volume: float, delivery: float, regulator_pressure: float
) -> Coat:
    mine = own.my_outfit().si
    fan = spraying.fan_width.si(mine["fan_opening"], mine["gun_distance"])
    lead = spraying.least_lead.si(spraying.fan_depth.si(mine["gun_distance"]))
    plan = spraying.coat_plan.si(panel_width, panel_height, fan * (1 - mine["overlap"]), mine["gun_speed"], lead)
    of_paint = [mine[key] for key in ("turns", "tip_bore", "kinematic_viscosity", "density")]
    seconds = float(plan.passes * plan.seconds_per_pass)
    given = [receiver_volume, delivery, regulator_pressure, *of_paint, *(own.coefficient(key) for key in GUN)]
    found = band_si(sprayed, np.append(TIMES, seconds), *given, draws=DRAWS)

    def at(band: Band, place: int | slice) -> Band:
        return Band(*(end[place] for end in band))

    return Coat(
        seconds,
        float(plan.passes),
        at(found.cap, 0),
        at(found.cap, -1),
        at(found.coarser, slice(-1)),
        at(found.coarser, -1),
    )


def draw(now: Now) -> str:
    low, middle, high = now.result.over_time
    parts: list[Part] = [
        Shade(TIMES, low, high, "where your gun may lie"),
        Line(TIMES, middle, "middle of the band"),
        mark(now, "end of your coat"),
    ]
    if now.kept:
        parts += [Line(TIMES, now.kept.result.over_time.middle, "kept", "dashed"), mark(now.kept, "", kept=True)]
    return chart(
        now.axis("time", 0, TIMES[-1], "trigger held"),
        now.axis("diameter_ratio", 0.8, MOST_COARSE, "drops, times those at the start"),
        parts,
    )


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    low, middle, high = (min(end, 2 * MOST_COARSE) for end in now.result.at_end)  # off the chart, but a number
    return Mark(now.result.seconds, middle, label, kept, low, high)


def say(now: Now) -> str:
    coat = now.result
    low, middle, high = coat.at_end
    words = (
        f"A coat on {now.text('panel_width')} by {now.text('panel_height')} takes {coat.passes:g} passes and "
        f"{now.show(coat.seconds, 'time', 2)} of trigger. The air at the cap begins at "
        f"{now.show(coat.first_cap, 'cap_pressure')} and ends at {now.show(coat.last_cap, 'cap_pressure')}. "
    )
    if high < 1.02:
        words += "The drops stay as they are from the first pass to the last. "
    elif np.isinf(middle):
        words += "Before the end the air no longer breaks up the paint: it spits. "
    elif np.isinf(high):
        words += "With a gun that takes much air, the paint is no longer broken up at the end: it spits. "
    else:
        coarser = Band(max(low - 1, 0.0), middle - 1, high - 1)
        words += (
            f"The drops end {now.show(coarser, 'volume_share')} coarser than they began: the last passes lie "
            "rougher than the first. "
        )
    return words + (
        "A smaller area, or a pause with the trigger released, lets the receiver catch up. What falling air does to "
        "the shape of the fan is not computed: painters see it shrink and grow heavy in the middle (common practice, "
        f"no source).{own.measured_words('compressor_delivery')}"
    )


def about() -> str:
    mine, system = own.my_outfit(), unit_system.chosen()
    start, hose, bore = (
        shown(*row, system, 2) for row in ((START, "gauge_pressure"), (LENGTH, "length"), (BORE, "bore"))
    )
    gun = [shown(mine.si[key], key, system) for key in ("tip_bore", "kinematic_viscosity", "overlap")]
    return (
        f"The receiver starts at {start}, where the compressor cuts in. Hose: {hose} of {bore}. Your gun: "
        f"{gun[0]} tip, paint of {gun[1]}, {gun[2]} overlap. The trigger is taken as held "
        "throughout."
    )


bench = Bench(
    title="One coat, one receiver",
    about=about,
    controls={
        "panel_width": Control("1 m", outfit=True, label="width of what you spray"),
        "panel_height": Control("0.6 m", outfit=True, label="height of what you spray"),
        "receiver_volume": "50 L",
        "delivery": "150 L/min",
        "regulator_pressure": Control("2.5 bar", label="regulator at the wall"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[*GUN, "receiver-balance", "kim-marshall", "nozzle-law", "common-practice"],
    measurement="receiver",
)
