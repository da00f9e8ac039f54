"""The job sheet that goes to the garage: one HTML page that needs no other file, for A4 and Letter, in grey."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from coursekit.garage import cautions
from coursekit.nomenclature import System
from coursekit.repair import sheet_gun as gun
from coursekit.repair import sheet_masks as masking
from coursekit.repair import sheet_mixing as mixing
from coursekit.repair import sheet_parts as parts
from coursekit.repair import sheet_shopping as buying
from coursekit.repair.entry import Entry, SprayEntry
from coursekit.repair.forecast import Weather
from coursekit.repair.hardeners import hardener_of, sprayed
from coursekit.repair.plan import plan_checks, plan_lines
from coursekit.repair.playing import Replay, as_replay
from coursekit.repair.sheet_clock import night_words, picture, sentences, spells
from coursekit.repair.svg import PATTERNS
from coursekit.repair.words import time_words

STYLE = """
@page { margin: 13mm 14mm }
html { background: #fff }
body { font: 10.5pt/1.35 "Liberation Serif", "Times New Roman", serif; color: #000; margin: 0 auto; max-width: 182mm;
       padding: 4mm }
h1 { font-size: 17pt; margin: 0 0 2mm } h2 { font-size: 12.5pt; margin: 6mm 0 1.5mm; border-bottom: 0.4mm solid #000 }
h3 { font-size: 10.5pt; margin: 3mm 0 1mm }
h1, h2, h3, caption, .lead { break-after: avoid; page-break-after: avoid }
h2 + *, h3 + * { break-before: avoid; page-break-before: avoid }
p, ul { margin: 0 0 2mm; orphans: 3; widows: 3 } ul { padding-left: 5mm }
table { border-collapse: collapse; width: 100%; margin: 0 0 3mm; font-size: 9.5pt }
caption { text-align: left; font-weight: bold; padding: 1mm 0 }
th, td { border: 0.2mm solid #777; padding: 0.8mm 1.4mm; text-align: left; vertical-align: top;
         overflow-wrap: break-word }
th { border-bottom: 0.5mm solid #000 } thead { display: table-header-group }
tr, li, .short { break-inside: avoid; page-break-inside: avoid }
.caution, .against { border: 0.7mm solid #000; padding: 1.5mm 3mm; margin: 0 0 3mm;
                     -webkit-box-decoration-break: clone; box-decoration-break: clone }
ul.against { padding-left: 7mm }
.caution { border-style: double; border-width: 1mm; break-inside: avoid; break-after: avoid; page-break-after: avoid }
.lead { break-inside: avoid }
.box { display: inline-block; width: 3.2mm; height: 3.2mm; border: 0.3mm solid #000; vertical-align: -0.3mm }
.small { font-size: 9pt }
.drawing { display: block; width: 100%; margin: 1mm 0 }
.pair { display: flex; flex-wrap: wrap; gap: 0 5mm } .pair .drawing { width: calc(50% - 2.5mm) }
.spell { break-inside: avoid; page-break-inside: avoid; margin: 0 0 4mm }
@media print { body { max-width: none; padding: 0 } }
"""
CHECK = "\N{WHITE SQUARE}"  # a box to tick
HALF = 40  # rows of a table in two halves, on one page
SHORT = 12  # rows of a table that is kept on one page
FIRST = (
    "This sheet comes from a computed panel. It is a plan to check against, not clearance to spray, "
    "breathe or burn: the data sheets of your products, local rules and licensed practice come "
    "first."
)


def job_sheet(recipe: Any, system: System = "metric") -> str:
    """The job sheet of a recipe as HTML; the same bytes for the same recipe.

    recipe  a recipe, its replay or the path of its file
    system  "metric" or "us"
    """
    replay = as_replay(recipe)
    body = "\n".join(section(replay, system) for section in SECTIONS)
    title = _text(replay.recipe.title)
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width"><title>{title}</title>\n'
        f"<style>{STYLE}</style></head>\n<body>\n{PATTERNS}\n<h1>{title}</h1>\n{body}\n</body></html>"
        "\n"
    )


# --- pieces of HTML ----------------------------------------------------------------------------------------


def _text(value: object) -> str:
    return html.escape(str(value))


def _section(heading: str, *blocks: str) -> str:
    inside = "\n".join(block for block in blocks if block)
    return f"<section><h2>{_text(heading)}</h2>\n{inside}\n</section>" if inside else ""


def _paragraph(text: str, kind: str = "") -> str:
    return f'<p class="{kind}">{_text(text)}</p>' if kind else f"<p>{_text(text)}</p>"


def _box(text: str, kind: str) -> str:
    """A sentence in a frame."""
    return f'<div class="{kind}">{_text(text)}</div>'


def _list(lines: Iterable[str], kind: str = "") -> str:
    items = "".join(f"<li>{_text(line)}</li>" for line in lines)
    return f'<ul class="{kind}">{items}</ul>' if items else ""


def _cell(words: str) -> str:
    inside = '<span class="box"></span>' if words == CHECK else _text(words)
    return f"<td>{inside}</td>"


def _table(head: Iterable[str], rows: Iterable[Iterable[str]], caption: str = "", tick: bool = False) -> str:
    """A table; `tick` gives each row a box to tick."""
    rows = list(rows)
    body = "".join(f"<tr>{''.join(map(_cell, ((CHECK,) if tick else ()) + tuple(row)))}</tr>" for row in rows)
    if not body:
        return ""
    top = ("<th></th>" if tick else "") + "".join(f"<th>{_text(word)}</th>" for word in head)
    named = f"<caption>{_text(caption)}</caption>" if caption else ""
    kind = ' class="short"' if len(rows) <= SHORT else ""
    return f"<table{kind}>{named}<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"


def _side_by_side(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Tables that are read down the left half, then down the right one."""
    for first in range(0, len(rows), 2 * HALF):
        part = rows[first : first + 2 * HALF]
        left, right = part[: (len(part) + 1) // 2], part[(len(part) + 1) // 2 :]
        right = [*right, *[("",) * len(head)] * (len(left) - len(right))]
        yield _table((*head, *head), ((*a, *b) for a, b in zip(left, right, strict=True)))


# --- sections ----------------------------------------------------------------------------------------------


def _plan(replay: Replay, system: System) -> str:
    return "\n".join((_paragraph(parts.about(replay, system)), _paragraph(FIRST)))


def _before(replay: Replay, system: System) -> str:
    """What the checks of the plan found, and the steps after which the panel is not ready."""
    found = plan_checks(replay)
    blocks = [_first_cautions(replay, "room"), _paragraph(next(plan_lines(replay, system)), "lead")]
    blocks.append(_list((f"Change: {one.text(system)}" for one in found if one.against), "against"))
    blocks.append(_list((_not_yet(entry, system) for entry in replay.not_yet), "against"))
    known = _list(one.text(system) for one in found if not one.against)
    if replay.recipe.forecast and replay.not_yet:
        held = parts.garage_words(replay.recipe, system)
        known += _paragraph(f"“Not yet” reckons with one temperature, {held}; the rest follows the forecast.")
    return _section("Before anything is done", *blocks, known)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _not_yet(entry: Entry, system: System) -> str:
    reasons = "; ".join(reason.text(system) for reason in entry.verdict.reasons if reason.against)
    return f"Not yet after step {entry.step.number} ({entry.step.words}), because {reasons}."


def _shopping(replay: Replay, system: System) -> str:
    words = f"Paint is counted with a reserve of {buying.RESERVE:.0%}. Strike out what you have already."
    return _section(
        "To buy",
        _paragraph(words, "lead"),
        _table(("What", "How much", "Note"), buying.shopping(replay, system), tick=True),
    )


def _cost(replay: Replay, system: System) -> str:
    found = buying.costs(replay)
    head = ("What", "Packs", "Used", "Wasted", "Wasted without the savings")
    return _section(
        "Cost and waste, in your money",
        *(_paragraph(words) for words in found.words[:1]),
        _table(head, found.table),
        *(_paragraph(words) for words in found.words[1:]),
    )


def _time_line(replay: Replay, system: System) -> str:
    weather = Weather(replay.recipe)
    held = parts.forecast_words(replay.recipe, system)
    words = (
        f"From the first step to the last it takes {time_words(replay.time)}. {held} Hatched: the mix lives. "
        "Grey: the next film or the paper has its time. Dotted: between the two ends of what is "
        "known."
    )
    blocks = [
        f'<div class="spell">{picture(spell, weather, system)}'
        f"{_paragraph(' '.join(sentences(spell, weather, system)))}</div>"
        for spell in spells(replay, weather)
    ]
    rows = [
        (CHECK, str(entry.step.number), weather.clock(entry.began), weather.clock(entry.ended), entry.step.words)
        for entry in replay
    ]
    return _section(
        "Time line",
        _paragraph(words, "lead"),
        *blocks,
        _paragraph(night_words(replay, weather), "against") if night_words(replay, weather) else "",
        "<h3>Every step by the clock</h3>",
        *_side_by_side(("", "Step", "From", "To", "What"), rows),
    )


def _papers(replay: Replay, system: System) -> str:
    return _section(
        "Papers and strokes",
        _first_cautions(replay, "dust"),
        _table(("Step", "Paper", "Tool and hand", "How much", "Where"), parts.papers(replay, system)),
    )


def _masking(replay: Replay, system: System) -> str:
    if not any(isinstance(entry, SprayEntry) for entry in replay):
        return ""
    drawn = "".join(masking.sketches(replay, system))
    return _section(
        "Masking plan",
        f'<div class="pair short">{drawn}</div>' if drawn else "",
        _table(("Step", "Leave open", "Edge", "Sprayed through it", "Comes off"), masking.rows(replay, system)),
        _paragraph(masking.unmasked(replay)) if masking.unmasked(replay) else "",
        _list(masking.ADVICE),
    )


def _mixing(replay: Replay, system: System) -> str:
    tables = [
        f'<div class="short">{_table(mix.head, mix.rows, mix.title)}{_paragraph(mix.note)}</div>'
        for mix in mixing.mixes(replay, system)
    ]
    if not tables:
        return ""
    words = (
        "Stir each tin, pour in this order, set the scale to zero with the empty cup. Weights rest on "
        "densities: put in those of your data sheets."
    )
    own = "" if replay.recipe.cup else _paragraph(mixing.NO_CUP)
    return _section("Mixing", _first_cautions(replay, "skin and eyes"), _paragraph(words), *tables, own)


def _gun(replay: Replay, system: System) -> str:
    return _section(
        "Gun card",
        _first_cautions(replay, "isocyanate", "compressed air"),
        _list(_sentence(hardener_of(replay.recipe, name).words) for name in sprayed(replay.recipe)),
        _table(("Step", "Set", "Move", "Expect"), gun.cards(replay, system)),
        _list(gun.notes(replay, system)),
    )


def _checks(replay: Replay, system: System) -> str:
    rows = (
        (str(entry.step.number), entry.step.words, "; ".join(parts.checks(replay, entry, system))) for entry in replay
    )
    return _section(
        "Checks between the steps",
        _paragraph(parts.checks_words(replay.recipe), "lead"),
        _table(("After", "", "Look for"), (r for r in rows if r[2]), tick=True),
    )


def _cautions(replay: Replay, system: System) -> str:
    blocks = []
    for topic in caution_topics(replay):
        told = _list(caution.text for caution in cautions(topic))
        blocks.append(f'<div class="short"><h3>{_text(topic[:1].upper() + topic[1:])}</h3>{told}</div>')
    return _section("Cautions", *blocks)


def _first_cautions(replay: Replay, *topics: str) -> str:
    """The first caution of each topic, where its work is planned; the others stand under Cautions."""
    asked = set(caution_topics(replay))
    return "".join(_box(cautions(topic)[0].text, "caution") for topic in topics if topic in asked)


ASKED = ("room", "solvent", "rags", "skin and eyes", "dust", "hardener")  # in this order, when a step does


def caution_topics(replay: Replay) -> Iterator[str]:
    """Topics of the cautions that this repair asks for."""
    asked = {topic for entry in replay for topic in entry.step.cautions}
    coats = sprayed(replay.recipe)
    if coats:
        yield "spraying"
        if any(hardener_of(replay.recipe, name).isocyanate for name in coats):
            yield from ("isocyanate", "people", "re-entry")
        yield "compressed air"
    yield from (topic for topic in ASKED if topic in asked)
    yield from ("storage", "licensed work")


def _known(replay: Replay, system: System) -> str:
    return _section("What is a band, and what is measured", _list(parts.coefficients(replay.recipe, system)))


SECTIONS = (
    _plan,
    _before,
    _shopping,
    _cost,
    _time_line,
    _papers,
    _masking,
    _mixing,
    _gun,
    _checks,
    _cautions,
    _known,
)
