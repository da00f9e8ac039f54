"""Pages beside the benches: glossary, cautions, sources and the learner's progress."""

from __future__ import annotations

import functools
import importlib
import inspect
import pkgutil
import re
import tomllib
from collections.abc import Mapping
from importlib import resources
from typing import Any

from coursekit import drying, garage, quantities
from coursekit.lesson.course import notebook_list
from coursekit.lesson.learner import unit_system
from coursekit.lesson.learner.progress import Progress
from coursekit.lesson.practice.attempt import all_passed
from coursekit.lesson.practice.exercise import EXERCISES
from coursekit.lesson.screen import page
from coursekit.lesson.screen.page import Piece
from coursekit.nomenclature import KINDS, Name, names
from coursekit.quantities import InputError
from coursekit.reference import public_calls
from coursekit.repair.words import time_words
from coursekit.sources import sources
from coursekit.uncertain import Coefficient


def glossary(trade: str = "") -> Piece:
    """The words of a trade: what each means, its units and the range it is held to. Without a trade, all of them."""
    keys: set[str] = set()
    for call in public_calls(trade).values() if trade else ():
        keys.update(inspect.signature(call.si).parameters)
        gives = call.gives.values() if isinstance(call.gives, Mapping) else [call.gives]
        keys.update(name for name in gives if isinstance(name, str))
    rows = [_word(row) for key, row in names().items() if not trade or key in keys]
    head = ("word", "meaning", "unit", "range")
    rows.sort(key=lambda row: row[0].casefold())
    title = f"Words of {_spoken(trade)}" if trade else "Words of the course"
    markup = page.folded(f"{title} ({len(rows)})", page.table(head, rows))
    return Piece(markup, f"{title}\n{page.plain_table(head, rows)}")


def _spoken(trade: str) -> str:
    """A trade's name for a title: "spraying, air supply"."""
    return trade.replace(".", ", ").replace("_", " ")


def _word(row: Name) -> tuple[str, str, str, str]:
    label = f"{row.label}, {row.symbol}" if row.symbol else row.label
    if row.kind not in KINDS:
        return label, row.meaning, "", ", ".join(row.options)
    system = unit_system.chosen()
    low, high = (quantities.shown(end, row.key, system, 3, unit=False) for end in (row.low, row.high))
    return label, row.meaning, row.unit(system), f"{low} to {high}"


@functools.lru_cache(maxsize=1)
def _cautions() -> dict[str, Any]:
    return tomllib.loads((resources.files("coursekit.lesson.content") / "cautions.toml").read_text(encoding="utf-8"))


CAUTIONS_END = (
    "Common practice of the trade. Read the data sheet and the safety data sheet, and obey your local "
    "rules; nothing that is computed here is permission to spray, breathe or burn."
)


def cautions(*topics: str) -> Piece:
    """The usual cautions for one or more kinds of work; without a topic, all of them."""
    chosen = _chosen(topics)
    text = "\n".join(f"{part['title']}\n" + "\n".join(f"- {line}" for line in part["lines"]) for part in chosen)
    return Piece(cautions_html(*topics), f"Take care.\n{text}\n{CAUTIONS_END}")


def cautions_html(*topics: str) -> str:
    """The cautions as markup, for sheets."""
    body = "".join(f"<h4>{page.escape(part['title'])}</h4>{page.items(part['lines'])}" for part in _chosen(topics))
    return f'<div class="ck-take-care" role="note" aria-label="Take care">{body}{page.paragraph(CAUTIONS_END)}</div>'


def _chosen(topics: tuple[str, ...]) -> list[Any]:
    found = _cautions()
    more = [topic for topic in names()["topic"].options if topic not in found]  # of the garage
    for topic in topics:
        if topic not in found and topic not in more:
            raise InputError(
                "cautions", f"{topic!r:.40} has none.", f"There are: {', '.join([*found, *more])}.", kind="unknown"
            )
    return [
        found[topic]
        if topic in found
        else {"title": topic.capitalize(), "lines": [one.text for one in garage.cautions(topic)]}
        for topic in topics or found
    ]


def usual_times(*materials: str) -> Piece:
    """What data sheets usually print for refinish materials: flash, recoat, sand, pot life. Without one, all."""
    rows = []
    for material in materials or names()["refinish_material"].options:
        for one in drying.refinish_times(material):
            low, high = (time_words(end.m_as("second")) for end in (one.low, one.high))
            at = quantities.shown(one.temperature.m_as("kelvin"), "temperature", unit_system.chosen())
            rows.append((one.material, one.what, low if low == high else f"{low} to {high}", at, one.note, one.kind))
    head = ("material", "time", "usual", "at", "of what", "from")
    title = f"Usual times of data sheets ({len(rows)}); your own sheet comes first"
    return Piece(page.folded(title, page.table(head, rows)), f"{title}\n{page.plain_table(head, rows)}")


def sources_of(trade: str) -> Piece:
    """Where the numbers of a trade come from: the sources of each call, and its uncertain coefficients."""
    known, rows = sources(), []
    coefficients: dict[str, Coefficient] = {}
    for name, call in public_calls(trade).items():
        plain = inspect.getdoc(call.si) or ""
        said = plain.rpartition("Source: ")[2]
        cited = [key for key in dict.fromkeys(re.findall(r"[a-z0-9][a-z0-9-]+", said)) if key in known]
        rows.append((name, plain.splitlines()[0], "; ".join(str(known[key]) for key in cited)))
        for parameter in inspect.signature(call.si).parameters.values():
            if isinstance(parameter.default, Coefficient):
                coefficients[parameter.default.key] = parameter.default
    head = ("call", "computes", "source")
    lines = [quantities.coefficient_words(c, unit_system.chosen()) for c in coefficients.values()]
    title = f"Where the numbers of {_spoken(trade)} come from ({len(rows)} calls)"
    markup = page.folded(title, page.table(head, rows))
    if lines:
        markup += page.folded(f"What is uncertain there, and how much ({len(lines)})", page.items(lines))
    return Piece(markup, "\n".join([page.plain_table(head, rows), *lines]))


def progress() -> Piece:
    """What this learner has done, in the order of the lessons: those not begun a line each, folded."""
    file = Progress()
    for module in pkgutil.iter_modules(importlib.import_module("coursekit.lesson.content.exercises").__path__):
        importlib.import_module(f"coursekit.lesson.content.exercises.{module.name}")
    done = all_passed(file)
    begun, rest = [], []
    for lesson in notebook_list.notebooks():
        keys = sorted(key for key in EXERCISES if key.rpartition("-")[0] == lesson["exercises"])
        if any(key in done for key in keys):
            begun += [_standing(key, *done.get(key, (0, 0, False))) for key in keys]
        else:
            rest.append((lesson["file"], lesson["what"], len(keys)))
    count = f"{sum(passed for *_, passed in done.values())} of {len(EXERCISES)} exercises passed."
    title, head = f"Lessons whose exercises you have not begun ({len(rest)})", ("lesson", "what", "exercises")
    notice = page.paragraph(file.message, "ck-error") if file.message else ""
    table, plain = (page.table(STANDING, begun), page.plain_table(STANDING, begun)) if begun else ("", "")
    text = (file.message, count, plain, title, page.plain_table(head, rest))
    return Piece(
        f"<h4>Your progress</h4>{notice}{page.paragraph(count)}{table}" + page.folded(title, page.table(head, rest)),
        "\n".join(part for part in text if part),
    )


STANDING = ("exercise", "what", "state", "tries", "hints")


def _standing(key: str, tries: int, hints: int, passed: bool) -> tuple[Any, ...]:
    state = "passed" if passed else "begun" if tries else "not yet"
    return key, EXERCISES[key].title, state, tries, hints
