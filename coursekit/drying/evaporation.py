"""How fast solvent leaves a wet film while it still leaves as from an open dish: the first stage of a flash."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit.constants import FREEZING, GAS
from coursekit.quantities import Real, Value, in_range, public
from coursekit.sources import coefficient
from coursekit.substances import Solvent, read_solvent, solvent_key, vapour_pressures

COLDEST, WARMEST = FREEZING, FREEZING + 50  # where the vapour pressures are fitted
SLOWEST_AIR, FASTEST_AIR = 0.1, 1.0  # m/s, where the law of air speed was used
AIR_OF_TEST = 0.25  # m/s, the air speed at which the published rate and the plate law agree
COOLS_ABOVE = 2.0  # evaporation rates above this cool the film, and the published rate takes over
REFERENCE = "n-butyl acetate"
THEN = (
    "diffusion stage, not modelled: the rest creeps out through a film that is already tacky, in a time that "
    "grows with the square of its thickness"
)
_STEPS = 100  # most of Newton's steps; about ten are usual


@public(gives="vapour_pressure")
def vapour_pressure(solvent: str, temperature: Real) -> Real:
    """Pressure of the vapour over a solvent, or over a blend as an ideal mixture.

    solvent: a name, or a blend by mass {"xylene": "60 %", "n-butyl acetate": "40 %"}
    temperature: 0 to 50 °C; of the liquid
    Gives (...) Pa. Raises InputError for a solvent in no table, RangeError out of that range.
    Holds within 1 % for one solvent of the table; blends are ideal (Raoult). Source: open-property-library.
    """
    in_range("temperature", temperature, COLDEST, WARMEST)
    of = read_solvent(solvent)
    moles = of.share / of.molar_mass
    found: Real = _plain(np.sum(vapour_pressures(of, temperature) * moles / moles.sum(), axis=-1))
    return found


class RelativeRate(NamedTuple):
    """Evaporation against n-butyl acetate: computed from vapour pressure, as published, and what the flash uses."""

    computed: Value
    published: Value
    used: Value


@public(gives={"computed": "relative_rate", "published": "relative_rate", "used": "relative_rate"})
def relative_rate(solvent: str) -> RelativeRate:
    """Evaporation rate of one solvent against n-butyl acetate at 25 °C.

    solvent: a name of the table, not a blend
    Gives RelativeRate; above 2 the film cools as it dries, and the published rate takes over.
    Raises InputError for a solvent in no table.
    Holds within 40 % under 2 (published rates differ by as much). Source: mackay-2014; rer-glossaries.
    """
    of = read_solvent(solvent_key(solvent))
    rate = float(_relative(of)[0])
    return RelativeRate(rate, float(of.evaporation[0]), rate * float(_cap(of)[0]))


def _relative(of: Solvent) -> np.ndarray:
    reference = read_solvent(REFERENCE)
    here, there = (vapour_pressures(s, FREEZING + 25) * s.molar_mass for s in (of, reference))
    return np.asarray(here / there)


def _cap(of: Solvent) -> np.ndarray:
    relative = _relative(of)
    return np.where(relative > COOLS_ABOVE, of.evaporation / relative, 1.0)


def _fluxes(of: Solvent, temperature: Any, air_speed: Any, transfer_speed: Any, speed_exponent: Any) -> np.ndarray:
    """kg/m²s of each part if it lay there alone; the last axis is the part."""
    in_range("temperature", temperature, COLDEST, WARMEST)
    in_range(
        "air_speed",
        air_speed,
        SLOWEST_AIR,
        FASTEST_AIR,
        "In stiller air vapour hangs over the film; in faster air the law was not tried.",
    )
    speed = transfer_speed * (np.asarray(air_speed, dtype=float) / AIR_OF_TEST) ** speed_exponent
    warmth = GAS * np.asarray(temperature, dtype=float)
    return np.asarray(
        _cap(of)
        * vapour_pressures(of, temperature)
        * of.molar_mass
        / warmth[..., None]
        * np.asarray(speed)[..., None]
    )


@public(gives="evaporation_rate")
def evaporation_rate(
    solvent: str,
    temperature: Real,
    air_speed: Real,
    transfer_speed: Real = coefficient("transfer_speed"),
    speed_exponent: Real = coefficient("speed_exponent"),
) -> Real:
    """Mass of solvent that leaves a fresh wet film, by area and time.

    temperature: 0 to 50 °C; of the film
    air_speed: 0.1 to 1 m/s
    Gives (...) kg/m²·s. Raises InputError for a solvent in no table, RangeError out of those ranges.
    Holds for an open liquid surface, order of a factor two; water in the air does not slow organic solvents.
    Source: mackay-2014; mackay-matsugu-1973; rer-glossaries.
    """
    of = read_solvent(solvent)
    moles = of.share / of.molar_mass
    found: Real = _plain(
        np.sum(_fluxes(of, temperature, air_speed, transfer_speed, speed_exponent) * moles / moles.sum(), axis=-1)
    )
    return found


class Flash(NamedTuple):
    """The first stage of a flash: its time, the solvent at its start and at its end, and what follows."""

    first_stage: Value
    solvent_start: Value
    solvent_left: Value
    then: str


@public(gives={"first_stage": "first_stage", "solvent_start": "solvent_film", "solvent_left": "solvent_film"})
def flash(
    solvent: str,
    wet_film: Real,
    volume_solids: Real,
    temperature: Real,
    air_speed: Real,
    flash_end: Real = coefficient("flash_end"),
    transfer_speed: Real = coefficient("transfer_speed"),
    speed_exponent: Real = coefficient("speed_exponent"),
) -> Flash:
    """Time of the first stage, in which solvent leaves as from an open dish.

    volume_solids: of the paint as sprayed
    temperature: 0 to 50 °C; of the film
    air_speed: 0.1 to 1 m/s
    Gives Flash. Raises InputError for a solvent in no table, RangeError out of those ranges.
    Holds to a factor two or so, and for the first stage alone; what follows is not modelled. Not for water.
    Source: mackay-2014; mackay-matsugu-1973; rer-glossaries; derived-here for blends (ideal, one temperature).
    """
    of = read_solvent(solvent)
    start = wet_film * (1 - volume_solids) * of.mixed_density
    share, moles, loss = _in_moles(of, _fluxes(of, temperature, air_speed, transfer_speed, speed_exponent))
    stretch = _stretch_to(share, loss, np.asarray(flash_end, dtype=float))
    seconds = start * np.sum(moles * -np.expm1(-loss * stretch[..., None]) / loss, axis=-1)
    return Flash(_plain(seconds), _plain(start + 0 * seconds), _plain(start * flash_end + 0 * seconds), THEN)


class FlashCurve(NamedTuple):
    """Share of the solvent still in the film against time; the last axis is time."""

    time: Value
    left: Value


@public(gives={"time": "first_stage", "left": "remaining"})
def flash_curve(
    solvent: str,
    wet_film: Real,
    volume_solids: Real,
    temperature: Real,
    air_speed: Real,
    flash_end: Real = coefficient("flash_end"),
    transfer_speed: Real = coefficient("transfer_speed"),
    speed_exponent: Real = coefficient("speed_exponent"),
) -> FlashCurve:
    """Solvent left in the film through the first stage, 41 points.

    volume_solids: of the paint as sprayed
    temperature: 0 to 50 °C; of the film
    air_speed: 0.1 to 1 m/s
    Gives FlashCurve, each (..., 41). Raises InputError and RangeError as `flash`.
    Holds as `flash`. Source: mackay-2014; derived-here.
    """
    of = read_solvent(solvent)
    start = np.asarray(wet_film * (1 - volume_solids) * of.mixed_density)
    share, moles, loss = _in_moles(of, _fluxes(of, temperature, air_speed, transfer_speed, speed_exponent))
    stretch = _stretch_to(share, loss, np.asarray(flash_end, dtype=float))
    along = (stretch[..., None] * np.linspace(0, 1, 41))[..., None]
    rate = loss[..., None, :]
    left = np.sum(share * np.exp(-rate * along), axis=-1)
    seconds = start[..., None] * np.sum(moles * -np.expm1(-rate * along) / rate, axis=-1)
    return FlashCurve(seconds, left + 0 * seconds)


def _in_moles(of: Solvent, fluxes: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Mass shares, moles per kilogram, and loss in moles by area and time of each part alone.

    Ideal parts obey dn_i/dt = −loss_i n_i / Σn. Counted in s with ds = dt / Σn each is n_i exp(−loss_i s), and
    t = ∫Σn ds is known in closed form: a blend needs no small steps, and its heavy parts stay to the end.
    """
    return of.share, of.share / of.molar_mass, fluxes / of.molar_mass


def _stretch_to(share: np.ndarray, loss: np.ndarray, left: np.ndarray) -> np.ndarray:
    """The s at which only that share of the solvent's mass is left."""
    if loss.shape[-1] == 1:
        return np.asarray(-np.log(left) / loss[..., 0])
    stretch = np.zeros(np.broadcast_shapes(loss.shape[:-1], left.shape))
    for _ in range(_STEPS):  # the sum of exponentials is convex: Newton's steps from 0 only come nearer
        there = share * np.exp(-loss * stretch[..., None])
        step = (there.sum(axis=-1) - left) / (loss * there).sum(axis=-1)
        stretch = stretch + step
        if np.all(np.abs(step) <= 1e-10 * stretch):
            break
    return stretch


def _plain(value: Any) -> Any:
    return float(value) if np.ndim(value) == 0 else value
