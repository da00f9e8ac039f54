"""Paper grades: four scales that print the same number on different grains."""

from __future__ import annotations

import functools
import itertools
import math
import re
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from coursekit.nomenclature import load_data
from coursekit.quantities import LONGEST_TEXT, InputError, Real, Value, public

SCALES = ("P", "CAMI", "JIS", "F")
ALIKE_UP_TO = 220  # up to here the scales differ little, and a bare number is taken as P
COARSE_OUTLIERS = 1.4  # ds3/ds50 of the coarsest microgrit, P240; the coarser grades are defined by sieves
_WRITTEN = re.compile(r"^(?:FEPA *)?(P|CAMI|ANSI|JIS|F|)[ -]*(#?) *([1-9][0-9]{1,3})(?: *GRIT)?$")


class Grade(NamedTuple):
    """A paper: its scale, its number, the mean grain, and how far its largest grains stand out."""

    scale: str
    number: int
    grain_size: float  # m
    outlier_ratio: float  # ds3 / ds50

    def __str__(self) -> str:
        return f"{self.scale}{'' if self.scale in 'PF' else ' '}{self.number}"


class SameSize(NamedTuple):
    """The grade of another scale with the nearest grain, that grain, and its ratio to the first."""

    grade: str
    grain_size: Value
    size_ratio: Value


@functools.lru_cache(maxsize=1)
def _tables() -> dict[str, list[tuple[int, float, float | None]]]:
    """Per scale, from coarse to fine: number, grain size in m, ds3/ds50 where it is known."""
    return {
        scale: [
            (row["number"], row["size"] * 1e-6, row["ds3"] / row["size"] if "ds3" in row else None)
            for row in load_data("grits")[scale]
            if row.get("verified", True)
        ]
        for scale in SCALES
    }


def _interpolate(x: float, points: Sequence[tuple[float, float]]) -> float:
    """Straight between two points in the logarithm of both; held at the ends."""
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        if x == x1:
            return y1
        if x0 <= x < x1:
            share = math.log(x / x0) / math.log(x1 / x0)
            return float(y0 * (y1 / y0) ** share)
    return points[0][1] if x < points[0][0] else points[-1][1]


def _covers(scale: str, number: int) -> bool:
    table = _tables()[scale]
    return table[0][0] <= number <= table[-1][0]


def _grade(scale: str, number: int) -> Grade:
    table = _tables()[scale]
    size = _interpolate(number, [(n, d) for n, d, _ in table])
    known = [(n, r) for n, _, r in table if r is not None]
    if known:
        ratio = COARSE_OUTLIERS if number < known[0][0] else _interpolate(number, known)
    else:  # not printed for this scale: that of a P paper with the same grain
        by_size = [(d, r) for _, d, r in reversed(_tables()["P"]) if r is not None]
        ratio = COARSE_OUTLIERS if size > by_size[-1][0] else _interpolate(size, by_size)
    return Grade(scale, number, size, ratio)


def read_grade(value: object, argument: str = "grade") -> Grade:
    """The paper that a person named: "P320", "CAMI 320", "JIS 320" or "#320", "F320"; up to 220 a bare number.

    Raises InputError naming the argument, with the sizes that a bare number could mean.
    """
    if isinstance(value, Grade):
        return value
    if isinstance(value, (int, float, np.number)) and not isinstance(value, bool):
        if not 10 <= value <= 9999 or value != int(value):
            raise InputError(
                argument,
                "is a number that no paper bears.",
                'Write what is printed on its back, for example "P320".',
                kind="form",
            )
        value = str(int(value))
    if not isinstance(value, str):
        raise InputError(
            argument,
            f"a {type(value).__name__} is not a paper.",
            'Write what is printed on its back, for example "P320".',
            kind="other type",
        )
    if len(value) > LONGEST_TEXT:
        raise InputError(
            argument, f"text of {len(value)} characters is too long.", 'Write one paper: "P320".', kind="too long"
        )
    return _read_text(value, argument)


@functools.lru_cache(maxsize=256)
def _read_text(value: str, argument: str) -> Grade:
    written = f'"{value.strip()}"'
    match = _WRITTEN.match(" ".join(value.upper().split()))
    if match is None:
        several = re.search(r"[0-9].*[^0-9]+[0-9]", value)
        raise InputError(
            argument,
            f"{written} is not a grade of paper.",
            ("Write each paper by itself, " if several else "Write what is printed on its back, ")
            + 'for example "P320", "CAMI 320" or "JIS 320".',
            kind="unknown",
        )
    scale, sign, number = {"ANSI": "CAMI"}.get(match[1], match[1]), match[2], int(match[3])
    if sign and scale not in ("", "JIS"):
        raise InputError(
            argument, f"{written} names two scales.", f'Write "{match[1]} {number}" or "JIS {number}".', kind="form"
        )
    scale = scale or ("JIS" if sign else "")
    if not scale:
        if number > ALIKE_UP_TO:
            raise InputError(
                argument,
                f"{written} names no scale. {_could_mean(number)}",
                f'Look on the back of the paper and write, for example, "P{number}".',
                kind="form",
            )
        scale = "P"
    if not _covers(scale, number):
        table = _tables()[scale]
        raise InputError(
            argument,
            f"{written} lies outside the {scale} scale as this course can vouch for it, "
            f"{Grade(scale, table[0][0], 0, 0)} to {Grade(scale, table[-1][0], 0, 0)}."
            f"{_weakly(scale, number)}",
            "Take a paper within it."
            if number > table[-1][0] or not _covers("P", number)
            else f'Coarser grades of the scales are close: write "P{number}".',
            kind="not computed",
        )
    return _grade(scale, number)


def _could_mean(number: int) -> str:
    grades = [_grade(scale, number) for scale in SCALES if _covers(scale, number)]
    sizes = [f"{grade} ({grade.grain_size * 1e6:.2g} µm)" for grade in grades]
    if len(sizes) > 1:
        return f"It could be {', '.join(sizes[:-1])} or {sizes[-1]}."
    return f"It could be {sizes[0]} and no other." if sizes else "No scale of this course reaches so far."


def _weakly(scale: str, number: int) -> str:
    for row in load_data("grits")[scale]:
        if row["number"] == number and not row.get("verified", True):
            return f" Weak tables give about {row['size']:g} µm."
    return ""


@public(gives="grain_size")
def grain_size(grade: object) -> Real:
    """Mean grain size of a paper.

    grade: one grade, P12 to P2500, CAMI 16 to 1000, JIS 240 to 8000, F80 to F1200; "P320", "CAMI 320", "JIS 320" or
        "#320", "F320"; a bare number up to 220 is taken as P, where the scales differ by 14 % at most
    Gives m. Raises InputError for a bare number above 220 (with the sizes it could mean), a grade outside those
    scales – P3000 and finer are not verified – and anything that is no grade.
    Holds for grades of the table; between two of them in the logarithm, within one scale only.
    Source: sandpaper-lists; jis-r-6001-1987; iso-8486-2, from memory; bonded-f80.
    """
    return read_grade(grade).grain_size


@public(gives={"grain_size": "grain_size", "size_ratio": "size_ratio"})
def same_size(grade: object, scale: str) -> SameSize:
    """The grade of another scale whose grain is nearest.

    grade: one grade; as for `grain_size`
    Gives the grade, its grain size in m, and that size over the first one's. Raises InputError for no grade or scale.
    Holds inside the tables; the ratio says how near it is. Source: sandpaper-lists; jis-r-6001-1987; iso-8486-2.
    """
    size = read_grade(grade).grain_size
    number, found, _ = min(_tables()[scale], key=lambda row: abs(math.log(row[1] / size)))
    return SameSize(str(Grade(scale, number, found, 0.0)), found, found / size)
