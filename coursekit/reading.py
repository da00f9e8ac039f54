"""Reading what a person gave – text or a pint quantity – into SI.

Text is a number, then a unit from the trade's list; it never reaches pint's own parser, which takes "mil" for an
angle and evaluates arithmetic.
"""

from __future__ import annotations

import difflib
import functools
import math
import re
from typing import Any, NoReturn

import numpy as np

from coursekit.errors import ErrorKind, InputError, RangeError
from coursekit.nomenclature import KINDS, Kind, Name, names
from coursekit.sources import coefficient
from coursekit.uncertain import Coefficient
from coursekit.unit_grammar import MEANT, NUMBER, REFUSED, Unit, near, spelling, unit_of

LONGEST_TEXT = 40
LONGEST_LIST = 100_000
DEEPEST_LIST = 4


@functools.lru_cache(4096)  # a recipe is read anew after each change of one entry
def _text_to_si(text: str, kind: str, argument: str, want: Kind) -> tuple[float, str]:
    """SI value and the unit as written; the one place where text becomes a number."""
    if len(text) > LONGEST_TEXT:
        raise InputError(
            argument,
            f"Text of {len(text)} characters is too long.",
            f"Write a number and a unit, for example {want.example}.",
            kind="too long",
            figures={"length": len(text), "longest": LONGEST_TEXT},
        )
    written = f'"{text.strip()}"'.encode(errors="replace").decode()  # half a character cannot be shown on a page
    match = NUMBER.match(_with_decimals(text.strip().replace("\N{MINUS SIGN}", "-")))
    if match is None:
        raise InputError(
            argument,
            f"{written} does not begin with a number.",
            _such_as(want),
            kind="no number",
            figures={"written": text},
        )
    number, unit_text = match[1], match[2].strip() or want.bare
    if unit_text.startswith(","):
        whole, point = f"{number}{unit_text[1:]}".strip(), f"{number}.{unit_text[1:]}".strip()
        remedy = f'Write the decimal with a point: "{point}".'
        if "." in number:
            remedy = 'Write one point for the decimal and no mark for thousands, like "1500.5".'
        elif re.match(r",\d{3}(?!\d)", unit_text):
            remedy += f' Write thousands with no mark: "{whole}".'
        raise InputError(argument, f"{written} has a comma.", remedy, kind="comma", figures={"written": text})
    unit_text = MEANT.get((kind, " ".join(unit_text.casefold().split()).replace(" / ", "/")), unit_text)
    if unit_text.casefold() in REFUSED:
        raise InputError(
            argument,
            f"{written} could mean two things.",
            REFUSED[unit_text.casefold()],
            kind="two meanings",
            figures={"written": text, "unit": unit_text},
        )
    unit = unit_of(unit_text)
    if unit is None:
        if several := _SEVERAL.match(text.strip()):
            raise InputError(
                argument,
                f"{written} is a range; one number is needed.",
                _one_of(several),
                kind="two numbers",
                figures={"written": text},
            )
        if re.match(r"-?\d|/\s*\d", unit_text):
            remedy = f"Write {want.words} such as {want.example}; a fraction as a decimal, 0.25 for 1/4."
            raise InputError(
                argument, f"{written} is not one plain number.", remedy, kind="no number", figures={"written": text}
            )
        close = near(unit_text)
        hint = f' (near: "{close}")' if close else ""
        figures = {"written": text, "unit": unit_text, "near": close}
        raise InputError(
            argument,
            f'{written}: "{unit_text}" is not a recognised unit{hint}.',
            _such_as(want),
            kind="unknown unit",
            figures=figures,
        )
    _check_unit(unit, unit_text, want, kind, argument, written)
    return float(number) * unit.factor + unit.offset, unit_text


FRACTION = re.compile(
    r"(?:(\d{1,3})(?:\s+|-))?(\d{1,2})/(2|4|8|16|32|64)\s*((?:in|inch|inches|mils?|ft|feet|foot|sq|fl|cups?|pt|qt|gal|lbf?|lbs|turns?|h|hours?|min)\b.*)$",
    re.DOTALL,
)


def _with_decimals(text: str) -> str:
    """Halves to sixty-fourths of what is measured so, as a decimal: "3/16 in", "1-1/2 turns"."""
    match = FRACTION.match(text)
    if match is None or int(match[2]) >= int(match[3]):
        return text
    return f"{int(match[1] or 0) + int(match[2]) / int(match[3])} {match[4]}"


_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)"
_SEVERAL = re.compile(rf"({_NUMBER})\s*([^\d\s.,/+-]*)\s*(?:-|–|—|\.\.+|\bto\b)\s*({_NUMBER})(?![\d/])\s*(.*)$")


def _one_of(several: re.Match[str]) -> str:
    """What to write in place of "6-8 in"."""
    low, high, unit = float(several[1]), float(several[3]), several[4] or several[2]
    unit = {'"': "in", "\N{DOUBLE PRIME}": "in", "'": "ft"}.get(unit, unit)
    return f'Write the one you set, or the middle: "{f"{(low + high) / 2:.4g} {unit}".strip()}".'


_VISCOSITY_REMEDIES = {  # by the dimension of what was given
    (0, 0, 1, 0, 0): "Seconds of a cup are not a unit: viscosity_from_cup turns them into mm²/s. {}",
    (2, 0, -1, 0, 0): "mm²/s times the density in kg/L gives mPa·s. {}",
    (-1, 1, -1, 0, 0): "mPa·s over the density in kg/L gives mm²/s. {}",
}


def _check_unit(unit: Unit, unit_text: str, want: Kind, kind: str, argument: str, written: str) -> None:
    si = unit_of(want.si)
    assert si is not None, want.si
    remedy = _such_as(want)
    figures = {"written": written.strip('"'), "unit": unit_text, "wanted": kind}

    def refuse(problem: str, remedy: str, sort: ErrorKind) -> NoReturn:
        raise InputError(argument, f"{written} {problem}", remedy, kind=sort, figures=figures)

    if unit.dimension != si.dimension:
        if not unit_text:
            refuse("has no unit.", remedy, "no unit")
        if "viscosity" in kind:
            remedy = _VISCOSITY_REMEDIES.get(unit.dimension, "{}").format(remedy)
        refuse(f"is not {want.words}.", remedy, "other quantity")
    if kind == "number" and unit_text and unit.mark != "count":
        refuse(
            f'is a count with the unit "{unit_text}".',
            f"Write the number alone, such as {want.example}.",
            "other quantity",
        )
    if unit.mark in want.marks or (unit.mark in ("", "count") and not unit_text):
        return
    if kind == "gauge pressure" and unit.mark == "absolute":
        refuse(
            "is absolute; this is what a gauge reads.",
            "Take off the pressure of the air (14.7 psi, 101.3 kPa at sea level).",
            "absolute",
        )
    if kind == "absolute pressure":
        refuse("does not say that it is absolute.", remedy, "not absolute")
    if kind == "temperature difference":
        refuse("is a temperature; this is a difference between two.", remedy, "scale")
    if kind == "free air flow":
        refuse("does not say at which pressure.", 'Write free air: "9 scfm".', "not free air")
    refuse(f"is not {want.words}.", remedy, "other quantity")


def _such_as(want: Kind) -> str:
    return f"Write {want.words} such as {want.example}."


def _one_to_si(value: Any, kind: str, argument: str, want: Kind | None = None, depth: int = 0) -> tuple[Any, str]:
    want = want or KINDS[kind]
    if isinstance(value, str):
        return _text_to_si(value, kind, argument, want)
    if _is_quantity(value):
        return _pint_to_si(value, kind, argument, want)
    if isinstance(value, (list, tuple)):
        if not value or len(value) > LONGEST_LIST or depth > DEEPEST_LIST:
            raise InputError(
                argument, "is an empty or endless list.", f"Give {want.words}, {want.example}.", kind="list"
            )
        read_ones = [_one_to_si(v, kind, argument, want, depth + 1) for v in value]
        try:
            return np.array([v for v, _ in read_ones], dtype=float), read_ones[0][1]
        except (ValueError, TypeError):
            raise InputError(argument, "is a list of unequal parts.", f"Give {want.words}.", kind="list") from None
    bare = isinstance(value, (int, float, np.number)) and not isinstance(value, (bool, np.bool_))
    if bare or (isinstance(value, np.ndarray) and value.dtype.kind in "if"):
        if isinstance(value, Coefficient):
            return value, ""  # it is SI already, and keeps its band
        if want.bare:
            unit = unit_of(want.bare)
            assert unit is not None, want.bare
            return (_float(value, argument) if bare else value.astype(float)) * unit.factor, want.bare
        if want.si:
            number = f"{_float(value, argument):g}" if bare else "An array"
            raise InputError(argument, f"{number} has no unit.", _such_as(want), kind="no unit")
        return (_float(value, argument) if bare else value.astype(float)), ""
    raise InputError(
        argument,
        f"A {type(value).__name__} is not {want.words}.",
        f"Write it as text, for example {want.example}.",
        kind="other type",
    )


def _is_quantity(value: object) -> bool:
    """Whether it looks like a pint quantity of any registry, without waking pint; odd objects may raise anything."""
    try:
        return hasattr(value, "magnitude") and hasattr(value, "dimensionality") and hasattr(value, "m_as")
    except Exception:
        return False


def _float(value: Any, argument: str) -> float:
    try:
        return float(value)
    except OverflowError:
        raise InputError(argument, "is too large a number.", "Check the unit.", kind="not finite") from None


def _pint_to_si(value: Any, kind: str, argument: str, want: Kind) -> tuple[Any, str]:
    units = str(value.units)
    remedy = f"Give {want.words} such as {want.example}."
    known = unit_of(spelling(units))
    mark = known.mark if known else ""
    if kind == "temperature" and mark == "difference":
        raise InputError(argument, f"{value} is a difference of temperatures.", remedy, kind="scale")
    if kind == "temperature difference" and mark == "scale":
        raise InputError(
            argument, f"{value} is a temperature; this is a difference between two.", remedy, kind="scale"
        )
    si_unit = unit_of(want.si)
    assert si_unit is not None
    try:
        magnitude = value.m_as(si_unit.pint_name or "dimensionless")
    except Exception:  # pint has many errors of its own; the person needs one sentence
        if units == "mil":
            remedy = 'pint takes "mil" for an angle: use its "thou", or text such as "4.7 mil".'
        raise InputError(
            argument,
            f'"{units}" is not the unit of {want.words}.',
            remedy,
            kind="other quantity",
            figures={"unit": units, "wanted": kind},
        ) from None
    if kind == "number" and units not in ("", "dimensionless"):  # 300 % and 3 h/min are no counts
        raise InputError(argument, f"{units} is not the unit of {want.words}.", remedy, kind="other quantity")
    if np.iscomplexobj(magnitude):  # numpy would drop its second part with a warning
        raise InputError(argument, "holds no plain number.", remedy, kind="no number")
    try:
        return np.asarray(magnitude, dtype=float)[()], spelling(units)
    except (TypeError, ValueError, OverflowError):
        raise InputError(argument, "holds no number.", remedy, kind="no number") from None


def read(value: object, name: str, argument: str | None = None) -> Any:
    """What a person gave for the quantity `name` (a row of the nomenclature), as a float or array in SI.

    Takes text ("120 µm"), a pint quantity, a list of either, or a bare number for shares and counts; the name of
    a class of material where the nomenclature has `classes` for it, which gives a Coefficient.
    Raises InputError naming the argument, RangeError outside the range of the nomenclature.
    """
    row = names()[name]
    argument = argument or name
    if row.classes and isinstance(value, str) and value.strip()[:1].isalpha():
        return _of_class(value, row, argument)
    si, unit = _one_to_si(value, row.kind, argument, row.wanted)
    if not (math.isfinite(si) if isinstance(si, float) else np.all(np.isfinite(si))):
        raise InputError(argument, "is not a finite number.", _such_as(row.wanted), kind="not finite")
    try:
        in_range(argument, si, row.low, row.high)
    except RangeError as error:
        unit = row.metric if unit == "?" else unit
        raise error.at(figures={**error.figures, "name": name, "unit": unit}) from None
    return si


def _of_class(value: str, row: Name, argument: str) -> Any:
    """The coefficient, band and all, of a class of material given by its name."""
    also = f", or write {row.wanted.words} such as {row.wanted.example}"
    return coefficient(row.classes[read_choice(value, tuple(row.classes), argument, "the materials it knows", also)])


def read_text(text: str, kind: str, argument: str) -> float:
    """Text as SI by its kind alone, whatever the range: for an answer, which may be wrong."""
    return _text_to_si(text, kind, argument, KINDS[kind])[0]


def in_range(argument: str, value: Any, low: float, high: float, remedy: str = "") -> None:
    """Refuse a value outside low to high (SI); each end forgives the rounding of its own last digit."""
    if isinstance(value, float) and low <= value <= high:  # most that is asked: without an array
        return
    wrong = (np.asarray(value) < low - 1e-9 * abs(low)) | (np.asarray(value) > high + 1e-9 * abs(high))
    if np.any(wrong):
        first = float(np.asarray(value, dtype=float)[wrong].flat[0]) if np.ndim(value) else float(value)
        raise RangeError(argument, first, low, high, remedy)


def one_value(**values: Any) -> None:
    """Refuse a list where a call decides for one value: `one_value(force=force, film=film)`."""
    for argument, value in values.items():
        if np.ndim(value):
            raise InputError(
                argument, "is a list; this is worked out for one value.", "Call it once for each.", kind="list"
            )


def read_choice(
    value: object, options: tuple[str, ...], argument: str, among: str = "its choices", also: str = ""
) -> str:
    """One of a few words, whatever its capitals; the error names the nearest."""
    if isinstance(value, str) and value in options:  # a title may be long
        return value
    remedy = "Choose from: " + ", ".join(options) + also + "."
    if not isinstance(value, str) or len(value) > LONGEST_TEXT:
        raise InputError(argument, f"is not one of {among}.", remedy, kind="choice", figures={"options": options})
    found = {o.casefold(): o for o in options}
    if (word := value.strip().casefold()) in found:
        return found[word]
    close = difflib.get_close_matches(word, list(found), 1, 0.5)
    near = found[close[0]] if close else ""
    hint = f' Did you mean "{near}"?' if near else ""
    raise InputError(
        argument,
        f'"{value.strip()}" is not one of {among}.{hint}',
        remedy,
        kind="choice",
        figures={"written": value, "near": near, "options": options},
    )
