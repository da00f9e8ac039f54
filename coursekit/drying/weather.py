"""Dew point, the panel's margin over it, and a panel that is slower to warm than the air."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit.constants import FREEZING
from coursekit.quantities import InputError, RangeError, Real, Scalar, Value, in_range, public, shown
from coursekit.sources import coefficient

# Magnus over liquid water.
_PRESSURE, _SLOPE, _SHIFT = 610.94, 17.625, 243.04
COLDEST, WARMEST = FREEZING - 40, FREEZING + 50
MARGIN_ISO = 3.0  # K
MARGIN_US = 5 / 1.8  # 5 °F
# What the published application conditions name: temperature of air and sheet, relative humidity.
COLDEST_SHEET, WARMEST_SHEET, DAMPEST = FREEZING + 16, FREEZING + 38, 0.85
FLOOR = FREEZING + 10  # 50 °F, the lowest any of the texts names
STEPS = 96  # quarters of an hour in a day
SUNRISE, AFTERNOON = 6.0, 15.0  # hours of the coldest and the warmest air (assumed)
# Density times specific heat, J/m³K.
_HEAT = {"steel": 7850 * 480.0, "aluminium": 2700 * 900.0, "plastic": 1000 * 1700.0}


def _exponent(temperature: Real) -> Real:
    celsius = temperature - FREEZING
    return _SLOPE * celsius / (_SHIFT + celsius)


@public(gives="water_pressure")
def saturation_pressure(temperature: Real) -> Real:
    """Pressure of water vapour in air that can hold no more, over liquid water.

    temperature: -40 to 50 °C
    Gives (...) Pa.
    Holds within 0.4 %. Source: magnus, eq. 21.
    """
    in_range("temperature", temperature, COLDEST, WARMEST)
    return _PRESSURE * np.exp(_exponent(temperature))


@public(gives="dew_point")
def dew_point(temperature: Real, humidity: Real) -> Real:
    """Temperature at which water begins to settle out of this air.

    temperature: -40 to 50 °C
    Gives (...) K. Raises RangeError out of those ranges, and for air so dry that its dew point is under -40 °C.
    Holds within 0.1 K; below 0 °C frost settles a little before dew would. Source: magnus, inverted.
    """
    in_range("temperature", temperature, COLDEST, WARMEST)
    exponent = np.log(humidity) + _exponent(temperature)
    driest = np.exp(_exponent(COLDEST) - _exponent(temperature))
    if np.any(exponent < _exponent(COLDEST) - 1e-9):
        dry = np.asarray(humidity < driest * (1 - 1e-9)) & np.ones_like(np.asarray(driest), dtype=bool)
        value, low = (np.broadcast_to(a, dry.shape)[dry].flat[0] for a in (humidity, driest))
        raise RangeError("humidity", value, low, 1, "So dry, the dew point is under -40 °C: far from any dew.")
    return FREEZING + _SHIFT * exponent / (_SLOPE - exponent)


@public(gives="humidity")
def humidity_at(temperature: Real, dew_point: Real) -> Real:
    """Relative humidity of air with that dew point, when it is warmed or cooled to a temperature.

    temperature: -40 to 50 °C
    dew_point: not above the temperature
    Gives (...) share. Raises RangeError out of those ranges, or when the dew point is above the air.
    Holds within 0.8 %. Source: magnus.
    """
    in_range("temperature", temperature, COLDEST, WARMEST)
    in_range("dew_point", dew_point, COLDEST, np.max(temperature), "Air is never colder than its dew point.")
    if np.any(np.asarray(dew_point) > np.asarray(temperature) + 1e-9):
        raise RangeError(
            "dew_point", np.max(dew_point), COLDEST, np.min(temperature), "Air is never colder than its dew point."
        )
    return np.exp(_exponent(dew_point) - _exponent(temperature))


class DewMargin(NamedTuple):
    """How far the panel is above the dew point, and what is left of it after the two published margins."""

    margin: Value
    dew_point: Value
    beyond_iso: Value  # margin less 3 K
    beyond_us: Value  # margin less 5 °F


@public(
    gives={"margin": "dew_margin", "dew_point": "dew_point", "beyond_iso": "dew_margin", "beyond_us": "dew_margin"}
)
def dew_margin(panel_temperature: Real, temperature: Real, humidity: Real) -> DewMargin:
    """Margin of the panel over the dew point, against 3 K (ISO) and 5 °F (US text).

    temperature: -40 to 50 °C
    Gives DewMargin; a negative `beyond_iso` or `beyond_us` is how much that margin is missed by.
    Holds within 0.1 K for the dew point. Source: magnus; iso-8502-4; mil-hdbk-1110-weather, §9.6.6.
    """
    dew = dew_point.si(temperature, humidity)
    margin = panel_temperature - dew
    return DewMargin(margin, dew, margin - MARGIN_ISO, margin - MARGIN_US)


@public(gives="panel_lag")
def sheet_lag(
    sheet: str, sheet_thickness: Real, faces: Real, film_coefficient: Real = coefficient("air_film_coefficient")
) -> Real:
    """Time in which a bare sheet makes up 63 % of its difference from the air.

    sheet_thickness: of the skin alone
    Gives (...) s: heat held by the sheet over heat passed to the air.
    Holds for the skin alone; frame, glass and floor make a whole body far slower. Source: derived-here; sheet-heat.
    """
    return _HEAT[sheet] * sheet_thickness / (film_coefficient * faces)


@public(gives="panel_temperature")
def panel_after(air_before: Real, air_now: Real, elapsed: Real, panel_lag: Real = coefficient("panel_lag")) -> Real:
    """Temperature of the panel some time after the air was warmed or cooled.

    air_before: the panel began there too
    elapsed: since the air changed
    Gives (...) K.
    Holds for a panel of one temperature through (no sun, no lamp). Source: derived-here, first-order lag.
    """
    return air_now + (air_before - air_now) * np.exp(-elapsed / panel_lag)


class Day(NamedTuple):
    """A day in quarters of an hour from midnight; the last axis is time."""

    clock: Value
    air: Value
    panel: Value
    dew_point: Value
    humidity: Value
    margin: Value


@public(
    gives={
        "clock": "elapsed",
        "air": "temperature",
        "panel": "panel_temperature",
        "dew_point": "dew_point",
        "humidity": "humidity",
        "margin": "dew_margin",
    }
)
def day(coldest: Real, warmest: Real, dew_point: Real, panel_lag: Real = coefficient("panel_lag")) -> Day:
    """Air, panel and dew point through a day that repeats the day before.

    coldest: at 6 in the morning
    warmest: at 3 in the afternoon
    dew_point: the water in the air; dew or fog takes what colder air cannot hold
    Gives Day, each (..., 96). Raises RangeError out of those ranges or when coldest is above warmest.
    Holds for shade and settled weather; the shape of the day (two half-cosines) is assumed.
    Source: magnus; assumed-here, first-order lag derived.
    """
    if np.any(np.asarray(coldest) > np.asarray(warmest)):
        raise RangeError("coldest", np.max(coldest), COLDEST, np.min(warmest), "Exchange coldest and warmest.")
    cold, warm, dew, lag = (np.asarray(a, dtype=float)[..., None] for a in (coldest, warmest, dew_point, panel_lag))
    hour = np.arange(STEPS) * 24 / STEPS
    rising = (hour >= SUNRISE) & (hour < AFTERNOON)
    night = 24 - (AFTERNOON - SUNRISE)
    phase = np.where(rising, (AFTERNOON - hour) / (AFTERNOON - SUNRISE), ((hour - AFTERNOON) % 24) / night)
    air = (warm + cold) / 2 + (warm - cold) / 2 * np.cos(np.pi * phase)
    # The lag of a day that repeats, wave by wave: exact, and one call for many lags.
    waves = np.fft.rfft(air, axis=-1)
    turn = 2 * np.pi * np.arange(waves.shape[-1]) / 86400
    panel = np.fft.irfft(waves / (1 + 1j * turn * lag), n=STEPS, axis=-1)
    dew = np.minimum(dew, air) + 0 * panel
    air = air + 0 * panel
    humidity = np.exp(_exponent(dew) - _exponent(air))
    return Day(hour * 3600.0, air, panel, dew, humidity, panel - dew)


class Hour(NamedTuple):
    """One hour of a day with what is against painting in it; an empty `against` is only silence."""

    clock: str
    air: Value
    panel: Value
    margin: Value
    humidity: Value
    against: tuple[str, ...]


def _both(value: float, name: str) -> str:
    return f"{shown(value, name)} ({shown(value, name, 'us')})"


@public(gives={"air": "temperature", "panel": "panel_temperature", "margin": "dew_margin", "humidity": "humidity"})
def hours(
    coldest: Scalar, warmest: Scalar, dew_point: Scalar, panel_lag: Scalar = coefficient("panel_lag")
) -> tuple[Hour, ...]:
    """Each hour of a day with its figures and the reasons against painting in it.

    coldest: at 6 in the morning
    warmest: at 3 in the afternoon
    dew_point: the water in the air
    Gives 24 of Hour. Raises RangeError as `day`, InputError for arrays.
    Holds as `day`; the paint's own data sheet comes first.
    Source: ufgs-09973; tm-43-0139, §3-6; iso-8502-4; mil-hdbk-1110-weather, §9.6.6.
    """
    for argument, value in (
        ("coldest", coldest),
        ("warmest", warmest),
        ("dew_point", dew_point),
        ("panel_lag", panel_lag),
    ):
        _one_value(argument, value)
    of_day = day.si(coldest, warmest, dew_point, panel_lag)
    every = STEPS // 24
    found = []
    for hour in range(24):
        air, panel, _, humidity, margin = (float(a[hour * every]) for a in of_day[1:])
        found.append(Hour(f"{hour:02d}:00", air, panel, margin, humidity, _against(air, panel, margin, humidity)))
    return tuple(found)


def _one_value(argument: str, value: Any) -> None:
    if np.ndim(value):
        raise InputError(argument, "is a list.", "Give one value.", kind="list")


def _against(air: float, panel: float, margin: float, humidity: float) -> tuple[str, ...]:
    reasons = []
    for word, value in (("air", air), ("panel", panel)):
        if value < FLOOR:
            floor = _both(FLOOR, "temperature")
            reasons.append(f"{word} at {_both(value, 'temperature')}, under the floor of {floor}")
        elif value < COLDEST_SHEET:
            said, least = _both(value, "temperature"), _both(COLDEST_SHEET, "temperature")
            reasons.append(f"{word} just under {least}" if said == least else f"{word} at {said}, under {least}")
        if value > WARMEST_SHEET:
            reasons.append(f"{word} at {_both(value, 'temperature')}, over {_both(WARMEST_SHEET, 'temperature')}")
    if margin < 0:
        reasons.append("panel under the dew point: water settles on it")
    elif margin < MARGIN_ISO:
        reasons.append(
            f"panel {_both(margin, 'dew_margin')} over the dew point, under the "
            f"{_both(MARGIN_ISO, 'dew_margin')} of the ISO text"
        )
    if 0 <= margin < MARGIN_US:
        reasons.append(f"and under the {_both(MARGIN_US, 'dew_margin')} of the US text")
    if humidity > DAMPEST:
        reasons.append(
            f"relative humidity {shown(humidity, 'humidity', digits=2)}, over {shown(DAMPEST, 'humidity')}"
        )
    return tuple(reasons)
