"""Colour difference, hiding, blend, swatches, and what a surface mirrors."""

from coursekit.colour.blend import Blend, blend
from coursekit.colour.difference import difference
from coursekit.colour.hiding import (
    Hiding,
    absorption_ratio,
    coats_to_hide,
    contrast_ratio,
    film_reflectance,
    film_to_hide,
    hiding_film,
    scattering_from_card,
    seen_over,
)
from coursekit.colour.reflection import gloss, line_shift, mirror_reflectance, wet_reflectance
from coursekit.colour.swatch import Lab, Swatch, lab_of, swatch

__all__ = [
    "Blend",
    "Hiding",
    "Lab",
    "Swatch",
    "absorption_ratio",
    "blend",
    "coats_to_hide",
    "contrast_ratio",
    "difference",
    "film_reflectance",
    "film_to_hide",
    "gloss",
    "hiding_film",
    "lab_of",
    "line_shift",
    "mirror_reflectance",
    "scattering_from_card",
    "seen_over",
    "swatch",
    "wet_reflectance",
]
