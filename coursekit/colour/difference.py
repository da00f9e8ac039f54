"""How far apart two colours look: CIEDE2000."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit.quantities import InputError, RangeError, public

MOST_COLOURS = 1_000_000
WIDEST = 200.0  # |a*| and |b*|
# A hue gap this near to half a turn counts as half a turn (degrees): see `difference`.
HALF_TURN_SLACK = 1e-9
_25_TO_7 = 25.0**7


def read_lab(lab: object, argument: str) -> np.ndarray:
    """A colour, or an array of them, as floats of shape (..., 3)."""
    remedy = "Give three numbers, for example [50, 2.68, -79.78]."
    wrong_kind = InputError(argument, "is not a colour of three numbers L*, a*, b*.", remedy, kind="form")
    if not isinstance(lab, (list, tuple, np.ndarray)):
        raise wrong_kind
    if not isinstance(lab, np.ndarray) and (len(lab) > MOST_COLOURS or any(isinstance(v, bool) for v in lab)):
        raise wrong_kind
    try:
        values = np.asarray(lab)
    except Exception:  # whatever the parts of the list raise when they are turned into numbers
        raise InputError(argument, "is a list of unequal parts.", remedy, kind="list") from None
    if values.dtype.kind not in "if" or values.ndim == 0 or values.shape[-1] != 3 or values.size == 0:
        raise wrong_kind
    values = values.astype(float)
    if not np.all(np.isfinite(values)):
        raise InputError(argument, "holds a number that is not finite.", remedy, kind="not finite")
    for part, name, low, high in ((values[..., 0], "L*", 0.0, 100.0), (values[..., 1:], "a* or b*", -WIDEST, WIDEST)):
        wrong = (part < low) | (part > high)
        if np.any(wrong):
            raise RangeError(argument, part[wrong].flat[0], low, high, f"That is for {name}.")
    return values


def one_colour(lab: object, argument: str) -> np.ndarray:
    """A single colour, shape (3,)."""
    values = read_lab(lab, argument)
    if values.ndim != 1:
        raise InputError(argument, "holds several colours.", "Give one colour of three numbers.", kind="list")
    return values


@public(gives="colour_difference")
def difference(lab_1: object, lab_2: object) -> Any:
    """Difference between two colours that people see, CIEDE2000 with all weights 1.

    lab_1: three numbers L*, a*, b*, or an array (..., 3) of them; L* 0 to 100, a* and b* -200 to 200
    Gives (...) number. Raises InputError for anything but three numbers, RangeError out of those ranges.
    Holds for even patches seen large in daylight; not for metallic or pearl. When the two hues are half a turn
    apart to within 1e-9 degrees, the mean of the two angles is taken as it stands, as for any gap not above half a
    turn; a gap above it takes the mean on the other side, so the result jumps there. Source: sharma-2005.
    """
    first, second = read_lab(lab_1, "lab_1"), read_lab(lab_2, "lab_2")
    try:
        first, second = np.broadcast_arrays(first, second)
    except ValueError:
        raise InputError(
            "lab_2", "has another shape than lab_1.", "Give as many colours in both.", kind="list"
        ) from None
    return ciede2000(first, second)


def ciede2000(first: np.ndarray, second: np.ndarray) -> Any:
    chroma = (np.hypot(first[..., 1], first[..., 2]) + np.hypot(second[..., 1], second[..., 2])) / 2
    stretch = 0.5 * (1 - np.sqrt(chroma**7 / (chroma**7 + _25_TO_7)))
    (l_1, c_1, h_1), (l_2, c_2, h_2) = (_cylinder(c, stretch) for c in (first, second))
    grey = c_1 * c_2 == 0
    gap = h_2 - h_1
    far = np.abs(gap) > 180 + HALF_TURN_SLACK
    turn = np.where(grey, 0.0, np.where(far, gap - 360 * np.sign(gap), gap))
    d_l, d_c, d_h = l_2 - l_1, c_2 - c_1, 2 * np.sqrt(c_1 * c_2) * np.sin(np.radians(turn) / 2)
    light, chroma, total = (l_1 + l_2) / 2, (c_1 + c_2) / 2, h_1 + h_2
    hue = np.where(grey, total, np.where(far, np.where(total < 360, total + 360, total - 360), total) / 2)
    tilt = 1 - 0.17 * _cos(hue - 30) + 0.24 * _cos(2 * hue) + 0.32 * _cos(3 * hue + 6) - 0.20 * _cos(4 * hue - 63)
    s_l = 1 + 0.015 * (light - 50) ** 2 / np.sqrt(20 + (light - 50) ** 2)
    s_c = 1 + 0.045 * chroma
    s_h = 1 + 0.015 * chroma * tilt
    blue = 30 * np.exp(-(((hue - 275) / 25) ** 2))
    rotation = -2 * np.sqrt(chroma**7 / (chroma**7 + _25_TO_7)) * np.sin(np.radians(2 * blue))
    p, q, r = d_l / s_l, d_c / s_c, d_h / s_h
    # Rounding can leave a hair below nought where two colours are the same.
    result = np.sqrt(np.maximum(p * p + q * q + r * r + rotation * q * r, 0.0))
    return float(result) if np.ndim(result) == 0 else result


def _cylinder(lab: np.ndarray, stretch: Any) -> tuple[Any, Any, Any]:
    a = (1 + stretch) * lab[..., 1]
    return lab[..., 0], np.hypot(a, lab[..., 2]), np.degrees(np.arctan2(lab[..., 2], a)) % 360


def _cos(degrees: Any) -> Any:
    return np.cos(np.radians(degrees))
