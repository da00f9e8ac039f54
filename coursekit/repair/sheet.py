"""The job sheet that goes to the garage: one HTML page that needs no other file, for A4 and Letter, in grey."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator
from typing import Any

from coursekit.garage import cautions
from coursekit.nomenclature import System
from coursekit.repair import sheet_parts as parts
from coursekit.repair.order import SANDING
from coursekit.repair.playing import Replay, as_replay
from coursekit.repair.words import clock_words, time_words

STYLE = """
@page { margin: 14mm }
body { font: 10.5pt/1.35 Georgia, "Times New Roman", serif; color: #000; background: #fff; margin: 0 auto;
       max-width: 182mm; padding: 4mm }
h1 { font-size: 17pt; margin: 0 0 2mm } h2 { font-size: 12.5pt; margin: 6mm 0 1.5mm; border-bottom: 0.4mm solid #000 }
h1, h2, h3, caption { break-after: avoid; page-break-after: avoid }
p, ul { margin: 0 0 2mm; orphans: 3; widows: 3 } ul { padding-left: 5mm }
table { border-collapse: collapse; width: 100%; margin: 0 0 3mm; font-size: 9.5pt }
caption { text-align: left; font-weight: bold; padding: 1mm 0 }
th, td { border: 0.2mm solid #777; padding: 0.8mm 1.4mm; text-align: left; vertical-align: top }
th { border-bottom: 0.5mm solid #000 } thead { display: table-header-group }
tr, li { break-inside: avoid; page-break-inside: avoid }
.short { break-inside: avoid; page-break-inside: avoid }
.not-yet { border: 0.7mm solid #000; padding: 2mm 3mm; margin: 0 0 3mm }
.box { display: inline-block; width: 3.2mm; height: 3.2mm; border: 0.3mm solid #000; vertical-align: -0.3mm }
.small { font-size: 8.5pt }
"""
SHORT = 12  # rows of a table that is kept on one page
FIRST = ("This sheet comes from a computed panel. It is a plan to check against, and gives no leave to spray, "
         "breathe or burn: the data sheets of your products, local rules and licensed practice come "
         "first.")  # fmt: skip


def job_sheet(recipe: Any, system: System = "metric") -> str:
    """The job sheet of a recipe as HTML; the same bytes for the same recipe.

    recipe  a recipe, its replay or the path of its file
    system  "metric" or "us"
    """
    replay = as_replay(recipe)
    body = "\n".join(section(replay, system) for section in SECTIONS)
    title = _text(replay.recipe.title)
    return (f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
            f'<meta name="viewport" content="width=device-width"><title>{title}</title>\n'
            f"<style>{STYLE}</style></head>\n<body>\n<h1>{title}</h1>\n{body}\n</body></html>\n")  # fmt: skip


# --- pieces of HTML ----------------------------------------------------------------------------------------


def _text(value: object) -> str:
    return html.escape(str(value))


def _section(heading: str, *blocks: str) -> str:
    inside = "\n".join(block for block in blocks if block)
    return f"<section><h2>{_text(heading)}</h2>\n{inside}\n</section>" if inside else ""


def _paragraph(text: str, kind: str = "") -> str:
    return f'<p class="{kind}">{_text(text)}</p>' if kind else f"<p>{_text(text)}</p>"


def _list(lines: Iterable[str]) -> str:
    items = "".join(f"<li>{_text(line)}</li>" for line in lines)
    return f"<ul>{items}</ul>" if items else ""


def _table(head: Iterable[str], rows: Iterable[Iterable[str]], caption: str = "", tick: bool = False) -> str:
    """A table; `tick` gives each row a box to tick."""
    rows = list(rows)
    body = "".join("<tr>" + ('<td><span class="box"></span></td>' if tick else "")
                   + "".join(f"<td>{_text(cell)}</td>" for cell in row) + "</tr>" for row in rows)  # fmt: skip
    if not body:
        return ""
    top = ("<th></th>" if tick else "") + "".join(f"<th>{_text(word)}</th>" for word in head)
    named = f"<caption>{_text(caption)}</caption>" if caption else ""
    kind = ' class="short"' if len(rows) <= SHORT else ""
    return f"<table{kind}>{named}<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"


# --- sections ----------------------------------------------------------------------------------------------


def _plan(replay: Replay, system: System) -> str:
    blocks = [_paragraph(parts.about(replay, system)), _paragraph(FIRST)]
    for entry in replay.not_yet:
        reasons = "; ".join(reason.text(system) for reason in entry.verdict.reasons if reason.against)
        blocks.append(f'<div class="not-yet"><b>Not yet</b> after step {entry.step.number} '
                      f"({_text(entry.step.words)}), because {_text(reasons)}.</div>")  # fmt: skip
    return "\n".join(blocks)


def _shopping(replay: Replay, system: System) -> str:
    words = f"Paint is counted with a reserve of {parts.RESERVE:.0%}. Strike out what you have already."
    return _section("To buy", _paragraph(words),
                    _table(("What", "How much", "Note"), parts.shopping(replay, system), tick=True))  # fmt: skip


def _mixing(replay: Replay, system: System) -> str:
    tables = []
    for entry in replay:
        if entry.step.do == "spray":
            mix = parts.mix_of(replay.recipe, entry, system)
            tables.append(f'<div class="short">{_table(("Part", "Pour up to", "Scale shows"), mix.rows, mix.title)}'
                          f"{_paragraph(mix.note, 'small')}</div>")  # fmt: skip
    if not tables:
        return ""
    words = ("Stir each tin, pour in this order, set the scale to zero with the empty cup. Weights rest on "
             "densities: put in those of your data sheets.")  # fmt: skip
    return _section("Mixing", _paragraph(words), *tables)


def _gun(replay: Replay, system: System) -> str:
    return _section("Gun", _first_caution(replay, "isocyanate"),
                    _table(("Step", "Set", "Move", "Expect"), parts.gun_cards(replay, system)),
                    _list(parts.GUN_ADVICE if any(e.step.do == "spray" for e in replay) else ()))  # fmt: skip


def _papers(replay: Replay, system: System) -> str:
    return _section("Papers and strokes", _first_caution(replay, "dust"),
                    _table(("Step", "Paper", "Tool and hand", "How much", "Where"),
                           parts.papers(replay, system)))  # fmt: skip


def _masking(replay: Replay, system: System) -> str:
    return _section("Masking", _table(("Step", "Leave open", "Edge"), parts.masks(replay, system)),
                    _list(parts.MASK_ADVICE if any(e.step.do == "spray" for e in replay) else ()))  # fmt: skip


def _time_line(replay: Replay, system: System) -> str:
    rows = ((entry.step.number, clock_words(entry.began), clock_words(entry.ended), entry.step.words,
             parts.windows(replay.recipe, entry)) for entry in replay)  # fmt: skip
    words = (f"From the first step to the last it takes {time_words(replay.time)}; the clock starts at zero. Times "
             f"of films hold for {parts.garage_words(replay.recipe, system)}.")  # fmt: skip
    return _section("Time line", _paragraph(words),
                    _table(("Step", "From", "To", "What", "Windows"), (map(str, row) for row in rows)))  # fmt: skip


def _checks(replay: Replay, system: System) -> str:
    rows = ((str(entry.step.number), entry.step.words, "; ".join(parts.checks(entry, system))) for entry in replay)
    return _section("Checks between the steps", _table(("After step", "", "Look for"), (r for r in rows if r[2]),
                                                       tick=True))  # fmt: skip


def _cautions(replay: Replay, system: System) -> str:
    blocks = []
    for topic in caution_topics(replay):
        told = _list(caution.text for caution in cautions(topic))
        blocks.append(f'<div class="short"><h3>{_text(topic[:1].upper() + topic[1:])}</h3>{told}</div>')
    return _section("Cautions", *blocks)


def _first_caution(replay: Replay, topic: str) -> str:
    """The first caution of a topic, where its work is planned; the others stand under Cautions."""
    return _paragraph(cautions(topic)[0].text) if topic in caution_topics(replay) else ""


def caution_topics(replay: Replay) -> Iterator[str]:
    """Topics of the cautions that this repair asks for."""
    done = {entry.step.do for entry in replay}
    sprayed = {entry.step["material"] for entry in replay if entry.step.do == "spray"}
    if sprayed:
        yield "spraying"
        if any(replay.recipe.materials[name]["isocyanate"] == "yes" for name in sprayed):
            yield from ("isocyanate", "people", "re-entry")
        yield from ("room", "compressed air")
    if sprayed or "clean" in done:
        yield from ("solvent", "rags", "skin and eyes")
    if done & set(SANDING):
        yield "dust"
    if "fill" in done:
        yield "hardener"
    yield from ("storage", "licensed work")


def _known(replay: Replay, system: System) -> str:
    return _section("What is a band, and what is measured", _list(parts.coefficients(replay.recipe, system)))


SECTIONS = (_plan, _shopping, _time_line, _papers, _masking, _mixing, _gun, _checks, _cautions, _known)
