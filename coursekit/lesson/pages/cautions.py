"""The usual cautions for each kind of work."""

from __future__ import annotations

import functools
import tomllib
from importlib import resources
from typing import Any

from coursekit import garage
from coursekit.lesson.draw.charts import WIDTH, svg
from coursekit.lesson.draw.gear import GEAR_HIGH, SAID, gear
from coursekit.lesson.screen import page
from coursekit.lesson.screen.page import Piece
from coursekit.nomenclature import names
from coursekit.quantities import InputError
from coursekit.repair.cautioning import NOT_CLEARANCE, care_lines, first_cautions
from coursekit.repair.playing import Replay


@functools.lru_cache(maxsize=1)
def _cautions() -> dict[str, Any]:
    return tomllib.loads((resources.files("coursekit.lesson.content") / "cautions.toml").read_text(encoding="utf-8"))


CAUTIONS_END = (
    "Common practice of the trade. Read the data sheet and the safety data sheet, and obey your local "
    "rules; nothing that is computed here is permission to spray, breathe or burn."
)


def cautions(*topics: str) -> Piece:
    """The usual cautions for one or more kinds of work; without a topic, all of them."""
    worn = _gear() if not topics or "isocyanate" in topics else page.Markup("")
    return Piece(page.together((worn, cautions_html(*topics))), cautions_text(*topics))


@functools.lru_cache(maxsize=1)
def _gear() -> page.Markup:
    """What is worn against sprayed isocyanate, so that the one that kills looks like no other."""
    return page.tag("div", page.drawn(svg(gear(sprayed=True), WIDTH, GEAR_HIGH), SAID), class_="ck-figure")


def care_of(played: Replay) -> Piece:
    """The first caution of each kind of work that a repair asks for, whatever its verdicts say."""
    told = page.tag("h4", "Safety") + page.items(first_cautions(played)) + page.paragraph(NOT_CLEARANCE)
    note = page.tag("div", told, class_="ck-take-care", role="note", aria_label="Safety")
    return Piece(note, "\n".join(care_lines(played)))


def cautions_text(*topics: str) -> str:
    """The cautions in plain text."""
    parts = [f"{part['title']}\n" + "\n".join(f"- {line}" for line in part["lines"]) for part in _chosen(topics)]
    return "\n".join(["Safety.", *parts, CAUTIONS_END])


def cautions_html(*topics: str) -> page.Markup:
    """The cautions as markup, for sheets."""
    body = page.together(page.tag("h4", part["title"]) + page.items(part["lines"]) for part in _chosen(topics))
    end = page.paragraph(CAUTIONS_END)
    return page.tag("div", body, end, class_="ck-take-care", role="note", aria_label="Safety")


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
