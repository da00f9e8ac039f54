"""Drops and dust in the air: how fast they sink and stop, dry and stay in the room."""

import numpy as np

from coursekit.constants import AIR_DENSITY, AIR_VISCOSITY, GRAVITY
from coursekit.quantities import Real, in_range, public

_FREE_PATH = 66e-9  # m, between collisions of air molecules at 20 °C, 1 atm
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
_NODES, _WEIGHTS = 0.5 * (1 + _NODES), 0.5 * _WEIGHTS  # on 0 to 1


def slip(diameter: Real) -> Real:
    """How much easier a very small ball moves than Stokes says."""
    knudsen = 2 * _FREE_PATH / diameter
    return 1 + knudsen * (1.257 + 0.4 * np.exp(-1.1 / knudsen))


@public(gives="fall_speed")
def settling_speed(diameter: Real, density: Real = 1000.0) -> Real:
    """Speed at which a drop or a grain of dust sinks through still air.

    density: of the drop
    Gives (...) m/s.
    Holds for a ball in air at 20 °C and 1 atm, Reynolds number below 1000. Source: schiller-naumann, cunningham-slip.
    """
    stokes = GRAVITY * (density - AIR_DENSITY) * diameter**2 * slip(diameter) / (18 * AIR_VISCOSITY)
    scale = AIR_DENSITY * diameter / AIR_VISCOSITY  # Reynolds number of 1 m/s
    wanted = stokes * scale
    reynolds = wanted
    for _ in range(12):  # Newton from above on Re (1 + 0.15 Re^0.687) = wanted: convex, so it never overshoots
        drag = 0.15 * reynolds**0.687
        reynolds = reynolds - (reynolds * (1 + drag) - wanted) / (1 + 1.687 * drag)
    return reynolds / scale


@public(gives="fall_time")
def fall_time(fall_height: Real, diameter: Real, density: Real = 1000.0) -> Real:
    """Time a drop or a grain of dust takes to sink through still air to the floor.

    density: of the drop
    Gives (...) s.
    Holds in still air; a room's own draught keeps what is below 20 µm up for longer. Source: schiller-naumann.
    """
    found: Real = fall_height / settling_speed.si(diameter, density)
    return found


@public(gives="drift")
def drift_distance(fall_height: Real, diameter: Real, draught: Real, density: Real = 1000.0) -> Real:
    """How far a draught carries a drop while it sinks to the floor.

    density: of the drop
    Gives (...) m; more than the room is long means that it lands everywhere.
    Holds for a steady draught. Source: schiller-naumann.
    """
    found: Real = draught * fall_time.si(fall_height, diameter, density)
    return found


@public(gives="stopping_distance")
def stopping_distance(diameter: Real, drop_speed: Real, density: Real = 1000.0) -> Real:
    """How far a drop flies on through still air before the air has stopped it.

    drop_speed: at the start
    density: of the drop
    Gives (...) m.
    Holds for a ball in still air, Reynolds number below 1000: short of that the air carries small drops to the panel,
    not their own momentum. Source: schiller-naumann, cunningham-slip.
    """
    scale = AIR_DENSITY * diameter / AIR_VISCOSITY
    fastest = 1000 / scale
    if np.any(np.greater(drop_speed, fastest)):
        in_range(
            "drop_speed",
            drop_speed,
            0,
            float(np.min(fastest)),
            "The law of drag ends there: take a smaller or slower drop.",
        )
    relaxation = density * diameter**2 * slip(diameter) / (18 * AIR_VISCOSITY)
    # ∫ dRe / (1 + 0.15 Re^0.687) with Re = root³, by Gauss's rule
    root = np.cbrt(np.asarray(drop_speed * scale))[..., None] * _NODES
    integral = (3 * root**2 / (1 + 0.15 * root**2.061) * _WEIGHTS).sum(axis=-1) * np.cbrt(drop_speed * scale)
    found: Real = relaxation * integral / scale
    return found


@public(gives="removal_rate")
def mist_removal(diameter: Real, air_changes: Real, room_height: Real, density: Real = 1000.0) -> Real:
    """How fast mist leaves the air of a room: what the exchange of air carries out and what sinks to the floor.

    density: of the drop
    Gives (...) 1/s.
    Holds for a well-mixed room without a filter. Source: well-mixed-room.
    """
    found: Real = air_changes + settling_speed.si(diameter, density) / room_height
    return found


@public(gives="mist_half_time")
def mist_half_time(diameter: Real, air_changes: Real, room_height: Real, density: Real = 1000.0) -> Real:
    """Time in which half of the mist of one size leaves the air of a room, once the spraying has stopped.

    density: of the drop
    Gives (...) s; it says nothing about when the air may be breathed.
    Holds for a well-mixed room without a filter. Source: well-mixed-room.
    """
    found: Real = np.log(2) / mist_removal.si(diameter, air_changes, room_height, density)
    return found


@public(gives="mist_concentration")
def room_mist(elapsed: Real, spraying_time: Real, mist_mass: Real, room_volume: Real, removal_rate: Real) -> Real:
    """Mist in the air of a room, while it is sprayed and after.

    elapsed: since the trigger was pulled
    spraying_time: how long mist is made, evenly
    removal_rate: see mist_removal
    Gives (...) kg/m³: how much, never whether it may be breathed.
    Holds for a well-mixed room; near the gun there is many times more. Source: well-mixed-room.
    """
    made = np.minimum(elapsed, spraying_time)
    leaving = np.maximum(removal_rate, 1e-12)
    building = -np.expm1(-leaving * made) / leaving
    found: Real = mist_mass / spraying_time / room_volume * building * np.exp(-leaving * (elapsed - made))
    return found
