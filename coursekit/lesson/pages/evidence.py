"""How do you know? The printed cases that the tests hold the course to, carried out again, and what ties the bands.

The cases are those of tests/published; the facts that tie the bands of spraying are those of tables/facts.
"""

from __future__ import annotations

import functools
import tomllib
from collections import Counter
from collections.abc import Mapping
from typing import Any

from coursekit import belief, quantities, spraying
from coursekit.course.shipped import shipped
from coursekit.lesson.learner import unit_system
from coursekit.lesson.practice.examples import call_of
from coursekit.lesson.screen import page
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
        markup = page.together(page.folded(title, page.table(HEAD, rows)) for title, rows in parts)
        text = "\n".join(f"{title}\n{page.plain_table(HEAD, rows)}" for title, rows in parts)
        return page.Piece(page.paragraph(INTRO) + markup, f"{INTRO}\n{text}")
    head = ("part", "cases", "published", "common practice", "from memory", "derived", "sources")
    rows = []
    for name, found in cases().items():
        kinds = Counter(case["kind"] for case in found)
        rows.append(
            (
                _spoken(name),
                len(found),
                kinds["published"],
                kinds["common practice, no source"],
                kinds["from memory"],
                kinds["derived"],
                len({case["source"] for case in found}),
            )
        )
    every = [case for found in cases().values() for case in found]
    total = (
        f"{len(every)} cases from {len({case['source'] for case in every})} sources. To see those of a part: "
        'lesson.checks("film").'
    )
    if not every:
        total = "The cases were not installed with this course: get it anew from its folder, as the README says."
    title = "What the course is held to"
    return page.Piece(
        page.together((page.tag("h4", title), page.table(head, rows), page.paragraph(total))),
        "\n".join([title, page.plain_table(head, rows), total]),
    )


def _of_trade(trade: str) -> tuple[str, list[tuple[str, ...]]]:
    if not isinstance(trade, str) or trade not in cases():
        raise InputError("trade", f"{trade!r:.40} has no cases.", f"There are: {', '.join(cases())}.", kind="unknown")
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


FACTS_HEAD = (
    "in print",
    "what it prints",
    "computed before",
    "computed now",
    "transfer, with it alone",
    "mist per 100 landed, with it alone",
    "source",
)
REST_HEAD = (*FACTS_HEAD[:4], "source")


def facts() -> page.Piece:
    """What each fact in print does to the bands: those of spraying, at the usual setting, and those of the rest."""
    usual = dict(belief.told()["transfer_efficiency"].at)
    landed = belief.evidence(spraying.spray_setting, "account.transfer_efficiency", **usual)
    mist = belief.evidence(spraying.spray_setting, lambda found: 100 * found.mist_per_landed, **usual)
    gun: list[tuple[str, ...]] = []
    rest: list[tuple[str, ...]] = []
    for one, other in zip(landed, mist, strict=True):
        told_of, source = _answered(one), "; ".join(dict.fromkeys(sources()[p.source].title for p in one.fact.prints))
        if one.fact.call.startswith("spraying."):
            gun.append((*told_of, _share(one.alone), _parts(other.alone), source))
        else:
            rest.append((*told_of, source))
    first, second = landed[0], mist[0]
    told = (
        "Before anything is measured, your gun may be any that the margins of the tables allow. What is in print "
        "rules many of those out. At the usual setting the margins alone give a transfer of "
        f"{_share(first.before)}; all facts together leave {_share(first.all)}. Of mist for 100 parts that land they "
        f"leave {_parts(second.all)}, out of {_parts(second.before)}. “Computed” is what the course makes of the "
        "setting the print speaks of. Facts that tell the same thing of guns count as one together. Every band is 5 "
        "to 95 %."
    )
    also = (
        "Sanding, drying, hiding and mixing are tied in the same way, each for itself: what a paper takes off says "
        "nothing of drops."
    )
    disagree = [_disagreement(one) for one in landed if len(one.fact.prints) > 1]
    words = [told, *disagree, also]
    differ = page.folded(f"Where prints differ ({len(disagree)})", page.together(map(page.paragraph, disagree)))
    tables: list[tuple[str, tuple[str, ...], list[tuple[str, ...]]]] = [
        (f"What the facts in print did to the bands of spraying ({len(gun)} facts)", FACTS_HEAD, gun),
        (f"And to those of sanding, drying, hiding and mixing ({len(rest)} facts)", REST_HEAD, rest),
    ]
    return page.Piece(
        page.together((page.paragraph(told), page.paragraph(also), differ))
        + page.together(page.folded(title, page.table(head, rows)) for title, head, rows in tables),
        "\n".join([*words, *(f"{title}\n{page.plain_table(head, rows)}" for title, head, rows in tables)]),
    )


def _answered(one: belief.Did) -> tuple[str, str, str, str]:
    """What a fact speaks of, what it prints, and what the course computes before and after."""
    prints = [f"{_figure(one.fact, p.value)} ({_ends(one.fact, p)})" for p in one.fact.prints]
    return one.fact.says, "; or ".join(prints), _ends(one.fact, one.foretold), _ends(one.fact, one.held)


def _disagreement(one: belief.Did) -> str:
    """Prints of one question that differ, and that the band holds them."""
    says, prints, _, held = _answered(one)
    if len(one.fact.prints) > 2:
        told = prints.replace("; or ", ", ")
        return f"{len(one.fact.prints)} prints differ about {says}: {told}. The band holds them all: {held}."
    spoken = "A gun" if one.fact.call.startswith("spraying.") else "What is computed"
    return (
        f"Two prints disagree about {says}: {prints.replace('; or ', ' and ')}. {spoken} has to agree with one of "
        f"them, so the band holds both: {held}."
    )


def _name(fact: belief.Observation) -> str:
    """The row of names that words a fact's answer; a ratio of two settings is a plain number."""
    if fact.over is not None:
        return "film_ratio"
    name: Any = call_of(fact.call).gives
    for part in fact.part.split(".") if fact.part else ():
        name = name[part]
    return "step_time" if name == "time" else str(name)  # of work: in minutes


def _figure(fact: belief.Observation, value: float) -> str:
    return quantities.shown(value, _name(fact), unit_system.chosen())


def _ends(fact: belief.Observation, of: Any) -> str:
    return quantities.shown_band(of.low, of.high, _name(fact), unit_system.chosen())


def _share(band: Any) -> str:
    return quantities.shown_band(band.low, band.high, "transfer_efficiency", unit_system.chosen())


def _parts(band: Any) -> str:
    return quantities.shown_band(band.low, band.high, "film_ratio", unit_system.chosen())
