"""Drop sizes. One published correlation lands on measured paint sprays; the others show what a range is for.

Kim and Marshall's viscous term goes with the air-liquid ratio to the power −1 below 3 and −0.5 above, as printed,
and jumps there by √3. Paint guns work below 3, so that branch is kept and bent smoothly into the other slope:
letting go of the trigger must not make drops jump.
"""

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from coursekit.constants import AIR_DENSITY, ROOM_TEMPERATURE
from coursekit.quantities import InputError, Real, Scalar, Value, in_range, public
from coursekit.sources import coefficient
from coursekit.special import normal_share
from coursekit.spraying.air import cap_jet

LOW_PRESSURE_LIMIT = 68.9e3  # Pa gauge at the cap, 10 psi: there the calibration is the whole correction
SLOWEST = 3.5e3  # Pa gauge at the cap: a jet of 75 m/s, the slowest of the correlation
_FARTHEST = 5.0  # times outside the range of the correlation: beyond, no trend is worth showing
_BEND = 8  # sharpness of the bend at a ratio of 3: within 0.1 % of the printed branch at 1.7


class SprayState(NamedTuple):
    """State at the nozzle in SI: liquid, air jet, tip bore and open area of the cap."""

    viscosity: Value
    density: Value
    surface_tension: Value
    liquid_flow: Value  # m³/s
    speed: Value
    air_density: Value
    air_flow: Value  # kg/s
    bore: Value
    area: Value

    @property
    def ratio(self) -> Real:
        """Mass of air per mass of liquid."""
        found: Real = self.air_flow / (self.liquid_flow * self.density)
        return found


def _bent(ratio: Real) -> Real:
    return (1 + (ratio / 3) ** _BEND) ** (0.5 / _BEND) / ratio


def _printed(ratio: Real) -> Real:
    return np.where(np.asarray(ratio) < 3, 1 / ratio, ratio**-0.5)


def _kim_marshall(s: SprayState, viscous: Callable[[Real], Real] = _bent) -> Real:
    first = (
        5.36e-3
        * s.surface_tension**0.41
        * s.viscosity**0.32
        / ((s.air_density * s.speed**2) ** 0.57 * s.area**0.36 * s.density**0.16)
    )
    pull = (s.viscosity**2 / (s.density * s.surface_tension)) ** 0.17
    found: Real = first + 3.44e-3 * pull * viscous(s.ratio) / s.speed**0.54
    return found


def _nukiyama_tanasawa(s: SprayState) -> Real:
    volumes = s.liquid_flow * AIR_DENSITY / s.air_flow
    # 597 µm (μ/√(σρ))^0.45 (1000 Q)^1.5 with μ in poise, the root in cgs units
    pull = 597e-6 * 10**0.45 * 1000**1.5 * (s.viscosity / np.sqrt(s.surface_tension * s.density)) ** 0.45
    found: Real = 0.585 / s.speed * np.sqrt(s.surface_tension / s.density) + pull * volumes**1.5
    return found


def _lorenzetto_lefebvre(s: SprayState) -> Real:
    gas = (1 + 1 / s.ratio) ** 1.70
    first = (
        0.95
        * (s.surface_tension * s.liquid_flow * s.density) ** 0.33
        / (s.speed * s.density**0.37 * s.air_density**0.30)
    )
    found: Real = gas * (first + 0.13 * s.viscosity * np.sqrt(s.bore / (s.surface_tension * s.density)))
    return found


def _rizk_lefebvre(s: SprayState) -> Real:
    gas = 1 + 1 / s.ratio
    first = 0.48 * (s.surface_tension / (s.air_density * s.speed**2 * s.bore)) ** 0.4 * gas**0.4
    found: Real = s.bore * (first + 0.15 * np.sqrt(s.viscosity**2 / (s.surface_tension * s.density * s.bore)) * gas)
    return found


def _el_shanawany_lefebvre(s: SprayState) -> Real:
    weber = s.surface_tension / (s.air_density * s.speed**2 * s.bore)
    first = 0.33 * weber**0.6 * (s.density / s.air_density) ** 0.1
    viscous = 0.068 * np.sqrt(s.viscosity**2 / (s.density * s.surface_tension * s.bore))
    found: Real = s.bore * (1 + 1 / s.ratio) * (first + viscous)
    return found


def _jasuja(s: SprayState) -> Real:
    gas = 1 + 1 / s.ratio
    first = 0.022 * (s.surface_tension / (s.air_density * s.speed**2)) ** 0.45 * gas**0.5
    found: Real = first + 0.00143 * (s.viscosity**2 / (s.surface_tension * s.density)) ** 0.40 * gas**0.8
    return found


class Correlation(NamedTuple):
    """A published fit: its mean (by mass: half of the volume below; Sauter: volume over surface) and its range."""

    compute: Callable[[SprayState], Value]
    mean: str
    range: dict[str, tuple[float, float]]


_KIM_RANGE = {"viscosity": (1e-3, 50e-3), "speed": (75, 393), "ratio": (0.06, 40)}
CORRELATIONS = {
    "Kim and Marshall": Correlation(_kim_marshall, "mass", _KIM_RANGE),
    "Kim and Marshall, as printed": Correlation(lambda s: _kim_marshall(s, _printed), "mass", _KIM_RANGE),
    "Nukiyama and Tanasawa": Correlation(
        _nukiyama_tanasawa,
        "Sauter",
        {"viscosity": (0.3e-3, 50e-3), "density": (700, 1200), "surface_tension": (19e-3, 73e-3)},
    ),
    "Lorenzetto and Lefebvre": Correlation(
        _lorenzetto_lefebvre, "Sauter", {"viscosity": (1e-3, 76e-3), "speed": (60, 180), "ratio": (1, 16)}
    ),
    "Rizk and Lefebvre": Correlation(
        _rizk_lefebvre,
        "Sauter",
        {"viscosity": (1e-3, 10e-3), "speed": (10, 120), "ratio": (2, 8), "bore": (0.55e-3, 0.75e-3)},
    ),
    "El-Shanawany and Lefebvre": Correlation(
        _el_shanawany_lefebvre, "Sauter", {"viscosity": (1e-3, 44e-3), "speed": (60, 190), "bore": (12e-3, 38e-3)}
    ),
    "Jasuja": Correlation(_jasuja, "Sauter", {}),  # fitted to fuels; its range was not found
}
# What the door calls the parts of a state.
_ARGUMENTS = {"speed": "jet_speed", "bore": "tip_bore", "ratio": "air_liquid_ratio"}


def stretch(of: Correlation, s: SprayState) -> Real:
    """How many times the input that lies farthest outside the fit's range is outside; 1 inside, inf if not known."""
    worst: Any = 1.0 if of.range else np.inf
    for part, (low, high) in of.range.items():
        value = np.asarray(getattr(s, part))
        worst = np.maximum(worst, np.maximum(value / high, low / value))
    found: Real = worst + 0 * s.ratio
    return found


class DropMean(NamedTuple):
    """A mean diameter and how far outside its correlation's range it was taken."""

    diameter: Value
    stretch: Value


@public(gives={"diameter": "mean_diameter", "stretch": "stretch"})
def drop_mean(
    correlation: str,
    viscosity: Real,
    density: Real,
    surface_tension: Real,
    fluid_delivery: Real,
    jet_speed: Real,
    jet_density: Real,
    air_flow: Real,
    tip_bore: Real,
    cap_area: Real,
    outside: str = "refuse",
) -> DropMean:
    """Mean drop diameter by one of the published correlations: by mass for Kim and Marshall, Sauter for the others.

    correlation: "Kim and Marshall" (bent at 3), the same "as printed", or another
    viscosity: of the liquid at the nozzle
    jet_speed: 1 to 400 m/s
    tip_bore: stands for the lip of prefilming fits too
    outside: "refuse", or "show" to see what a fit says outside its range
    Gives (...) a DropMean: diameter, and stretch: how many times outside its range the worst input is (1: inside).
    Raises InputError for a wrong unit or a fit without a known range, RangeError outside the fit's range.
    Holds near the nozzle. Source: kim-marshall, nukiyama-tanasawa, lorenzetto-lefebvre, rizk-lefebvre,
    el-shanawany-lefebvre, jasuja.
    """
    in_range("jet_speed", jet_speed, 1.0, 400.0, "No paint breaks up in still air.")
    fit = CORRELATIONS[correlation]
    spray = SprayState(
        viscosity, density, surface_tension, fluid_delivery, jet_speed, jet_density, air_flow, tip_bore, cap_area
    )
    if outside == "refuse":
        if not fit.range:
            raise InputError(
                "correlation",
                f"the range of {correlation} is not known.",
                'Ask with outside="show" to look at it all the same.',
                kind="not computed",
            )
        for part, (low, high) in fit.range.items():
            in_range(
                _ARGUMENTS.get(part, part),
                getattr(spray, part),
                low,
                high,
                f'{correlation} was fitted inside that. Ask with outside="show" to see what it says here.',
            )
    return DropMean(fit.compute(spray), stretch(fit, spray))


class DropSize(NamedTuple):
    """The spray near the nozzle."""

    mass_median: Value
    sauter: Value
    air_liquid_ratio: Value
    nozzle_viscosity: Value
    stretch: Value


@public(
    gives={
        "mass_median": "mean_diameter",
        "sauter": "mean_diameter",
        "air_liquid_ratio": "air_liquid_ratio",
        "nozzle_viscosity": "viscosity",
        "stretch": "stretch",
    }
)
def drop_size(
    fluid_delivery: Real,
    cap_pressure: Real,
    kinematic_viscosity: Real,
    density: Real = 1000.0,
    surface_tension: Real = coefficient("surface_tension"),
    nozzle_viscosity: Real = coefficient("nozzle_viscosity"),
    cap_area: Real = coefficient("cap_area"),
    drop_calibration: Real = coefficient("drop_calibration"),
    spread_exponent: Real = coefficient("spread_exponent"),
    temperature: Real = ROOM_TEMPERATURE,
    drop_pressure_power: Real = coefficient("drop_pressure_power"),
) -> DropSize:
    """Drop sizes of the gun, by the correlation that lands on measured paint sprays, times a calibration.

    cap_pressure: 3.5 kPa to 3.5 bar gauge
    Gives (...) a DropSize: mass_median (half of the volume below) and sauter in m, mass of air per mass of paint,
    the viscosity at the nozzle that was used, and stretch: times outside the range of the fit (1: inside).
    A size is good for comparing settings; alone it means nothing without its `band`.
    Raises InputError for a wrong unit or a state far outside the fit, RangeError out of those ranges.
    Holds near the nozzle. Source: kim-marshall, twin-fluid-trends.
    """
    in_range("cap_pressure", cap_pressure, SLOWEST, 3.5e5, "With less air the paint does not break up into drops.")
    jet = cap_jet.si(cap_pressure, temperature)
    viscosity = kinematic_viscosity * density * nozzle_viscosity
    spray = SprayState(
        viscosity,
        density,
        surface_tension,
        fluid_delivery,
        jet.speed,
        jet.density,
        jet.mass_flow * cap_area,
        1.0,
        cap_area,
    )
    far = stretch(CORRELATIONS["Kim and Marshall"], spray)
    if np.any(far > _FARTHEST):
        raise InputError(
            "fluid_delivery",
            "with this paint and air is over five times outside the formula's range.",
            "Thin the paint, or bring paint and air nearer to each other.",
            kind="not computed",
        )
    median = drop_calibration * _kim_marshall(spray) * (cap_pressure / LOW_PRESSURE_LIMIT) ** -drop_pressure_power
    return DropSize(median, median / median_over_sauter.si(spread_exponent), spray.ratio, viscosity, far)


# --- the spread of sizes ----------------------------------------------------------------------------------

_gamma = np.vectorize(math.gamma, otypes=[float])


@public(gives="diameter_ratio")
def median_over_sauter(spread_exponent: Real) -> Real:
    """Mass median over Sauter mean diameter of a Rosin-Rammler spread.

    spread_exponent: in sprays 2 to 3
    Gives (...) number.
    Holds for exponents above 1. Source: rosin-rammler.
    """
    found: Real = math.log(2) ** (1 / np.asarray(spread_exponent)) * _gamma(1 - 1 / np.asarray(spread_exponent))
    return found


@public(gives="diameter_ratio")
def sauter_over_median(geometric_spread: Real) -> Real:
    """Sauter mean over mass median diameter of a log-normal spread.

    Gives (...) number.
    Holds for any. Source: log-normal.
    """
    return np.exp(-0.5 * np.log(geometric_spread) ** 2)


@public(gives="volume_share")
def volume_below(
    diameter: Real, median_diameter: Real, spread_exponent: Real = coefficient("spread_exponent")
) -> Real:
    """Share of the sprayed volume in drops smaller than a size, for a Rosin-Rammler spread.

    spread_exponent: in sprays 2 to 3
    Gives (...) share.
    Holds for the spray as it leaves the nozzle. Source: rosin-rammler.
    """
    return -np.expm1(-math.log(2) * (diameter / median_diameter) ** spread_exponent)


@public(gives="volume_share")
def volume_below_log_normal(diameter: Real, median_diameter: Real, geometric_spread: Real) -> Real:
    """Share of the sprayed volume in drops smaller than a size, for a log-normal spread.

    Gives (...) share.
    Holds for the spray as it leaves the nozzle. Source: log-normal.
    """
    found: Real = normal_share(np.log(diameter / median_diameter) / np.log(geometric_spread))
    return found


class DropClasses(NamedTuple):
    """Drops sorted by size: in the last axis a diameter and the share of the volume for each class."""

    diameter: Value
    share: Value


@public(gives={"diameter": "diameter", "share": "volume_share"})
def drop_classes(
    median_diameter: Real, spread_exponent: Real = coefficient("spread_exponent"), classes: Scalar = 12
) -> DropClasses:
    """The spray as a few classes of drops with equal volume, each at the diameter that halves it.

    spread_exponent: in sprays 2 to 3
    Gives (..., classes) a DropClasses: diameter in m and share; the shares add up to one.
    Raises InputError for a wrong unit or a part of a class, RangeError out of those ranges.
    Holds for a Rosin-Rammler spread. Source: rosin-rammler.
    """
    if np.ndim(classes) or classes != int(classes):
        raise InputError("classes", "must be one whole number.", "Give for example 12.", kind="form")
    count = int(classes)
    below = (np.arange(count) + 0.5) / count
    median, exponent = (np.asarray(v, dtype=float)[..., None] for v in (median_diameter, spread_exponent))
    diameter = median * (-np.log1p(-below) / math.log(2)) ** (1 / exponent)
    return DropClasses(diameter, np.full(diameter.shape, 1 / count))
