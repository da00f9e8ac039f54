"""What the learner's garage file holds, where it lies, and what has not been measured yet."""

from __future__ import annotations

from coursekit import measured, quantities
from coursekit.folder import place
from coursekit.garage_entry import Entry
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.screen import page
from coursekit.measurements import ways
from coursekit.nomenclature import names
from coursekit.quantities import InputError
from coursekit.sources import coefficients
from coursekit.uncertain import Coefficient

NOT_YET = "not yet"
HEAD = ("what", "yours", "before you measured", "from")


def report() -> tuple[str, str]:
    """The file as HTML and as plain text; a file that cannot be read says what is wrong with it."""
    try:
        file = place() / measured.FILE
        mine = own.garage_file()
    except InputError as error:
        return page.paragraph(str(error), "ck-error"), str(error)
    count = len(mine.entries)
    top = f"{count} measurement{'s' * (count != 1)} in your garage file: {file}"
    lines = [top + ("." if file.exists() else " (it is made when you keep the first one)."), *doubts(mine)]
    known = rows(mine)
    yours, missing = ([row for row in known if (row[1] == NOT_YET) is none] for none in (False, True))
    end = (
        "It is plain text: open it to read it, correct a reading or delete a measurement by hand. The button under a "
        'measurement takes its last one out again, as measured.load().forget("delivery") does from Python.'
    )
    markup = (
        page.paragraph(lines[0])
        + page.together(page.paragraph(line, "ck-error") for line in lines[1:])
        + (page.table(HEAD, yours) if yours else page.Markup(""))
        + page.folded(f"Not measured yet: {len(missing)} numbers", page.table(HEAD, missing))
        + page.paragraph(end)
    )
    return markup, "\n".join([*lines, page.plain_table(HEAD, known), end])


def rows(mine: measured.Measured) -> list[tuple[str, str, str, str]]:
    """A row a coefficient that can be measured: the latest of each, with the readings' date."""
    told = mine.coefficients()
    found: list[tuple[str, str, str, str]] = []
    for way in ways().values():
        for key in way.gives:
            table = coefficients()[key]
            latest = [e for e in mine.entries if key in e.counts(mine.used)]
            came = f'{way.title}: lesson.measure("{way.key}")'
            if latest:
                came = f"{latest[-1].way.title}, {latest[-1].date:%Y-%m-%d}"
            row = (names()[table.name].label, words(told[key]) if key in told else NOT_YET, words(table), came)
            if row[:3] not in [other[:3] for other in found]:
                found.append(row)
    facts = {e.way.key: e for e in mine.entries if not (e.keys or e.contradiction)}
    return found + [(e.way.title, fact(e), "", f"{e.date:%Y-%m-%d}") for e in facts.values()]


def fact(entry: Entry) -> str:
    """A measurement that yields no number, such as which gauge is read."""
    return ", ".join(f"{label} {reading}" for label, reading in entry.read(unit_system.chosen()))


def words(number: Coefficient) -> str:
    system = unit_system.chosen()
    band = quantities.shown_band(number.low, number.high, number.name, system, 3)
    return f"{quantities.shown(float(number), number.name, system)} ({band})"


def doubts(mine: measured.Measured) -> list[str]:
    """What contradicts the course, kept in sight as long as it stands in the file."""
    said = [f"{entry.way.title}: {entry.contradiction}" for entry in mine.entries if entry.contradiction]
    for key, number in mine.coefficients().items():
        table = coefficients()[key]
        if not table.low <= number <= table.high:
            said.append(
                f"Your {names()[table.name].label}, {words(number)}, lies outside what the course takes "
                f"as usual, {words(table)}. It is used as measured; measure again to be sure."
            )
    return said
