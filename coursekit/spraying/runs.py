"""Wet film on an upright panel: what makes it run, what makes it level, and the dry spray at the other end."""

import functools
import math

import numpy as np

from coursekit.constants import FREEZING, GRAVITY, ROOM_TEMPERATURE
from coursekit.quantities import Real, in_range, public
from coursekit.sources import coefficient
from coursekit.substances import Solvent, read_solvent, vapour_pressures

DIFFUSIVITY_POWER = 1.75  # of a vapour in air, over the absolute temperature
_LN10 = math.log(10)


@public(gives="sag_speed")
def sag_speed(wet_film: Real, viscosity: Real, density: Real, slope: Real = math.pi / 2) -> Real:
    """Speed at which the surface of a wet film runs down a panel.

    wet_film: thickness; use the local one where passes overlap or pause
    Gives (...) m/s: twice the film, four times the speed.
    Holds for a liquid without yield stress. Source: falling-film.
    """
    found: Real = density * GRAVITY * np.sin(slope) * np.square(wet_film) / (2 * np.asarray(viscosity))
    return found


@public(gives="sag_distance")
def sag_distance(
    wet_film: Real, viscosity: Real, density: Real, tenfold_time: Real, slope: Real = math.pi / 2
) -> Real:
    """How far the surface runs in all, while the paint thickens as its solvent leaves.

    viscosity: just after spraying
    Gives (...) m; an even film that slides as a whole shows nothing: see `neighbour_sag`.
    Holds for viscosity that grows evenly on a logarithmic scale and a
    film that keeps its thickness. Source: falling-film.
    """
    found: Real = sag_speed.si(wet_film, viscosity, density, slope) * tenfold_time / _LN10
    return found


@public(gives="sag_distance")
def neighbour_sag(
    wettest_film: Real,
    wet_film: Real,
    viscosity: Real,
    density: Real,
    tenfold_time: Real,
    yield_stress: Real = 0.0,
    slope: Real = math.pi / 2,
) -> Real:
    """How much further the wettest place slides than the film beside it: that is the run which is seen.

    wettest_film: where passes overlap or the hand paused, just after spraying
    wet_film: beside it
    viscosity: just after spraying
    Gives (...) m: it goes with the difference of the squares of the films; 3 to 5 mm are seen. What the yield stress
    holds rides on what flows under it.
    Holds for viscosity that grows evenly on a logarithmic scale and films that keep their thickness.
    Source: falling-film, common-practice.
    """
    pull = density * GRAVITY * np.sin(slope)
    held = np.divide(yield_stress, np.maximum(pull, 1e-12))
    flowing, beside = (np.maximum(np.asarray(film) - held, 0) for film in (wettest_film, wet_film))
    found: Real = pull * (flowing**2 - beside**2) / (2 * np.asarray(viscosity)) * tenfold_time / _LN10
    return found


@public(gives="wet_film")
def critical_wet_film(yield_stress: Real, density: Real, slope: Real = math.pi / 2) -> Real:
    """Thickest wet film that the yield stress holds without any flow.

    slope: 1 to 90 °
    Gives (...) m.
    Holds at rest; shaking and fresh solvent lower the yield stress. Source: falling-film.
    """
    in_range("slope", slope, math.radians(1), math.pi / 2, "A panel lying flat has no run.")
    return yield_stress / (density * GRAVITY * np.sin(slope))


@public(gives="levelling_time")
def levelling_time(wavelength: Real, wet_film: Real, viscosity: Real, surface_tension: Real) -> Real:
    """Time in which surface tension draws a wave in the wet film down to 1/e of its height.

    wavelength: 50 µm to 100 mm; crest to crest, at least 2π times the film
    wet_film: 1 µm to 5 mm; mean thickness
    Gives (...) s: the half-life is 0.693 of it. Raises InputError for a wrong unit, RangeError out of those ranges
    or for a wave too short for a thin film. Holds for small waves in a film without yield stress. Source: orchard.
    """
    _thin_film(wavelength, wet_film)
    return 3 * viscosity * (wavelength / (2 * math.pi)) ** 4 / (surface_tension * np.asarray(wet_film) ** 3)


def _thin_film(wavelength: Real, wet_film: Real) -> None:
    in_range("wet_film", wet_film, 1e-6, 5e-3)
    in_range("wavelength", wavelength, 50e-6, 0.1)
    shortest = 2 * math.pi * np.asarray(wet_film)
    if np.any(np.asarray(wavelength) < shortest):
        in_range(
            "wavelength",
            wavelength,
            float(np.max(shortest)),
            0.1,
            "The formula is for waves much longer than the film is thick.",
        )


@public(gives="share_left")
def wave_left(
    elapsed: Real, wavelength: Real, wet_film: Real, viscosity: Real, surface_tension: Real, tenfold_time: Real
) -> Real:
    """Share of a wave's height that is left after a time, while the paint thickens.

    elapsed: since the film was sprayed
    wavelength: 50 µm to 100 mm; crest to crest, at least 2π times the film
    wet_film: 1 µm to 5 mm; mean thickness
    viscosity: just after spraying
    Gives (...) share; what it tends to is what stays in the finish. Holds as `levelling_time` does. Source: orchard.
    """
    fluid_time = tenfold_time / _LN10 * -np.expm1(-_LN10 * np.divide(elapsed, tenfold_time))
    found: Real = np.exp(-fluid_time / levelling_time.si(wavelength, wet_film, viscosity, surface_tension))
    return found


@public(gives="wave_height")
def held_wave(wavelength: Real, wet_film: Real, yield_stress: Real, surface_tension: Real) -> Real:
    """Wave height at which levelling stops because the yield stress holds what is left.

    wavelength: 50 µm to 100 mm; crest to crest, at least 2π times the film
    wet_film: 1 µm to 5 mm; mean thickness
    Gives (...) m, from the mean to the crest.
    Holds for small waves in a thin film. Source: orchard.
    """
    _thin_film(wavelength, wet_film)
    return yield_stress * (wavelength / (2 * math.pi)) ** 3 / (surface_tension * np.asarray(wet_film))


@public(gives="wet_film")
def stacked_film(wet_film: Real, earlier_film: Real, volume_solids: Real, solvent_left: Real) -> Real:
    """Wet film that hangs on the panel when a coat goes over one that has not flashed off.

    wet_film: of the coat just sprayed
    volume_solids: of the paint as sprayed
    solvent_left: of the lower coat's solvent, still in it; 0 when it has flashed
    Gives (...) m: what runs is this, not the last coat alone. A lower coat that has lost its solvent counts as
    set only in part: its solids still count here. Holds until the lower coat has hardened. Source: derived-here.
    """
    return wet_film + earlier_film * (volume_solids + (1 - volume_solids) * solvent_left)


@functools.lru_cache(maxsize=1)
def _medium() -> Solvent:
    return read_solvent("n-butyl acetate")


@functools.lru_cache(maxsize=1)
def _at_room() -> float:
    return float(vapour_pressures(_medium(), ROOM_TEMPERATURE)[0])


@public(gives="evaporation_constant")
def drying_constant(
    air_temperature: Real, volatility: Real, evaporation_constant: Real = coefficient("evaporation_constant")
) -> Real:
    """Evaporation constant of a drop in air of another temperature, and of another solvent.

    evaporation_constant: of n-butyl acetate at 20 °C
    Gives (...) m²/s: it goes with the vapour pressure of n-butyl acetate and the diffusivity of vapour over the
    absolute temperature.
    Holds for a drop as warm as the air; one of a fast solvent cools as it dries, and gains less from a higher rate.
    Source: d-squared-law; fuller-diffusivity; open-property-library.
    """
    in_range("air_temperature", air_temperature, FREEZING, FREEZING + 50)
    temperature = np.asarray(air_temperature, dtype=float)
    pressure = vapour_pressures(_medium(), temperature)[..., 0] / _at_room()
    found: Real = (
        evaporation_constant * volatility * pressure * (temperature / ROOM_TEMPERATURE) ** (DIFFUSIVITY_POWER - 1)
    )
    return found


@public(gives="diameter")
def driest_drop(
    flight_time: Real,
    volume_solids: Real,
    dry_share: Real = 0.7,
    evaporation_constant: Real = coefficient("evaporation_constant"),
    air_temperature: Real = ROOM_TEMPERATURE,
    volatility: Real = 1.0,
) -> Real:
    """Largest drop that lands too dry to flow: smaller ones make dry spray.

    volume_solids: 1 % to 99 %; of the paint as sprayed
    evaporation_constant: of n-butyl acetate at 20 °C
    Gives (...) m, the diameter at the gun.
    Holds for a factor of two: resin slows it, relative wind speeds it up. Source: d-squared-law.
    """
    in_range("volume_solids", volume_solids, 0.01, 0.99)
    left = 1 - dry_share * (1 - np.asarray(volume_solids))
    constant = drying_constant.si(air_temperature, volatility, evaporation_constant)
    found: Real = np.sqrt(constant * np.asarray(flight_time) / (1 - left ** (2 / 3)))
    return found


@public(gives="flight_loss")
def drop_loss(
    diameter: Real,
    flight_time: Real,
    volume_solids: Real,
    evaporation_constant: Real = coefficient("evaporation_constant"),
    air_temperature: Real = ROOM_TEMPERATURE,
    volatility: Real = 1.0,
) -> Real:
    """Share of its solvent that a drop loses on its way.

    diameter: diameter at the gun
    volume_solids: 1 % to 99 %; of the paint as sprayed
    evaporation_constant: of n-butyl acetate at 20 °C
    Gives (...) share, at most all of it.
    Holds for a factor of two: resin slows it, relative wind speeds it up. Source: d-squared-law.
    """
    in_range("volume_solids", volume_solids, 0.01, 0.99)
    constant = drying_constant.si(air_temperature, volatility, evaporation_constant)
    surface = np.maximum(0, 1 - constant * flight_time / np.square(diameter))
    found: Real = np.minimum(1, (1 - surface**1.5) / (1 - np.asarray(volume_solids)))
    return found
