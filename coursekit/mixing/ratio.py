"""Reading a mixing ratio as sheets print it: "4:1:1", "2:1 +10 %"."""

from __future__ import annotations

import re
from typing import NamedTuple

import numpy as np

from coursekit.quantities import LONGEST_TEXT, InputError

MOST_PARTS = 6
_NUMBER = r"[0-9]{1,5}(?:\.[0-9]{1,6})?"
_PART = re.compile(_NUMBER)
_PLUS = re.compile(
    rf"({_NUMBER})\s*%(?:\s*of\s+(?:the\s+)?(first|paint|mix|sum))?(\s*(?:reducer|thinner))?", re.IGNORECASE
)
_BASIS = re.compile(r"\s*\(?\s*by\s+(volume|mass|weight)\s*\)?\s*$", re.IGNORECASE)


class Ratio(NamedTuple):
    """Parts in the order of the sheet; a "+10 %" has become the last part."""

    parts: tuple[float, ...]
    text: str

    @property
    def shares(self) -> np.ndarray:
        """Each part as a share of the whole mix."""
        parts = np.array(self.parts)
        return parts / parts.sum()  # type: ignore[no-any-return]


def read_ratio(value: object, argument: str = "ratio", basis: str = "volume") -> Ratio:
    """A ratio's parts from text.

    "+10 %" is 10 % of what stands before it, all parts together, unless it says "of the first" (part).
    Raises InputError with the way to write it for everything else.
    """
    if isinstance(value, Ratio):
        return value
    how = 'Write the parts as the sheet does: "4:1:1", or "2:1 +10 %" for a reducer.'
    if not isinstance(value, str):
        raise InputError(argument, f"a {type(value).__name__} is not a ratio.", how, kind="form")
    if len(value) > LONGEST_TEXT:
        raise InputError(argument, f"text of {len(value)} characters is too long.", how, kind="too long")
    written = " ".join(value.split())
    body = _without_basis(written, argument, basis)
    before, plus, after = body.partition("+")
    parts = [_part(p.strip(), written, argument, how) for p in before.split(":")]
    if len(parts) > MOST_PARTS:
        raise InputError(argument, f'"{written}" has more than {MOST_PARTS} parts.', how, kind="count")
    if plus:
        parts.append(_reducer(after.strip(), parts, written, argument))
    elif len(parts) == 1:
        raise InputError(argument, f'"{written}" is one number: a ratio has at least two parts.', how, kind="count")
    return Ratio(tuple(parts), written)


def _without_basis(written: str, argument: str, basis: str) -> str:
    match = _BASIS.search(written)
    if match is None:
        return written
    said = "volume" if match[1].lower() == "volume" else "mass"
    if said != basis:
        other = "parts_by_mass_to_volume" if said == "mass" else "parts_by_volume_to_mass"
        raise InputError(
            argument,
            f'"{written}": these parts are wanted by {basis}.',
            f"mixing.{other} turns the one into the other, with the densities.",
            kind="form",
        )
    return written[: match.start()]


def _part(text: str, written: str, argument: str, how: str) -> float:
    if "%" in text:
        raise InputError(
            argument,
            f'"{written}": parts are not per cent.',
            'One part of hardener to four of paint is written "4:1"; it is 25 % of the paint but 20 % of the mix. '
            'A reducer in per cent follows a plus: "4:1 +10 %".',
            kind="form",
        )
    if "," in text:
        raise InputError(
            argument, f'"{written}" has a comma.', 'Write the decimal with a point: "2.5:1".', kind="comma"
        )
    if not _PART.fullmatch(text):
        raise InputError(argument, f'"{written}" is not a ratio.', how, kind="form")
    if float(text) == 0:
        raise InputError(argument, f'"{written}" has a part of nothing.', "Leave that part out.", kind="empty")
    return float(text)


def _reducer(text: str, parts: list[float], written: str, argument: str) -> float:
    match = _PLUS.fullmatch(text)
    if match is None:
        raise InputError(
            argument,
            f'"{written}": what follows the plus is not one figure in per cent.',
            'Write "2:1 +10 %"; for "5–10 %" choose the figure you mean to use.',
            kind="form",
        )
    share = float(match[1]) / 100
    if share > 2:
        raise InputError(
            argument,
            f'"{written}": a reducer of more than 200 % is no longer a paint.',
            "Look at the sheet again.",
            kind="impossible",
        )
    of_first = (match[2] or "").lower() in ("first", "paint")
    return share * (parts[0] if of_first else sum(parts))


def one_each(values: object, ratio: Ratio, argument: str) -> np.ndarray:
    """The figures of the parts, (parts, …); refuses another number of figures than parts."""
    found = np.asarray(values, dtype=float)
    if found.ndim == 0 or found.shape[0] != len(ratio.parts):
        given = found.shape[0] if found.ndim else 1
        raise InputError(
            argument,
            f'{given} given for the {len(ratio.parts)} parts of "{ratio.text}".',
            "Give one for each part, in the order of the ratio; a reducer is a part.",
            kind="count",
        )
    return found
