"""Air through the cap and the gun: gauge and absolute pressure kept apart, choked above 1.893 to 1."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from coursekit.constants import AIR_DENSITY, AIR_GAS, ATMOSPHERE, FREEZING, ROOM_TEMPERATURE
from coursekit.quantities import InputError, Real, Scalar, Value, public, shown
from coursekit.sources import coefficient

HEAT_RATIO = 1.4
HVLP_LIMIT = 68947.6  # Pa gauge, 10 psi at the cap
_LEAST_RATIO, _MOST_RATIO = 0.05, 5.0  # of a gun's passages over its cap


class CapJet(NamedTuple):
    """The jet that leaves a hole of the air cap."""

    mach: Value
    speed: Value
    air_use: Value
    mass_flow: Value
    density: Value

    @property
    def choked(self) -> Value:
        """True where more pressure no longer makes the jet faster, only denser."""
        return self.mach >= 1


def mach_of(ratio: Real) -> Real:
    """Mach number in a hole from absolute pressure before over after; not above 1."""
    found: Real = np.minimum(np.sqrt(5 * (np.power(np.maximum(ratio, 1.0), 2 / 7) - 1)), 1.0)
    return found


@public(
    gives={
        "mach": "mach",
        "speed": "jet_speed",
        "air_use": "air_use_per_area",
        "mass_flow": "air_mass_flux",
        "density": "jet_density",
    }
)
def cap_jet(gauge_pressure: Real, temperature: Real, atmospheric_pressure: Real = ATMOSPHERE) -> CapJet:
    """The air jet of a cap: how fast it is and how much air each square millimetre of open hole takes.

    gauge_pressure: on a gauge at the cap, not at the gun's inlet
    temperature: of the air before the cap
    Gives (...) a CapJet: mach, speed, air_use (free air per effective area), mass_flow (per effective area),
    density where it leaves the hole, and choked. Raises InputError for a wrong unit or an absolute pressure,
    RangeError out of those ranges.
    Holds for dry air and a hole whose effective area is known: a real hole passes 0.8 to 0.95 of its drawn area.
    Source: isentropic-flow.
    """
    before = gauge_pressure + atmospheric_pressure
    mach = mach_of(before / atmospheric_pressure)
    cooling = 1 + 0.2 * mach**2
    speed = mach * np.sqrt(HEAT_RATIO * AIR_GAS * temperature / cooling)
    density = before / (AIR_GAS * temperature) * cooling**-2.5
    return CapJet(mach, speed, density * speed / AIR_DENSITY, density * speed, density)


@public(gives="atmospheric_pressure")
def pressure_at_altitude(altitude: Real) -> Real:
    """Absolute pressure of the open air at a height above the sea, in the standard atmosphere.

    Gives (...) Pa absolute.
    Holds within about 3 %, the weather's own swing. Source: standard-atmosphere.
    """
    return ATMOSPHERE * (1 - 2.25577e-5 * altitude) ** 5.25588


@public(gives="air_use")
def gun_air_use(
    cap_pressure: Real,
    cap_area: Real = coefficient("cap_area"),
    temperature: Real = ROOM_TEMPERATURE,
    atmospheric_pressure: Real = ATMOSPHERE,
) -> Real:
    """Free air that the gun takes while the trigger is pulled.

    Gives (...) m³/s.
    Holds for dry air. Source: isentropic-flow.
    """
    found: Real = cap_jet.si(cap_pressure, temperature, atmospheric_pressure).air_use * cap_area
    return found


def _flow_factor(ratio: Real) -> Real:
    """Mass flow through a hole, per area and pressure before it, up to a constant."""
    mach = mach_of(ratio)
    return mach * (1 + 0.2 * mach**2) ** -3


@public(gives="passage_ratio")
def passages_from_reading(
    gun_inlet_pressure: Real, cap_pressure: Real, atmospheric_pressure: Real = ATMOSPHERE
) -> Real:
    """How wide the gun's own passages are beside the holes of its cap, from one pair of readings.

    cap_pressure: on a test cap at the same time, or both from the gun's label
    Gives (...) number. Raises InputError for a wrong unit or when the cap reads as much as the inlet, RangeError out
    of those ranges.
    Holds for two restrictions in series. Source: series-restrictions.
    """
    if np.any(np.greater_equal(cap_pressure, gun_inlet_pressure)) or np.any(np.equal(cap_pressure, 0)):
        raise InputError(
            "cap_pressure",
            "must lie between nothing and the pressure at the inlet.",
            "Read both with the trigger pulled.",
            kind="impossible",
        )
    inlet, cap = gun_inlet_pressure + atmospheric_pressure, cap_pressure + atmospheric_pressure
    through = inlet * _flow_factor(inlet / cap)
    ratio = cap * _flow_factor(cap / atmospheric_pressure) / np.maximum(through, 1e-9 * inlet)
    if np.any((ratio < 0.99 * _LEAST_RATIO) | (ratio > 1.01 * _MOST_RATIO)):
        raise InputError(
            "cap_pressure",
            "stands to the pressure at the inlet as in no gun: too near or too far off.",
            "Read both again with the trigger pulled, and mind the units.",
            kind="impossible",
        )
    return ratio


def inlet_for(cap_pressure: Real, passage_ratio: Real, atmospheric_pressure: Real = ATMOSPHERE) -> Real:
    """Gauge pressure that the gun's inlet needs for a gauge pressure at the cap, in closed form."""
    cap = cap_pressure + atmospheric_pressure
    # Per area of passage and per cap pressure the gun's passages must pass M (1 + 0.2 M²)^½.
    wanted = _flow_factor(cap / atmospheric_pressure) / passage_ratio
    mach_squared = (np.sqrt(1 + 0.8 * wanted**2) - 1) / 0.4
    free = cap * (1 + 0.2 * mach_squared) ** 3.5
    choked = cap * wanted * 1.2**3
    return np.where(mach_squared < 1, free, choked)[()] - atmospheric_pressure


def solve_rising(function: Callable[[Real], Real], target: Real, high: Real) -> Real:
    """Where a rising function of a number between 0 and high reaches its target, elementwise; high if it never does.

    False position, with the end that stays put weighed down (the Illinois rule): each step costs a call.
    """
    above = function(high) - target
    low = np.zeros(np.broadcast_shapes(np.shape(above), np.shape(high)))
    high, above, was_up = low + high, low + above, np.full(low.shape, -1)
    below = low + function(low) - target
    close, near = 1e-13 * (np.abs(target) + np.abs(above)), 1e-13 * high
    middle = low
    for _ in range(60):
        span = above - below
        share = np.clip(-below / np.where(span > 0, span, 1.0), 0.0, 1.0)
        before, middle = middle, np.where(above <= 0, high, low + share * (high - low))
        value = function(middle) - target
        settled = (np.abs(value) <= close) | (np.abs(middle - before) <= near)
        if np.all(settled | (above <= 0) | (below >= 0)):
            break
        up = np.greater(value, 0)
        low, below = np.where(up, low, middle), np.where(up, np.where(was_up == 1, 0.5 * below, below), value)
        high, above = np.where(up, middle, high), np.where(up, value, np.where(was_up == 0, 0.5 * above, above))
        was_up = up.astype(int)
    return middle[()]


@public(gives="cap_pressure")
def pressure_at_cap(
    gun_inlet_pressure: Real,
    passage_ratio: Real = coefficient("passage_ratio"),
    atmospheric_pressure: Real = ATMOSPHERE,
) -> Real:
    """Pressure at the air cap from the pressure at the gun's inlet, trigger pulled.

    Gives (...) Pa gauge.
    Holds for two restrictions in series with the fan fully open; one pair of readings sets the ratio.
    Source: series-restrictions.
    """
    return solve_rising(
        lambda cap: inlet_for(cap, passage_ratio, atmospheric_pressure), gun_inlet_pressure, gun_inlet_pressure
    )


@public(gives="gun_inlet_pressure")
def inlet_for_cap(
    cap_pressure: Real, passage_ratio: Real = coefficient("passage_ratio"), atmospheric_pressure: Real = ATMOSPHERE
) -> Real:
    """Pressure to set at the gun's inlet, trigger pulled, for a pressure at the air cap.

    Gives (...) Pa gauge.
    Holds for two restrictions in series with the fan fully open. Source: series-restrictions.
    """
    return inlet_for(cap_pressure, passage_ratio, atmospheric_pressure)


@public()
def hvlp_check(cap_pressure: Scalar) -> str:
    """How a pressure at the cap stands to the definition of a high-volume low-pressure gun, in words.

    Gives a sentence; a statement about one number of a rule, never clearance. Raises InputError for a wrong unit
    or a list, RangeError out of that range.
    Holds for the pressure part of the definition only. Source: hvlp-definition, hvlp-state-rule.
    """
    if np.ndim(cap_pressure):
        raise InputError("cap_pressure", "is a list.", "Ask for one pressure at a time.", kind="list")
    reading = f"{shown(cap_pressure, 'cap_pressure')} ({shown(cap_pressure, 'cap_pressure', 'us')}) at the cap"
    limit = f"{shown(HVLP_LIMIT, 'cap_pressure', 'us')} ({shown(HVLP_LIMIT, 'cap_pressure')})"
    if cap_pressure > HVLP_LIMIT * (1 + 1e-9):
        verdict = f"is above {limit}: a gun set like this does not count as HVLP, whatever is stamped on it."
    elif cap_pressure < HVLP_LIMIT / 100:
        verdict = "is next to nothing: one rule wants at least 0.1 psi, and no paint breaks up there."
    else:
        verdict = f"is not above {limit}, the pressure that the HVLP definition names at the cap."
    return (
        f"{reading} {verdict} The gauge at the inlet does not tell this: it takes a test cap. "
        "What may be sprayed, where and with what gun is for your local rules."
    )


@public(gives="actual_flow")
def actual_flow(
    flow: Real, gauge_pressure: Real, temperature: Real = ROOM_TEMPERATURE, atmospheric_pressure: Real = ATMOSPHERE
) -> Real:
    """Volume that a flow of free air takes at the pressure it is at.

    gauge_pressure: where the volume is wanted
    Gives (...) m³/s.
    Holds for air as a perfect gas, within 0.5 %. Source: perfect-gas.
    """
    return flow * ATMOSPHERE / (gauge_pressure + atmospheric_pressure) * temperature / ROOM_TEMPERATURE


_REFERENCES = {  # K, Pa: what makers call standard, normal or free air
    "20 °C, 1 atm": (ROOM_TEMPERATURE, ATMOSPHERE),
    "60 °F, 1 atm": (288.706, ATMOSPHERE),
    "20 °C, 1 bar": (ROOM_TEMPERATURE, 1e5),
    "0 °C, 1 atm": (FREEZING, ATMOSPHERE),
}


@public(gives="flow")
def free_air(stated_flow: Real, stated_at: str) -> Real:
    """Free air (20 °C, 1 atm) in a flow that a plate or a data sheet states at other conditions.

    Gives (...) m³/s. Raises InputError for a wrong unit or other conditions, RangeError out of that range.
    Holds for air as a perfect gas. Source: perfect-gas.
    """
    temperature, pressure = _REFERENCES[stated_at]
    return stated_flow * pressure / ATMOSPHERE * ROOM_TEMPERATURE / temperature
