"""Errors in what a person gave, as data: where, what, figures and remedy. The edge puts them into words.

An `InputError` holds its problems. `say` words one for its reader: a Python caller, the writer of a file, or a
learner at a form (`Voice`). No code reads the words.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal, NamedTuple, Self

from coursekit.nomenclature import Name, System, names
from coursekit.unit_grammar import unit_of

LONGEST_KEY = 60  # characters of a key of a file, in a complaint
Where = tuple[str | int, ...]


# What sort of thing is wrong.
ErrorKind = Literal[
    "value",  # cannot be used, for a reason of its own
    "range",  # outside the range where this holds
    "not finite",
    "impossible",  # no such thing can be
    "no solution",  # such things can be, but none that does what is asked
    "not computed",  # it can be, but nothing here knows it
    "no number",
    "no unit",
    "unknown unit",
    "other quantity",  # a unit of something else
    "scale",  # a temperature where a difference is due, or the other way round
    "absolute",  # a pressure from vacuum where a gauge reads from the air around
    "not absolute",
    "not free air",
    "comma",
    "two numbers",
    "two meanings",
    "list",  # a list where one value is due, or lists that do not go together
    "count",  # too many or too few
    "order",  # the lower above the higher, the later before the earlier
    "together",  # goes with another argument, or not with it
    "missing",
    "argument",  # none that this call takes
    "other type",
    "form",  # not written as such a thing is written
    "empty",
    "too long",
    "choice",  # none of the words to choose from
    "unknown",  # in no table here
    "taken",  # a name that is in use
    "unknown key",
    "table",
    "format",
    "syntax",
    "file",  # cannot be read or written
    "busy",  # by another program, just now
    "state",  # not as the panel or the plan is now
    "place",  # not on the panel
]


class Entry(NamedTuple):
    """A key of a table, alone or with what to write there: `do = "wait"` in a file, the words of a form elsewhere."""

    key: str
    value: str | None = None  # as a file writes it: '"wait"', '2'


class InUnits(NamedTuple):
    """A number in SI and its row: a problem shows it in the reader's units."""

    si: float
    name: str


Words = str | tuple[str | Entry | InUnits, ...]


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong with what a person gave.

    `text` goes on from the name of the place and begins small, "is a list."; one that is a sentence of its own, as
    about a word that was written, begins with a capital or a quotation mark.
    """

    where: Where  # the argument; in a table the keys from its top on, places in lists from 0
    kind: ErrorKind
    text: Words
    remedy: Words = ""
    figures: Mapping[str, Any] = field(default_factory=dict)
    file: str = ""  # the file it stands in, and its line from 1 on
    line: int = 0
    place: str = ""  # words for the place, where its keys say too little

    @property
    def key(self) -> str:
        """The last key of the place: the argument, or the entry of a table."""
        return next((part for part in reversed(self.where) if isinstance(part, str)), "")


class Voice(NamedTuple):
    """How places and entries are named to whoever reads."""

    named: Callable[[Problem], str]  # the place of a problem, with its sign: "wet_film:"
    entry: Callable[[Entry], str]
    system: System = "metric"  # whose unit a size speaks, and a range when the caller used none


def say(problem: Problem, voice: Voice | None = None) -> str:
    """A problem in words, its remedy with it."""
    voice = voice or PYTHON
    return " ".join(part for part in (voice.named(problem), says(problem, voice)) if part)


def says(problem: Problem, voice: Voice | None = None) -> str:
    """A problem and its remedy, without its place: for words that stand beside the entry."""
    voice = voice or PYTHON
    return f"{_text(problem, voice)} {_remedy(problem, voice)}".rstrip()


def own_sentence(problem: Problem) -> bool:
    """Whether the words of a problem are a sentence of their own, which does not go on from the place's name."""
    return not _text(problem, PYTHON)[:1].islower()


def _written(words: Words, voice: Voice) -> str:
    if isinstance(words, str):
        return words
    return "".join(
        voice.entry(part) if isinstance(part, Entry) else _size(part, voice) if isinstance(part, InUnits) else part
        for part in words
    )


def _size(size: InUnits, voice: Voice) -> str:
    unit = names()[size.name].unit(voice.system)
    return f"{digits(from_si(size.si, unit))} {unit}"


def _text(problem: Problem, voice: Voice) -> str:
    return _range_words(problem, voice) if problem.kind == "range" else _written(problem.text, voice)


def _range_words(problem: Problem, voice: Voice) -> str:
    figures, unit = problem.figures, _unit(problem, voice)
    value, low, high = (digits(from_si(figures[key], unit)) for key in ("value", "low", "high"))
    space = f" {unit}" if unit else ""
    side = "below" if figures["value"] < figures["low"] else "above"
    return f"{value}{space} is {side} the range where this holds, {low} to {high}{space}."


def _remedy(problem: Problem, voice: Voice) -> str:
    if problem.remedy or problem.kind != "range":
        return _written(problem.remedy, voice)
    row, value = names().get(problem.figures["name"]), problem.figures["value"]
    if row and row.kind == "temperature" and (other := _other_scale(problem, row, _unit(problem, voice))):
        return f'If you mean {other}, write the unit too: "{other}".'
    if row and row.kind == "fraction" and not _unit(problem, voice) and 1 < value <= 100:
        return f'Write a share as "{value:g} %" or {value / 100:g}.'
    return "Check the unit, or stay inside that range."


def _other_scale(problem: Problem, row: Name, unit: str) -> str:
    """The same number on the other scale of temperature, where that lies inside the range."""
    other = row.us if unit == row.metric else row.metric
    number, scale = from_si(problem.figures["value"], unit), unit_of(other)
    if scale is None or not problem.figures["low"] <= number * scale.factor + scale.offset <= problem.figures["high"]:
        return ""
    return f"{digits(number)} {other}"


def _unit(problem: Problem, voice: Voice) -> str:
    """The unit the caller used, or the one that is shown."""
    row = names().get(problem.figures["name"])
    unit = problem.figures["unit"]
    return unit if unit is not None else row.unit(voice.system) if row else ""


def place(problem: Problem) -> str:
    """Where a problem lies, as its keys say it, in a file with its line."""
    longest = LONGEST_KEY if problem.file else None
    counted = ".".join(str(part + 1 if isinstance(part, int) else part)[:longest] for part in problem.where)
    line = f"line {problem.line}" if problem.line else ""
    named = problem.place or counted or ("file" if problem.file else "")
    return ", ".join(part for part in (problem.file, line, named) if part)


def _as_in_a_file(entry: Entry) -> str:
    if entry.value is None:
        return entry.key
    return f"{entry.key} = {entry.value}" + ("" if entry.value[0] in '"[' else ", without quotes")


PYTHON = Voice(lambda problem: f"{place(problem)}:", _as_in_a_file)


class InputError(ValueError):
    """What a person gave cannot be used: its problems say where, what is wrong and the remedy."""

    problems: tuple[Problem, ...]

    def __init__(
        self,
        argument: str,
        problem: Words,
        remedy: Words = "",
        *,
        kind: ErrorKind = "value",
        figures: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__()
        self.problems = (Problem((argument,), kind, problem, remedy, figures or {}),)

    def at(self, **moved: Any) -> Self:
        """The same error about another place: `error.at(where=("step", 2, "force"), file="door.toml", line=12)`."""
        found: Self = _rebuilt(type(self), tuple(replace(problem, **moved) for problem in self.problems))
        return found

    @property
    def kind(self) -> ErrorKind:
        return self.problems[0].kind

    @property
    def figures(self) -> Mapping[str, Any]:
        return self.problems[0].figures

    @property
    def argument(self) -> str:
        """Where it lies, in words."""
        return place(self.problems[0])

    @property
    def problem(self) -> str:
        """What is wrong, in words."""
        return _text(self.problems[0], PYTHON)

    @property
    def remedy(self) -> str:
        """What to do, in words."""
        return _remedy(self.problems[0], PYTHON)

    def __str__(self) -> str:
        return " ".join(say(problem) for problem in self.problems)

    def __reduce__(self) -> Any:  # it comes back from another process, too
        return _rebuilt, (type(self), self.problems)

    def _render_traceback_(self) -> list[str]:  # IPython: the sentence alone, not twenty frames
        return [str(self)]


class RangeError(InputError):
    """A value outside the range in which the formula holds; its message uses the caller's unit."""

    def __init__(
        self, argument: str, value: float, low: float, high: float, remedy: str = "", unit: str | None = None
    ) -> None:
        figures = {"value": float(value), "low": float(low), "high": float(high), "unit": unit, "name": argument}
        super().__init__(argument, "", remedy, kind="range", figures=figures)

    def in_unit(self, unit: str | None) -> Self:
        """The same error, speaking that unit; None for the one that is shown."""
        return self.at(figures={**self.figures, "unit": unit})


def _rebuilt(kind: Any, problems: tuple[Problem, ...]) -> Any:
    error = kind.__new__(kind)
    error.problems = problems
    return error


def digits(value: float) -> str:
    return f"{value:,.0f}".replace(",", " ") if 1e4 <= abs(value) < 1e12 else f"{value:.4g}"


def from_si(value: Any, unit: str) -> Any:
    found = unit_of(unit)
    if found is None:
        return value
    return (value - found.offset) / found.factor
