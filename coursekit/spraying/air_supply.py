"""Receiver, compressor and hose: how long the gun gets its air."""

import math
from typing import NamedTuple

import numpy as np

from coursekit.constants import AIR_DENSITY, AIR_GAS, AIR_VISCOSITY, ATMOSPHERE, FREEZING, ROOM_TEMPERATURE
from coursekit.quantities import InputError, Real, Value, in_range, public
from coursekit.sources import coefficient

_ROUGHNESS = 1e-5  # m, wall of a rubber hose


class HoseLoss(NamedTuple):
    """Pressure lost in a hose, by the law of a smooth one and by an empirical rule for real ones."""

    smooth: Value
    high: Value


def squared_loss(flow: Real, length: Real, bore: Real, temperature: Real = ROOM_TEMPERATURE) -> Real:
    """Absolute pressure before squared less absolute pressure after squared, of a smooth hose."""
    mass_flux = flow * AIR_DENSITY / (math.pi / 4 * bore**2)
    reynolds = np.maximum(mass_flux * bore / AIR_VISCOSITY, 1e-3)
    rough = np.log10(_ROUGHNESS / (3.7 * bore) + 5.74 / np.maximum(reynolds, 2300.0) ** 0.9)
    friction = np.where(reynolds < 2300, 64 / reynolds, 0.25 / rough**2)
    return friction * length / bore * mass_flux**2 * AIR_GAS * temperature


@public(gives={"smooth": "pressure_loss", "high": "pressure_loss"})
def hose_loss(
    flow: Real,
    length: Real,
    bore: Real,
    inlet_pressure: Real,
    couplers: Real = 0.0,
    coupler_length: Real = coefficient("coupler_length"),
) -> HoseLoss:
    """Pressure that an air hose loses, as a pair that brackets real hoses.

    Gives (...) a HoseLoss: smooth (friction in a smooth hose) and high (empirical rule, never below smooth, never
    more than all of the inlet's pressure). Raises InputError for a wrong unit, or when the hose cannot carry the
    Holds for air at 20 °C; the air's own speeding-up, a few per cent, is left out.
    Source: hose-friction, hose-empirical.
    """
    length = length + couplers * coupler_length
    before = inlet_pressure + ATMOSPHERE
    after_squared = before**2 - squared_loss(flow, length, bore)
    mass_flux = flow * AIR_DENSITY / (math.pi / 4 * bore**2)
    # The outlet can be neither below the open air nor faster than sound in a pipe at steady temperature.
    least_squared = np.maximum(ATMOSPHERE**2, mass_flux**2 * AIR_GAS * ROOM_TEMPERATURE)
    if np.any(after_squared < least_squared):
        raise InputError(
            "flow",
            "is more than this hose can carry from that pressure: no solution.",
            "Take a wider or shorter hose, more pressure at its inlet, or less air.",
            kind="no solution",
        )
    smooth = before - np.sqrt(after_squared)
    empirical = 1.6e12 * length * flow**1.85 / ((bore * 1e3) ** 5 * before / 1e3) * 1e3
    return HoseLoss(smooth, np.minimum(np.maximum(empirical, smooth), inlet_pressure))


def _falls(from_pressure: Real, to_pressure: Real) -> Real:
    """How far the receiver falls; refused when it would rise."""
    if np.any(np.greater(to_pressure, from_pressure)):
        raise InputError(
            "to_pressure",
            "is above from_pressure, so the receiver would have to rise.",
            "Swap the two, or ask for the time to fill.",
            kind="order",
        )
    return from_pressure - to_pressure


@public(gives="trigger_duration")
def trigger_time(
    receiver_volume: Real, from_pressure: Real, to_pressure: Real, air_use: Real, delivery: Real
) -> Real:
    """How long the trigger can be pulled while the receiver falls from one pressure to another.

    to_pressure: lowest that still feeds the gun
    Gives (...) s; inf where the compressor gives as much as the gun takes, because the receiver never falls so far.
    Raises InputError for a wrong unit or a receiver that would rise, RangeError out of those ranges.
    Holds at steady temperature; a fast draw-down cools the air and is 5 to 15 % shorter. Source: receiver-balance.
    """
    stored = receiver_volume * _falls(from_pressure, to_pressure) / ATMOSPHERE
    return _over(stored, np.asarray(air_use - delivery))


@public(gives="trigger_duration")
def fill_time(receiver_volume: Real, from_pressure: Real, to_pressure: Real, delivery: Real) -> Real:
    """Time the compressor takes to bring the receiver from one pressure up to another, trigger released.

    to_pressure: at the end, not lower
    Gives (...) s; inf from a compressor that gives nothing. Raises InputError for a wrong unit or a receiver that
    would fall, RangeError out of those ranges.
    Holds at steady temperature. Source: receiver-balance.
    """
    stored = receiver_volume * _rises(from_pressure, to_pressure) / ATMOSPHERE
    return _over(stored, np.asarray(delivery))


@public(gives="delivery")
def delivery_from_fill(receiver_volume: Real, from_pressure: Real, to_pressure: Real, measuring_time: Real) -> Real:
    """Free air that the compressor really delivers, from the time it takes to fill its receiver.

    from_pressure: when the clock starts, 4 bar say
    to_pressure: when it stops, 6 bar say
    Gives (...) m³/s at about the mean of the two pressures. Raises InputError for a wrong unit or a receiver that
    would fall, RangeError out of those ranges.
    Holds within about 5 %, because the air goes in warm. Source: receiver-balance.
    """
    return receiver_volume * _rises(from_pressure, to_pressure) / ATMOSPHERE / measuring_time


def _rises(from_pressure: Real, to_pressure: Real) -> Real:
    if np.any(np.less(to_pressure, from_pressure)):
        raise InputError(
            "to_pressure",
            "is below from_pressure, so the receiver would have to fall.",
            "Swap the two.",
            kind="order",
        )
    return to_pressure - from_pressure


def _over(amount: Real, rate: Real) -> Real:
    """amount / rate; no time for no amount, for ever at no rate."""
    ever = (rate <= 0) & (amount > 0)
    return np.where(ever, np.inf, amount / np.where(rate > 0, rate, 1.0))[()]


@public(gives="duty")
def duty(air_use: Real, trigger_fraction: Real, delivery: Real) -> Real:
    """Share of its time for which the compressor must run.

    delivery: 1 to 5000 L/min
    Gives (...) share; above 1 it cannot keep up, and above 0.5 to 0.6 a small piston compressor runs hot. Raises
    InputError for a wrong unit or no delivery, RangeError out of those ranges.
    Holds over many cycles. Source: receiver-balance, common-practice.
    """
    in_range("delivery", delivery, 1e-3 / 60, 5 / 60, "A compressor that gives nothing has no duty.")
    return air_use * trigger_fraction / delivery


@public(gives="condensate")
def condensed_water(temperature: Real, humidity: Real, gauge_pressure: Real, receiver_temperature: Real) -> Real:
    """Water that drops out of the compressed air on its way through the receiver, per volume of free air.

    temperature: of the air drawn in
    humidity: relative, of the air drawn in
    gauge_pressure: in the receiver
    Gives (...) kg/m³; none where the air stays warm enough to keep it as vapour, and then it drops out in the hose.
    Holds above freezing. Source: magnus-water, receiver-balance.
    """
    drawn_in = _saturated(temperature) * humidity
    # Of one cubic metre of free air only this volume is left to hold vapour.
    squeezed = ATMOSPHERE / (gauge_pressure + ATMOSPHERE) * receiver_temperature / temperature
    return np.maximum(drawn_in - _saturated(receiver_temperature) * squeezed, 0.0)


def _saturated(temperature: Real) -> Real:
    """Water vapour in saturated air, kg/m³."""
    celsius = temperature - FREEZING
    return 611.2 * np.exp(17.62 * celsius / (243.12 + celsius)) / (461.5 * temperature)
