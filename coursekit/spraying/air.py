"""Air through the cap and the gun: gauge and absolute pressure kept apart, choked above 1.893 to 1."""

from typing import NamedTuple

import numpy as np

from coursekit.quantities import Real, public

GAS_CONSTANT = 287.05  # J/kg K, dry air
HEAT_RATIO = 1.4
SEA_LEVEL = 101325.0  # Pa
FREE_AIR_TEMPERATURE = 293.15  # K
FREE_AIR_DENSITY = SEA_LEVEL / (GAS_CONSTANT * FREE_AIR_TEMPERATURE)  # 1.204 kg/m³: "free air" everywhere here


class CapJet(NamedTuple):
    """The jet that leaves a hole of the air cap."""

    mach: Real
    speed: Real
    air_use: Real
    mass_flow: Real
    density: Real

    @property
    def choked(self) -> Real:
        """True where more pressure no longer makes the jet faster, only denser."""
        return self.mach >= 1


def mach_of(ratio: Real) -> Real:
    """Mach number in a hole from absolute pressure before over after; not above 1."""
    return np.minimum(np.sqrt(5 * (np.power(np.maximum(ratio, 1.0), 2 / 7) - 1)), 1.0)


@public(gives={"mach": "mach", "speed": "jet_speed", "air_use": "air_use_per_area", "mass_flow": "air_mass_flux",
               "density": "jet_density"})  # fmt: skip
def cap_jet(gauge_pressure: Real, temperature: Real, atmospheric_pressure: Real = SEA_LEVEL) -> CapJet:
    """The air jet of a cap: how fast it is and how much air each square millimetre of open hole takes.

    gauge_pressure        (...) Pa, 0 to 10 bar    on a gauge at the cap, not at the gun's inlet
    temperature           (...) K, −40 to 80 °C    of the air before the cap
    atmospheric_pressure  (...) Pa, 50 to 110 kPa  absolute, of the open air; sea level unless given
    Gives (...) a CapJet: mach, speed, air_use (free air per effective area), mass_flow (per effective area),
    density where it leaves the hole, and choked. Raises InputError for a wrong unit or an absolute pressure,
    RangeError out of those ranges.
    Holds for dry air and a hole whose effective area is known: a real hole passes 0.8 to 0.95 of its drawn area.
    Source: isentropic-flow.
    """
    before = gauge_pressure + atmospheric_pressure
    mach = mach_of(before / atmospheric_pressure)
    cooling = 1 + 0.2 * mach**2
    speed = mach * np.sqrt(HEAT_RATIO * GAS_CONSTANT * temperature / cooling)
    density = before / (GAS_CONSTANT * temperature) * cooling**-2.5
    return CapJet(mach, speed, density * speed / FREE_AIR_DENSITY, density * speed, density)
