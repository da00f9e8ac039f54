"""A lesson as one page for a browser alone: benches computed beforehand over one or two sliders, exercises checked.

No Python, no network and no other file is needed to read it.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from coursekit.course.notebooks import notebooks
from coursekit.lesson.content.declared import declared_bench
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages.cautions import cautions_html
from coursekit.lesson.screen import page
from coursekit.lesson.teaching.cards import SHEETS
from coursekit.lesson.teaching.numbers import Drawn, learner_set, lesson_title, topics_of
from coursekit.lesson.teaching.paper import CARE, HERE, Paper, with_care
from coursekit.lesson.workbench.bench import Bench
from coursekit.lesson.workbench.control import value_words
from coursekit.markup import Markup, paragraph, tag, together
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError, read_choice
from coursekit.reading import FRACTION
from coursekit.showing import from_unit
from coursekit.template import template, text_of
from coursekit.unit_grammar import NUMBER, TRADE_UNITS, unit_of

PLACES = 13  # of one slider alone
BOTH = 7  # of each where there are two
LARGEST = 8_000_000  # bytes of a page


class Slider(NamedTuple):
    """A control that can be moved on the page: its label, and the values it stops at, in SI and in words."""

    key: str
    label: str
    values: tuple[Any, ...]
    words: tuple[str, ...]


def lesson_page(
    lesson: Any,
    word: Any = "page",
    name: Any = "reader",
    system: Any = "",
    progress: Callable[[str], None] | None = None,
) -> Paper:
    """A lesson as one page, in the units that are shown: its benches and exercises.

    word, name  whose numbers the exercises have
    system      "metric" or "us"; without it the one chosen
    progress    is told which bench is being computed: a page of sanding takes up to a minute
    """
    with unit_system.shown_in(unit_system.read(system) if system else unit_system.chosen()):
        return _made(lesson, word, name, progress or (lambda told: None))


def lessons() -> tuple[str, ...]:
    """The lessons that a page can be made of: all but the instructor's."""
    return tuple(row["file"] for row in notebooks() if "page" in row)


def _made(lesson: Any, word: Any, name: Any, progress: Callable[[str], None]) -> Paper:
    lesson = read_choice(lesson, lessons(), "lesson")
    row = next(row for row in notebooks() if row["file"] == lesson)
    system = unit_system.chosen()
    pieces = []
    for number, (key, controls) in enumerate(row["page"].items(), 1):
        progress(f"bench {number} of {len(row['page'])}")
        pieces.append(_bench(key, controls))
    drawn = learner_set(word, name, lesson, system).drawn
    title = lesson_title(lesson)
    reader = {"fraction": FRACTION.pattern, "number": NUMBER.pattern}
    data = {"benches": [data for _, data in pieces], "exercises": [_checked(one) for one in drawn], **reader}
    look = text_of("coursekit.lesson.screen", "page.css") + text_of(HERE, "static_page.css")
    form = template(HERE, "static_page", style=look, script=text_of(HERE, "static_page.js"))
    topics = topics_of(one.exercise for one in drawn)
    html = form.render(
        title=title,
        aim=f"In this lesson: {row['what']}.",
        benches=[markup for markup, _ in pieces],
        exercises=[_asked(number, one) for number, one in enumerate(drawn)],
        care=CARE,
        cautions=cautions_html(*topics),
        data=Markup(json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")),
    )
    if len(html.encode()) > LARGEST:
        raise InputError(
            "lesson",
            f"makes a page of {len(html) / 1e6:.1f} MB.",
            "Take a lesson with fewer benches.",
            kind="too long",
        )
    words = f"{title}: {len(pieces)} benches and {len(drawn)} exercises on one page."
    return Paper(title, html, with_care(words, topics))


# --- benches -----------------------------------------------------------------------------------------------


def _bench(key: str, controls: Sequence[str]) -> tuple[Markup, dict[str, Any]]:
    """A bench with its sliders, and what it shows at each of their places."""
    bench = declared_bench(key).fresh(key, shipped=True)
    sliders = [_slider(bench, control, PLACES if len(controls) == 1 else BOTH) for control in controls]
    shown = {}
    for place in itertools.product(*(range(len(one.values)) for one in sliders)):
        try:
            bench.move({one.key: one.values[number] for one, number in zip(sliders, place, strict=True)})
            shown["/".join(map(str, place))] = str(bench.words_html + bench.picture_html)
        except InputError:
            shown["/".join(map(str, place))] = str(page.paragraph(bench.error, "ck-error"))
    start = [one.values.index(bench.starts[one.key]) for one in sliders]
    rows = together(
        tag(
            "label",
            tag("span", one.label, class_="name"),
            tag(
                "input",
                type="range",
                min=0,
                max=len(one.values) - 1,
                value=str(at),
                data_slider=str(number),
                aria_label=one.label,
                aria_valuetext=one.words[at],
            ),
            tag("output", one.words[at]),
        )
        for number, (one, at) in enumerate(zip(sliders, start, strict=True))
    )
    fixed = "; ".join(
        f"{bench.label(key)}: {value_words(bench.starts[key], bench.rows[key])}"
        for key in bench.controls
        if key not in controls
    )
    still = paragraph(f"Held as they are – {fixed}.") if fixed else ""
    picture = tag("div", Markup(shown["/".join(map(str, start))]), class_="picture", aria_live="polite")
    told = tag("section", tag("h2", bench.title), rows, still, picture, class_="bench ck")
    return told, {"words": [one.words for one in sliders], "shown": shown}


def _slider(bench: Bench, key: str, places: int) -> Slider:
    """The stops of a control: over its slider, the start among them; of a paper, those of the scripts' ladder."""
    start, row = bench.starts[key], bench.rows[key]
    if ends := bench.slider(key):
        low, high, step = ends
        steps = round((high - low) / step)
        stops = {round(steps * number / (places - 1)) for number in range(places)}
        values = {float(from_unit(low + step * stop, row.key, unit_system.chosen())) for stop in stops}
        values = {value for value in values if abs(value - start) > 1e-9 * abs(start)} | {start}
        found: tuple[Any, ...] = tuple(sorted(values))
    elif row.kind == "grade":
        found = tuple(dict.fromkeys(sorted({*SHEETS, start}, key=lambda grade: int(grade[1:]))))
    elif row.kind == "ratio":
        found = tuple(dict.fromkeys([start, *RATIOS]))
    else:
        found = tuple(row.options)
    return Slider(key, bench.label(key), found, tuple(value_words(value, bench.rows[key]) for value in found))


RATIOS = ("2:1:1", "3:1:1", "4:1:1", "4:1:2", "5:1:1")


# --- exercises ---------------------------------------------------------------------------------------------


def _asked(number: int, one: Drawn) -> Markup:
    question = one.question
    title = tag("h3", one.exercise.title) + paragraph(question.ask)
    if question.choices:
        options = together(
            tag("label", tag("input", type="radio", name=f"exercise-{number}", value=choice), " ", choice)
            for choice in question.choices
        )
        place = tag("div", options, class_="choices")
    else:
        told = "Your answer, a plain number" if one.bare else "Your answer, with its unit"
        place = tag("label", tag("span", told, class_="name"), tag("input", type="text", autocomplete="off"))
    buttons = tag("button", "Check", type="button", data_do="check") + tag(
        "button", "Hint", type="button", data_do="hint"
    )
    said = tag("p", class_="said", role="status")
    return tag("form", title, place, tag("p", buttons), said, class_="exercise", data_exercise=str(number))


def _checked(one: Drawn) -> dict[str, Any]:
    """What the page must know to judge an answer: numbers in SI, units, slips, hints, the way."""
    question = one.question
    told: dict[str, Any] = {"hints": list(question.hints), "way": question.way, "passed": one.answer}
    if question.choices:
        slips = {str(value): sentence for value, sentence in question.slips}
        return {**told, "choice": str(question.answer), "slips": slips}
    return {
        **told,
        "answer": float(question.answer),
        "room": question.room,
        "units": dict(_units(question.name)),
        "slips": [[float(value), question.room_of(value), sentence] for value, sentence in question.slips],
    }


def _units(name: str) -> Iterator[tuple[str, tuple[float, float]]]:
    """The spellings of a unit in which this may be answered, each with its factor and offset."""
    row = names()[name]
    kind = KINDS[row.kind]
    wanted, bare = unit_of(row.metric), unit_of(kind.bare)
    if wanted and bare and bare.dimension == wanted.dimension:
        yield "", (bare.factor, bare.offset)
    marks = ("count",) if row.kind == "number" else kind.marks  # a plain number is no per cent
    for spelling in dict.fromkeys((row.metric, row.us or row.metric, *USUAL, *TRADE_UNITS, *RATES)):
        unit = unit_of(spelling) if spelling else None
        if wanted and unit and unit.dimension == wanted.dimension and unit.mark in marks:
            capitals = (spelling.lower(), spelling.upper(), spelling.capitalize())
            for typed in (spelling, *capitals, *(spelling.translate(signs) for signs in TYPED)):
                if unit_of(typed) == unit:
                    yield typed, (unit.factor, unit.offset)


USUAL = (
    *("mm", "cm", "m", "µm", "mm²", "cm²", "m²", "in²", "ft²", "cm³", "m³", "ft³", "mL", "ml", "L", "l"),
    *("s", "mg", "g", "kg", "N", "Pa", "kPa", "MPa", "mbar", "bar"),
)
RATES = tuple(
    f"{one}/{per}"
    for one in (
        "mm",
        "cm",
        "m",
        "µm",
        "in",
        "ft",
        "mil",
        "mL",
        "ml",
        "cc",
        "L",
        "l",
        "m³",
        "ft³",
        "fl oz",
        "gal",
        "qt",
        "g",
        "kg",
        "mg",
        "lb",
    )
    for per in ("s", "min", "h", "L", "l", "gal", "m³", "m²", "ft²", "mL", "cm³")
)
# What a keyboard has for the signs that it has not.
TYPED = tuple(str.maketrans({"²": f"{power}2", "³": f"{power}3", "µ": "u", "·": "*"}) for power in ("", "^"))
