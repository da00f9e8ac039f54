"""Film from a weighed part, and volume solids from mass solids and back."""

from __future__ import annotations

import numpy as np

from coursekit.quantities import InputError, Real, public
from coursekit.sources import coefficient


@public(gives="dry_film")
def film_from_wet_mass(wet_mass: Real, area: Real, density: Real, volume_solids: Real) -> Real:
    """Dry film from the mass of wet paint that landed.

    area: it landed on
    density: of the paint as sprayed
    volume_solids: of the paint as sprayed
    Gives (...) m.
    Holds while no solvent has left: what evaporates before the scale is not seen. Source: joseph-film, December 2007.
    """
    return wet_mass * volume_solids / (density * area)


@public(gives="dry_film")
def film_from_dry_mass(dry_mass: Real, area: Real, dry_film_density: Real = coefficient("dry_film_density")) -> Real:
    """Dry film from what a card or part weighs more once dry.

    Gives (...) m.
    Holds as a mean over the area, once all solvent has left. Source: derived-here, mass = density · area · film.
    """
    return dry_mass / (dry_film_density * area)


@public(gives="volume_solids")
def volume_solids_from_mass(
    mass_solids: Real, density: Real, volatile_density: Real = coefficient("volatile_density")
) -> Real:
    """Volume solids from mass solids: 1 less the volume of what evaporates.

    density: of the same liquid
    Gives (...) share. Raises InputError when the figures leave no room for solids, RangeError out of those ranges.
    Holds when volumes add up and nothing reacts away. Source: iso-23811; tac-115-423, the solvent's density.
    """
    solids = 1 - (1 - mass_solids) * density / volatile_density
    if np.any(solids <= 0):
        raise InputError(
            "mass_solids",
            "with these densities the volatile part alone would fill the can.",
            "Check mass solids and density, or give the volatile part's own density (water-borne: 1 kg/L).",
            kind="impossible",
        )
    return solids


@public(gives="mass_solids")
def mass_solids_from_volume(
    volume_solids: Real, density: Real, volatile_density: Real = coefficient("volatile_density")
) -> Real:
    """Mass solids from volume solids.

    density: of the same liquid
    Gives (...) share. Raises InputError when the volatile part alone would weigh more, RangeError out of range.
    Holds when volumes add up and nothing reacts away. Source: iso-23811; tac-115-423, the solvent's density.
    """
    solids = 1 - (1 - volume_solids) * volatile_density / density
    if np.any(solids <= 0):
        raise InputError(
            "volume_solids",
            "with these densities the volatile part alone would weigh more than the can.",
            "Check volume solids and density, or give the volatile part's own density.",
            kind="impossible",
        )
    return solids
