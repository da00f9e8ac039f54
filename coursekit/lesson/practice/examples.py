"""Worked examples: written once as TOML, shown in a notebook, run by the tests.

    [film-1]
    title = "From the comb to the dry film"
    given = "The comb says {wet_film} wet; the mix has {volume_solids} volume solids."
    [[film-1.step]]
    say = "Only the solids stay."
    call = "film.dry_film"
    with = { wet_film = "120 µm", volume_solids = "45 %" }
    gives = "54 µm"          # worked out by hand
    within = "0.1 µm"
    then = "So {result} will be left."

`{argument}` is shown in metric or US, `{result}` is the computed value, `"@1"` or `"@1.field"` in `with` is the
result of an earlier step, `field = "volumes.0"` picks one of several results. Any other number is written in both
systems, "25 µm (1 mil)" or "[1.2 m² × 30 µm|12.9 sq ft × 1.18 mil]", of which one is shown. The learner
works out a step with `yours = true`; only steps at the end are such. `with_us` is added to `with` in US units: a comb
that is sold there.
"""

from __future__ import annotations

import functools
import importlib
import tomllib
from collections.abc import Callable, Mapping, Sequence
from importlib import resources
from typing import Any, NamedTuple

from coursekit import quantities
from coursekit.lesson.learner import typed_text, unit_system
from coursekit.lesson.learner.both_systems import in_one
from coursekit.lesson.practice.exercise import Question, judge
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.nomenclature import KINDS, System, names
from coursekit.quantities import InputError
from coursekit.uncertain import Band

turn = page.tag("br")


class Done(NamedTuple):
    """A step carried out: its call as it would be typed, the SI result and the row of the nomenclature it has."""

    code: str
    words: dict[str, str]
    result: Any
    name: str
    text: str


class Worked(Displayed):
    """One worked example. Steps at its end may be the learner's: `answer`, or `show` where it does not come."""

    def __init__(self, key: str, row: Mapping[str, Any]) -> None:
        self.key, self.title, self.given = key, row["title"], row.get("given", "")
        self.steps: list[Mapping[str, Any]] = row["step"]
        self.yours = [number for number, step in enumerate(self.steps) if step.get("yours")]
        self.solved = 0  # how many of them
        self.said = ""

    def fresh(self) -> Worked:
        return Worked(self.key, {"title": self.title, "given": self.given, "step": self.steps})

    @property
    def waiting(self) -> int | None:
        """The step that the learner is to work out now."""
        return self.yours[self.solved] if self.solved < len(self.yours) else None

    @property
    def bare(self) -> bool:
        """Whether the step that waits asks for a plain number."""
        return self.waiting is not None and names()[self.run()[self.waiting].name].kind == "number"

    def answer(self, text: str) -> str:
        """What is said to the learner's result of the step that waits; a right one opens it."""
        if self.waiting is not None:
            done = self.run(system := unit_system.chosen())[self.waiting]
            question = Question(ask="", answer=done.result, name=done.name)
            verdict = judge(question, typed_text.with_unit(text, done.name), system)
            self.said = verdict.sentence
            self.solved += verdict.passed
        return self.said

    def show(self) -> None:
        """Open the step that waits without an answer."""
        self.solved, self.said = min(self.solved + 1, len(self.yours)), ""

    def run(self, system: System = "metric") -> list[Done]:
        """Carry out every step, showing numbers in that system."""
        done: list[Done] = []
        for step in self.steps:
            call = call_of(step["call"])
            given = step.get("with", {}) | (step.get("with_us", {}) if system == "us" else {})
            si = {key: _given(value, key, done) for key, value in given.items()}
            whole = call.si(**si)
            result, name = picked(whole, step.get("field", ""), call.gives)
            words = {key: in_words(value, key, system) for key, value in si.items()}
            code = ", ".join(f"{key}={_typed(value, key, system)}" for key, value in si.items())
            field = "".join(f"[{p}]" if p.isdigit() else f".{p}" for p in step.get("field", "").split(".") if p)
            text = in_words(result, name, system)
            done.append(Done(f"{step['call']}({code}){field}", {**words, "result": text}, result, name, text))
        return done

    def _parts(self) -> tuple[str, list[tuple[str, str, str, str]]]:
        system = unit_system.chosen()
        done = self.run(system)
        known: dict[str, str] = {}
        for one in reversed(done):  # what is given names the first step's figures
            known.update(one.words)
        known.pop("result", None)
        rows = [
            (
                in_one(step.get("say", ""), system).format(**known, result=one.text),
                one.code,
                one.text,
                in_one(step.get("then", ""), system).format(**known, result=one.text),
            )
            for step, one in zip(self.steps, done, strict=True)
        ]
        return in_one(self.given, system).format(**known), rows

    @property
    def words(self) -> str:
        given, rows = self._parts()
        lines = [f"Worked example: {self.title}. {given}"]
        lines += [
            f"{n}. {say} Your step: what comes out?"
            if n - 1 == self.waiting
            else f"{n}. {say} {code} → {text}. {then}"
            for n, (say, code, text, then) in enumerate(rows, 1)
            if self.waiting is None or n - 1 <= self.waiting
        ]
        return "\n".join(line.strip() for line in [*lines, self.said] if line)

    @property
    def html(self) -> str:
        """As far as it is open."""
        return self._html(
            lambda number, say, rest: (say,) if number == self.waiting else (say, turn, *rest), self.waiting
        )

    @property
    def folded(self) -> str:
        """For a page without widgets: the learner's steps open at a click."""

        def step(number: int, say: str, rest: Sequence[Any]) -> Sequence[Any]:
            if number not in self.yours:
                return (say, turn, *rest)
            return (
                say,
                page.tag("details", page.tag("summary", "Your step: open it when you have worked it out"), *rest),
            )

        return self._html(step)

    def _html(self, step: Callable[[int, str, Sequence[Any]], Sequence[Any]], last: int | None = None) -> str:
        given, rows = self._parts()
        items = []
        for number, (say, code, text, then) in enumerate(rows if last is None else rows[: last + 1]):
            rest = (page.tag("code", code), " → ", page.tag("strong", text), *((turn, then) if then else ()))
            items.append(page.tag("li", *step(number, say, rest)))
        title = page.tag("h4", f"Worked example: {self.title}")
        return page.together((title, page.paragraph(given), page.tag("ol", *items)))

    def __repr__(self) -> str:
        return self.words


@functools.lru_cache(maxsize=1)
def worked_examples() -> Mapping[str, Worked]:
    """Every worked example by its key."""
    return {key: Worked(key, row) for key, row in load_rows("worked").items()}


def load_rows(folder: str) -> dict[str, Any]:
    """The merged rows of the TOML files in a folder of the lesson layer; a key may stand only once."""
    merged: dict[str, Any] = {}
    for file in sorted((resources.files("coursekit.lesson.content") / folder).iterdir(), key=lambda f: f.name):
        if file.name.endswith(".toml"):
            for key, row in tomllib.loads(file.read_text(encoding="utf-8")).items():
                if key in merged:
                    raise ValueError(f"lesson/{folder}/{file.name}: {key} stands in two files")
                merged[key] = row
    return merged


def call_of(path: str) -> Any:
    """The public call "film.dry_film" or "spraying.overspray.budget"."""
    module, name = path.rsplit(".", 1)
    return getattr(importlib.import_module(f"coursekit.{module}"), name)


def picked(value: Any, field: str, gives: Any) -> tuple[Any, str]:
    """One of several results, and the row of the nomenclature it is shown by."""
    for part in field.split(".") if field else ():
        value = value[int(part)] if part.isdigit() else getattr(value, part)
        if isinstance(gives, Mapping):
            gives = gives.get(part)
    return value, gives if isinstance(gives, str) else ""


def _given(value: Any, key: str, done: list[Done]) -> Any:
    if isinstance(value, str) and value.startswith("@"):
        number, _, field = value[1:].partition(".")
        return picked(done[int(number) - 1].result, field, None)[0]
    row = names()[key]
    if row.kind in KINDS:
        return quantities.read(value, key)
    return quantities.read_choice(value, row.options, key) if row.kind == "choice" and row.options else value


def in_words(value: Any, name: str, system: System) -> str:
    """A value of a call in words: numbers in the shown unit, lists with commas, text as it is."""
    if isinstance(value, Band):
        return quantities.shown_band(value.low, value.high, name, system)
    if isinstance(value, str) or not name or names()[name].kind not in KINDS:
        return str(value)
    try:
        return ", ".join(quantities.shown(float(v), name, system) for v in value)
    except TypeError:
        return quantities.shown(float(value), name, system)


def _typed(value: Any, name: str, system: System) -> str:
    """A value as it would be typed into the call."""
    if isinstance(value, Mapping):
        return f"dict({', '.join(f'{key}={part!r}' for key, part in value.items())})"
    if names()[name].kind == "record" and not isinstance(value, str):
        return repr(value)
    words = in_words(value, name, system).replace("\N{NARROW NO-BREAK SPACE}", " ")
    if names()[name].kind == "number":
        return words
    if isinstance(value, str) or not hasattr(value, "__len__"):
        return f'"{words}"'
    return "[" + ", ".join(f'"{word}"' for word in words.split(", ")) + "]"


def example(key: str) -> Worked:
    """One of them, with none of the learner's steps worked out."""
    found = worked_examples()
    if key not in found:
        raise InputError(
            "worked", f"{key!r:.40} is not a worked example.", f"There are: {', '.join(found)}.", kind="unknown"
        )
    return found[key].fresh()
