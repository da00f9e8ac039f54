"""What a black and white card says of a paint: the function behind a measurement."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit.colour.hiding import scattering_from_card
from coursekit.colour.swatch import lab_of, xyz_of_lab
from coursekit.measurements import difference
from coursekit.quantities import InputError, Real
from coursekit.uncertain import Band

FILM_ERROR = 0.15  # of a film that was reckoned, not gauged
CONTRAST_ERROR = 0.015  # of a contrast read off a photograph: its middle part alone is straight (assumed)
WHITE, BLACK = 0.8, 0.03  # paper and ink of a printed card (assumed)


def hiding_card(dry_film: Real, thick: str, over_white: str, over_black: str) -> dict[str, Any]:
    """Scattering of a paint from its colours over white and over black. Source: kubelka-1948; iso-6504."""
    film = float(np.mean(dry_film))
    light = {}
    for field, text in (("over_white", over_white), ("over_black", over_black)):
        light[field] = _lightness(text)
    difference(light["over_white"], light["over_black"], "over_black", "darker than over_white")
    contrast = light["over_black"] / light["over_white"]
    if not 0.1 <= contrast <= 0.97:
        raise InputError(
            "over_black",
            "is all but hidden or all but bare.",
            "Spray thinner (or thicker), so that black shows clearly but weakly.",
            kind="impossible",
        )
    colour = list(lab_of.si(thick))
    found = [
        scattering_from_card.si(colour, film * stretch, contrast + step, WHITE, BLACK)
        for stretch, step in ((1 + FILM_ERROR, -CONTRAST_ERROR), (1, 0), (1 - FILM_ERROR, CONTRAST_ERROR))
    ]
    return {"scattering": Band(*found)}


def _lightness(text: str) -> float:
    """Y of a screen colour."""
    return float(xyz_of_lab(np.array(lab_of.si(text)))[1])
