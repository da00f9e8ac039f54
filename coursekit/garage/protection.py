"""Which breathing protection a figure requires. A figure never takes protection away."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit.constants import ATMOSPHERE, FREEZING, GAS
from coursekit.garage.vapour import FIRE_LIMIT
from coursekit.quantities import InputError, RangeError, Value, public, read, shown
from coursekit.substances import limits, lowest_limit, molar_mass, substance_key

MOLAR_VOLUME = GAS * (FREEZING + 25) / ATMOSPHERE  # m³/mol at 25 °C, as limits are printed
SUPPLIED_AIR = "supplied air: full hood or visor fed with breathing air, with skin, hand and eye cover"
# Assigned protection factors of 29 CFR 1910.134, table 1.
HALF_MASK, FULL_FACE = 10, 50
_STAY_AWAY = "Anyone who has asthma or has ever been sensitised must stay away; other people and animals too."


class Protection(NamedTuple):
    """What to wear at least, why, where that stands, and how many limits the level comes to."""

    protection: str
    reason: str
    sources: tuple[str, ...]
    times_limit: Value


@public(gives={"times_limit": "limits_reached"})
def protection_needed(substance: str, airborne: object, sprayed: bool | str) -> Protection:
    """Breathing protection asked for by the published limits; supplied air for any sprayed isocyanate.

    substance: name on the safety data sheet; capitals and hyphens do not matter
    airborne: in the air: "12 ppm" or "35 mg/m³", or a pint quantity of either
    Gives Protection. Raises InputError for a substance in no table and for a number without unit.
    Holds for one substance at a time; see `mixture_index` for several. The data sheet and local rules come first.
    Source: niosh-npg; osha-1910-134; hse-rpe; osha-letter-1982; eh40.
    """
    key = substance_key(substance)
    share, mass = read_airborne(airborne, key)
    atomised = read_sprayed(sprayed)
    group = limits()[key]["group"]
    if group == "isocyanate":
        return _isocyanate(key, share, mass, atomised)
    if group == "dust":
        return _dust(mass)
    return _solvent(key, share, atomised)


def read_sprayed(sprayed: object) -> bool:
    if isinstance(sprayed, (bool, np.bool_)):
        return bool(sprayed)
    if isinstance(sprayed, str) and sprayed.strip().casefold() in ("yes", "true", "sprayed"):
        return True
    if isinstance(sprayed, str) and sprayed.strip().casefold() in ("no", "false", "not sprayed"):
        return False
    raise InputError(
        "sprayed", "is neither True nor False.", "Write True when a gun or a can atomises it.", kind="form"
    )


def read_airborne(airborne: object, key: str, argument: str = "airborne") -> tuple[float, float]:
    """The share by volume and the mass per volume of what is in the air (nan where the other is unknown)."""
    dust = "molar_mass" not in limits()[key]
    example = 'Write it with its unit, for example "2 mg/m³"' + ("." if dust else ' or "12 ppm".')
    if not isinstance(airborne, str) and not hasattr(airborne, "dimensionality"):
        raise InputError(argument, "has no unit.", example, kind="no unit")
    if isinstance(airborne, str) and not airborne.strip().lstrip("+-0123456789.eE \N{MINUS SIGN}"):
        raise InputError(argument, f'"{airborne.strip()[:40]}" has no unit.', example, kind="no unit")
    try:
        mass = read(airborne, "airborne_mass", argument)
    except RangeError:
        raise
    except InputError:
        if dust:
            raise InputError(argument, "is not a mass per volume of air.", example, kind="other quantity") from None
        try:
            share = read(airborne, "vapour_ppm", argument)
        except RangeError:
            raise
        except InputError as error:
            raise error.at(remedy=example) from None
        _one(share, argument)
        return float(share), float(share) * molar_mass(key) / MOLAR_VOLUME
    _one(mass, argument)
    return (float("nan") if dust else float(mass) * MOLAR_VOLUME / molar_mass(key)), float(mass)


def _one(value: Any, argument: str) -> None:
    if np.ndim(value):
        raise InputError(argument, "is a list.", "Give one value.", kind="list")


def _figure(value: float) -> str:
    return f"{float(f'{value:.2g}'):.10g}"


def _isocyanate(key: str, share: float, mass: float, atomised: bool) -> Protection:
    row = limits()[key]
    name = row["name"]
    if "uk_shift" in row:
        over = mass / float(read(row["uk_shift"], "airborne_mass"))
    else:
        over = share / (row.get("rel", row["ceiling"]) * 1e-6)
    number = f"{shown(share, 'vapour_ppm')} was given; it changes nothing. "
    if atomised:
        return Protection(
            SUPPLIED_AIR,
            f"Sprayed isocyanate ({name}). {number}The mist carries more isocyanate than the vapour that "
            "limits are set for. Air samples near painters were nearly all above the 15-minute limit. Its "
            "smell gives no warning when a filter lets it through. Filter masks are unsuited to it. The air of the "
            f"gun's compressor is not breathing air. {_STAY_AWAY}",
            ("niosh-npg", "hse-rpe", "osha-letter-1982", "liu-2006", "reeb-whitaker-2012"),
            over,
        )
    return Protection(
        SUPPLIED_AIR,
        f"Isocyanate ({name}), not sprayed. {number}The US institute names supplied air and nothing less for it, "
        f"and its smell gives no warning. Wiping, rolling and mixing also need gloves, eye cover and fresh air. "
        f"{_STAY_AWAY}",
        ("niosh-npg", "osha-letter-1982"),
        over,
    )


def _dust(mass: float) -> Protection:
    over = mass / 5e-6  # respirable limit, 5 mg/m³
    at_least = (
        "at least a fitted half mask with particle filters (P100 or P3)"
        if over <= HALF_MASK
        else (
            "at least a full-face mask with particle filters, and the dust taken away at the tool"
            if over <= FULL_FACE
            else SUPPLIED_AIR
        )
    )
    return Protection(
        at_least,
        f"Dust at {_figure(over)} times the respirable limit of 5 mg/m³. Old paint may hold lead or chromate, and a "
        "film not cured through holds isocyanate: both need more than this number. Suction at the tool and wet "
        "sanding of cured paint keep dust out of the air at all.",
        ("osha-dust", "osha-1910-134"),
        over,
    )


def _solvent(key: str, share: float, atomised: bool) -> Protection:
    row = limits()[key]
    limit, whose = lowest_limit(key)
    over = share / limit
    fire = row["lower_explosive_limit"] / 100
    figure = (
        f"{row['name']} at {shown(share, 'vapour_ppm')}, {_figure(over)} times the "
        f"{shown(limit, 'vapour_ppm')} of {whose}"
    )
    sources = (row["source"], "osha-1910-134")
    if share >= FIRE_LIMIT * fire or share >= row.get("immediate", 1e6) * 1e-6:
        return Protection(
            "nobody goes in: stop the work, cut sources of ignition from outside, air the room",
            f"{figure}. That is at or above {_figure(100 * FIRE_LIMIT)} % of the lower explosive limit "
            f"({_figure(100 * share / fire)} %), or above the level that endangers life at once. No mask stops a "
            "fire.",
            sources,
            over,
        )
    mist = " Sprayed: the mist needs particle filters too." if atomised else ""
    two_part = " If anything two-part with an isocyanate activator is in the same air, only supplied air will do."
    cartridge = "organic vapour cartridges" + (" and particle filters" if atomised else "")
    if over <= HALF_MASK:
        word = f"at least a fitted half mask with {cartridge}, fresh ones"
    elif over <= FULL_FACE:
        word = f"at least a fitted full-face mask with {cartridge}, fresh ones"
    else:
        word = SUPPLIED_AIR
    return Protection(
        word,
        f"{figure}.{mist}{two_part} A computed level is uncertain by a factor; only a "
        "measurement shows the true one.",
        sources,
        over,
    )
