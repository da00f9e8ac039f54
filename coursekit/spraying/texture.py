"""Texture of the film as it is laid: fewer, coarser drops have a price. Assumed in size, firm in its trend."""

import math

import numpy as np

from coursekit.quantities import Real, public
from coursekit.sources import coefficient
from coursekit.spraying.runs import wave_left


@public(gives="texture")
def laid_texture(
    dry_film: Real,
    median_diameter: Real,
    volume_solids: Real,
    wavelength: Real = 1e-3,
    spread_exponent: Real = coefficient("spread_exponent"),
    texture_factor: Real = coefficient("texture_factor"),
) -> Real:
    """Unevenness that the count of drops leaves in a film: its standard deviation from patch to patch.

    dry_film: mean film
    volume_solids: of the paint as sprayed
    wavelength: side of the patch, from crest to crest
    Gives (...) m of dry film, before anything levels. Grows with the drop to the power 1½ and with the root of the
    film; beside the mean it falls as the film grows.
    Holds for drops that land at random, spread thinner than the patch is wide. Source: random-landing.
    """
    exponent = np.asarray(spread_exponent, dtype=float)
    cube = np.asarray(median_diameter) ** 3 * math.log(2) ** (-3 / exponent) * _gamma(1 + 3 / exponent)
    solids_per_drop = volume_solids * math.pi / 6 * cube
    found: Real = texture_factor * np.sqrt(dry_film * solids_per_drop) / wavelength
    return found


_gamma = np.vectorize(math.gamma, otypes=[float])


@public(gives="texture")
def finished_texture(
    dry_film: Real,
    median_diameter: Real,
    volume_solids: Real,
    viscosity: Real,
    surface_tension: Real = coefficient("surface_tension"),
    tenfold_time: Real = coefficient("tenfold_time"),
    wavelength: Real = 2e-3,
    spread_exponent: Real = coefficient("spread_exponent"),
    texture_factor: Real = coefficient("texture_factor"),
) -> Real:
    """Texture that is left once the film has levelled and set: short waves go, long ones stay.

    dry_film: mean film; more than nothing
    volume_solids: of the paint as sprayed
    viscosity: just after spraying
    wavelength: 50 µm to 100 mm; from crest to crest, at least 2π times the wet film
    Gives (...) m of dry film.
    Holds for paint without yield stress. Source: random-landing, orchard.
    """
    laid = laid_texture.si(dry_film, median_diameter, volume_solids, wavelength, spread_exponent, texture_factor)
    wet = dry_film / np.asarray(volume_solids)
    found: Real = laid * wave_left.si(math.inf, wavelength, wet, viscosity, surface_tension, tenfold_time)
    return found
