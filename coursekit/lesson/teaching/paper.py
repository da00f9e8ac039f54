"""Paper for a class: exercise sheets, answer keys and practice cards as HTML that prints on A4 and on Letter.

The same word, names, lesson and units give the same bytes, from a notebook and from the command line.
"""

from __future__ import annotations

import base64
import functools
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coursekit import keeping
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages.cautions import cautions_html, cautions_text
from coursekit.lesson.screen import page
from coursekit.lesson.teaching import cards
from coursekit.lesson.teaching.numbers import Drawn, LearnerSet, learner_set, topics_of
from coursekit.markup import Markup, each, items, paragraph, table, tag, together
from coursekit.nomenclature import System
from coursekit.nomenclature import names as rows_of_quantities
from coursekit.quantities import InputError, read_choice
from coursekit.template import template, text_of

KINDS = ("exercises", "key", "cards")
HERE = "coursekit.lesson.teaching"
MOST_NAMES = 200
CARE = (
    "Every number here comes from a computed panel. It is for practice, not clearance to spray, breathe or burn: "
    "data sheets, local rules and licensed practice come first."
)


@dataclass(frozen=True)
class Paper:
    """A page to print: its HTML, whole in itself."""

    title: str
    html: str
    words: str

    def save(self, path: Any) -> Path:
        """Write it as a file; one that is there already and is no page stays."""
        return keeping.write_page(path, self.html)

    def __repr__(self) -> str:
        return self.words

    @property
    def link(self) -> Markup:
        """Where the page is saved from a notebook, to be printed."""
        data = base64.b64encode(self.html.encode()).decode()
        file = f"{self.title.lower().replace(' ', '-').replace(':', '').replace(',', '')}.html"
        return paragraph(
            tag("a", f"Save “{self.title}”, then print it", download=file, href=f"data:text/html;base64,{data}")
        )

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        frame = tag("iframe", srcdoc=self.html, style="width:100%;height:520px;border:1px solid", title=self.title)
        return page.Piece(self.link + frame, self.words)._repr_mimebundle_()


def paper(
    kind: Any, which: Any = "", word: Any = "", names: Any = (), system: System = "metric", turn: int = 0
) -> Paper:
    """Paper for a class: "exercises", "key" or "cards".

    which  a lesson ("01-film"), an exercise ("film-1") or a list of such; for cards: measure, comb, papers, or a list
    word   the word of the class
    names  one name or several; each begins a page
    turn   0 for the first numbers, 1 for the next, and so on
    """
    kind, system = read_choice(kind, KINDS, "paper"), unit_system.read(system)
    people = [names] if isinstance(names, (str, int)) else list(names)
    if not 1 <= len(people) <= MOST_NAMES:
        raise InputError(
            "names",
            f"are {len(people)}; it takes 1 to {MOST_NAMES}.",
            "Give a name, or a list of names.",
            kind="count",
        )
    if kind == "cards":
        return _cards(which, word, people, system, turn)
    sets = [learner_set(word, name, which, system, turn) for name in people]
    make, title = (_sheet, sets[0].title) if kind == "exercises" else (_key, f"Key to {sets[0].title}")
    words = "\n\n".join(one.words if kind == "key" else _asked(one) for one in sets)
    topics = topics_of(one.exercise for one in sets[0].drawn)
    care = cautions_html(*topics)
    return Paper(title, render(title, [unbroken(make(one)) + care for one in sets]), with_care(words, topics))


def render(title: str, pages: Sequence[Markup]) -> str:
    """Pages one after the other as one file that needs no other."""
    form = template(HERE, "paper", style=text_of(HERE, "paper.css"))
    return form.render(title=title, pages=pages, care=CARE)


def unbroken(markup: Markup) -> Markup:
    """The same with each unit on the line of its number."""
    between = _number_and_unit()
    return Markup(re.sub(r">[^<]+<", lambda text: between.sub("\N{NO-BREAK SPACE}", text[0]), markup))


@functools.lru_cache(maxsize=1)
def _number_and_unit() -> re.Pattern[str]:
    units = {unit for row in rows_of_quantities().values() for unit in (row.metric, row.us) if unit}
    return re.compile(rf"(?<=\d) (?=({'|'.join(map(re.escape, sorted(units, key=len, reverse=True)))})\b)")


def with_care(words: str, topics: Iterable[str]) -> str:
    """The words of a page with what its cautions say, and that nothing is cleared."""
    return f"{words}\n\n{cautions_text(*topics)}\n{CARE}"


def _head(title: str, one: LearnerSet) -> Markup:
    """What stands at the top of a page: whose it is."""
    return together(
        (
            tag("h1", title),
            tag("p", f"{one.name} · class {one.word} · numbers {one.seed}", class_="whose"),
        )
    )


def _asked(one: LearnerSet) -> str:
    head = f"{one.title}: {one.name}, class {one.word}"
    lines = []
    for drawn in one.drawn:
        choices = f" Choose: {'; '.join(drawn.question.choices)}." if drawn.question.choices else ""
        lines.append(f"{drawn.exercise.title}. {drawn.question.ask}{choices}")
    return "\n".join([head, *lines])


# --- exercises ---------------------------------------------------------------------------------------------


def _sheet(one: LearnerSet) -> Markup:
    told = paragraph("Write the number and its unit. Your numbers are your own: your neighbour has others.")
    return _head(one.title, one) + told + together(_exercise(n, drawn) for n, drawn in enumerate(one.drawn, 1))


def _exercise(number: int, drawn: Drawn) -> Markup:
    question = drawn.question
    head = tag("h2", f"{number}. {drawn.exercise.title}") + paragraph(question.ask)
    if question.choices:
        boxes = each("li", (together((tag("span", class_="box"), " ", choice)) for choice in question.choices))
        return tag("section", head, tag("ul", boxes, class_="choices"), class_="exercise")
    wanted = "Answer, a plain number:" if drawn.bare else "Answer, with its unit:"
    room = tag("div", class_="work") + tag("p", wanted, " ", tag("span", class_="line"))
    return tag("section", head, room, class_="exercise")


# --- the key -----------------------------------------------------------------------------------------------


def _key(one: LearnerSet) -> Markup:
    told = paragraph("For the instructor. A usual wrong answer stands with what it looks like.")
    return _head(f"Key to {one.title}", one) + told + together(_solved(n, d) for n, d in enumerate(one.drawn, 1))


def _solved(number: int, drawn: Drawn) -> Markup:
    question = drawn.question
    answer = paragraph(together((tag("strong", drawn.answer), f" – taken: {drawn.accepted}.")))
    way = paragraph(f"How it goes: {question.way}") if question.way else ""
    slips = table(("who answers", "has likely done this"), drawn.slips, first=True) if question.slips else ""
    head = tag("h2", f"{number}. {drawn.exercise.title} ", tag("span", drawn.exercise.key, class_="key"))
    return tag("section", head, paragraph(question.ask), answer, way, slips, class_="exercise")


# --- cards -------------------------------------------------------------------------------------------------


def _cards(which: Any, word: Any, people: Iterable[Any], system: System, turn: int) -> Paper:
    wanted = [which] if isinstance(which, str) and which else list(which or cards.CARDS)
    made = [
        cards.card(read_choice(one, tuple(cards.CARDS), "card"), word, name, system, turn)
        for name in people
        for one in wanted
    ]
    return Paper(
        "Practice cards",
        render("Practice cards", [unbroken(one.front) + one.care for one in made] + _answers(made)),
        with_care(
            "\n\n".join(one.words for one in made), dict.fromkeys(topic for one in made for topic in one.topics)
        ),
    )


def _answers(made: Sequence[cards.Card]) -> list[Markup]:
    """The answers to all cards, on a page of their own."""
    told = [(one.title, one.whose, one.answer) for one in made if one.answer]
    if not told:
        return []
    head = tag("h1", "Answers to the cards") + paragraph("For the instructor: keep this page back.")
    parts = together(
        tag("section", tag("h2", f"{title} – {whose}"), items(answer), class_="exercise")
        for title, whose, answer in told
    )
    return [head + unbroken(parts) + cautions_html(*dict.fromkeys(topic for one in made for topic in one.topics))]
