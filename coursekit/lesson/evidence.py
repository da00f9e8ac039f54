"""How do you know? The printed cases that the tests hold the course to, carried out again and shown to the learner.

The files are those of tests/published.
"""

from __future__ import annotations

import functools
import tomllib
from collections import Counter
from collections.abc import Mapping
from typing import Any

from coursekit.lesson import page
from coursekit.lesson.examples import call_of
from coursekit.lesson.shipped import shipped
from coursekit.quantities import InputError
from coursekit.sources import sources
from coursekit.unit_grammar import NUMBER, unit_of

HEAD = ("computed", "printed", "here", "allowed, and why", "source")
INTRO = (
    "Each row was printed outside this course, or is what painters do, and the tests compare it with what the course "
    "computes. It was carried out again just now. “Allowed” is how far off it may be, and why; a printed figure "
    "that is "
    "wrong, or that two sources give differently, stands as a row too."
)


@functools.lru_cache(maxsize=1)
def cases() -> Mapping[str, list[dict[str, Any]]]:
    """Every case by the name of its file."""
    files = [file for name, file in shipped("tests/published").items() if name.endswith(".toml")]
    return {file.stem: tomllib.loads(file.read_text(encoding="utf-8")).get("case", []) for file in files}


def computed(case: Mapping[str, Any]) -> str:
    """What the course makes of a case, in the unit of the printed figure; its refusal where it must refuse."""
    try:
        got = call_of(case["call"])(**case["with"])
    except InputError as error:
        return f"refused: {error.problem}"
    for part in case.get("field", "").split(".") if case.get("field") else ():
        got = got[int(part)] if part.isdigit() else getattr(got, part)
    unit = _unit(case["gives"])
    value = got.m_as(unit_of(unit).pint_name or "dimensionless")  # type: ignore[union-attr]
    return f"{float(value):.5g} {unit}".strip()


def _unit(text: str) -> str:
    match = NUMBER.match(text)
    return match[2].strip() if match else ""


def checks(*trades: str) -> page.Piece:
    """Every case of some parts, `checks("film", "mixing")`; without a name, how many of which kind there are."""
    if trades:
        parts = [_of_trade(trade) for trade in trades]
        markup = "".join(page.folded(title, page.table(HEAD, rows)) for title, rows in parts)
        text = "\n".join(f"{title}\n{page.plain_table(HEAD, rows)}" for title, rows in parts)
        return page.Piece(f"{page.paragraph(INTRO)}{markup}", f"{INTRO}\n{text}")
    head = ("part", "cases", "published", "common practice", "from memory", "derived", "sources")
    rows = []
    for name, found in cases().items():
        kinds = Counter(case["kind"] for case in found)
        rows.append((_spoken(name), len(found), kinds["published"], kinds["common practice, no source"],
                     kinds["from memory"], kinds["derived"], len({case["source"] for case in found})))  # fmt: skip
    every = [case for found in cases().values() for case in found]
    total = (f"{len(every)} cases from {len({case['source'] for case in every})} sources. To see those of a part: "
             'lesson.checks("film").')  # fmt: skip
    if not every:
        total = "The cases were not installed with this course: get it anew from its folder, as the README says."
    title = "What the course is held to"
    return page.Piece(f"<h4>{title}</h4>{page.table(head, rows)}{page.paragraph(total)}",
                      "\n".join([title, page.plain_table(head, rows), total]))  # fmt: skip


def _of_trade(trade: str) -> tuple[str, list[tuple[str, ...]]]:
    if not isinstance(trade, str) or trade not in cases():
        raise InputError("trade", f"{trade!r:.40} has no cases.", f"There are: {', '.join(cases())}.")
    rows: list[tuple[str, ...]] = [_row(case) for case in cases()[trade]]
    return f"{_spoken(trade)}: {len(rows)} cases", rows


def _spoken(part: str) -> str:
    return part.replace("_", ", ")


def _row(case: Mapping[str, Any]) -> tuple[str, str, str, str, str]:
    given = ", ".join(f"{key} = {_text(value)}" for key, value in case["with"].items())
    what = f"{case['call']}({given})" + (f", {case['field']}" if case.get("field") else "")
    source = sources()[case["source"]]
    where = f"{source.title} ({case['kind']})"
    if "refuses" in case:
        return what, "must be refused", computed(case), case.get("reason", ""), where
    printed = case["gives"] + (f"; the source prints {case['misprint']}, a misprint" if "misprint" in case else "")
    return what, printed, computed(case), f"{case['within']}: {case['reason']}", where


def _text(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)
