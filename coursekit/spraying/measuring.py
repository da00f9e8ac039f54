"""What cups, cards and a test cap say of a gun: the functions behind measurements of tables/measurements/."""

from typing import Any

import numpy as np

from coursekit.measurements import Fitted
from coursekit.quantities import InputError
from coursekit.spraying.air import passages_from_reading, pressure_at_cap
from coursekit.spraying.fluid import fit_delivery
from coursekit.spraying.masking import edge_angle_spread
from coursekit.spraying.masking import ramp_width as straight_ramp
from coursekit.spraying.pattern import REFERENCE_DISTANCE, fan_shape


def turns(one_turn: Any, two_turns: Any, three_turns: Any, time: Any, tip_bore: Any, kinematic_viscosity: Any,
          cap_pressure: Any = None, gun_inlet_pressure: Any = None) -> Fitted:  # fmt: skip
    """The gun's coefficients from cup tests at one, two and three turns. Source: cup-test."""
    if (cap_pressure is None) == (gun_inlet_pressure is None):
        raise InputError("cap_pressure", "or gun_inlet_pressure is needed, not both.", "Give what you read.")
    if cap_pressure is None:
        cap_pressure = pressure_at_cap.si(gun_inlet_pressure)
    deliveries = [float(np.mean(paint / time)) for paint in (one_turn, two_turns, three_turns)]
    fixed = (float(np.mean(value)) for value in (tip_bore, kinematic_viscosity, cap_pressure))
    fit = fit_delivery.si([1.0, 2.0, 3.0], deliveries, *fixed)
    if not fit.agrees:
        return Fitted({}, "", fit.words)
    return Fitted(fit.coefficients, fit.words, "")


def pattern(width: Any, gun_distance: Any, middle_film: Any = None, quarter_film: Any = None) -> dict[str, Any]:
    """Width of the open fan at the reference distance, and the shape of its profile. Source: beta-profile."""
    found = {"open_fan": width * REFERENCE_DISTANCE / gun_distance}
    if (middle_film is None) != (quarter_film is None):
        raise InputError("middle_film", "goes with quarter_film.", "Give both or none.")
    if middle_film is not None:
        found["fan_shape"] = fan_shape.si(middle_film, quarter_film)
    return found


def ramp(ramp_width: Any, lip_height: Any, fan_extent: Any, gun_distance: Any) -> dict[str, Any]:
    """How drops' directions spread across one edge, and its ramp over that of straight rays. Source: ray-geometry."""
    spread = edge_angle_spread.si(fan_extent, gun_distance)
    return {"angle_spread": spread, "width_factor": ramp_width / straight_ramp.si(lip_height, spread, 1.0)}


def gauge(air_gauge: str, gun_inlet_pressure: Any = None, cap_pressure: Any = None) -> dict[str, Any]:
    """Which gauge is read is a fact; both readings give the gun's passages. Source: series-restrictions."""
    if (gun_inlet_pressure is None) != (cap_pressure is None):
        raise InputError("cap_pressure", "goes with gun_inlet_pressure.", "Give both or none.")
    if cap_pressure is None:
        return {}
    return {"passage_ratio": passages_from_reading.si(gun_inlet_pressure, cap_pressure)}
