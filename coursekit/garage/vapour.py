"""Solvent vapour in a room: how much, how high, and how much fresh air it requires."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit.constants import ATMOSPHERE, GAS
from coursekit.quantities import InputError, Real, Value, Values, public, shown
from coursekit.substances import Solvent, lowest_limit, read_solvent

# Share of the lower explosive limit from which nobody goes in and no plan passes. The stricter of two: dilution
# air is worked out for a quarter (29 CFR 1910.94); levels that endanger life at once are set at a tenth (NIOSH).
FIRE_LIMIT = 0.1
NOT_MIST = "Neither figure covers the mist of the gun, and with an isocyanate the mist is the greater harm."


def _gas_volume(liquid_volume: Any, of: Solvent, temperature: Any) -> Any:
    return liquid_volume * of.mixed_density / of.mean_molar_mass * GAS * temperature / ATMOSPHERE


def _mole_shares(of: Solvent) -> np.ndarray:
    moles = of.share / of.molar_mass
    return np.asarray(moles / moles.sum())


def _explosive(of: Solvent) -> float:
    return float(1 / np.sum(_mole_shares(of) / of.explosive))


def _times_limits(of: Solvent) -> float:
    """How many limits one whole part of vapour in air is, by the mixture rule."""
    return float(np.sum(_mole_shares(of) / np.array([lowest_limit(key)[0] for key in of.keys])))


@public(gives="vapour_volume")
def vapour_volume(solvent: str, liquid_volume: Real, temperature: Real) -> Real:
    """Volume of vapour that a volume of liquid solvent turns into.

    Gives (...) m³ at 101.325 kPa. Raises InputError for a solvent in no table, RangeError out of those ranges.
    Holds within 4 % of the printed US table. Source: osha-1910-94; open-property-library.
    """
    found: Real = _gas_volume(liquid_volume, read_solvent(solvent), temperature)
    return found


@public(gives="explosive_limit")
def lower_limit(solvent: str) -> float:
    """Lower explosive limit of a solvent, or of the vapour of a blend that has all evaporated.

    Gives a share of the air. Raises InputError for a solvent in no table.
    Holds at room temperature, by the rule of Le Chatelier. Source: niosh-idlh; niosh-npg-memory; le-chatelier.
    """
    return _explosive(read_solvent(solvent))


class StillAir(NamedTuple):
    """Vapour spread evenly through a closed room: by volume, as a share of what burns, in limits for health."""

    vapour: Value
    of_explosive_limit: Value
    times_limit: Value


@public(gives={"vapour": "vapour_ppm", "of_explosive_limit": "explosive_share", "times_limit": "limits_reached"})
def still_air(solvent: str, liquid_volume: Real, room_volume: Real, temperature: Real) -> StillAir:
    """Vapour in a closed room when all of a liquid has evaporated and spread evenly.

    Gives StillAir. Raises InputError for a solvent in no table, RangeError out of those ranges.
    Holds as an average: near the floor and the film it is many times that. Source: derived-here; niosh-idlh.
    """
    of = read_solvent(solvent)
    gas = _gas_volume(liquid_volume, of, temperature)
    share = gas / (room_volume + gas)
    return StillAir(share, share / _explosive(of), share * _times_limits(of))


class RoomAir(NamedTuple):
    """Vapour in a room with fresh air: evenly mixed, and where fresh air does not reach."""

    mixed: Value
    poorly_mixed: Value
    of_explosive_limit: Value  # of the poorly mixed
    times_limit: Value


@public(
    gives={
        "mixed": "vapour_ppm",
        "poorly_mixed": "vapour_ppm",
        "of_explosive_limit": "explosive_share",
        "times_limit": "limits_reached",
    }
)
def room_air(
    solvent: str,
    liquid_volume: Real,
    release_time: Real,
    room_volume: Real,
    air_changes: Real,
    mixing_factor: Real,
    elapsed: Real,
    temperature: Real,
) -> RoomAir:
    """Vapour in a room while a coat gives off its solvent, and after.

    liquid_volume: of solvent in the coat
    release_time: in which it comes off, evenly
    air_changes: per hour, as a plain number or "6 /h"
    elapsed: since the coat began to dry
    Gives RoomAir. Raises InputError for a solvent in no table, RangeError out of those ranges.
    Holds for one well-stirred volume; the poorly mixed figure is that of air changes divided by the mixing factor.
    Source: cdc-purge (decay and mixing factor); derived-here.
    """
    of = read_solvent(solvent)
    gas = _gas_volume(liquid_volume, of, temperature)
    mixed, poor = (
        _well_mixed(gas / room_volume, release_time, rate, elapsed)
        for rate in (air_changes + 0 * mixing_factor, air_changes / mixing_factor)
    )
    return RoomAir(mixed, poor, poor / _explosive(of), poor * _times_limits(of))


def _well_mixed(rise: Any, release_time: Any, rate: Any, elapsed: Any) -> Any:
    """Share of vapour by volume; `rise` is what it would come to in a closed room."""
    during = np.minimum(elapsed, release_time)
    after = np.maximum(elapsed - release_time, 0.0)
    share = rise / release_time * -np.expm1(-rate * during) / rate * np.exp(-rate * after)
    return np.minimum(share, 1.0)


@public(gives="vapour_ppm")
def steady_air(vapour_rate: Real, fresh_air: Real, mixing_factor: Real) -> Real:
    """Level that vapour settles at when it comes and is carried off without end.

    Gives (...) share by volume.
    Holds for small shares. Source: toledo-dilution; cdc-purge for the mixing factor.
    """
    return np.minimum(vapour_rate * mixing_factor / fresh_air, 1.0)


@public(gives="dilution_air")
def fire_air(vapour: Real, explosive_limit: Real) -> Real:
    """Fresh air that brings a volume of vapour to a quarter of its lower explosive limit.

    Gives (...) m³.
    Holds for even mixing; it says nothing about breathing. Source: osha-1910-94.
    """
    return 4 * (1 - explosive_limit) * vapour / explosive_limit


@public(gives="dilution_air")
def health_air(vapour: Real, exposure_limit: Real, mixing_factor: Real) -> Real:
    """Fresh air that brings a volume of vapour to an exposure limit.

    exposure_limit: of one substance
    Gives (...) m³.
    Holds as an average over the time it comes off; it says nothing about mist. Source: toledo-dilution.
    """
    return vapour * mixing_factor / exposure_limit


class AirNeeded(NamedTuple):
    """Fresh air against fire and against harm to health, the larger of the two, and what neither covers."""

    fire: Value
    health: Value
    larger: Value
    words: str


@public(gives={"fire": "fresh_air", "health": "fresh_air", "larger": "fresh_air"})
def air_needed(
    solvent: str, liquid_volume: Real, release_time: Real, mixing_factor: Real, temperature: Real
) -> AirNeeded:
    """Fresh air that the vapour of a coat requires while it flashes off.

    liquid_volume: of solvent in the coat
    release_time: in which it comes off, evenly
    Gives AirNeeded. Raises InputError for a solvent in no table, RangeError out of those ranges.
    Holds for vapour alone: against fire to a tenth of what burns, stricter than the quarter of `fire_air`; for health
    to the lowest published limit of each part, added by the mixture rule.
    Source: osha-1910-94; niosh-idlh; toledo-dilution; osha-1910-1000.
    """
    of = read_solvent(solvent)
    rate = _gas_volume(liquid_volume, of, temperature) / release_time
    explosive = _explosive(of)
    fire = rate * (1 - explosive) / (FIRE_LIMIT * explosive) * mixing_factor
    health = rate * mixing_factor * _times_limits(of)
    larger = np.maximum(fire, health)
    least = float(np.max(larger))
    words = "No solvent was given, so this says nothing about the air."
    if least > 0:
        rate = f"{shown(least, 'fresh_air')} ({shown(least, 'fresh_air', 'us')})"
        words = f"The vapour alone would need at least {rate}."
    return AirNeeded(fire, health, larger, f"{words} {NOT_MIST}")


class CoatSolvent(NamedTuple):
    """Solvent in a coat, by mass and as liquid."""

    mass: Value
    liquid: Value


@public(gives={"mass": "solvent_mass", "liquid": "liquid_volume"})
def coat_solvent(paint_volume: Real, voc_content: Real, solvent: str) -> CoatSolvent:
    """Solvent that the paint of a coat gives off, on the panel and beside it.

    voc_content: solvent in it
    Gives CoatSolvent. Raises InputError for a solvent in no table, RangeError out of those ranges.
    Holds when all of it evaporates in the room: mist that missed the panel counts too. Source: derived-here.
    """
    mass = paint_volume * voc_content
    return CoatSolvent(mass, mass / read_solvent(solvent).mixed_density)


@public(gives="vapour_ppm")
def ppm_of(airborne_mass: Real, molar_mass: Real, temperature: Real) -> Real:
    """Parts per million of a mass of vapour in a cubic metre of air.

    temperature: limits are printed for 25 °C in the US, 20 °C in the EU
    Gives (...) share by volume. Raises RangeError out of those ranges, or for more than all of the air.
    Holds at 101.325 kPa, for vapour and not for mist. Source: osha-1910-1000, footnote a.
    """
    share = airborne_mass / molar_mass * GAS * temperature / ATMOSPHERE
    if np.any(np.asarray(share) > 1):
        raise InputError(
            "airborne_mass", "is more than the air can hold as vapour.", "Check the unit.", kind="impossible"
        )
    return share


@public(gives="airborne_mass")
def mass_of(vapour_ppm: Real, molar_mass: Real, temperature: Real) -> Real:
    """Mass of vapour in a cubic metre of air from its parts per million.

    vapour_ppm: in the air, for example "50 ppm"
    temperature: limits are printed for 25 °C in the US, 20 °C in the EU
    Gives (...) kg/m³.
    Holds at 101.325 kPa. Source: osha-1910-1000, footnote a.
    """
    return vapour_ppm * molar_mass * ATMOSPHERE / (GAS * temperature)


@public(gives="vapour_ppm")
def shift_average(levels: Values, durations: Values) -> Real:
    """Average over a shift of eight hours of levels that each lasted a while.

    levels: for example ["150 ppm", "75 ppm"]
    durations: of each level, together at most 24 h
    Gives a share by volume. Raises RangeError out of those ranges, InputError for lists of unequal length.
    Holds for limits that are set for eight hours. Source: osha-1910-1000, (d)(1).
    """
    levels, durations = _lists(levels=levels, durations=durations)
    whole = float(durations.sum())
    if whole > 24 * 3600 * (1 + 1e-9):
        raise InputError(
            "durations",
            f"come to {whole / 3600:.4g} h together: a day has 24.",
            "Give one day's work.",
            kind="impossible",
        )
    return float(np.sum(levels * durations) / (8 * 3600.0))


@public(gives="limits_reached")
def mixture_index(levels: Values, exposure_limits: Values) -> Real:
    """How many limits a mixture of vapours comes to: over 1 it is over the limit.

    Gives a number. Raises RangeError out of those ranges, InputError for lists of unequal length.
    Holds for substances that harm in the same way; one that sensitises harms at any share.
    Source: osha-1910-1000, (d)(2).
    """
    levels, exposure_limits = _lists(levels=levels, exposure_limits=exposure_limits)
    return float(np.sum(levels / exposure_limits))


def _lists(**given: Any) -> tuple[np.ndarray, np.ndarray]:
    (first, one), (second, other) = ((key, np.atleast_1d(value)) for key, value in given.items())
    if one.ndim != 1 or other.shape != one.shape:
        raise InputError(second, f"has another length than {first}.", "Give one of each for every part.", kind="list")
    return one, other
