"""Colours on a screen: L*a*b* and sRGB (IEC 61966-2-1), daylight D65, and what a screen cannot show."""

from __future__ import annotations

import re
from typing import NamedTuple

import numpy as np

from coursekit.colour.difference import one_colour
from coursekit.quantities import InputError, Value, public

# The standard's matrix, and white as its sum, so that white stays exactly white.
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
FROM_XYZ = np.linalg.inv(TO_XYZ)
WHITE = TO_XYZ.sum(axis=1)
_EDGE = 6 / 29
# A channel this far outside 0 to 1 is still rounding, half a step of 255.
_GAMUT_SLACK = 0.5 / 255
_HEX = re.compile(r"^#?([0-9a-fA-F]{6})$")
SHOWN = "within what the screen can show"
NOT_SHOWN = "outside what the screen can show: the swatch is the nearest one, the paint is stronger"
NEVER_SHOWN = "A screen shows no flake, no pearl, no depth of clear, and its own white is not daylight."


def xyz_of_lab(lab: np.ndarray) -> np.ndarray:
    f_y = (lab[..., 0] + 16) / 116
    f = np.stack([f_y + lab[..., 1] / 500, f_y, f_y - lab[..., 2] / 200], axis=-1)
    found: np.ndarray = WHITE * np.where(f > _EDGE, f**3, 3 * _EDGE**2 * (f - 4 / 29))
    return found


def lab_of_xyz(xyz: np.ndarray) -> np.ndarray:
    t = xyz / WHITE
    f = np.where(t > _EDGE**3, np.cbrt(t), t / (3 * _EDGE**2) + 4 / 29)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)


def linear_of_lab(lab: np.ndarray) -> np.ndarray:
    """Linear red, green and blue; outside 0 to 1 when the screen cannot show it."""
    return np.asarray(xyz_of_lab(lab) @ FROM_XYZ.T)


def lab_of_linear(linear: np.ndarray) -> np.ndarray:
    return lab_of_xyz(linear @ TO_XYZ.T)


def encoded(linear: np.ndarray) -> np.ndarray:
    """Channels for the screen, carried on beyond 0 and 1 where it cannot show the colour."""
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-12) ** (1 / 2.4) - 0.055)


class Swatch(NamedTuple):
    """A colour for the screen: channels 0 to 255, the same as text, whether the screen can show it, and in words."""

    red: Value
    green: Value
    blue: Value
    hex: str
    in_gamut: bool
    words: str


def hexes(labs: np.ndarray) -> list[str]:
    """The swatches of many colours, shape (n, 3), as text alone."""
    channels = np.rint(255 * np.clip(encoded(linear_of_lab(labs)), 0, 1)).astype(np.uint8)
    return [f"#{row.tobytes().hex()}" for row in channels]


@public(gives={"red": "channel", "green": "channel", "blue": "channel"})
def swatch(lab: object) -> Swatch:
    """The sRGB swatch of a colour, and whether the screen can show it.

    lab: three numbers L*, a*, b* (D65, 2 degrees)
    Gives Swatch. Raises InputError for anything but three numbers, RangeError out of 0 to 100 and -200 to 200.
    Holds for solid colours on a screen set to sRGB. Source: iec-61966-2-1; cie-15.
    """
    values = one_colour(lab, "lab")
    channels = encoded(linear_of_lab(values))
    inside = bool(np.all((channels >= -_GAMUT_SLACK) & (channels <= 1 + _GAMUT_SLACK)))
    red, green, blue = (int(c) for c in np.rint(255 * np.clip(channels, 0, 1)))
    return Swatch(
        red,
        green,
        blue,
        f"#{red:02x}{green:02x}{blue:02x}",
        inside,
        f"{SHOWN if inside else NOT_SHOWN}. {NEVER_SHOWN}",
    )


class Lab(NamedTuple):
    """Lightness, green to red, blue to yellow."""

    lightness: Value
    a: Value
    b: Value


@public(gives={"lightness": "lab_part", "a": "lab_part", "b": "lab_part"})
def lab_of(swatch_text: str) -> Lab:
    """L*a*b* of an sRGB colour written as text, such as "#3c6e9f".

    swatch_text: six digits, with or without #
    Gives Lab (D65, 2 degrees). Raises InputError for any other text.
    Holds for a screen set to sRGB. Source: iec-61966-2-1; cie-15.
    """
    match = _HEX.match(swatch_text.strip()) if isinstance(swatch_text, str) and len(swatch_text) < 40 else None
    if match is None:
        raise InputError("swatch_text", "is not a colour.", 'Write six digits such as "#3c6e9f".', kind="form")
    value = np.array([int(match[1][i : i + 2], 16) for i in (0, 2, 4)]) / 255
    linear = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return Lab(*(float(v) for v in lab_of_linear(linear)))
