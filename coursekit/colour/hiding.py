"""How much film hides what lies under it: the two-constant theory of Kubelka and Munk, for solid colours."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit.colour.difference import ciede2000, one_colour, read_lab
from coursekit.colour.swatch import Lab, lab_of_linear, linear_of_lab
from coursekit.quantities import InputError, RangeError, Real, Scalar, Value, in_range, public
from coursekit.sources import coefficient

MOST_COATS = 12
MOST_GROUNDS = 20
_HALVINGS = 80
_LIGHT = np.array([0.2126, 0.7152, 0.0722])  # share of each band of light in the lightness Y
# Reflectances of a ground or a masstone as the theory takes them: never quite black, never quite white.
_DARKEST, _LIGHTEST = 1e-4, 0.999


@public(gives="absorption_ratio")
def absorption_ratio(reflectance: Real) -> Real:
    """Absorption over scattering (K/S) of a paint, from the reflectance of a film too thick to see through.

    reflectance: of the thick film
    Gives (...) number.
    Holds for solid colours inside the film (no shine). Source: kubelka-munk-1931.
    """
    return (1 - reflectance) ** 2 / (2 * reflectance)


@public(gives="reflectance")
def film_reflectance(absorption: Real, scattering: Real, dry_film: Real, ground: Real) -> Real:
    """Reflectance of a film over a ground.

    Gives (...) share.
    Holds for solid colours; not for metallic, pearl or clear. Source: kubelka-1948.
    """
    found: Real = reflectance_over(absorption / scattering, scattering * dry_film, ground)
    return found


def reflectance_over(ratio: Any, depth: Any, ground: Any) -> Any:
    """R of a film: ratio K/S, depth S·X. Written with tanh, which neither overflows nor divides by nought."""
    a = 1 + ratio
    b = np.sqrt(ratio * (2 + ratio))
    # tanh(b·SX)/b goes to SX as b goes to nought: a film that only scatters.
    slope = np.where(b > 1e-6, np.tanh(np.minimum(b * depth, 50.0)) / np.where(b > 1e-6, b, 1.0), depth)
    return (ground + (1 - ground * a) * slope) / (1 + (a - ground) * slope)


@public(gives="contrast_ratio")
def contrast_ratio(absorption: Real, scattering: Real, dry_film: Real, white: Real = 0.8, black: Real = 0.0) -> Real:
    """Reflectance over black divided by reflectance over white: how well a film hides.

    Gives (...) share; 98 % is usually called hiding.
    Holds for solid, rather light colours. Source: kubelka-1948; iso-6504.
    """
    _card(white, black)
    ratio, depth = absorption / scattering, scattering * dry_film
    # Rounding can bring a film that is all but black a hair above one.
    found: Real = np.minimum(reflectance_over(ratio, depth, black) / reflectance_over(ratio, depth, white), 1.0)
    return found


def _card(white: Any, black: Any) -> None:
    if np.any(np.asarray(black) >= np.asarray(white)):
        raise RangeError(
            "black", float(np.max(black)), 0.0, float(np.min(white)), "The black part is darker than the white."
        )


@public(gives="dry_film")
def hiding_film(
    absorption: Real, scattering: Real, contrast: Real = 0.98, white: Real = 0.8, black: Real = 0.0
) -> Real:
    """Film at which the contrast ratio is reached.

    contrast: contrast ratio wanted
    Gives (...) m. Raises RangeError out of those ranges, or when 5 mm do not hide.
    Holds as `contrast_ratio`. Source: kubelka-1948; iso-6504.
    """
    _card(white, black)
    thickest = 5e-3
    reached = contrast_ratio.si(absorption, scattering, thickest, white, black)
    if np.any(short := np.asarray(contrast > reached)):
        in_range(
            "contrast",
            np.where(short, contrast, 0.0),
            0.0,
            float(np.min(np.where(short, reached, 1.0))),
            "This paint does not hide that well in 5 mm.",
        )
    shape = np.broadcast_shapes(*(np.shape(v) for v in (absorption, scattering, contrast, white, black)))
    low, high = np.zeros(shape), np.full(shape, thickest)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        thin = contrast_ratio.si(absorption, scattering, middle, white, black) < contrast
        low, high = np.where(thin, middle, low), np.where(thin, high, middle)
    return float(high) if not shape else high


# --- a colour over a mixed ground --------------------------------------------------------------------------


def solid_only(paint: str) -> None:
    if paint != "solid":
        raise InputError(
            "paint",
            f'"{paint}" lets light through flakes or has none of its own.',
            "Only solid colours are computed: ask the maker for a ground, spray a card.",
            kind="not computed",
        )


def through_film(colour: np.ndarray, ground: np.ndarray, depth: object) -> np.ndarray:
    """L*a*b* seen through a film of S·X = depth (..., 1), in three broad bands of light."""
    masstone, under = (np.clip(linear_of_lab(c), _DARKEST, _LIGHTEST) for c in (colour, ground))
    return lab_of_linear(reflectance_over(absorption_ratio.si(masstone), depth, under))


@public(gives={"lightness": "lab_part", "a": "lab_part", "b": "lab_part"})
def seen_over(
    colour: object, ground_colour: object, dry_film: Real, paint: str, scattering: Real = coefficient("scattering")
) -> Lab:
    """Colour of a film of solid colour over a ground that still shows through.

    paint: only solid is computed
    Gives Lab. Raises InputError for metallic, pearl and clear, RangeError out of those ranges.
    Holds as `coats_to_hide`. Source: kubelka-1948; derived-here.
    """
    solid_only(paint)
    depth = np.asarray(scattering * dry_film)[..., None]
    seen = through_film(one_colour(colour, "colour"), one_colour(ground_colour, "ground_colour"), depth)
    return Lab(*(float(part) if part.ndim == 0 else part for part in np.moveaxis(seen, -1, 0)))


class Hiding(NamedTuple):
    """Coats until no ground shows; the largest difference between any ground and the full colour, coat by coat."""

    coats: Value
    differences: Value
    last_ground: int
    words: str


@public(gives={"coats": "coats", "differences": "colour_difference"})
def coats_to_hide(
    colour: object,
    grounds: object,
    coat_film: Scalar,
    paint: str,
    scattering: Scalar = coefficient("scattering"),
    just_seen: Scalar = 1.0,
) -> Hiding:
    """Coats of a solid colour until filler spot, surfacer and old colour no longer show through.

    grounds: a list of L*, a*, b*, one for each thing it goes over
    paint: only solid is computed
    scattering: S of the paint; measure yours with a black and white card
    Gives Hiding; `coats` is None when twelve coats do not hide. Raises InputError for metallic, pearl and clear.
    Holds for solid colours, in three broad bands of light and without the shine of the surface: a guide for the
    number of coats, not for the shade. Source: kubelka-1948; delta-e-one; derived-here.
    """
    solid_only(paint)
    thick, under = one_colour(colour, "colour"), _grounds(grounds)
    for argument, value in (("coat_film", coat_film), ("scattering", scattering), ("just_seen", just_seen)):
        if np.ndim(value):
            raise InputError(argument, "is a list.", "Give one value.", kind="list")
    coats = np.arange(1, MOST_COATS + 1)
    depth = (scattering * coat_film * coats)[:, None, None]
    seen = through_film(thick, under[None], depth)
    full = through_film(thick, under[None], np.full((1, 1, 1), 1e6))
    apart = ciede2000(*np.broadcast_arrays(seen, full))
    worst = apart.max(axis=1)
    hidden = np.flatnonzero(worst <= just_seen)
    last = int(np.argmax(apart[hidden[0] if hidden.size else -1]))
    if not hidden.size:
        return Hiding(
            None,
            worst,
            last,
            f"{MOST_COATS} coats do not hide ground {last + 1}: lay an even ground near the colour first.",
        )
    number = int(coats[hidden[0]])
    return Hiding(
        number,
        worst,
        last,
        f"Ground {last + 1} shows longest; computed to be hidden at coat {number}, "
        "with a colour difference no larger than the one just seen. A spray-out card decides.",
    )


@public(gives="scattering")
def scattering_from_card(
    colour: object, dry_film: Scalar, contrast: Scalar, white: Scalar = 0.8, black: Real = 0.0
) -> Real:
    """Scattering of your paint, from the contrast ratio of a film sprayed over a black and white card.

    dry_film: of the film on the card
    contrast: lightness Y over black divided by Y over white
    Gives 1/m. Raises RangeError out of those ranges or when no scattering gives that contrast.
    Holds for solid colours. Source: kubelka-1948; iso-6504.
    """
    _card(white, black)
    for argument, value in (("dry_film", dry_film), ("contrast", contrast), ("white", white), ("black", black)):
        if np.ndim(value):
            raise InputError(argument, "is a list.", "Give one value.", kind="list")
    in_range("dry_film", dry_film, 1e-6, 5e-3, "There is nothing to see through.")
    masstone = np.clip(linear_of_lab(one_colour(colour, "colour")), _DARKEST, _LIGHTEST)
    ratio = absorption_ratio.si(masstone)
    lowest, highest = 1e2, 1e7

    def reached(scattering: float) -> float:
        over = [_LIGHT @ reflectance_over(ratio, scattering * dry_film, ground) for ground in (black, white)]
        return float(over[0] / over[1])

    in_range("contrast", contrast, reached(lowest), reached(highest), "No paint of this colour gives that.")
    for _ in range(_HALVINGS):
        middle = float(np.sqrt(lowest * highest))
        lowest, highest = (middle, highest) if reached(middle) < contrast else (lowest, middle)
    return highest


@public(gives="dry_film")
def film_to_hide(
    colour: object,
    contrast: Scalar = 0.98,
    white: Scalar = 0.8,
    black: Scalar = 0.0,
    scattering: Real = coefficient("scattering"),
) -> Real:
    """Film of a solid colour that hides a black and white card; the way back of `scattering_from_card`.

    colour: L*, a*, b* of the paint where it is thick
    contrast: lightness Y over black divided by Y over white
    Gives (...) m. Raises RangeError out of those ranges, or for a colour that no film hides so well.
    Holds for solid colours. Source: kubelka-1948; iso-6504.
    """
    _card(white, black)
    for argument, value in (("contrast", contrast), ("white", white), ("black", black)):
        if np.ndim(value):
            raise InputError(argument, "is a list.", "Give one value.")
    ratio = absorption_ratio.si(np.clip(linear_of_lab(one_colour(colour, "colour")), _DARKEST, _LIGHTEST))

    def reached(depth: float) -> float:
        over = [_LIGHT @ reflectance_over(ratio, depth, ground) for ground in (black, white)]
        return float(over[0] / over[1])

    low, high = 1e-6, 1e3
    in_range("contrast", contrast, reached(low), reached(high), "No film of this colour gives that.")
    for _ in range(_HALVINGS):
        middle = float(np.sqrt(low * high))
        low, high = (middle, high) if reached(middle) < contrast else (low, middle)
    return high / scattering


def _grounds(grounds: object) -> np.ndarray:
    values = np.atleast_2d(read_lab(grounds, "grounds"))
    if values.ndim != 2 or len(values) > MOST_GROUNDS:
        raise InputError(
            "grounds", "is not a list of colours.", "Write [[70, 0, 0], [45, 30, 20]].", kind="other type"
        )
    return values
