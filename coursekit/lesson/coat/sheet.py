"""The sheet of one coat: what goes to the garage, as HTML that prints on A4 and Letter, black on white."""

from __future__ import annotations

import datetime
import os
import re
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from coursekit import quantities
from coursekit.folder import place
from coursekit.keeping import lock, make_folder, replace
from coursekit.lesson.coat.plan import FIELDS, GROUPS, Group, PlannedCoat
from coursekit.lesson.content.shared.parts import part_words
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages import cautions
from coursekit.lesson.screen import page
from coursekit.markup import Markup, tag, together
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError
from coursekit.sanding.progression import SequenceStep
from coursekit.uncertain import Band, Coefficient

CAUTIONS = ("spraying", "isocyanate", "mixing", "solvent", "dust")
FOLDER = "sheets"
MOST_OF_A_NAME = 100
BLANK = "________"


def say(value: Any, name: str, digits: int = 3) -> str:
    """A number or a band in the units that are shown."""
    if isinstance(value, Coefficient):
        value = Band(value.low, float(value), value.high)
    if isinstance(value, Band):
        if value.low == value.high:
            return quantities.shown(float(value.middle), name, unit_system.chosen(), digits)
        narrow = value.high - value.low < 0.3 * value.high and names()[name].kind != "time"
        return quantities.shown_band(value.low, value.high, name, unit_system.chosen(), 3 if narrow else 2)
    return quantities.shown(float(value), name, unit_system.chosen(), digits)


def summary(plan: PlannedCoat) -> str:
    """The whole plan in a few sentences."""
    v = plan.values
    words = (
        f"One coat takes {say(plan.takes_one, 'paint_volume')} of ready-to-spray paint, all {v['coats']:g} take "
        f"{say(plan.takes_all, 'paint_volume')}. Mix {say(plan.batch_one.fill_lines[-1], 'part_volume')} for the "
        "first "
        f"coat: the upper end with your reserve. {comb_words(plan)}"
    )
    if plan.pot_life:
        words += (
            f" At {say(v['temperature'], 'temperature')} the pot life of that mix is "
            f"{say(plan.pot_life, 'pot_life')}, by the rule of thumb; what its data sheet says rules."
        )
    doubts = [
        f"{step.paper} – {step.verdict}: {step.reason}"
        for step in (*plan.before, *plan.after)
        if step.verdict != "go"
    ]
    return f"{words} {' '.join(doubts) or 'There is enough film for each paper.'}"


def comb_words(plan: PlannedCoat) -> str:
    wet = say(plan.wet_film, "wet_film")
    last = say(plan.teeth.dry, "dry_tooth")
    if not plan.teeth.wetted:
        return f"Each coat lies {wet} wet: under the first tooth of the comb, {last}, which must stay dry."
    return (
        f"Each coat lies {wet} wet: stop when the comb comes up wet at {say(plan.teeth.wetted, 'wetted_tooth')} "
        f"and dry at {last}."
    )


# --- its parts ---------------------------------------------------------------------------------------------


def body(plan: PlannedCoat) -> Markup:
    """Everything between title and end of the sheet."""
    title = plan.values["title"] or "One coat"
    first = "Before a can is opened: read Safety at the end of this sheet, the data sheet and the safety data sheet."
    parts = (_mixing(plan), _spraying(plan), _papers(plan), _notes(), _sure(plan), _cautions())
    return together((tag("h2", title), tag("p", tag("strong", first)), page.paragraph(summary(plan)), *parts))


def _section(title: str, *parts: Any) -> Markup:
    return tag("section", tag("h3", title), *parts, class_="ck-part")


def _mixing(plan: PlannedCoat) -> Markup:
    one, everything, v = plan.batch_one, plan.batch_all, plan.values
    weighed = one.running_weights is not None
    head = ["pour in", "one coat: fill the cup to", "for all coats have ready"]
    rows = [
        [part_words(number), say(line, "part_volume"), say(everything.volumes[number], "part_volume")]
        for number, line in enumerate(one.fill_lines)
    ]
    if weighed:
        head.insert(2, "the scale then shows")
        for row, shows, ready in zip(rows, one.running_weights, everything.masses, strict=True):
            row.insert(2, say(shows, "part_mass"))
            row[3] += f" ({say(ready, 'part_mass')})"
    words = [
        f"{v['ratio']} by volume, in this order, in one cup"
        + (
            ", the scale set to zero with the empty cup and not again. "
            if weighed
            else ". For weights the density of each part is missing. "
        )
        + f"The reserve of {say(v['reserve'], 'reserve')} is in it; cup, strainer and gun keep "
        f"{say(plan.keeps, 'paint_volume')}.",
        "Mix one coat at a time. After the first, pour back and see what it took: then mix the others by that.",
    ]
    return _section("Mix", page.table(head, rows), *map(page.paragraph, words), _clock(plan))


def _clock(plan: PlannedCoat) -> Markup:
    if plan.pot_life is None:
        return page.paragraph("No pot life was entered: with a hardener, look for it on the sheet.")
    v = plan.values
    return page.paragraph(
        f"Pot life: {say(v['pot_life'], 'reference')} on the sheet at "
        f"{say(v['pot_life_temperature'], 'reference_temperature')}; at {say(v['temperature'], 'temperature')} "
        f"{say(plan.pot_life, 'pot_life')}. Hardener in at {BLANK} o'clock, use by {BLANK} o'clock. "
        "Reducer does not make it longer."
    )


def _spraying(plan: PlannedCoat) -> Markup:
    v = plan.values
    words = [
        comb_words(plan),
        f"Between these two teeth the coat will be {say(plan.comb_film, 'dry_film')} once dry; you want "
        f"{say(v['film'] / v['coats'], 'dry_film')} a coat, {say(v['film'], 'dry_film')} in {v['coats']:g}. Read the "
        "comb at once after the pass, on a flat place that will be sanded. Flash between coats: as the sheet says.",
    ]
    return _section("Spray", *map(page.paragraph, words))


def _papers(plan: PlannedCoat) -> Markup:
    head = ("paper", "strokes over each spot", "takes", "film left", "verdict", "done")
    rows = [_row(step, plan) for step in (*plan.before, *plan.after)]
    v = plan.values
    words = (
        f"Hand {say(v['force'], 'force')}, block {v['block']}, {v['under']} under the coat. Strokes are an "
        "order "
        "of magnitude: they sand out the scratches of the paper before. Flattening waves takes more: guide coat, "
        "look, "
        "gauge."
    )
    doubts = [f"{step.paper}: {step.reason}" for step in (*plan.before, *plan.after) if step.verdict != "go"]
    return _section("Papers", page.table(head, rows), page.paragraph(words), page.items(doubts) if doubts else "")


def _row(step: SequenceStep, plan: PlannedCoat) -> tuple[str, ...]:
    if step.paper.startswith("coat"):
        return (f"the coat, {say(plan.values['film'], 'dry_film')}", "let it cure", "", "", step.verdict, "☐")
    strokes = say(step.strokes, "strokes") if step.strokes.high > 0 else "until flat"
    takes = say(step.film, "film") if step.film.high > 0 else ""
    return (step.paper, strokes, takes, say(step.film_left, "film"), step.verdict, "☐")


def _notes() -> Markup:
    """What to write down in the garage, to enter it afterwards."""
    rows = [
        ("comb after a pass, wetted and dry", BLANK, "the wet film of a pass"),
        ("paint mixed and poured back, first coat", BLANK, "what a coat really takes"),
        ("paint into a cup in 15 s", BLANK, "the delivery of the gun"),
        ("gauge, 50 strokes, gauge", BLANK, "what a stroke takes"),
    ]
    return _section("Write down", page.table(("what", "reading", "it tells you"), rows))


def _sure(plan: PlannedCoat) -> Markup:
    """What is a band, what was measured, what was typed in."""
    measured = [
        f"Measured by you: {quantities.coefficient_words(c, unit_system.chosen())}." for c in plan.measured.values()
    ]
    bands = [
        f"{FIELDS[key].label}: {say(value, FIELDS[key].name)}, {_origin(value)}"
        for key, value in plan.values.items()
        if isinstance(value, Coefficient) and value.kind != "measured by you"
    ]
    lines = [
        *(measured or ["Nothing in it was measured by you yet: what you write down above narrows the bands."]),
        *(f"A band: {line}." for line in bands),
        "A band, assumed or published: how papers scratch and cut, how pot life answers to warmth. Bands run from "
        "5 to "
        "95 %: one time in ten the truth lies outside.",
        *(
            f"Taken as you entered it – {group.title.lower()}: {'; '.join(_entered(group, plan))}."
            for group in GROUPS
        ),
    ]
    return _section("How sure this is", page.items(lines))


def _entered(group: Group, plan: PlannedCoat) -> list[str]:
    """The entries of a group that no band stands for."""
    entered = [(field, plan.values[key]) for key, field in group.fields.items() if key != "title"]
    return [
        f"{field.label}: {_entry(field.name, value)}"
        for field, value in entered
        if value is not None and not isinstance(value, Coefficient)
    ]


def _origin(value: Coefficient) -> str:
    if value.key in ("volume_solids", "transfer_efficiency", "force") and value.source == "assumed-here":
        return "as you entered it"
    return f"{value.kind}; measure it and the band gets narrower"


def _entry(name: str, value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(say(one, name) for one in value)
    return say(value, name) if name and names()[name].kind in KINDS else str(value)


def _cautions() -> Markup:
    return _section("Safety", cautions.cautions_html(*CAUTIONS))


# --- the file ----------------------------------------------------------------------------------------------


def document(plan: PlannedCoat) -> str:
    """The whole page, with its style inside: it needs nothing else."""
    foot = (
        f"Planned on {datetime.date.today().isoformat()} with the course in panel repair. The data sheet, the safety "
        "data sheet and local rules come before it; nothing on it is permission to spray, breathe or burn."
    )
    title = tag("title", plan.values["title"] or "One coat")
    wide = tag("meta", name="viewport", content="width=device-width, initial-scale=1")
    head = tag("head", tag("meta", charset="utf-8"), title, wide, Markup(page.sheet_style()))
    main = tag("body", tag("main", body(plan), tag("footer", foot)))
    return f"<!doctype html>\n{tag('html', head, main, lang='en')}\n"


def save(plan: PlannedCoat) -> Path:
    """Keep the sheet as a file of its own in the learner's folder."""
    words = "-".join(re.findall(r"[a-z0-9]+", plan.values["title"].casefold())) or "coat"
    return keep_page(words, document(plan))


def keep_page(words: str, text: str) -> Path:
    """Keep a page as a file that is named by the day and these words; an older one is never written over."""
    today = datetime.date.today().isoformat()
    sheets = place() / FOLDER
    try:
        make_folder(sheets)
        with lock(sheets):
            names = _names(sheets, f"{today}-{words[:MOST_OF_A_NAME]}")
            path = next(free for free in names if not os.path.lexists(free))
            replace(path, text)
    except InputError as error:
        raise InputError("sheet", f"cannot be kept in your folder: {error}", kind="file") from None
    return path


def _names(place: Path, stem: str) -> Iterator[Path]:
    yield place / f"{stem}.html"
    yield from (place / f"{stem}-{number}.html" for number in islice(range(2, 1000000), None))
