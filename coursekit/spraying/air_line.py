"""What the gun gets while the trigger is held: receiver, regulator, hose, gun and cap as one line.

Everything upstream follows in closed form from the pressure at the cap. So the fall of the receiver is laid out over
falling cap pressures, and read off at the times asked for.
"""

from typing import NamedTuple

import numpy as np

from coursekit.constants import ATMOSPHERE, ROOM_TEMPERATURE
from coursekit.quantities import Real, Value, public
from coursekit.sources import coefficient
from coursekit.spraying.air import cap_jet, inlet_for, solve_rising
from coursekit.spraying.air_supply import squared_loss

_STEPS = 64
_NEAREST = 1e-4  # last step above the pressure at which the compressor keeps up, as a share of the first


class TriggerPull(NamedTuple):
    """Pressures along the line and the air used, at a time after the trigger was pulled."""

    receiver_pressure: Value
    gun_inlet_pressure: Value
    cap_pressure: Value
    air_use: Value


class GunLine(NamedTuple):
    """The gun and its hose, SI."""

    length: Real
    bore: Real
    passage_ratio: Real
    cap_area: Real
    hose_factor: Real

    def use(self, cap: Real) -> Real:
        """Free air at a gauge pressure at the cap."""
        found: Real = cap_jet.si(cap, ROOM_TEMPERATURE).air_use * self.cap_area
        return found

    def inlet(self, cap: Real) -> Real:
        """Gauge pressure at the gun's inlet."""
        return inlet_for(cap, self.passage_ratio)

    def hose_inlet(self, cap: Real) -> Real:
        """Gauge pressure that the hose needs at its inlet."""
        lost = self.hose_factor * squared_loss(self.use(cap), self.length, self.bore)
        return np.sqrt((self.inlet(cap) + ATMOSPHERE) ** 2 + lost) - ATMOSPHERE


class _Fall(NamedTuple):
    """Curves over falling cap pressure, in the last axis; `steady` is how long the regulator holds."""

    time: np.ndarray
    cap: np.ndarray
    steady: np.ndarray


def _fall(
    line: GunLine, receiver_volume: Real, from_pressure: Real, regulator_pressure: Real, delivery: Real
) -> _Fall:
    set_at = np.minimum(regulator_pressure, from_pressure)
    first = solve_rising(line.hose_inlet, set_at, set_at)
    # Cap pressure at which the gun takes what the compressor gives: there the fall ends.
    last = np.minimum(solve_rising(line.use, delivery, first), first)
    drain = line.use(first) - delivery
    falls = drain > 1e-6 * np.maximum(line.use(first), 1e-9)
    store = receiver_volume / ATMOSPHERE
    steady = np.where(falls, store * (from_pressure - set_at) / np.where(falls, drain, 1.0), np.inf)
    share = np.geomspace(1.0, _NEAREST, _STEPS)
    first, last, delivery, store = (np.asarray(v)[..., None] for v in (first, last, delivery, store))
    cap = last + (first - last) * share
    wide = GunLine(*(np.asarray(v)[..., None] for v in line))
    # dt = V dp / (p_atm (use − delivery)) with dp over d ln(share): even where the drain dies away
    pressure, net = wide.hose_inlet(cap), np.maximum(wide.use(cap) - delivery, 1e-12)
    step = store * -np.diff(pressure, axis=-1) * 0.5 * (1 / net[..., 1:] + 1 / net[..., :-1])
    time = np.concatenate([np.zeros((*step.shape[:-1], 1)), np.cumsum(step, axis=-1)], axis=-1)
    return _Fall(time + steady[..., None], cap, steady)


def _read_off(rising: np.ndarray, values: np.ndarray, at: Real) -> Real:
    """Straight-line reading of values over rising points, elementwise; the end values outside."""
    at = np.asarray(at, dtype=float)[..., None]
    x, y, at = np.broadcast_arrays(rising, values, at)
    after = np.clip((x <= at).sum(axis=-1, keepdims=True), 1, x.shape[-1] - 1)
    x0, y0 = (np.take_along_axis(a, after - 1, -1) for a in (x, y))
    x1, y1 = (np.take_along_axis(a, after, -1) for a in (x, y))
    rises = np.isfinite(x1) & (x1 > x0)  # not where the curve lies at infinity, nor where it is one point
    start = np.where(rises, x0, 0.0)
    share = np.where(rises, (at[..., :1] - start) / np.where(rises, x1 - start, 1.0), 0.0)
    found: Real = (y0 + np.clip(share, 0.0, 1.0) * (y1 - y0))[..., 0]
    return found


@public(
    gives={
        "receiver_pressure": "from_pressure",
        "gun_inlet_pressure": "gun_inlet_pressure",
        "cap_pressure": "cap_pressure",
        "air_use": "air_use",
    }
)
def trigger_pull(
    time: Real,
    receiver_volume: Real,
    from_pressure: Real,
    delivery: Real,
    regulator_pressure: Real,
    length: Real,
    bore: Real,
    passage_ratio: Real = coefficient("passage_ratio"),
    cap_area: Real = coefficient("cap_area"),
    hose_factor: Real = coefficient("hose_factor"),
) -> TriggerPull:
    """Pressure at receiver, gun and cap, and the air used, while the trigger is held.

    time: since it was pulled
    delivery: free air that the compressor gives, running all the while
    regulator_pressure: where the hose begins, set with the trigger pulled
    length: of the hose, couplers counted in
    Gives (...) a TriggerPull: receiver_pressure, gun_inlet_pressure, cap_pressure (Pa gauge) and air_use (m³/s).
    Holds at 20 °C and sea level for a regulator that holds its setting until the receiver has fallen to it.
    Source: receiver-balance, series-restrictions, hose-friction.
    """
    line = GunLine(length, bore, passage_ratio, cap_area, hose_factor)
    fall = _fall(line, receiver_volume, from_pressure, regulator_pressure, delivery)
    cap = _read_off(fall.time, fall.cap, time)
    drain = np.maximum(line.use(cap) - delivery, 0.0)
    steady = from_pressure - np.minimum(time, fall.steady) * np.where(np.isfinite(fall.steady), drain, 0.0) * (
        ATMOSPHERE / receiver_volume
    )
    receiver = np.where(np.less(time, fall.steady), steady, line.hose_inlet(cap))[()]
    return TriggerPull(receiver, line.inlet(cap), cap, line.use(cap))


@public(gives="trigger_duration")
def time_until_low(
    lowest_cap_pressure: Real,
    receiver_volume: Real,
    from_pressure: Real,
    delivery: Real,
    regulator_pressure: Real,
    length: Real,
    bore: Real,
    passage_ratio: Real = coefficient("passage_ratio"),
    cap_area: Real = coefficient("cap_area"),
    hose_factor: Real = coefficient("hose_factor"),
) -> Real:
    """How long the trigger can be held before the pressure at the cap is too low to paint with.

    delivery: free air that the compressor gives, running all the while
    regulator_pressure: where the hose begins, set with the trigger pulled
    length: of the hose, couplers counted in
    Gives (...) s: 0 where it is too low from the start, inf where it never falls so far.
    Holds as `trigger_pull` does. Source: receiver-balance,
    series-restrictions, hose-friction.
    """
    line = GunLine(length, bore, passage_ratio, cap_area, hose_factor)
    fall = _fall(line, receiver_volume, from_pressure, regulator_pressure, delivery)
    lowest = np.asarray(lowest_cap_pressure, dtype=float)
    reached = np.asarray(_read_off(-fall.cap, np.where(np.isfinite(fall.time), fall.time, 0.0), -lowest))
    never = (lowest < fall.cap[..., -1]) | np.isinf(fall.steady)
    return np.where(lowest > fall.cap[..., 0], 0.0, np.where(never, np.inf, reached))[()]
