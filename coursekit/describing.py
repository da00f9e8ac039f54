"""What `help()` says of a public call: its arguments by the nomenclature, then what its own docstring adds, and an
example that is run as it is shown."""

from __future__ import annotations

import functools
import inspect
import re
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, Protocol

from coursekit.nomenclature import KINDS, Name, load_tables, names
from coursekit.results import Result, in_words
from coursekit.showing import shown, shown_band
from coursekit.unit_grammar import unit_of

_NUMBER = r"([-−]?\d[\d. ]*(?:e-?\d+)?)"
_RANGE = re.compile(rf"{_NUMBER}\s*([^\d,]*?) to {_NUMBER}\s*(.*)$")
DOOR_RAISES = "Raises InputError for what the door cannot read, RangeError out of those ranges."


class Call(Protocol):
    """A public call, as `coursekit.quantities.public` makes it."""

    @property
    def si(self) -> Callable[..., Any]: ...
    @property
    def gives(self) -> Any: ...
    @property
    def path(self) -> str: ...
    def __call__(self, *args: Any, **kwargs: Any) -> Any: ...
    def __hash__(self) -> int: ...


class Argument(NamedTuple):
    """One argument of a call, in words."""

    name: str
    kind: str  # and its shape, where not any goes
    range: str  # in metric units, and in US units where they differ
    usual: str  # what stands for it when it is not given, with its band and source
    meaning: str


class Description(NamedTuple):
    """A call in words."""

    what: str
    arguments: tuple[Argument, ...]
    rest: str  # what it gives and raises, where it holds, its source
    example: str


class Remark(NamedTuple):
    """What a docstring adds to the row of an argument: "readings: (spots, 3 or more) 0 to 2 mm; per spot three"."""

    shape: str = ""
    range: str = ""
    words: str = ""


def described(call: Call) -> Description:
    """A call in words; its example is left for `example_of`."""
    what, remarks, rest = _parted(call)
    parameters = inspect.signature(call.si).parameters.values()
    arguments = tuple(_argument(one, remarks.get(one.name, Remark())) for one in parameters)
    if "Raises" not in rest:
        head, found, tail = rest.partition("Holds")
        rest = f"{head.rstrip()}\n{DOOR_RAISES}\n{found}{tail}".strip()
    return Description(what, arguments, rest, code_of(call))


def remarks(call: Call) -> dict[str, Remark]:
    """What the docstring of a call adds to the rows of its arguments."""
    return _parted(call)[1]


def _parted(call: Call) -> tuple[str, dict[str, Remark], str]:
    """The docstring of a call: what it computes, its remarks on arguments, and the rest."""
    what, *lines = inspect.cleandoc(call.si.__doc__ or "").splitlines() or [""]
    parameters = inspect.signature(call.si).parameters
    found: dict[str, str] = {}
    kept, name = [], ""
    for line in lines:
        begin = re.match(r"(\w+): +(\S.*)", line)
        if begin and begin[1] in parameters:
            name = begin[1]
            found[name] = begin[2]
        elif name and line[:1] == " ":
            found[name] += " " + line.strip()
        else:
            name = ""
            kept.append(line)
    return what, {name: _remark(text, names()[name]) for name, text in found.items()}, "\n".join(kept).strip()


def _remark(text: str, row: Name) -> Remark:
    shape = re.match(r"\([^)]*\)", text)
    left = text[shape.end() :].strip() if shape else text
    first, _, words = left.partition(";")
    if row.kind in KINDS and None not in _ends(first, row):
        return Remark(shape[0] if shape else "", first, words.strip())
    return Remark(shape[0] if shape else "", "", left)


def text(call: Call) -> str:
    """The whole description, as `help()` shows it."""
    found = described(call)
    parts = [found.what]
    if found.arguments:
        parts.append("Arguments\n---------\n" + "\n".join(_lines(found.arguments)))
    parts.append(found.rest)
    if found.example:
        parts.append(f"Example\n-------\n>>> {found.example}\n{example_of(call)}")
    return "\n\n".join(part for part in parts if part)


def _lines(arguments: tuple[Argument, ...]) -> list[str]:
    lines = []
    for one in arguments:
        lines.append(f"{one.name} : {one.kind}" + (f", {one.range}" if one.range else ""))
        lines += [f"    {said}" for said in (one.meaning, one.usual) if said]
    return lines


# --- arguments ---------------------------------------------------------------------------------------------


def _argument(parameter: inspect.Parameter, remark: Remark) -> Argument:
    row = names()[parameter.name]
    kind = KINDS[row.kind].words if row.kind in KINDS else "one of a few words" if row.options else f"a {row.kind}"
    if remark.shape:
        kind += f", {remark.shape}"
    elif str(parameter.annotation).startswith("Scalar"):
        kind += ", one value"
    meaning = f"{row.label}: {remark.words or row.meaning}"
    return Argument(parameter.name, kind, _range(row, remark), _usual(parameter, row), meaning)


def _range(row: Name, remark: Remark) -> str:
    if row.kind not in KINDS:
        return ", ".join(f'"{option}"' for option in row.options)
    low, high = narrowed(row, remark)
    metric = shown_band(low, high, row.key, digits=4)
    us = shown_band(low, high, row.key, "us", digits=4)
    words = ", ".join(f'"{word}"' for word in row.classes)
    return (metric if metric == us else f"{metric} ({us})") + (f", or {words}" if words else "")


def narrowed(row: Name, remark: Remark) -> tuple[float, float]:
    """The range in SI: that of the row, or the narrower one in which this call holds."""
    low, high = _ends(remark.range, row)
    return row.low if low is None else max(low, row.low), row.high if high is None else min(high, row.high)


def _ends(text: str, row: Name) -> tuple[float | None, float | None]:
    found = _RANGE.fullmatch(text)
    if found is None:
        return None, None
    return _si(found[1], found[2].strip() or found[4].strip(), row), _si(found[3], found[4].strip(), row)


def _si(number: str, unit_text: str, row: Name) -> float | None:
    unit = unit_of(unit_text)
    wanted = unit_of(KINDS[row.kind].si)
    if unit is None or wanted is None or (unit_text and unit.dimension != wanted.dimension):
        return None
    return float(number.replace(" ", "").replace("\N{MINUS SIGN}", "-")) * unit.factor + unit.offset


def _usual(parameter: inspect.Parameter, row: Name) -> str:
    default = parameter.default
    if default is parameter.empty:
        return ""
    if default is None or row.kind not in KINDS:
        return "may be left out" if default is None else f"usual: {default}"
    said = f"usual: {shown(float(default), row.key)}"
    if hasattr(default, "low"):  # an uncertain coefficient
        band = shown_band(default.low, default.high, row.key)
        source = load_sources().get(default.source, {}).get("title", default.source)
        said += f" ({band}), {default.kind}: {source}"
    return said


@functools.lru_cache(maxsize=1)
def load_sources() -> Mapping[str, Mapping[str, Any]]:
    return load_tables("sources")


# --- examples ----------------------------------------------------------------------------------------------


@functools.lru_cache(maxsize=1)
def examples() -> Mapping[str, Mapping[str, Any]]:
    """Arguments that a call takes, by its path."""
    return load_tables("examples")


def code_of(call: Call) -> str:
    """The example of a call as it is typed; empty when it has none."""
    if call.path not in examples():
        return ""
    given = ", ".join(f"{key}={_code(value)}" for key, value in examples()[call.path].items())
    return f"{call.path}({given})"


def _code(value: object) -> str:
    if isinstance(value, str):
        return '"' + value.replace('"', '\\"') + '"'
    if isinstance(value, list):
        return "[" + ", ".join(map(_code, value)) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_code(key)}: {_code(one)}" for key, one in value.items()) + "}"
    return repr(value)


def run(call: Call) -> Any:
    """The result of the example of a call."""
    return call(**examples()[call.path])


@functools.lru_cache(maxsize=512)
def example_of(call: Call) -> str:
    """The result of the example in words."""
    return _as_read(run(call), call.gives)


def _as_read(value: object, gives: object) -> str:
    if isinstance(value, Result):
        return repr(value)
    if isinstance(value, list | tuple) and not hasattr(value, "_fields"):
        return "\n".join(_as_read(one, gives) for one in value[:4]) + ("\n…" if len(value) > 4 else "")
    return in_words(value, gives if isinstance(gives, str) else None)
