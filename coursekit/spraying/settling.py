"""Drops and dust in the air: how fast they sink and stop, dry and stay in the room."""

import numpy as np

from coursekit.quantities import Real, public
from coursekit.spraying.air import FREE_AIR_DENSITY

_VISCOSITY = 1.81e-5  # Pa·s, of air at 20 °C
_FREE_PATH = 66e-9  # m, between collisions of air molecules at 20 °C, 1 atm
_GRAVITY = 9.80665


def slip(diameter: Real) -> Real:
    """How much easier a very small ball moves than Stokes says."""
    knudsen = 2 * _FREE_PATH / diameter
    return 1 + knudsen * (1.257 + 0.4 * np.exp(-1.1 / knudsen))


@public(gives="fall_speed")
def settling_speed(diameter: Real, density: Real = 1000.0) -> Real:
    """Speed at which a drop or a grain of dust sinks through still air.

    diameter  (...) m, 0.1 µm to 1 mm
    density   (...) kg/m³, 0.5 to 4 kg/L   of the drop; 1000 kg/m³ unless given
    Gives (...) m/s. Raises InputError for a wrong unit, RangeError out of those ranges.
    Holds for a ball in air at 20 °C and 1 atm, Reynolds number below 1000. Source: schiller-naumann, cunningham-slip.
    """
    stokes = _GRAVITY * (density - FREE_AIR_DENSITY) * diameter**2 * slip(diameter) / (18 * _VISCOSITY)
    scale = FREE_AIR_DENSITY * diameter / _VISCOSITY  # Reynolds number of 1 m/s
    wanted = stokes * scale
    reynolds = wanted + 0.0
    for _ in range(12):  # Newton from above on Re (1 + 0.15 Re^0.687) = wanted: convex, so it never overshoots
        drag = 0.15 * reynolds**0.687
        reynolds = reynolds - (reynolds * (1 + drag) - wanted) / (1 + 1.687 * drag)
    return reynolds / scale
