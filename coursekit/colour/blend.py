"""How a step in colour is spread into the next panel by coats that fade out."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit.colour.difference import ciede2000, one_colour
from coursekit.colour.hiding import solid_only, through_film
from coursekit.quantities import InputError, Scalar, Value, Values, public
from coursekit.sources import coefficient

POINTS = 201
STEP = 0.010  # m: the colour step is told per centimetre
MOST_COATS = 20
WORDS = (
    "The score is relative: 100 % is the bare edge of the new colour against the old. No published threshold "
    "says which score is seen."
)


class Blend(NamedTuple):
    """Along the neighbouring panel from the edge: film, colour difference to the old paint, and the score."""

    place: Value
    film: Value
    to_old: Value
    steepest: Value  # largest difference between two places a centimetre apart
    score: Value  # the same as a share of the bare edge
    words: str


@public(
    gives={
        "place": "blend_length",
        "film": "dry_film",
        "to_old": "colour_difference",
        "steepest": "colour_difference",
        "score": "blend_score",
    }
)
def blend(
    old_colour: object,
    new_colour: object,
    reaches: Values,
    coat_film: Scalar,
    paint: str,
    scattering: Scalar = coefficient("scattering"),
) -> Blend:
    """Colour along the next panel when each coat fades out at its own reach, and how steep it still is.

    reaches: how far from the edge each coat fades to nothing
    coat_film: dry, of a full coat at the edge
    paint: only solid is computed
    Gives Blend. Raises InputError for metallic, pearl and clear, RangeError out of those ranges.
    Holds as a comparison of one blend with another, for solid colours; how small a step an eye sees over a width
    has no published figure. Source: kubelka-1948; sharma-2005; derived-here, the fade of the hand is assumed.
    """
    solid_only(paint)
    old, new = one_colour(old_colour, "old_colour"), one_colour(new_colour, "new_colour")
    reaches = np.atleast_1d(reaches).astype(float)
    if reaches.ndim != 1 or len(reaches) > MOST_COATS:
        raise InputError(
            "reaches", "is not a list of lengths.", 'Write ["150 mm", "250 mm", "350 mm"].', kind="other type"
        )
    for argument, value in (("coat_film", coat_film), ("scattering", scattering)):
        if np.ndim(value):
            raise InputError(argument, "is a list.", "Give one value.", kind="list")
    place = np.linspace(0.0, reaches.max() + STEP, POINTS)
    # A hand that draws back fades a coat smoothly: cosine from full at the edge to nothing at its reach (assumed).
    fade = 0.5 * (1 + np.cos(np.pi * np.clip(place / reaches[:, None], 0, 1)))
    film = coat_film * fade.sum(axis=0)
    seen = through_film(new, old, (scattering * film)[:, None])
    # What comes before the edge is the repaired panel, in full colour.
    near = np.stack([np.interp(place + STEP, place, part) for part in seen.T], axis=-1)
    full = through_film(new, old, np.array([1e6]))
    bare = through_film(new, old, np.array([0.0]))
    edge = float(ciede2000(full, seen[0]))
    steepest = max(float(np.max(ciede2000(seen, near))), edge)
    whole = float(ciede2000(full, bare))
    score = steepest / whole if whole > 1e-9 else 0.0
    return Blend(place, film, ciede2000(seen, np.broadcast_to(bare, seen.shape)), steepest, min(score, 1.0), WORDS)
