"""What a painted surface mirrors: how much of the light, how glossy that reads, how far a mirrored line moves.

All angles are between the light and the line upright on the surface.
"""

from __future__ import annotations

import numpy as np

from coursekit.nomenclature import load_data
from coursekit.quantities import Real, public
from coursekit.sanding.showthrough import gloss_factor

_INDEX = {name: row["value"] for name, row in load_data("viewing").items()}
GLOSS_STANDARD = _INDEX["gloss_standard"]
CLEAR_INDEX, WATER_INDEX = _INDEX["clear_index"], _INDEX["water_index"]


@public(gives="reflectance")
def mirror_reflectance(angle: Real, refractive_index: Real = CLEAR_INDEX) -> Real:
    """Share of unpolarised light that a smooth film mirrors: little from in front, nearly all along the panel.

    refractive_index: 1.5 is a usual clear, 1.33 water
    Gives (...) share.
    Holds for a film that is clear, not for bare metal. Source: fresnel.
    """
    cosine = np.cos(angle)
    inside = np.sqrt(1 - (np.sin(angle) / refractive_index) ** 2)
    across = (cosine - refractive_index * inside) / (cosine + refractive_index * inside)
    along = (inside - refractive_index * cosine) / (inside + refractive_index * cosine)
    found: Real = (across**2 + along**2) / 2
    return found


@public(gives="gloss")
def gloss(angle: Real, rq: Real = 0.0, refractive_index: Real = CLEAR_INDEX) -> Real:
    """What a gloss meter reads: the mirrored light, with polished glass of index 1.567 as 100.

    rq: root mean square; a quarter of the light's wavelength at most
    refractive_index: 1.5 is a usual clear
    Gives (...) number.
    Holds for the light that is mirrored; a meter also catches some that is scattered close by, so that a film rougher
    than about 80 nm reads higher. Source: iso-2813; fresnel; gloss-roughness.
    """
    share = mirror_reflectance.si(angle, refractive_index) / mirror_reflectance.si(angle, GLOSS_STANDARD)
    found: Real = 100 * share * gloss_factor.si(rq, angle)
    return found


@public(gives="reflectance")
def wet_reflectance(reflectance: Real, refractive_index: Real = WATER_INDEX) -> Real:
    """Share of light that a dull, dry surface scatters back once a film of liquid lies on it: wet is darker.

    refractive_index: 1.33 is water, 1.5 a coat of clear
    Gives (...) share, with what the liquid itself mirrors.
    Holds for a surface that scatters evenly and absorbs no more when wet. Source: wet-darker.
    """
    front = mirror_reflectance.si(0.0, refractive_index)
    kept = 1 - (1 - _diffuse_mirror(refractive_index)) / refractive_index**2
    absorbed = (1 - front) * (1 - reflectance) / (1 - kept * reflectance)
    found: Real = 1 - absorbed
    return found


def _diffuse_mirror(refractive_index: Real) -> Real:
    """Mirror reflectance for light from everywhere, by Gauss's rule over the angle."""
    at, weight = np.polynomial.legendre.leggauss(24)
    angle = np.pi / 4 * (at + 1)
    share = np.sin(2 * angle) * np.pi / 4 * weight
    found: Real = (mirror_reflectance.si(angle, np.asarray(refractive_index)[..., None]) * share).sum(axis=-1)
    return found


@public(gives="line_shift")
def line_shift(lean: Real, board_distance: Real) -> Real:
    """How far the mirror image of a line on a board moves when the surface is tilted: by twice the tilt.

    lean: of the surface, in the plane of sight
    Gives (...) m on the board.
    Holds for a small lean. Source: mirror-geometry.
    """
    return 2 * np.asarray(lean) * board_distance
