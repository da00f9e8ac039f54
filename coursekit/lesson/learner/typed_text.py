"""What a learner typed: a bare number gets the unit that is shown, a complaint the words of the page."""

from __future__ import annotations

import re
from collections.abc import Callable

from coursekit.errors import Entry, Problem, Voice, own_sentence, say
from coursekit.lesson.learner import unit_system
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError, read
from coursekit.spraying import viscosity_from_cup

_CUP = re.compile(r"(?:in )?(?:a )?([a-z]+ ?\d)(?: cup)?", re.IGNORECASE)
_SECONDS = re.compile(r"\d+(?:\.\d+)? ?s(?:ec(?:onds)?)?\b", re.IGNORECASE)
_BARE_SHARE = re.compile(r"\+?(0?\.0*[1-9]\d*)")  # between 0 and 1, in a field of per cent


def with_unit(text: str, name: str) -> str:
    """What was typed, with the unit that is shown when it was a bare number; a bare 0.4 of a share stays as it is."""
    row = names()[name]
    if row.key == "kinematic_viscosity" and (seconds := _SECONDS.search(text)):
        return _of_a_cup(text.replace(seconds[0], " "), seconds[0])
    bare = text.strip().replace("\N{MINUS SIGN}", "-")
    unit = row.unit(unit_system.chosen()) if row.kind in KINDS else ""
    if not unit or not bare.lstrip("+-").replace(".", "", 1).isdigit():
        return text.strip()
    return bare if unit == "%" and _BARE_SHARE.fullmatch(bare) else f"{bare} {unit}"


def _of_a_cup(rest: str, seconds: str) -> str:
    """ "18 s DIN 4" as the viscosity it tells."""
    cup = _CUP.fullmatch(" ".join(rest.replace(",", " ").split()))
    if cup is None:
        raise InputError(
            "kinematic_viscosity",
            f'"{seconds}" are seconds of a cup without its name.',
            'Write the cup as well, such as "18 s DIN 4", or a viscosity such as "60 mm²/s".',
            kind="form",
        )
    told = float(viscosity_from_cup.si(cup[1], read(re.sub("[A-Za-z]", "", seconds) + " s", "flow_time")))
    return f"{told * 1e6:.4g} mm²/s"


def with_clear_unit(text: str, name: str, argument: str) -> str:
    """As `with_unit`, for an entry that is read at once; refuses a share that could mean two things."""
    whole = with_unit(text, name)
    row = names()[name]
    if row.kind == "fraction" and row.unit(unit_system.chosen()) == "%" and (match := _BARE_SHARE.fullmatch(whole)):
        share = 100 * float(match[1])
        raise InputError(
            argument,
            f'"{whole}" could mean {float(match[1]):g} % or {share:g} %.',
            f'Write the sign as well: "{float(match[1]):g} %" or "{share:g} %".',
            kind="two meanings",
        )
    return whole


def complaint(error: InputError, words: str = "") -> str:
    """What is wrong with an entry, named by its words on the page instead of its argument."""
    return " ".join(say(problem, form_voice(words)) for problem in error.problems)


def form_voice(words: str = "", entry: Callable[[Entry], str] | None = None) -> Voice:
    """How a page names what a learner gave: by the words of its entry, or by the label of its row."""

    def named(problem: Problem) -> str:
        row = names().get(problem.key)
        label = f"“{words or (row.label if row else problem.key.replace('_', ' '))}”"
        if problem.where[:1] == ("step",) and len(problem.where) > 1:
            label = f"“step {int(problem.where[1]) + 1}”"
        return f"{label}:" if own_sentence(problem) else label

    return Voice(named, entry or (lambda one: one.value or f"“{one.key}”"), unit_system.chosen())
