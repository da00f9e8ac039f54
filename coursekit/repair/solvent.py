"""How fast solvent leaves, in the garage's air: from a wet film, and from drops in flight."""

from __future__ import annotations

from functools import lru_cache

from coursekit.constants import ROOM_TEMPERATURE
from coursekit.drying.evaporation import COLDEST, WARMEST, vapour_pressure
from coursekit.spraying.runs import drying_constant

HALF_TIME = 300.0  # s (assumed; the data sheet's flash time is some three of them)
SOLVENT = "n-butyl acetate"
FLASHED = 0.2  # of the solvent of landed drops, lost in flight at 20 °C (assumed)


@lru_cache(maxsize=64)
def half_time(temperature: float) -> float:
    """Time in which half of a wet film's solvent leaves, s: it goes with the vapour pressure of a usual solvent."""
    pressures = [vapour_pressure.si(SOLVENT, held) for held in (ROOM_TEMPERATURE, spraying_air(temperature))]
    return HALF_TIME * float(pressures[0] / pressures[1])


@lru_cache(maxsize=64)
def flashed(temperature: float) -> float:
    """Share of the solvent of landed drops that is lost in flight: it goes with how fast a drop dries in that air."""
    return float(1 - (1 - FLASHED) ** drying_constant.si(spraying_air(temperature), 1.0, 1.0))


def spraying_air(temperature: float) -> float:
    """The temperature of a garage, held to where vapour pressures are known."""
    return min(max(temperature, COLDEST), WARMEST)
