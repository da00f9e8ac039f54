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

    dry_film         (...) m, 0 to 5 mm          mean film
    median_diameter  (...) m, 1 to 500 µm        half of the paint is in smaller drops
    volume_solids    (...) share, 1 % to 100 %   of the paint as sprayed
    wavelength       (...) m, 50 µm to 10 m      side of the patch, from crest to crest
    spread_exponent  (...) number, 1.1 to 6      of the Rosin-Rammler spread of the drops
    texture_factor   (...) number, 0.1 to 10     what real landing makes of it; assumed
    Gives (...) m of dry film, before anything levels. Grows with the drop to the power 1½ and with the root of the
    film; beside the mean it falls as the film grows. Raises InputError for a wrong unit, RangeError out of those
    ranges. Holds for drops that land at random, spread thinner than the patch is wide. Source: random-landing.
    """
    exponent = np.asarray(spread_exponent, dtype=float)
    cube = np.asarray(median_diameter) ** 3 * math.log(2) ** (-3 / exponent) * _gamma(1 + 3 / exponent)
    solids_per_drop = volume_solids * math.pi / 6 * cube
    return texture_factor * np.sqrt(dry_film * solids_per_drop) / wavelength


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

    dry_film         (...) m, 0 to 5 mm          mean film; more than nothing
    median_diameter  (...) m, 1 to 500 µm        half of the paint is in smaller drops
    volume_solids    (...) share, 1 % to 100 %   of the paint as sprayed
    viscosity        (...) Pa·s, 0.1 mPa·s to 10 kPa·s   just after spraying
    surface_tension  (...) N/m, 5 to 100 mN/m    of the paint
    tenfold_time     (...) s, 1 s to 10 h        in which the viscosity on the panel grows tenfold
    wavelength       (...) m, 50 µm to 100 mm    from crest to crest, at least 2π times the wet film
    spread_exponent  (...) number, 1.1 to 6      of the Rosin-Rammler spread of the drops
    texture_factor   (...) number, 0.1 to 10     what real landing makes of it; assumed
    Gives (...) m of dry film. Raises InputError for a wrong unit, RangeError out of those ranges.
    Holds for paint without yield stress. Source: random-landing, orchard.
    """
    laid = laid_texture.si(dry_film, median_diameter, volume_solids, wavelength, spread_exponent, texture_factor)
    wet = dry_film / np.asarray(volume_solids)
    return laid * wave_left.si(math.inf, wavelength, wet, viscosity, surface_tension, tenfold_time)
