"""Practice cards: one garage skill a card, to be done by hand. Measure your gun, read a comb, put papers in order."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from coursekit import film, sanding
from coursekit.figure import Figure
from coursekit.lesson.draw.comb import comb_to_read
from coursekit.lesson.pages.cautions import cautions_html
from coursekit.lesson.pages.measurement_form import unit_words
from coursekit.lesson.practice.exercise import Draw
from coursekit.lesson.teaching.numbers import class_seed
from coursekit.markup import Markup, paragraph, table, tag, together
from coursekit.measurements import ways
from coursekit.nomenclature import System
from coursekit.sanding import Block
from coursekit.sources import coefficient

COMBS_A_CARD = 6
SHEETS = ("P80", "P120", "P180", "P240", "P320", "P400", "P500", "P600", "P800", "P1000")
EMPTY = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True)
class Card:
    """A card: what the learner gets, the topics of its cautions, and what the instructor keeps back."""

    title: str
    whose: str
    front: Markup
    answer: list[str]
    words: str
    topics: tuple[str, ...]

    @property
    def care(self) -> Markup:
        return cautions_html(*self.topics)


def card(kind: str, word: Any, name: Any, system: System, turn: int = 0) -> Card:
    """A card of that kind with a learner's own numbers."""
    seed = class_seed(word, name)
    title, body, answer, words = CARDS[kind](Draw(f"{seed}/card-{kind}/{turn}", system))
    whose = f"{' '.join(str(name).split())}, class {' '.join(str(word).split())}"
    front = together((tag("h1", title), tag("p", whose, class_="whose"), body))
    return Card(title, whose, front, answer, f"{title} ({whose}). {words}", TOPICS[kind])


Made = tuple[str, Markup, list[str], str]


def _measure(draw: Draw) -> Made:
    """The cup under the gun: how, what to write down three times, and what follows."""
    way = ways()["delivery"]
    steps = tag("ol", *(tag("li", step) for step in way.steps))
    head = (
        "reading",
        *(f"{field.words} ({unit_words(field, draw.system)})" for field in way.fields.values()),
        "in a minute",
    )
    rows = [(str(n), *(EMPTY for _ in way.fields), EMPTY) for n in (1, 2, 3)]
    paint = draw.between("caught_paint", "25 mL", "60 mL", "5 mL")
    time = draw.between("measuring_time", "10 s", "20 s", "5 s")
    rate = draw.figure(float(paint) / float(time), "fluid_delivery")
    body = together(
        (
            paragraph(f"Measures {way.measures}. About {way.minutes:g} minutes."),
            steps,
            tag("p", f"Caution: {way.caution}", class_="caution"),
            tag("h2", "First, dry: with these numbers"),
            paragraph(f"{paint} were caught in {time}. How much does the gun deliver in a minute?"),
            tag("p", "Answer, with its unit: ", tag("span", class_="line")),
            tag(
                "section",
                tag("h2", "Write down"),
                table(head, rows, first=True, class_="fill"),
                paragraph("Paint ÷ seconds × 60 is what the gun delivers in a minute. Take the middle of the three."),
                class_="exercise",
            ),
        )
    )
    return way.title, body, [f"{paint} in {time} are {rate:3}."], f"{paint} in {time}: how much a minute?"


def _comb(draw: Draw) -> Made:
    """Combs in wet film: which tooth is the last wet one, and between which two the film lies."""
    drawings, answers = [], []
    gaps = [float(gap) for gap in film.gauges.COMBS[draw.system]]
    places = sorted(range(1, 5), key=lambda _: draw.pick(*range(1000)))  # each gap comes up
    for number, place in enumerate(itertools.islice(itertools.cycle(places), COMBS_A_CARD), 1):
        share = draw.pick(0.25, 0.35, 0.5, 0.65, 0.75)  # of the way to the next tooth: one that just touches misleads
        wet = gaps[place] + share * (gaps[place + 1] - gaps[place])
        teeth = film.comb_teeth.si(wet, draw.system)
        low, middle, high = film.comb_reading.si(teeth.wetted, teeth.dry)
        drawing = comb_to_read(
            Figure(wet, "wet_film", draw.system), Figure(float(teeth.dry), "dry_tooth", draw.system)
        )
        drawings.append(
            tag(
                "figure",
                Markup(drawing),
                tag(
                    "figcaption",
                    f"{number}. between ",
                    tag("span", class_="line short"),
                    " and ",
                    tag("span", class_="line short"),
                ),
            )
        )
        ends = draw.figure(low, "wet_film"), draw.figure(high, "wet_film"), draw.figure(middle, "wet_film")
        answers.append(f"{number}: between {ends[0]} and {ends[1]}, so about {ends[2]:3} wet.")
    told = paragraph(
        "Stand the comb upright in the fresh film, on a flat place, at once after the pass. Look for the last tooth "
        "that comes up wet: the film lies between it and the next, dry one. Read all six."
    )
    body = told + tag("div", *drawings, class_="pair")
    return "Read a comb", body, answers, "Six combs to read."


def _papers(draw: Draw) -> Made:
    """Grit sequence: put those of the drawer in a row, then see what each costs."""
    first = draw.pick(*range(len(SHEETS) - 5))
    needed = list(SHEETS[first : first + draw.pick(4, 5)])
    mixed = sorted(needed, key=lambda _: draw.pick(*range(1000)))
    if mixed == needed:
        mixed.reverse()
    coat = draw.between("film", "80 µm", "160 µm", "20 µm")
    force = draw.between("force", "15 N", "30 N", "5 N")
    block = Block(0.125, 0.07)
    steps = sanding.progression.judged(
        draw.system, needed, float(force), block, float(coefficient("hardness_surfacer")), float(coat)
    )
    rows = [(EMPTY, EMPTY, EMPTY) for _ in needed]
    sides = (f"{draw.figure(side, 'block_side'):3}" for side in (block.width, block.length))
    size = " × ".join(sides).replace(" ", EMPTY)  # on one line
    body = together(
        (
            paragraph(
                f"In the drawer lie, mixed up: {', '.join(mixed)}. {coat} of surfacer is there to be sanded, with a "
                f"block of {size} and {force} of the hand. Write the papers in the order of use. Beside each: what "
                "makes you change to the next one?"
            ),
            table(("paper", "strokes over one place, your guess", "I change when"), rows, class_="fill"),
            tag("h2", "Then on a test piece"),
            paragraph(
                "Guide coat, fifty strokes, look. Is the scratch of the paper before gone everywhere? Write down how "
                "many strokes it took, and what the gauge says before and after."
            ),
            table(
                ("paper", "strokes it took", "gauge before", "gauge after"),
                [(EMPTY,) * 4 for _ in needed],
                class_="fill",
            ),
        )
    )
    answers = [f"{' → '.join(needed)}."] + [f"{step.paper} – {step.verdict}: {step.reason}" for step in steps]
    return "Grit sequence", body, answers, f"In the drawer: {', '.join(mixed)}."


CARDS: Mapping[str, Callable[[Draw], Made]] = {"measure": _measure, "comb": _comb, "papers": _papers}
TOPICS: Mapping[str, tuple[str, ...]] = {
    "measure": ("spraying", "isocyanate", "mixing", "solvent", "air"),
    "comb": ("spraying", "isocyanate", "solvent"),
    "papers": ("dust", "isocyanate"),
}
