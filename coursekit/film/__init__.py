"""Wet and dry film, solids, how far a can goes, and what gauges say."""

from coursekit.film.gauges import acceptance_limits, comb_reading, comb_teeth, gauge_acceptance, gauge_average
from coursekit.film.solids import (
    film_from_dry_mass,
    film_from_wet_mass,
    mass_solids_from_volume,
    volume_solids_from_mass,
)
from coursekit.film.thickness import (
    dry_film,
    film_from_paint,
    paint_needed,
    spreading_rate,
    thinned_volume_solids,
    wet_film,
)

__all__ = [
    "acceptance_limits",
    "comb_reading",
    "comb_teeth",
    "dry_film",
    "film_from_dry_mass",
    "film_from_paint",
    "film_from_wet_mass",
    "gauge_acceptance",
    "gauge_average",
    "mass_solids_from_volume",
    "paint_needed",
    "spreading_rate",
    "thinned_volume_solids",
    "volume_solids_from_mass",
    "wet_film",
]
